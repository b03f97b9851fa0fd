// Where one stands in the key, as text: in the address (after the #, which no server is ever sent) and as one
// line that can be pasted, which is the line that `build.py ask` takes. Ids only, so that an address outlives
// a change of wording. Reading never fails: what is not understood is left out and listed in `lost`.
// needs: days, answers
// in: car

const { today, valueOf } = guide.answers;
const PLACES = ["begin", "look", "result"];

const PAPERS = ["assembled", "registered", "despatched", "titled", "model-year"];

// What is known by a paper or a part's date, as `ask --known` takes it, or null: days are put as figures, which an address
// and every page take. `key.dates` reads those in words.
function known(kind, text, key) {
  if (kind === "model-year") { return text || null; }
  if (kind === "restored") { return text === "yes" ? text : null; }
  if (!PAPERS.includes(kind) && !(kind.startsWith("part:") && key.marks[kind.slice(5)])) { return null; }
  return guide.days.read(text) ? text : key.dates ? key.dates(text) : null;
}

function empty() {
  return {
    answers: [],        // {mark, forms: [...], kind}, in the order given; one per mark
    car: null,          // chassis number as typed
    reach: [],          // ids; empty: not asked yet
    known: {},          // kind of date -> date, as `ask --known`
    edition: null,      // of a pasted line
    at: null,           // begin, look, result; null: whichever comes next
    look: null,         // the mark to ask, when it is not simply the next
    several: false,     // ask it as "which of these could it be"
    on: false,          // keep asking although the key would stop
    lost: [],           // answers no longer in the guide, dates and pieces of the address that cannot be read, as written
  };
}

function take(state, name, value, key) {
  if (name === "--car") { state.car = [state.car, value.trim()].filter(Boolean).join("+") || null; }
  else if (name === "--reach") { state.reach = key.reaches.filter((reach) => value.split(",").includes(reach)); }
  else if (name === "--edition") { state.edition = value; }
  else if (name === "--at") { state.at = PLACES.includes(value) ? value : null; }
  else if (name === "--look") { state.look = key.marks[value] ? value : key.formerly.marks[value] || null; }
  else if (name === "--several") { state.several = true; }
  else if (name === "--on") { state.on = true; }
  else if (name === "--known") {
    const [kind, text = ""] = value.split("=");
    const when = known(kind, text, key);
    if (when !== null) { state.known[kind] = when; } else if (text) { state.lost.push(name + "=" + value); }
  } else if (!name.startsWith("--")) {
    const given = today(name, value, key);
    if (given) {
      state.answers = state.answers.filter((other) => other.mark !== given.mark).concat([given]);
    } else { state.lost.push(name + "=" + value); }
  }
}

function decoded(text) {
  try { return decodeURIComponent(text); } catch (malformed) { return text; }
}

// The pieces of an address: those that can be read, and those that nobody can, which stand as they are.
const isRead = (piece) => !piece.includes("%") || decoded(piece) !== piece;
function piecesOf(hash) {
  const pieces = hash.replace(/^#/, "").split("&").filter(Boolean);
  return { read: pieces.filter(isRead), unread: pieces.filter((piece) => !isRead(piece)) };
}

// Something that is listed in `lost`, in words; what: a part by its id, in words, where it is known.
function lostInWords(say, raw, what) {
  const [name, ...rest] = raw.split("=");
  return !isRead(raw) ? say("pages.key.lost_piece", { typed: raw })
    : name === "--known" ? say("pages.key.lost_date", { typed: rest.slice(1).join("=") }) : say("pages.key.lost", { answer: what || raw });
}

function readHash(hash, key) {
  const state = empty();
  const { read, unread } = piecesOf(hash);
  state.lost.push(...unread);
  for (const piece of read) {
    const at = piece.indexOf("=");
    const name = decoded(at < 0 ? piece : piece.slice(0, at));
    const value = at < 0 ? "" : decoded(piece.slice(at + 1));
    if (at >= 0 || name.startsWith("--")) { take(state, name, value, key); }
  }
  return state;
}

const QUOTES = "\"\u201c\u201d\u201e\u00ab\u00bb", SINGLE = "'\u2018\u2019\u201a\u2039\u203a";
const WORD = new RegExp("(?:--|[\u2013\u2014]-?)(car|reach|edition|known)[\\s=>]+(?:[" + QUOTES + "]([^" + QUOTES + "]*)[" + QUOTES
  + "]|[" + SINGLE + "]([^" + SINGLE + "]*)[" + SINGLE + "](?!\\w)|(\\S+))|([^\\s=&>]+)=([^\\s&=]+)", "g");
const QUOTED_DATE = new RegExp("(?:--|[\u2013\u2014]-?)known[\\s=>]+([\\w:-]+)=(?:[" + QUOTES + SINGLE + "])([^" + QUOTES + SINGLE + "]*)[" + QUOTES + SINGLE + "]", "g");
const LOOSE_DATE = new RegExp("(?:--|[\u2013\u2014]-?)known[\\s=>]+([\\w:-]+)=([^\\s=" + QUOTES + SINGLE + "][^=" + QUOTES + SINGLE + "]*)", "g");
const MOST_WORDS = 8;                                 // of a date: "between 3 May 1967 and 4 June 1968"
const AROUND = new RegExp("^[^\\p{L}\\p{N}]+|[^\\p{L}\\p{N}]+$", "gu"); // stops, brackets and stars about a word

const ENTITIES = { "&nbsp;": " ", "&amp;": "&", "&lt;": "<", "&gt;": ">", "&quot;": '"', "&#39;": "'", "&#43;": "+", "&#61;": "=" };
const ADDRESS = /\S+\.html?(?:\?[^\s#]*)?#\S+|https?:\/\/\S*#\S+/g;

// What mail and chat programs do to a line, undone: letters written as codes, blanks that do not break or cannot be seen,
// marks of a quotation before each line, and words broken after a hyphen.
function undressed(text, key) {
  let plain = text.replace(/&(?:nbsp|amp|lt|gt|quot|#39|#43|#61);/gi, (code) => ENTITIES[code.toLowerCase()]);
  if (/=3D/i.test(plain)) {                                    // quoted-printable (RFC 2045, 6.7)
    plain = plain.replace(/=[ \t]*\r?\n/g, "").replace(/(?:=[0-9A-F]{2})+/gi, (codes) => decoded(codes.replace(/=/g, "%")));
  }
  const asked = (name) => Boolean(key.marks[name.toLowerCase()] || key.formerly.marks[name.toLowerCase()]);
  return plain.normalize("NFKC").replace(/[\u00ad\u200b-\u200f\u202a-\u202e\u2060\ufeff]/g, "").replace(/\r\n?/g, "\n")
    .replace(/\n[ \t]*(?:[>|][ \t]*)+/g, "\n").replace(/^[ \t]*(?:[>|][ \t]*)+/, "")
    .replace(/([\p{L}\p{N}-]+[-\u2010\u2011])\s*\n\s*([\p{L}\p{N}-]+)=/gu, (whole, one, other) => {
      const joined = one.slice(0, -1) + "-" + other;
      return asked(joined) ? joined + "=" : whole;
    })
    .replace(/([\p{L}\p{N}-]+)[ \t]*=[ \t]*\n?[ \t]*([\p{L}\p{N}+-]+)/gu, (whole, name, value) => (asked(name) ? name + "=" + value : whole))
    .replace(QUOTED_DATE, '--known "$1=$2"').replace(LOOSE_DATE, (whole, kind, rest) => gathered(whole, kind, rest, key)).replace(/%2B/gi, "+").replace(/\+\s*\n\s*/g, "+");
}

// A date of several words that no quotation marks hold together, put between such: as many words as make a date.
function gathered(whole, kind, rest, key) {
  const words = kind === "model-year" ? [] : rest.split(/\s+/);
  for (let count = Math.min(words.length, MOST_WORDS); count > 0; count -= 1) {
    const text = words.slice(0, count).join(" ").replace(/[^\p{L}\p{N}?~%]+$/u, "");
    if (known(kind, text, key) !== null) { return '--known "' + kind + "=" + text + '" ' + words.slice(count).join(" "); }
  }
  return whole;
}

// Reads the line out of whatever was pasted: the whole message will do, quoted, wrapped and re-dashed by a mail program,
// with a capital from a phone or a full stop after it, and its dates in words; so will an address of the key. Of a line and an address, which a
// mail program may have cut, the one that tells more counts.
function readLine(text, key) {
  const plain = undressed(text, key);
  const states = (plain.match(ADDRESS) || []).map((address) => (
    moved(readHash(address.slice(address.indexOf("#")).replace(/[>)\]"\u201d.,;]+$/, ""), key), { on: false })));
  const line = empty();
  for (const found of plain.replace(ADDRESS, " ").matchAll(WORD)) {
    const value = found.slice(2, 5).find((one) => one !== undefined);
    if (found[1]) { take(line, "--" + found[1], value.replace(/\s+/g, " "), key); }
    else { take(line, found[5].replace(AROUND, "").toLowerCase(), found[6].replace(AROUND, "").toLowerCase(), key); }
  }
  const told = (state) => state.answers.length * 2 + (state.car ? 1 : 0) + Object.keys(state.known).length;
  return states.reduce((best, state) => (told(state) > told(best) ? state : best), line);
}

// Half of a letter, as cutting a text leaves it, is no letter and cannot be written in an address.
function encoded(text) { return encodeURIComponent(text.replace(/\p{Surrogate}/gu, "\ufffd")).replace(/%2B/g, "+").replace(/%2C/g, ",").replace(/%3D/g, "="); }

function hashOf(state) {
  const pieces = state.answers.map((given) => encodeURIComponent(given.mark) + "=" + encoded(valueOf(given)));
  for (const raw of state.lost) {
    const at = raw.indexOf("=");
    pieces.push(isRead(raw) ? encoded(raw.slice(0, at)) + "=" + encoded(raw.slice(at + 1)) : raw);
  }
  if (state.car) { pieces.push("--car=" + encoded(state.car)); }
  if (state.reach.length) { pieces.push("--reach=" + encoded(state.reach.join(","))); }
  for (const kind of Object.keys(state.known)) { pieces.push("--known=" + encoded(kind + "=" + state.known[kind])); }
  if (state.edition) { pieces.push("--edition=" + encoded(state.edition)); }
  if (state.look) { pieces.push("--look=" + encodeURIComponent(state.look)); }
  if (state.several) { pieces.push("--several"); }
  if (state.on) { pieces.push("--on"); }
  if (state.at) { pieces.push("--at=" + state.at); }
  return "#" + pieces.join("&");
}

// The line to paste; `withCar` false leaves the chassis number out.
function lineOf(state, edition, withCar) {
  const words = state.answers.map((given) => given.mark + "=" + valueOf(given));
  if (withCar && state.car) { words.push('--car "' + state.car.replace(/"/g, "") + '"'); }
  if (state.reach.length) { words.push("--reach " + state.reach.join(",")); }
  for (const kind of Object.keys(state.known)) { words.push("--known " + kind + "=" + state.known[kind]); }
  words.push('--edition "' + edition.replace(/"/g, "") + '"');
  return words.join(" ");
}

// The same state with some things changed; everything about the screen is let go unless it is named.
function moved(state, changes) {
  return Object.assign({}, state, { at: null, look: null, several: false, lost: [] }, changes);
}

// The state after an answer: an answer to a mark asked again keeps its place in the order.
function answered(state, given) {
  const at = state.answers.findIndex((other) => other.mark === given.mark);
  const answers = state.answers.slice();
  if (at < 0) { answers.push(given); } else { answers[at] = given; }
  return moved(state, { answers });
}

guide.path = { decoded, empty, piecesOf, lostInWords, known, readHash, readLine, hashOf, lineOf, moved, answered };
