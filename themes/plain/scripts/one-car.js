// All about one car: its number and what was looked at stand in the address, as the key's do, and with them how much of the
// letter is wanted; nothing is sent anywhere. The letter is guide.letter's to say; here it is laid out, as letters.html
// lays it out for print, and each line leads to whose word it is.
// needs: elements, path, pasted, keeping, letter, data/model, data/key, data/words, data/letter

const { make, put } = guide.elements;
const { pages, words } = guide.letterData;
const { fingerprint } = document.querySelector("meta[name=edition]").dataset;
const facts = Object.assign({ fingerprint }, guide.letterData.facts);
const model = guide.model;
guide.parts.learn(guide.partWords);
const sentences = Object.assign({}, guide.key.words, guide.moreWords, words);
const say = guide.words(sentences);
const vocabulary = guide.answers.vocabulary(model, guide.key.formerly);
const HARMLESS = ["not-in-tables", "never-built", "beyond-known", "outside"]; // a number of which no table tells: the rest may be told
const DEPTH = "&--depth=";
const root = document.querySelector("[data-car]");
const form = root.querySelector("[data-ask]");
const reply = root.querySelector("[data-reply]");
const depths = root.querySelector("[data-depths]");
const place = root.querySelector("[data-letter]");
const notes = guide.keeping.open(guide.key.store, Date.now, vocabulary).notes();
let prepared = null;

function depthIn(hash) {
  const found = /[#&]--depth=([a-z]+)/.exec(hash);
  return found && guide.letter.DEPTHS.includes(found[1]) ? found[1] : guide.letter.DEPTHS[0];
}

const addressOf = (state, depth) => guide.path.hashOf(guide.path.moved(state, { on: false })) + DEPTH + depth;

// Whose word a line is: figures lead to the source, what is worked out to how that is done, the guide to its page on it.
function by(line, letter) {
  const own = line.mark ? guide.elements.pageOf(guide.key.links, line.mark, []) : "";
  const ways = { told: "", worked: pages["how-we-know"], guide: own || pages.care };
  const pieces = guide.letter.bySaid(say, line, letter.sources).map(([id, text]) => {
    const way = id.startsWith(":") ? ways[id.slice(1)] : pages.sources && pages.sources + "#" + facts.sources[id].part;
    return way ? make("a", { href: way }, text) : text;
  });
  const inside = pieces.flatMap((piece, at) => (at ? [", ", piece] : [piece]));
  return make("span", { class: "by" }, say.parts("pages.letter.by", { by: "" }).flatMap(([slot, text]) => (slot === "by" ? inside : [text])));
}

function lineOf(line, letter) {
  return make("li", {}, line.says, " ", by(line, letter), line.more.length ? make("ul", {}, line.more.map((one) => lineOf(one, letter))) : null);
}

function section(one, letter) {
  const lead = guide.letter.leadOf(say, one);
  return make("section", { class: "of-" + one.name }, make("h2", {}, say("pages.letter.section." + one.name)),
    lead ? make("p", { class: "lead-in" }, lead) : null, make("ul", {}, one.lines.map((line) => lineOf(line, letter))));
}

function drawn(letter) {
  return make("article", { class: "letter at-" + letter.depth },
    make("header", {}, make("h1", { tabindex: "-1" }, letter.title),
      make("p", { class: "small" }, say("pages.letter.from", { title: facts.title, edition: letter.edition, fingerprint: facts.fingerprint }))),
    letter.sections.map((one) => section(one, letter)),
    letter.sources.length ? make("section", { class: "of-sources" }, make("h2", {}, say("pages.letter.section.sources")),
      make("ul", {}, letter.sources.map((id, at) => make("li", {}, sourceOf(id, at + 1))))) : null,
    make("p", { class: "small" }, [say("pages.letter.by_what"), facts.contact ? say("pages.shell.wrong", { contact: facts.contact }) : ""].join(" ").trim()));
}

function sourceOf(id, n) {
  const source = facts.sources[id];
  const says = say("pages.letter.source", { n, source: source.name });
  return pages.sources ? make("a", { href: pages.sources + "#" + source.part }, says) : says;
}

// ---- what can be done with it ----

function ways(state, letter) {
  const heard = root.querySelector("[data-heard]");
  const copy = () => navigator.clipboard.writeText(guide.letter.text(say, facts, letter)).then(() => { heard.textContent = say("pages.key.copied"); });
  const other = (name, label) => (guide.key.links[name] ? make("a", { class: "press", href: guide.key.links[name] + guide.path.hashOf(state) }, label) : null);
  return make("div", { class: "letter-ways on-screen" },
    make("button", { class: "button low", type: "button", "data-print": true, onclick: () => window.print() }, say("pages.letter.print")),
    navigator.clipboard ? make("button", { class: "button low", type: "button", "data-copy": true, onclick: copy }, say("pages.letter.copy")) : null,
    other("key", say("pages.letter.change")), state.car ? other("fits", say("pages.fits.title")) : null);
}

// ---- what is asked ----

function show(moved) {
  const state = guide.path.readHash(window.location.hash, vocabulary);
  const depth = depthIn(window.location.hash);
  const any = Boolean(state.car || state.answers.length || Object.keys(state.known).length);
  const failed = guide.numbers.readEach(state.car || "", model.numbers).find((one) => one.found.failure && !HARMLESS.includes(one.found.failure));
  form.elements.car.value = state.car || "";
  reply.textContent = failed ? guide.numbers.failure(say, failed.found, failed.typed) : state.lost.map((raw) => guide.path.lostInWords(say, raw)).join(" ");
  const letter = any && !failed ? written(state, depth) : null;
  depths.hidden = !letter;
  depths.querySelectorAll("input").forEach((box) => { box.checked = box.value === depth; });
  put(place, letter ? [ways(state, letter), drawn(letter)] : null);
  root.querySelector("[data-choose]").open = !letter || state.lost.length > 0;      // where what was left out is told
  root.querySelector("h1.begin").hidden = Boolean(letter);
  if (letter) { document.title = letter.title; }
  if (moved && letter) { place.querySelector("h1").focus(); window.scrollTo(0, 0); }
}

// The letter, or null where no car could be like this.
function written(state, depth) {
  prepared = prepared || guide.dating.prepare(model, guide.key.words);
  const reach = state.reach.length ? state.reach : Object.keys(model.reaches).filter((one) => one !== "photographs");
  const session = { answers: state.answers, car: state.car, reach, known: state.known };
  try { return guide.letter.compose(prepared, say, facts, session, depth); } catch (contradiction) {
    if (contradiction instanceof TypeError) { throw contradiction; }       // a fault of ours, and no car's
    reply.textContent = say("pages.key.impossible");
    return null;
  }
}

// What the form asks for: what was pasted, or a note, with the number above it where one is typed.
function typed() {
  const note = notes.find((one) => one.id === form.elements.note.value);
  const dates = guide.datesInWords.reader(guide.key.words, model.chances.about_days, model.origin);
  const state = note ? Object.assign(guide.path.empty(), { answers: note.answers, car: note.car || null, reach: note.reach || [], known: note.known || {} })
    : guide.pasted.read(form.elements.sent.value, model, sentences, Object.assign({ dates }, vocabulary));
  return Object.assign(state, { car: form.elements.car.value.trim() || state.car });
}

function mount() {
  if (notes.length) {
    root.querySelector("[data-of-notes]").hidden = false;
    form.elements.note.append(...notes.map((note) => make("option", { value: note.id }, note.car || note.words || say("pages.notes.no_number"))));
  }
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const state = typed();
    if (!state.car && !state.answers.length && !Object.keys(state.known).length) { reply.textContent = say("pages.letter.nothing"); return; }
    window.history.pushState(null, "", addressOf(state, depthIn(window.location.hash)));
    show(true);
  });
  depths.addEventListener("change", (event) => {
    window.history.replaceState(null, "", addressOf(guide.path.readHash(window.location.hash, vocabulary), event.target.value));
    show(false);
    root.querySelector("[data-heard]").textContent = say("pages.letter.depth." + event.target.value);
  });
  window.addEventListener("popstate", () => show(false));
  root.hidden = false;
  show(false);
}

mount();
