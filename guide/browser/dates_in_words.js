// Dates in words as the facts take them ("spring 1968", "about May 1968", "late 1967"), in English and in the guide's own
// language, for whatever is pasted: the twin of dates_in_words.py, edtf.py and typed.py, which hold the theory. A text is
// read into {first, last, precision}, its days as numbers or null where it has no end; null is what is refused, and
// undefined what is nothing that was tried.
// needs: days

const MONTHS = ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"];
const MONTH = "january|february|march|april|june|july|august|september|october|november|december|"
  + "jan|feb|mar|apr|may|jun|jul|aug|sept|sep|oct|nov|dec";
const SEASONS = { spring: 21, summer: 22, autumn: 23, fall: 23, winter: 24 };
const THIRDS = { early: 0, mid: 1, middle: 1, late: 2 };
const THIRD_OF_TEN = [[0, 4], [4, 3], [7, 3]];       // where a third of ten years begins, and how many years it has
const MONTHS_OF = { month: 1, season: 3, year: 12, decade: 120, century: 1200 };
const [FIRST_YEAR, LAST_YEAR] = [1800, 2199];
const LONGEST = 80;                                  // letters; what is longer is no date

const TO = "(?: to | until | and | \u2013 | - |\u2013)";
const SINGLE = /^(\d{4}|\d{3}X|\d\dX{2})(?:-(\d\d|X{2})(?:-(\d\d|X{2}))?)?([?~%]?)$/i;
const WEEK = /^(\d{4})-?W(\d\d)(?:-?(\d))?([?~%]?)$/i;
const MISTAKEN = /^(?:\d{4} ?[-\u2013] ?\d{4}|[^]*\d{4}-\d\d-\d\d[T ]\d[^]*)$/i;

const dayOf = (year, month, day) => Math.round(Date.UTC(year, month - 1, day) / 86400000);
const yearOf = (day) => Number(guide.days.iso(day).slice(0, 4));
const monthNamed = (name) => MONTHS.indexOf(name.slice(0, 3).toLowerCase()) + 1;

function wholeMonths(year, month, precision, months) {
  if (year < FIRST_YEAR || year > LAST_YEAR) { return null; }
  const last = dayOf(year, month + (months || MONTHS_OF[precision]), 0);
  return { first: dayOf(year, month, 1), last, precision };
}

function oneDay(year, month, day) {
  const whole = wholeMonths(year, month, "month");
  if (!whole || day < 1 || day > whole.last - whole.first + 1) { return null; }
  return { first: whole.first + day - 1, last: whole.first + day - 1, precision: "day" };
}

// Week 1 is the one with the year's first Thursday (ISO 8601-1:2019).
function weekOf(year, week, day) {
  const fourth = dayOf(year, 1, 4);
  const monday = fourth - (new Date(fourth * 86400000).getUTCDay() + 6) % 7 + 7 * (week - 1);
  const thursday = monday + 3;
  if (!wholeMonths(year, 1, "year") || week < 1 || yearOf(thursday) !== year || (day && day > 7)) { return null; }
  return day ? { first: monday + day - 1, last: monday + day - 1, precision: "day" } : { first: monday, last: monday + 6, precision: "week" };
}

const seasonOf = (year, season) => wholeMonths(year, 3 * (season - 20), "season");

function widened(bounds, about) {
  const days = about[bounds.precision] || 0;
  const moved = (day, by) => (day === null ? null : day + by);
  return Object.assign({}, bounds, { first: moved(bounds.first, -days), last: moved(bounds.last, days), approximate: true });
}

function spanning(first, last) {
  const [from, to] = [first ? first.first : null, last ? last.last : null];
  if (from !== null && to !== null && from > to) { return null; }
  return { first: from, last: to, precision: (first || last).precision,
    approximate: Boolean((first && first.approximate) || (last && last.approximate)) };
}

// As ISO 8601-2 (EDTF) writes it.
function readEdtf(text, about) {
  const single = SINGLE.exec(text);
  const week = !single && WEEK.exec(text);
  if (single || week) {
    const found = single ? ofSingle(...single.slice(1, 4).map((part) => (part || "").toUpperCase()))
      : weekOf(Number(week[1]), Number(week[2]), Number(week[3] || 0));
    return found && "~%".includes((single || week)[4] || "-") ? widened(found, about) : found;
  }
  if (text.includes("/")) { return readInterval(text, about); }
  return MISTAKEN.test(text) ? null : undefined;
}

function ofSingle(year, month, day) {
  const [m, d] = [month === "XX" ? "" : month, day === "XX" ? "" : day];
  if (year.includes("X")) {
    return month ? null : wholeMonths(Number(year.replace(/X/g, "0")), 1, year.endsWith("XX") ? "century" : "decade");
  }
  if (!m) { return d ? null : wholeMonths(Number(year), 1, "year"); }
  if (Number(m) >= 21 && Number(m) <= 24 && !day) { return seasonOf(Number(year), Number(m)); }
  if (Number(m) < 1 || Number(m) > 12) { return null; }
  return d ? oneDay(Number(year), Number(m), Number(d)) : wholeMonths(Number(year), Number(m), "month");
}

function readInterval(text, about) {
  const parts = text.split("/").map((part) => part.trim());
  if (/^\d{1,2}\/\d{4}$/.test(text) || (parts.length === 3 && parts.every((part) => /^(?:\d{1,2}|\d{4})$/.test(part)))) { return null; }
  const open = (part) => part === "" || part === "..";
  const dated = parts.map((part) => open(part) || SINGLE.test(part) || WEEK.test(part));
  if (parts.length !== 2 || dated.includes(false)) {
    return /^[\dXx./?~% -]+$/.test(text) || !dated.includes(false) ? null : undefined;
  }
  const ends = parts.map((part) => (open(part) ? undefined : readEdtf(part, about)));
  return ends.includes(null) || !(ends[0] || ends[1]) ? null : spanning(...ends);
}

// A word before a date: what it makes of the bounds of that date.
const ofInner = (change) => ([, inner], about) => { const found = readPlain(inner, about); return found ? change(found, about) : found; };

function between([, from, to], about) {
  const last = readPlain(to, about);
  if (!last) { return last; }
  const yearless = !/\d{4}/.test(from) && last.last !== null;
  const first = readPlain(yearless ? from + " " + to.split(" ").pop() : from, about);
  return first ? spanning(first, last) : first;
}

function third([, which, of], about) {
  const inner = readPlain(of, about);
  if (!inner || inner.first === null || inner.last === null) { return inner; }
  const at = THIRDS[which.toLowerCase()];
  const year = yearOf(inner.first);
  if (inner.precision === "year") { return wholeMonths(year, 1 + 4 * at, "season", 4); }
  if (inner.precision === "month") {
    const start = inner.first - Number(guide.days.iso(inner.first).slice(8)) + 1;
    return { first: start + 10 * at, last: at < 2 ? start + 10 * at + 9 : inner.last, precision: "day" };
  }
  if (inner.precision === "decade") { return wholeMonths(year + THIRD_OF_TEN[at][0], 1, "year", 12 * THIRD_OF_TEN[at][1]); }
  return null;
}

function winter([, year, next]) {
  const right = (Number(year) + 1) % (next.length === 2 ? 100 : 10000);
  return Number(next) === right ? seasonOf(Number(year), 24) : null;
}

const PHRASES = [
  ["(?:(?:about|around|approximately|roughly|circa) |ca?\\. ?|c(?=\\d{4}))(.+)",
    ofInner((date, about) => (date.approximate ? date : widened(date, about)))],
  ["(?:perhaps|possibly|probably|thought to be) (.+)", ofInner((date) => date)],
  ["(?:by|until|till|up to|not after|no later than) (?:the end of )?(.+)", ofInner((date) => Object.assign({}, date, { first: null }))],
  ["(?:from|since|not before|no earlier than) (.+)", ofInner((date) => Object.assign({}, date, { last: null }))],
  ["(?:before|earlier than) (.+)", ofInner((date) => Object.assign({}, date, { first: null, last: date.first === null ? null : date.first - 1 }))],
  ["(?:after|later than) (.+)", ofInner((date) => Object.assign({}, date, { first: date.last === null ? null : date.last + 1, last: null }))],
  ["between (.+?)" + TO + "(.+)", between],
  ["(early|mid|middle|late)[ -](?:of |in )?(.+)", third],
  ["winter (\\d{4}) ?[/\u2013-] ?(\\d{4}|\\d\\d)", winter],
  ["(?:the )?(spring|summer|autumn|fall|winter) (?:of )?(\\d{4})", ([, season, year]) => seasonOf(Number(year), SEASONS[season.toLowerCase()])],
  ["(?:week|wk) (\\d\\d?)(?: of |, ?| )(\\d{4})|(?:the )?(\\d\\d?)(?:st|nd|rd|th) week of (\\d{4})",
    ([, week, year, ordinal, its]) => weekOf(Number(year || its), Number(week || ordinal), 0)],
  ["(?:the )?first half of (\\d{4})", ([, year]) => wholeMonths(Number(year), 1, "season", 6)],
  ["(?:the )?second half of (\\d{4})", ([, year]) => wholeMonths(Number(year), 7, "season", 6)],
  ["(" + MONTH + ")\\.? (?:of )?(\\d{4})", ([, month, year]) => wholeMonths(Number(year), monthNamed(month), "month")],
  ["(\\d\\d?)(?:st|nd|rd|th)? (?:of )?(" + MONTH + ")\\.?,? (\\d{4})", ([, day, month, year]) => oneDay(Number(year), monthNamed(month), Number(day))],
  ["(" + MONTH + ")\\.? (\\d\\d?)(?:st|nd|rd|th)?,? (\\d{4})", ([, month, day, year]) => oneDay(Number(year), monthNamed(month), Number(day))],
  ["(.+?)" + TO + "(.+)", between],
  ["(?:the )?(\\d{3}0)'?s", ([, year]) => wholeMonths(Number(year), 1, "decade")],
  ["(?:the year )?(\\d{4})", ([, year]) => wholeMonths(Number(year), 1, "year")],
].map(([pattern, act]) => [new RegExp("^(?:" + pattern + ")$", "i"), act]);

function readPlain(plain, about) {
  const edtf = readEdtf(plain, about);
  if (edtf !== undefined) { return edtf; }
  for (const [pattern, act] of PHRASES) {
    const found = pattern.exec(plain);
    const read = found ? act(found, about) : undefined;
    if (read !== undefined) { return read; }
  }
  return undefined;
}

// What a language says otherwise, "typed=meant" divided by semicolons, as [pattern, words] that keep what stands before.
function pairsOf(said) {
  const shifted = (meant) => "$1" + meant.replace(/\\(\d)/g, (_, at) => "$" + (Number(at) + 1));
  return said.split(";").map((pair) => pair.replace(/^ +| +$/g, "")).map((pair) => [pair.slice(0, pair.lastIndexOf("=")), pair.slice(pair.lastIndexOf("=") + 1)])
    .map(([typed, meant]) => [new RegExp("(^|[^\\p{L}\\p{N}_-])(?:" + typed + ")(?![\\p{L}\\p{N}_-])", "giu"), shifted(meant)]);
}

const unspaced = (text) => text.trim().replace(/\s+/g, " ");

function yearFirst(whole, before, day, month, year) {
  if (Number(month) < 1 || Number(month) > 12) { return whole; }
  return before + [year, month].concat(day || []).map((part) => part.padStart(2, "0")).join("-");
}

// Days as they are written most shortly: "1968", "1968-03", "1968-03-12" or "1968-03-01/1968-05-31".
function written(first, last) {
  if (first === last) { return first; }
  const year = first.slice(0, 4);
  if (first.endsWith("-01-01") && last === year + "-12-31") { return year; }
  const month = first.slice(0, 7);
  const end = guide.days.iso(dayOf(Number(year), Number(month.slice(5)) + 1, 0));
  return first.endsWith("-01") && last === end ? month : first + "/" + last;
}

// A reader of texts for a guide: `words` are its sentences, `about` the days by which "about" widens a date, `start` the
// day of its first car. It returns the days as `written`, or null for what is no date or never ends.
function reader(words, about, start) {
  const dotted = words["words.day_alone"].endsWith(".");
  const pairs = pairsOf(words["facts.heard.when"]);
  return function (text) {
    let plain = unspaced(text);
    if (plain.length > LONGEST) { return null; }
    if (dotted) {
      plain = plain.replace(/\b(\d\d?)\. ?(?=[\p{L}_])/gu, "$1 ").replace(/(^|[^\d.])(?:(\d\d?)\. ?)?(\d\d?)\. ?(\d{4})(?![\d.])/g, yearFirst);
    }
    for (const [typed, meant] of pairs) { plain = plain.replace(typed, meant); }
    const found = readPlain(unspaced(plain.normalize("NFKC")).replace(/([\p{L}\p{N}_])\.+$/u, "$1"), about);
    if (!found || found.last === null) { return null; }
    const last = guide.days.iso(found.last);
    return written(found.first !== null ? guide.days.iso(found.first) : start < last ? start : last, last);
  };
}

guide.datesInWords = { reader };
