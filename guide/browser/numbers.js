// Chassis numbers in their series' own notation: the browser twin of numbers.py, which holds the theory.
// Both run the cases of tests/twins/numbers.json. `table` is the JSON that number_table makes in Python.
// in: car

// The same signs in numbers.py: blanks of every kind, dashes, full stops, strokes, commas, low lines.
const SEPARATORS =
  /[ \t\n\r\f\v\u00a0\u1680\u2000-\u200b\u2028\u2029\u202f\u205f\u3000\ufeff\-\u2010-\u2015\u2212./_\u00b7,]+/g;
const REGISTRATION =
  /^(?:[A-Z]{1,3}[0-9]{1,4}[A-Z]{1,3}|[A-Z]{2,5}[0-9]{1,4}|[0-9]{1,4}[A-Z]{1,3}|[0-9]{1,3}[A-Z]{2,3}[0-9]{1,3})$/;
const DIGITS = /^[0-9]+$/;
const WEIGHTS = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2];

// Values of characters in the check digit of 49 CFR 565.15 (c); no I, O, Q.
const VALUES = {P: 7, R: 9};
[["ABCDEFGH", 1], ["JKLMN", 1], ["STUVWXYZ", 2], ["0123456789", 0]].forEach(([letters, start]) => {
  letters.split("").forEach((letter, at) => { VALUES[letter] = start + at; });
});

function plain(text) {
  return String(text).normalize("NFKC").toUpperCase().replace(SEPARATORS, "");
}

// The check digit that 17 characters call for ("0" to "9", "X"), or null where they cannot have one.
function checkDigit(number) {
  const values = number.split("").map((character) => VALUES[character]);
  if (values.length !== 17 || values.some((value) => value === undefined)) { return null; }
  const remainder = values.reduce((sum, value, at) => sum + value * WEIGHTS[at], 0) % 11;
  return remainder === 10 ? "X" : String(remainder);
}

// A number as its series writes it: in the first notation with its prefix that has room for it.
function write(row, prefix, number, suffix, others) {
  const notation = row.notations.find((one) => one.prefix === prefix && String(number).length <= one.digits);
  const digits = String(number).padStart(notation.digits, "0").split("");
  const rest = others.slice();
  const written = notation.written.split("").map((character) => (
    character === "#" ? digits.shift() : character === "?" ? rest.shift() || "?" : character));
  return written.join("") + suffix;
}

// What a text means in one notation of a series, or null where it does not fit.
function fit(text, row, notation) {
  const pattern = notation.pattern;
  const suffix = text.slice(pattern.length);
  if (text.length < pattern.length || (suffix !== "" && !row.suffixes.includes(suffix))) { return null; }
  const body = text.slice(0, pattern.length);
  const others = [];
  let digits = "";
  for (let at = 0; at < pattern.length; at += 1) {
    const wanted = pattern[at];
    const character = body[at];
    if (wanted === "#" && /[0-9]/.test(character)) {
      digits += character;
    } else if (wanted === "?" && /[A-Z0-9?]/.test(character)) {
      others.push(character);
    } else if (wanted === "#" || wanted === "?" || wanted !== character) {
      return null;
    }
  }
  const number = Number(digits);
  const held = row.runs.filter(([prefix, first, last]) => (
    (prefix === "" || prefix === notation.prefix) && first <= number && number <= last));
  return {
    read: {
      series: row.id, prefix: notation.prefix, number, suffix,
      written: write(row, notation.prefix, number, suffix, others),
    },
    built: held.some((run) => run[3] === true),
    beyond: held.some((run) => run[3] === null),
    never: held.find((run) => run[3] === false) || null,
    badDigit: row.checkDigit && !others.includes("?") && checkDigit(body) !== body.slice(8, 9),
  };
}

function isOutside(text, row) {
  return row.outside.some(([prefix, first, last]) => {
    const digits = text.slice(prefix.length);
    return text.startsWith(prefix) && DIGITS.test(digits) && first <= Number(digits) && Number(digits) <= last;
  });
}

// Whether the prefix or some digits are missing: "1840" or "C412" for "C####".
function isShort(text, row, notation) {
  const suffix = row.suffixes.find((one) => text.endsWith(one)) || "";
  const body = text.slice(0, text.length - suffix.length);
  const {prefix, digits} = notation;
  if (prefix && body.startsWith(prefix)) {
    return DIGITS.test(body.slice(prefix.length)) && body.length - prefix.length < digits;
  }
  return DIGITS.test(body) && (body.length < digits || (prefix !== "" && body.length <= digits));
}

// {series, prefix, number, suffix, written}, or {failure: why}, of a number never built with {by}, the name of the source
// that says so, where there is one. A number that lies in a run wins over one that only fits a notation; then the declared
// order of series.
function read(text, table) {
  const typed = plain(text);
  const pairs = [];
  table.series.forEach((row) => row.notations.forEach((notation) => pairs.push([row, notation])));
  if (table.series.some((row) => isOutside(typed, row))) { return {failure: "outside"}; }
  const fits = pairs.map(([row, notation]) => fit(typed, row, notation)).filter((one) => one !== null);
  const found = fits.find((one) => one.built && !one.badDigit);
  if (found) { return found.read; }
  if (fits.some((one) => one.badDigit)) { return {failure: "wrong-check-digit"}; }
  if (fits.some((one) => one.beyond)) { return {failure: "beyond-known"}; }
  const never = fits.find((one) => one.never);
  if (never) { return Object.assign({failure: "never-built"}, never.never.length > 4 ? {by: never.never[4]} : {}); }
  if (fits.length) { return {failure: "not-in-tables"}; }
  if (pairs.some(([row, notation]) => isShort(typed, row, notation))) { return {failure: "short"}; }
  const bare = typed.replace(/[A-Z]+$/, "");
  if (pairs.some(([row, notation]) => fit(bare, row, notation))) { return {failure: "not-a-number"}; }
  return {failure: REGISTRATION.test(typed) ? "registration" : "not-a-number"};
}

// The numbers of one car, joined by "+": of each what was typed, what it is read as, and the kind of number it is.
function readEach(text, table) {
  return text.split("+").map((typed) => typed.trim()).filter(Boolean).map((typed) => {
    const found = read(typed, table);
    const row = table.series.find((one) => one.id === found.series);
    return { typed, found, kind: (row && row.kind) || "" };
  });
}

// The numbers of one car as the guide writes them, joined by "+": {written}, or {failure: why} of the first that cannot be
// used.
function readCar(text, table) {
  const each = readEach(text, table).map((one) => one.found);
  return each.find((one) => one.failure) || (each.length ? {written: each.map((one) => one.written).join("+")} : read(text, table));
}

// The place of a number that was read among the cars of its series, counted from 0; null where it has none. `runs`
// are [prefix, first number, how many], in the order of build.
function place(runs, read) {
  let before = 0;
  for (const [prefix, first, cars] of runs) {
    if ((prefix === "" || prefix === read.prefix) && first <= read.number && read.number < first + cars) {
      return before + read.number - first;
    }
    before += cars;
  }
  return null;
}

// Why a number cannot be used, in words; empty where it can.
function failure(say, read, typed) {
  return read.failure ? say("pages.number." + read.failure + (read.by ? ".by" : ""), {number: typed, source: read.by}) : "";
}

// Shows the number in a field as the guide writes it, and returns what is wrong with it: nothing with a good one, nor
// with none at all. What is typed is never taken away.
function settle(field, table, say) {
  const typed = field.value.trim();
  const found = typed ? readCar(typed, table) : {};
  if (found.written) { field.value = found.written; }
  return failure(say, found, typed);
}

guide.numbers = {checkDigit, plain, read, readCar, readEach, place, failure, settle};
