// The search page: reads the question from the address or the field, and shows what is found in groups.
// needs: elements, dating, answers, path, beside, search, data/model, data/key, data/search

const GROUPS = ["mark", "form", "interior", "period", "area", "words", "care", "sources"];
const THINGS = ["mark", "form"];                               // they come before the words for them
const PAGES = { whole: "car.html", fits: "fits.html", sheet: "sheets.html", key: "key.html", beside: "side-by-side.html" };
const MOST_BESIDE = 3;
const LIKE_A_NUMBER = /^[A-Z]{0,5}\d{3,}[A-Z]{0,2}$/;          // as guide.numbers.plain leaves it
const MOST = 5; // of one group; the rest is one press away

const { make, drawingLater, afterPress } = guide.elements;
let prepared = null;                                           // the model, made ready once a number is asked for
const say = guide.words(guide.searchData.words);

// What is said of a part number that led here: the number, and those before and after it.
function numbered([number, after, before]) {
  return say("pages.search.part." + (before ? after ? "both" : "successor" : after ? "superseded" : "plain"), { number, after, before });
}

function line(entry) {
  return make("li", {}, make("a", { href: entry.path, class: entry.picture ? "" : "bare" },
    entry.picture ? make("span", { class: "leaf" }, drawingLater(entry.picture)) : null,
    make("span", {}, make("b", {}, entry.title), entry.says ? make("span", {}, entry.says) : null,
      entry.part ? make("span", { class: "numbered" }, numbered(entry.part)) : null)));
}

function group(kind, entries) {
  const list = make("ul", { class: "entries" }, entries.slice(0, MOST).map(line));
  const more = make("button", { class: "press", type: "button", onclick: () => {
    list.append(...entries.slice(MOST).map(line));
    more.remove();
    list.children[MOST].querySelector("a").focus();
  } }, say("pages.search.more", { n: entries.length - MOST }));
  return make("section", {}, make("h2", {}, say("pages.search.group." + kind)), list, entries.length > MOST ? more : null);
}

// What a chassis number tells by itself, and where to take it; null when the text is no number.
function car(text) {
  const data = guide.searchData;
  const read = guide.numbers.read(text, guide.model.numbers);
  if (read.failure === "not-a-number" || read.failure === "short") { return null; }
  if (read.failure) { return make("section", { class: "car" }, make("p", {}, guide.numbers.failure(say, read, text.trim()))); }
  const series = guide.model.series.concat(guide.model.further || []).find((one) => one.id === read.series);
  prepared = prepared || guide.dating.prepare(guide.model, guide.key.words);
  const dated = guide.dating.tell(prepared, { answers: [], car: read.written, reach: [], known: {} });
  const named = data.cars[read.written] || [];
  return make("section", { class: "car" }, make("h2", {}, read.written),
    make("p", {}, say("pages.search.car", { series: series.name, says: dated.sentences.join(" ") })),
    make("ul", { class: "plain-list" }, ["whole", "fits", "key", "sheet"].map((way) => make("li", {},
      make("a", { href: PAGES[way] + "#--car=" + encodeURIComponent(read.written) }, say("pages.search.car_" + way))))),
    named.length ? make("p", { class: "small" }, say("pages.search.car_named")) : null,
    named.length ? make("ul", { class: "plain-list" }, named.map(([title, path]) => make("li", {}, make("a", { href: path }, title)))) : null);
}

// Several numbers, as "C1217 or C2711": each by itself, or why it is none, and the way to have two or three side by side; null
// for anything else.
function several(text) {
  const between = ["words.or", "words.and"].map((id) => say(id, { a: "", b: "" }).trim()).filter(Boolean);
  const each = guide.beside.numbersIn(text, guide.model.numbers, between);
  if (!each) { return null; }
  const good = [...new Set(each.map((one) => one.found.written).filter(Boolean))];
  const beside = good.length > 1 && good.length <= MOST_BESIDE && make("p", {}, make("a", { class: "button low",
    href: PAGES.beside + "#" + good.map((one) => "--car=" + encodeURIComponent(one)).join("&") }, say("pages.search.beside", { cars: say.allOf(good) })));
  const bad = each.filter((one) => one.found.failure).map((one) => make("p", {}, guide.numbers.failure(say, one.found, one.typed)));
  return [beside].concat(good.map(car), bad).filter(Boolean);
}

// A note that was pasted, as the guide sends it: to go on with where cars are dated; null for anything else.
function note(text) {
  if (!text.includes("=")) { return null; }
  const state = guide.path.readLine(text, guide.answers.vocabulary(guide.model, guide.key.formerly));
  if (!state.answers.length) { return null; }
  const way = (page, label) => make("li", {}, make("a", { href: PAGES[page] + guide.path.hashOf(state) }, say("pages.search." + label)));
  return make("section", { class: "car" }, make("p", {}, say("pages.search.note")),
    make("ul", { class: "plain-list" }, way("key", "car_key"), way("whole", "car_whole")));
}

// Whether what could be a registration is words that the guide has, as "May 1968".
function isWords(index, text) {
  return guide.numbers.read(text, guide.model.numbers).failure === "registration"
    && guide.search.wordsIn(text).every((word) => index.holding.has(word));
}

// What may be meant for a number once nothing else answers to it: without its letter or a nought, or written like none.
function noNumber(text) {
  const read = guide.numbers.read(text, guide.model.numbers);
  return read.failure === "short" || (read.failure && LIKE_A_NUMBER.test(guide.numbers.plain(text))) ? guide.numbers.failure(say, read, text) : "";
}

function pairEntry(at) {
  const [title, path] = guide.searchData.pairs[at];
  return { title, path, says: "", picture: "" };
}

function show(page, index, question) {
  const asked = question.trim();
  page.results.replaceChildren();
  page.found.textContent = "";
  page.opening.hidden = Boolean(asked);
  page.instead.hidden = !asked;                                // before that, the A to Z stands among the ways to go
  if (!asked) { return; }
  const noted = note(asked);
  if (noted) { page.results.append(noted); return; }
  const cars = several(asked);
  if (cars) { page.results.append(...cars); return; }
  const aCar = isWords(index, asked) ? null : car(asked);
  if (aCar) { page.results.append(aCar); }
  const answer = guide.search.find(index, asked);
  const pairs = aCar ? [] : guide.search.findPairs(index, asked).map(pairEntry);
  // of a chassis number the pieces are no words: only a part with that number is worth showing beside it
  if (aCar) { answer.found = answer.found.filter((one) => one.score >= guide.search.PART_NUMBER); }
  const groups = new Map();
  answer.found.forEach(function (one) {
    const entry = Object.assign({}, guide.searchData.entries[one.entry], { part: one.part });
    if (!groups.has(entry.kind)) { groups.set(entry.kind, []); }
    groups.get(entry.kind).push(entry);
  });
  if (!answer.found.length) {
    page.found.textContent = aCar ? "" : noNumber(asked) || say("pages.search.nothing", { words: asked });
    return;
  }
  const n = answer.found.length + pairs.length;
  page.found.textContent = answer.meant
    ? say("pages.search.meant", { words: asked, word: guide.searchData.shown[answer.meant] || answer.meant })
    : say("pages.search.found", { n: n, count: say.number(n) });
  if (pairs.length) { page.results.append(group("apart", pairs)); }
  const kinds = Array.from(groups.keys()).filter((kind) => GROUPS.includes(kind));
  const things = kinds[0] === "words" ? kinds.filter((kind) => THINGS.includes(kind)) : [];
  new Set([...things, ...kinds]).forEach((kind) => page.results.append(group(kind, groups.get(kind))));
}

function mount() {
  const form = document.querySelector("[data-search]");
  const index = guide.search.prepare(guide.searchData);
  const page = { found: document.querySelector("[data-found]"), results: document.querySelector("[data-results]"),
    opening: document.querySelector("[data-opening]"), instead: document.querySelector("[data-instead]") };
  const field = form.elements.q;
  const asked = new URLSearchParams(window.location.search).get("q") || "";
  let waiting = 0;
  function look(remember) {
    show(page, index, field.value);
    if (!remember) { return; }
    const address = new URL(window.location.href);
    address.searchParams.set("q", field.value);
    window.history.replaceState(null, "", address.href);
  }
  const typed = field.value;                                   // before this ran, in place of what the address asks
  field.value = typed || asked;
  form.addEventListener("submit", function (event) {
    event.preventDefault();
    window.clearTimeout(waiting);                              // or what is found would be drawn anew under the hand
    look(true);
  });
  field.addEventListener("input", function () {
    window.clearTimeout(waiting);
    waiting = window.setTimeout(() => afterPress(() => look(true)), 150);   // what is pressed stays till then
  });
  if (field.value) { look(Boolean(typed)); } else if (document.activeElement === document.body) { field.focus(); }
}

document.addEventListener("DOMContentLoaded", mount);
