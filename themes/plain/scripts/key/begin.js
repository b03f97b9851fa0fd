// Before the first look, and the mount of the whole key.

// A number that may go on although no table holds it: that proves nothing by itself.
const HARMLESS = ["not-in-tables", "never-built", "beyond-known", "outside"];
const ASKED_WHEN_TYPED = HARMLESS.concat("wrong-check-digit");

screens.begin = function (app, section) {
  const state = app.state;
  const form = section.querySelector("[data-begin]");
  setBack(app, guide.key.car, null);
  const typed = guide.numbers.readEach(state.car || "", app.model.numbers);
  const fieldOf = (kind) => numberFields(form).find((field) => field.dataset.further === kind) || form.elements.car;
  for (const field of numberFields(form)) {
    field.value = typed.filter((one) => fieldOf(one.kind) === field).map((one) => one.typed).join("+");
  }
  put(section.querySelector("[data-at-first]"), atFirst(app));
  for (const box of form.querySelectorAll("[name=reach]")) { box.checked = state.reach.includes(box.value); }
  form.elements["known-kind"].value = "";
  showKnown(app, form);
  const soFar = () => put(section.querySelector("[data-known-so-far]"), knownSoFar(app));
  const dated = Object.keys(state.known).filter((kind) => kind.startsWith("part:")).map((kind) => kind.slice("part:".length));
  guide.parts.withWords(dated, soFar, soFar);                  // without its words a part is called by its id
  if (Object.keys(state.known).length) { form.elements["known-kind"].closest("details").open = true; }
  for (const reply of section.querySelectorAll(".reply")) { reply.textContent = ""; }
  const place = section.querySelector("[data-lost]");
  place.hidden = !state.lost.length && !app.impossible;
  put(place, app.impossible ? make("p", { class: "said" }, say("pages.key.impossible")) : null, lost(app));
  document.title = guide.key.title;
};

// The fields for its numbers, the one by which cars are known first.
function numberFields(form) { return [form.elements.car, ...form.querySelectorAll("[data-further]")]; }

const numbersTyped = (form) => numberFields(form).map((field) => field.value.trim()).filter(Boolean).join("+");

// ---- what a car is as a whole: seen at a glance, and asked for before any look ----

const FEW = 3;                          // answers that stand open; more of them fold away behind what was answered

const nameOf = (mark, value) => (value === "cannot-tell" ? say("pages.key.cannot_tell") : guide.answers.forms(say, mark, value.split("+")));

function atFirst(app) {
  const marks = guide.answers.atFirst(app.model);
  return marks.length ? make("section", { class: "asked at-first" }, make("h2", { class: "ask" }, say("pages.key.begin.first")),
    make("p", { class: "small" }, say("pages.key.begin.first_hint")), marks.map((mark) => firstOf(app, mark))) : null;
}

// One such question with its answers, drawn or shown as samples of colour; what was answered already is chosen.
function firstOf(app, mark) {
  const given = app.state.answers.find((one) => one.mark === mark.id);
  const value = given && guide.answers.valueOf(given);
  const values = mark.forms.map((form) => form.id);
  if (given && given.forms.length > 1) { values.push(value); }
  const so = make("b", {}, value && (given.forms.length || value === "cannot-tell") ? nameOf(mark, value) : "");
  const answers = make("div", { class: "glance leaf" + (isDrawn(mark) && values.length <= FEW ? "" : " words") },
    values.concat("cannot-tell").map((one) => make("label", { class: "glanced" + (one === "cannot-tell" ? " open" : "") },
      make("input", { type: "radio", name: "first-" + mark.id, value: one, checked: one === value, onchange: () => { so.textContent = nameOf(mark, one); } }),
      values.length <= FEW ? drawing(mark.id, one) : null, swatchOf(mark, one), make("span", {}, nameOf(mark, one)))));
  if (values.length <= FEW) { return make("fieldset", {}, make("legend", {}, mark.question), answers); }
  return make("details", { class: "opens glances" }, make("summary", {}, make("span", {}, mark.question), " ", so),
    make("fieldset", {}, make("legend", { class: "unseen" }, mark.question), answers));
}

// The answers with those put in that were chosen here: each keeps the place it had, a new one stands before the looks.
function withFirst(app, form) {
  return guide.answers.atFirst(app.model).slice().reverse().reduce((answers, mark) => {
    const chosen = form.querySelector('[name="first-' + mark.id + '"]:checked');
    if (!chosen) { return answers; }
    const given = guide.answers.read(mark, chosen.value);
    const at = answers.findIndex((one) => one.mark === mark.id);
    return at < 0 ? [given].concat(answers) : answers.map((one, place) => (place === at ? given : one));
  }, app.state.answers);
}

// ---- another date: chosen, so that nobody has to know how a date is written ----

const BEFORE = 3;                       // years before the first car in which a part may have been made
const AFTER = 10;                       // years after the build in which a paper may still be dated

// What is known so far, each with a way to leave it out; of one kind the date that is chosen anew replaces the one before.
function knownSoFar(app) {
  const { known } = app.state;
  return make("ul", { class: "plain-list" }, Object.keys(known).map((kind) => {
    const words = guide.answers.known(say, app.model, kind, known[kind]);
    const rest = Object.assign({}, known);
    delete rest[kind];
    return make("li", {}, words, " ", app.link(guide.path.moved(app.state, { known: rest, at: "begin" }),
      { class: "press", "aria-label": say("pages.key.known_drop_what", { what: words }) }, say("pages.key.known_drop")));
  }));
}

function showKnown(app, form) {
  const kind = form.elements["known-kind"].value;
  const place = form.querySelector("[data-known-day]");
  const part = app.model.marks.find((mark) => "part:" + mark.id === kind);
  const range = (from, to) => Array.from({ length: to - from + 1 }, (_, at) => String(from + at));
  const padded = (n) => n.padStart(2, "0");
  const field = (name, choices, first) => {
    const list = select("known-" + name, [["", first]].concat(choices), "", () => {});
    list.name = "known-" + name;
    return make("p", {}, make("label", { for: list.id }, say("pages.key.begin.known_" + name)), list);
  };
  const unknown = say("pages.key.begin.known_unknown");
  if (!kind || kind === "restored") { put(place); return; }    // which is no date
  if (kind === "model-year") {
    const years = Array.from(new Set([].concat(...app.model.series.map((one) => (one.model_years || []).map((row) => row.year)))));
    put(place, field("year", years.map((one) => [one, one]), unknown));
    return;
  }
  const years = range(Number(guide.key.first.slice(0, 4)) - (part ? BEFORE : 0), Number(guide.key.last.slice(0, 4)) + AFTER);
  put(place, part && part.date_on_it ? make("p", { class: "small" }, say("pages.key.known_where", { where: part.date_on_it })) : null,
    make("div", { class: "thirds" }, field("year", years.map((one) => [one, one]), unknown),
      field("month", range(1, 12).map((one) => [padded(one), say("words.month." + padded(one))]), unknown),
      field("day", range(1, 31).map((one) => [padded(one), one]), unknown)));
}

// The date that was chosen, or null where it is of no day that there is; "" for none.
function knownFrom(form) {
  const chosen = ["year", "month", "day"].map((name) => form.elements["known-" + name]).map((list) => (list ? list.value : ""));
  const [year, month, day] = chosen;
  if (form.elements["known-kind"].value === "restored") { return "yes"; }
  if (!year) { return ""; }
  if (form.elements["known-kind"].value === "model-year") { return year; }
  const text = [year, month, month && day].filter(Boolean).join("-");
  return guide.days.read(text) ? text : null;
}

function beginForm(app, section) {
  const form = section.querySelector("[data-begin]");
  const reply = section.querySelector("[data-reply]");
  const unreached = section.querySelector("[data-reach-reply]");
  const undated = section.querySelector("[data-known-reply]");
  const boxes = Array.from(form.querySelectorAll("[name=reach]"));

  form.addEventListener("change", (event) => {
    settleReach(boxes, event.target);
    if (event.target.name === "reach") { unreached.textContent = ""; }
    if (event.target.name === "known-kind") { showKnown(app, form); }
  });

  // a number that no table holds is questioned while it is typed; what is still short is let be
  numberFields(form).forEach((field) => field.addEventListener("input", () => {
    const { bad } = app.numberOf({ car: numbersTyped(form) });
    reply.textContent = bad && ASKED_WHEN_TYPED.includes(bad.found.failure) ? guide.numbers.failure(say, bad.found, bad.typed) : "";
  }));

  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const car = numbersTyped(form);
    const reach = boxes.filter((box) => box.checked).map((box) => box.value);
    const state = guide.path.moved(app.state, { car: car || null, reach, known: Object.assign({}, app.state.known), answers: withFirst(app, form) });
    const { bad } = app.numberOf(state);
    reply.textContent = "";
    unreached.textContent = "";
    if (bad && !HARMLESS.includes(bad.found.failure)) {
      reply.textContent = guide.numbers.failure(say, bad.found, bad.typed);
      (numberFields(form).find((field) => field.value.trim() === bad.typed) || form.elements.car).focus();
      return;
    }
    if (!reach.length) {
      unreached.textContent = say("pages.key.begin.reach_none");
      boxes[0].focus();
      return;
    }
    const known = knownFrom(form);
    undated.textContent = known === null ? say("pages.key.begin.known_odd") : "";
    if (known === null) { form.elements["known-day"].focus(); return; }
    if (known) { state.known[form.elements["known-kind"].value] = known; }
    app.go(state);
  });

  section.querySelector("[data-read]").addEventListener("click", () => {
    const reply = section.querySelector("[data-sent-reply]");
    reply.textContent = "";
    readSent(app, form.elements.sent.value, (state) => {
      if (!state.answers.length && !state.lost.length && !state.car && !Object.keys(state.known).length) { reply.textContent = say("pages.key.begin.sent_nothing"); return; }
      if (!state.reach.length) { state.reach = app.state.reach; }
      app.go(Object.assign(state, { at: "result" }));
    });
  });
}

// Reads what was pasted, and does something with the state. A line of the guide's own is read at once, unless it gives a date;
// what reads dates in words and people's own words, and what the parts are called, is fetched only now. Where it cannot be
// had, ids and figures are read all the same.
const OF_OWN_WORDS = ["data/words.js", "scripts/dates_in_words.js", "scripts/pasted.js"];

function readSent(app, text, then) {
  const bare = guide.path.readLine(text, app.vocabulary);
  const named = (mark, own) => (own ? Object.assign({}, mark, own, { forms: mark.forms.map((form, at) => Object.assign({}, form, own.forms[at])) }) : mark);
  const read = () => {
    const dates = guide.datesInWords && guide.datesInWords.reader(guide.key.words, app.model.chances.about_days, app.model.origin);
    const key = Object.assign({ dates }, app.vocabulary);
    const marks = app.model.marks.map((mark) => named(mark, (guide.partWords || {})[mark.id]));
    const words = Object.assign({}, guide.key.words, guide.moreWords || {});
    then(guide.pasted ? guide.pasted.read(text, Object.assign({}, app.model, { marks }), words, key) : guide.path.readLine(text, key));
  };
  const own = bare.edition !== null && !Object.keys(bare.known).length && !bare.lost.length;
  if (own) { then(bare); } else if (guide.pasted && guide.datesInWords) { read(); } else { Promise.all(OF_OWN_WORDS.map(guide.parts.fetchFile)).then(read); }
}

function mount() {
  const root = document.querySelector("main");
  const back = document.querySelector("[data-back]");
  back.dataset.back = back.getAttribute("href");
  const app = App(root);
  beginForm(app, root.querySelector('[data-screen="begin"]'));
  window.addEventListener("popstate", () => app.show(true));
  app.show(false);
}

document.addEventListener("DOMContentLoaded", mount);
