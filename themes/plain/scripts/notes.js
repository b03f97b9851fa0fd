// Today's cars: the list, and one car by itself to correct. Every change is kept as it is made.
// needs: path, dating, keeping, fields, sending, data/model, data/key, data/words

const { make, put, select, download } = guide.elements;
const say = guide.words(guide.key.words);
guide.parts.learn(guide.partWords);
const marks = new Map(guide.model.marks.map((mark) => [mark.id, mark]));
const prepared = guide.dating.prepare(guide.model, guide.key.words);
const root = document.querySelector("main");
const store = guide.keeping.open(guide.key.store, Date.now, guide.answers.vocabulary(guide.model, guide.key.formerly));
const list = root.querySelector('[data-screen="list"]');
const single = root.querySelector('[data-screen="note"]');
const told = root.querySelector("[data-told]");
const back = document.querySelector("[data-back]");
const home = back.getAttribute("href");
const homeLabel = back.querySelector("[data-back-label]").textContent;

// What has just happened, with the way to undo it.
function tell(text, undo) {
  told.hidden = !text && store.state() === "kept";
  put(told, text ? make("p", {}, text, " ", undo ? make("button", { class: "press", type: "button", "data-undo": true, onclick: undo }, say("pages.notes.undo")) : null) : null,
    store.state() === "kept" ? null : make("p", {}, say("pages.notes.list_state." + store.state())));
}

function nameOf(note) { return note.car || say("pages.notes.no_number"); }

// What to look at besides before the car is handed in, where the guide asks for that; nothing for most cars.
function wanted(note) {
  const ids = guide.key.wanted ? guide.keeping.stillWanted(note, guide.key.wanted, guide.model).filter((id) => marks.has(id)) : [];
  return ids.length ? make("p", { class: "small", "data-wanted": true }, say("pages.notes.wanted", { parts: say.allOf(ids.map((id) => marks.get(id).name)) })) : null;
}

// When it was noted, by the person's own clock, and how much was looked at.
function looksOf(note) {
  const n = note.answers.length + note.gone.length;
  const at = new Date(note.made);
  const two = (value) => String(value).padStart(2, "0");
  return say("pages.notes.looks", { count: say.count(n), time: two(at.getHours()) + ":" + two(at.getMinutes()) });
}

function draw(focus) {
  const id = guide.path.decoded(window.location.hash.slice(1));
  const note = store.notes().find((one) => one.id === id);
  if (id && !note) { tell(say("pages.notes.no_such")); }
  list.hidden = Boolean(note);
  single.hidden = !note;
  if (note) { drawNote(note); } else { drawList(); }
  back.href = note ? "#" : home;
  back.querySelector("[data-back-label]").textContent = note ? say("pages.notes.title") : homeLabel;
  if (focus) {
    window.scrollTo(0, 0);
    (note ? single : list).querySelector("h1").focus({ preventScroll: true });
  }
}

function drawList() {
  const notes = store.notes();
  list.querySelector("[data-empty]").hidden = notes.length > 0;
  list.querySelector("[data-hand-in]").hidden = notes.length === 0;
  put(list.querySelector("[data-cars]"), notes.map((note) => make("li", {},
    make("a", { class: "car", href: "#" + encodeURIComponent(note.id) }, make("b", {}, nameOf(note)),
      note.words ? make("span", {}, note.words) : null, make("span", {}, looksOf(note)), note.remarks ? make("span", {}, note.remarks) : null), wanted(note),
    make("button", { class: "press", type: "button", "aria-label": say("pages.notes.remove_what", { car: nameOf(note) }), onclick: () => remove(note) },
      say("pages.notes.remove")))));
}

function remove(note) {
  store.remove(note.id);
  tell(say("pages.notes.removed"), () => { store.restore(note.id); tell(""); draw(true); });
  // not by setting the hash: going there would take the way to undo with it
  window.history.replaceState(null, "", window.location.pathname + window.location.search);
  draw(true);
}

function clear() {
  const ids = store.notes().map((note) => note.id);
  ids.forEach((id) => store.remove(id));
  tell(say("pages.notes.cleared", { n: ids.length, count: say.count(ids.length) }),
    () => { ids.forEach((id) => store.restore(id)); tell(""); draw(true); });
  draw(true);
}

// ---- one car by itself ----

function drawNote(note) {
  const keep = (changes) => {
    Object.assign(note, changes);
    store.put(note.id, note);
    tell("");
  };
  const state = Object.assign(guide.path.empty(), { answers: note.answers, car: note.car || null, reach: note.reach || [], known: note.known || {}, edition: note.edition || null, at: "result",
    lost: note.gone.map((given) => given.mark + "=" + guide.answers.valueOf(given)) });
  const heading = make("h1", { class: "begin", tabindex: "-1" }, nameOf(note));
  const misfit = (car) => guide.dating.misfit(prepared, { answers: note.answers, car, reach: [], known: note.known || {} });
  const panel = make("div", { class: "panel on-screen" });
  const renamed = (value) => { keep({ car: value }); heading.textContent = nameOf(note); };
  put(single, heading,
    note.words ? make("p", { class: "sure" }, note.words) : null,
    make("p", { class: "small" }, say("pages.notes.seen", { day: say.day(note.seen), edition: note.edition || guide.model.edition })),
    make("div", { class: "asked" }, guide.fields.number("car", note.car || "", say, renamed, misfit)), wanted(note),
    make("label", { class: "choice" }, make("input", { type: "checkbox", checked: Boolean(note.untouched),
      onchange: (event) => keep({ untouched: event.target.checked }) }), make("span", {}, say("pages.notes.untouched"))),
    make("h2", { class: "part" }, say("pages.key.showed")),
    note.answers.map((given) => answerRow(note, given, keep)),
    note.gone.map((given) => goneRow(note, given, keep)),
    addRow(note, keep),
    make("div", { class: "asked" }, guide.fields.remarks("remarks", note.remarks || "", say, (value) => keep({ remarks: value }))),
    make("div", { class: "stack on-screen" },
      make("a", { class: "button first", href: guide.key.links.key + guide.path.hashOf(state) }, say("pages.notes.open_key")),
      guide.key.links.car ? make("a", { class: "button", "data-letter": true, href: guide.key.links.car + guide.path.hashOf(guide.path.moved(state, {})) }, say("pages.key.letter")) : null,
      make("div", { class: "pair" },
        make("button", { class: "button", type: "button", onclick: () => handIn([note]) }, say("pages.notes.csv")),
        make("button", { class: "button", type: "button", "data-send": true, onclick: () => send(note, panel) }, say("pages.key.send"))),
      make("button", { class: "button", type: "button", onclick: () => remove(note) }, say("pages.notes.remove_this"))), panel,
    make("p", { class: "small" }, say("pages.notes.nothing_sent")));
  document.title = nameOf(note);
}

// What the note says, as the key sends it.
function send(note, panel) {
  const { answers } = note;
  const read = guide.numbers.readCar(note.car || "", guide.model.numbers);
  const session = { answers, car: read.written || null, reach: note.reach || [], known: note.known || {} };
  let sentences = [note.words || ""];
  try {
    const worked = guide.dating.explain(prepared, session);
    sentences = [worked.sentences[0], guide.dating.reasons(prepared, session).basis || guide.sending.basis(say, read.written, answers.length), ...worked.doubts];
  } catch (contradiction) { /* no car could be like this: what was seen is sent all the same */ }
  guide.sending.panel(panel, say, guide.key, { car: read.written || note.car, sentences,
    state: Object.assign(guide.path.empty(), { answers, car: note.car || null, reach: note.reach || [], known: note.known || {} }),
    seen: answers.map((given) => guide.answers.inWords(say, marks.get(given.mark), given)).concat(note.gone.map(guide.keeping.goneInWords), note.remarks || []) });
}

// Draws the car anew, with the keyboard where it was.
function redraw(id) {
  draw(false);
  const same = document.getElementById(id);
  if (same) { same.focus(); }
}

function answerRow(note, given, keep) {
  const mark = marks.get(given.mark);
  const id = "answer-" + mark.id;
  const choices = guide.answers.choices(say, mark, given).concat([["", say("pages.notes.not_looked")]]);
  return make("div", { class: "asked" }, make("label", { for: id }, mark.name),
    select(id, choices, guide.answers.valueOf(given), (value) => {
      keep({ answers: note.answers.flatMap((one) => (one !== given ? [one] : value === "" ? [] : [noted(mark, value)])), words: "" });
      redraw(id);
    }));
}

function noted(mark, value) { return guide.answers.noted(say, mark, guide.answers.read(mark, value)); }

// An answer that today's edition no longer has, in the words it had: it stays until somebody takes it out.
function goneRow(note, given, keep) {
  const says = guide.keeping.goneInWords(given);
  return make("div", { class: "asked", "data-gone": true }, make("p", {}, say("pages.notes.gone", { answer: says })),
    make("button", { class: "press on-screen", type: "button", "aria-label": say("pages.notes.gone_remove_what", { answer: says }), onclick: () => {
      keep({ gone: note.gone.filter((one) => one !== given) });
      draw(true);
    } }, say("pages.notes.remove")));
}

function addRow(note, keep) {
  const rest = guide.model.marks.filter((mark) => mark.kind !== "body" && !note.answers.some((given) => given.mark === mark.id));
  const choices = [["", ""]].concat(rest.map((mark) => [mark.id, mark.name]));
  return rest.length ? make("div", { class: "asked on-screen" }, make("label", { for: "add" }, say("pages.notes.add")),
    select("add", choices, "", (value) => {
      keep({ answers: note.answers.concat([noted(marks.get(value), "cannot-tell")]) });
      redraw("answer-" + value);
    })) : null;
}

function handIn(notes) { guide.keeping.handIn(notes, guide.model.marks); }

list.querySelector("[data-csv]").addEventListener("click", () => handIn(store.notes()));
list.querySelector("[data-json]").addEventListener("click", () => download("cars-seen.json", "application/json", guide.keeping.json(store.notes(), guide.model.edition)));
list.querySelector("[data-clear]").addEventListener("click", clear);
window.addEventListener("popstate", () => { tell(""); draw(true); });
tell("");
draw(false);
