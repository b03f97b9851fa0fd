// Cars side by side. What is asked stands in the address, after the #: numbers, periods and notes, each under its own name.
// needs: elements, fields, path, sending, keeping, beside, print, data/model, data/key, data/behind, data/words

const { make, put, drawing } = guide.elements;
const model = guide.model;
const say = guide.words(guide.key.words);
guide.parts.learn(guide.partWords);
Object.assign(guide.key.words, guide.moreWords);
const root = document.querySelector("[data-beside]");
const form = root.querySelector("[data-ask]");
const reply = root.querySelector("[data-reply]");
const result = root.querySelector("[data-result]");
const notes = guide.keeping.open(guide.key.store, Date.now, guide.answers.vocabulary(model, guide.key.formerly)).notes();
const fields = Array.from(form.querySelectorAll("[data-car]"));
const KINDS = ["car", "period", "note"];
const between = ["words.or", "words.and"].map((id) => say(id, { a: "", b: "" }).trim()).filter(Boolean);
let prepared = null;

const nameOf = (note) => note.car || note.words || say("pages.notes.no_number");

// What is asked, out of the address: [{kind, id}].
function asked() {
  return Array.from(new URLSearchParams(guide.path.piecesOf(window.location.hash).read.join("&")).entries())
    .map(([name, id]) => ({ kind: name.replace("--", ""), id })).filter((one) => KINDS.includes(one.kind) && one.id).slice(0, 3);
}

// One of them: {name, number, says, parts}, or {failure}.
function carOf({ kind, id }) {
  if (kind === "period") {
    const period = model.periods.find((one) => one.id === id);
    if (!period) { return { failure: say("pages.beside.unknown", { found: id }) }; }
    return { name: say("pages.beside.period", { period: period.name }), says: "", parts: guide.dating.shouldHaveIn(prepared, id) };
  }
  const note = kind === "note" && notes.find((one) => one.id === id);
  if (kind === "note" && !note) { return { failure: say("pages.notes.no_such") }; }
  const typed = note ? note.car : id;
  const read = typed ? guide.numbers.readCar(typed, model.numbers) : {};
  if (read.failure && !note) { return { failure: guide.numbers.failure(say, read, typed) }; }
  const known = note ? note.answers : [];
  const session = { answers: known, car: read.written || null, reach: [], known: (note && note.known) || {} };
  const dated = guide.dating.tell(prepared, read.written ? Object.assign({}, session, { answers: [] }) : session);
  const basis = note ? null : dated.basis;                   // of a noted car more was looked at than is told here
  return { name: read.written || nameOf(note), number: read.written, says: [dated.sentences[0], basis].filter(Boolean).join(" "), parts: guide.dating.shouldHave(prepared, session) };
}

function pictureOf(mark, part) {
  const shown = part && drawing(mark.id, part.forms[0].id);
  return shown ? make("span", { class: "leaf picture" }, shown) : make("span", { class: "picture" });
}

// Whose word it is that such a car had this: every statement once, after the form where it could have several; of a form
// with a page of its own, which names the source, a link to that.
function because(mark, part) {
  const entries = (guide.behind.behind[mark.id] || {});
  return part.forms.flatMap((one) => {
    const said = new Set(one.behind.flatMap((at) => (entries[one.id] || [])[at] || []));
    const own = (guide.key.links.forms[mark.id] || {})[one.id];
    return Array.from(said, (at) => (part.forms.length === 1 ? guide.behind.says[at] : say("pages.beside.of_form",
      { form: mark.forms.find((form) => form.id === one.id).name, says: say.lowerFirst(guide.behind.says[at]) })))
      .map((says) => (own ? make("a", { href: own }, says) : says));
  });
}

function row(one, cars) {
  const link = guide.elements.pageOf(guide.key.links, one.mark.id, []);
  return make("section", { class: "pair-row" }, make("h3", {}, link ? make("a", { href: link }, one.mark.name) : one.mark.name),
    make("p", { class: "small look" }, one.mark.look),
    make("div", { class: "columns-" + cars.length }, one.parts.map((part, at) => make("div", { class: "one" }, pictureOf(one.mark, part),
      make("p", { class: "whose" }, cars[at].name), make("p", { class: "has" }, part ? part.says : say("pages.beside.none")),
      part ? make("ul", { class: "because" }, because(one.mark, part).map((says) => make("li", {}, says))) : null))));
}

function line(one, cars) {
  return make("li", {}, make("b", {}, one.mark.name + ": "), one.parts.map((part, at) => say("pages.beside.may_line",
    { car: cars[at].name, forms: say.lowerFirst(part ? part.says : say("pages.beside.none")) })).join(" "));
}

function draw(cars) {
  const told = guide.beside.sideBySide(prepared, cars.map((car) => car.parts), guide.behind.order);
  const names = say.allOf(cars.map((car) => car.name));
  put(result,
    make("p", { class: "on-screen sheet-ways" }, make("button", { class: "button low", type: "button", "data-print": true, onclick: () => window.print() }, say("pages.sheet.print"))),
    make("h2", {}, names),
    make("ul", { class: "plain-list dates" }, cars.filter((car) => car.says).map((car) => make("li", {}, make("b", {}, car.name + ": "), car.says))),
    told.best ? [make("h2", { class: "part" }, say("pages.beside.best")), row(told.best, cars)] : make("p", {}, say("pages.beside.no_difference", { cars: names })),
    told.differ.length > 1 ? [make("h2", { class: "part" }, say("pages.beside.differ")),
      told.differ.filter((one) => one !== told.best).map((one) => row(one, cars))] : null,
    told.may.length ? [make("h2", { class: "part" }, say("pages.beside.may")), make("ul", { class: "plain-list" }, told.may.map((one) => line(one, cars)))] : null,
    make("p", { class: "small" }, say("pages.beside.alike", { n: told.alike, count: say.count(told.alike) })),
    make("p", { class: "small" }, say("pages.fits.question")),
    guide.fields.label(say, cars.map((car) => car.number).filter(Boolean).join(", ")));
  document.title = names;
}

function show(moved) {
  const wanted = asked();
  fields.forEach((field, at) => {
    const one = wanted[at];
    field.querySelector("[name=number]").value = one && one.kind === "car" ? one.id : "";
    field.querySelector("[name=other]").value = one && one.kind !== "car" ? one.kind + ":" + one.id : "";
  });
  const unread = guide.path.piecesOf(window.location.hash).unread.map((raw) => guide.path.lostInWords(say, raw));
  reply.textContent = unread.join(" ");
  result.hidden = wanted.length < 2;
  if (wanted.length < 2) {
    root.querySelector("[data-choose]").open = true;
    if (moved) { reply.textContent = say("pages.beside.two"); }
    return;
  }
  prepared = prepared || guide.dating.prepare(model, guide.key.words);
  const cars = wanted.map(carOf);
  const failures = cars.map((car) => car.failure).filter(Boolean).concat(unread);
  const known = cars.filter((car) => !car.failure);
  reply.textContent = failures.join(" ");
  result.hidden = known.length < 2;
  root.querySelector("[data-choose]").open = failures.length > 0;
  if (known.length > 1) {
    draw(known);
    if (moved) { result.focus(); result.scrollIntoView({ block: "start" }); }
  }
}

fields.forEach((field) => {
  if (!notes.length) { return; }
  field.querySelector("[name=other]").append(make("optgroup", { label: say("pages.notes.title") },
    notes.map((note) => make("option", { value: "note:" + note.id }, nameOf(note)))));
});

form.addEventListener("submit", (event) => {
  event.preventDefault();
  const given = new URLSearchParams();
  for (const field of fields) {
    const number = field.querySelector("[name=number]").value.trim();
    const [kind, ...id] = field.querySelector("[name=other]").value.split(":");
    const several = number ? guide.beside.numbersIn(number, model.numbers, between) : null;
    if (several) { several.forEach((one) => given.append("--car", one.found.written || one.typed)); }
    else if (number) { given.append("--car", number); } else if (kind) { given.append("--" + kind, id.join(":")); }
  }
  window.history.pushState(null, "", "#" + given.toString());
  show(true);
});
window.addEventListener("popstate", () => show(false));
root.hidden = false;
show(false);
