// Does it fit its number? Numbers in; for each, every part with what it should have. Only what was found needs
// touching; the rest stays "not looked at". One car's findings stand in the address, those of several beside it, in the
// browser's own history, so that a reload or the way back brings them as well.
// needs: elements, fields, path, fitting, sending, data/model, data/key, data/words

const { make, put, select, drawing } = guide.elements;
const model = guide.model;
guide.parts.learn(guide.partWords);
Object.assign(guide.key.words, guide.moreWords);
const say = guide.words(guide.key.words);
const prepared = guide.dating.prepare(model, guide.key.words);
const root = document.querySelector("[data-fits]");
const form = root.querySelector("[data-ask]");
const reply = root.querySelector("[data-reply]");
const cars = root.querySelector("[data-cars]");
const vocabulary = guide.answers.vocabulary(model, guide.key.formerly);

// Where several cars are asked for, they can also be shown on one sheet, a car a column: at this place in the address.
const ON_ONE_SHEET = "result";
const CARS_TO_A_SHEET = 12;
const landscape = document.querySelector("[data-landscape]").content.firstElementChild;   // asked for when it is needed
const foot = () => root.querySelector("[data-foot]").content.cloneNode(true);

function picture(mark, id) {
  const shown = drawing(mark.id, id);
  return shown ? make("span", { class: "leaf picture" }, shown) : null;
}

// One car: its number and what that says of the date, then its parts.
function carSection({ number, answers, change, told: { dated, parts } }) {
  const differ = parts.filter((part) => guide.fitting.differs(part.verdict)).length;
  const looked = parts.filter((part) => part.given && part.verdict !== "cannot-tell").length;
  return make("section", { class: "car-fits" },
    make("h2", { tabindex: "-1" }, number),
    make("p", { class: "dated" }, dated.sentences.join(" ")),
    make("p", { class: "small" }, say("pages.fits.basis")),
    make("p", { class: "small", "data-looked": true }, say(looked ? "pages.fits.looked" : "pages.fits.none_looked",
      { looked, looked_count: say.count(looked), differ, differ_count: say.count(differ) })),
    make("p", { class: "small" }, say("pages.fits.question")),
    make("p", { class: "small on-screen" }, say("pages.fits.framed", { car: number })),
    make("div", { class: "fit-list" }, model.marks.filter((mark) => mark.kind === "split").map((mark) => kindRow(mark, number, answers, change)),
      parts.map((part) => partRow(part, number, change))),
    guide.fields.label(say, number), foot(),
    make("button", { class: "button on-screen", type: "button", "data-send": true, onclick: (event) => send(event.target.nextElementSibling, number, answers, dated, parts) },
      say("pages.key.send")), make("div", { class: "panel on-screen" }),
    make("p", { class: "on-screen" }, make("a", { class: "press", "data-letter": true,
      href: guide.key.links.car + guide.path.hashOf(Object.assign(guide.path.empty(), { car: number, answers })) }, say("pages.key.letter"))));
}

// Expected and found as text: the date, what was seen of each part, and how it compares.
function send(panel, number, answers, dated, parts) {
  document.querySelectorAll(".car-fits .panel").forEach((other) => put(other));
  const kinds = guide.fitting.kinds(model, answers).filter((given) => !parts.some((part) => part.mark.id === given.mark));
  guide.sending.panel(panel, say, guide.key, { car: number, state: Object.assign(guide.path.empty(), { car: number, answers }),
    sentences: [dated.sentences[0], say("pages.fits.basis"), say("pages.fits.question")],
    seen: kinds.map((given) => guide.answers.inWords(say, model.marks.find((mark) => mark.id === given.mark), given))
      .concat(parts.filter((part) => part.given).map((part) => guide.fitting.sent(say, part))) });
}

// What tells which car of this number it is: the side of the wheel, the market. Nothing of it is right or wrong.
function kindRow(mark, number, answers, change) {
  const id = "found-" + number + "-" + mark.id;
  const given = answers.find((one) => one.mark === mark.id);
  const choices = [["", say("pages.notes.not_looked")]].concat(mark.forms.map((form) => [form.id, form.answer]));
  return make("div", { class: "fit kind" + (given ? "" : " open") }, make("label", { for: id }, make("b", {}, mark.name)),
    make("p", { class: "small" }, say("pages.fits.kind")),
    select(id, choices, given ? guide.answers.valueOf(given) : "", (value) => change(mark, value, id)), make("p", { class: "verdict" }));
}

// Every form of a part, drawn, is the button for "this is what it has"; those that it should have say so, and they alone
// go on paper with what was found. Pressed again, nothing was looked at.
function partRow(part, number, change) {
  const mark = part.mark;
  const id = "found-" + number + "-" + mark.id;
  const given = part.given;
  const should = new Map(part.forms.map((form) => [form.id, form]));
  const found = given ? given.forms : [];
  const value = given ? guide.answers.valueOf(given) : "";
  const press = (one, inside, more) => make("button", Object.assign({ type: "button", id: id + "-" + one, "aria-pressed": String(value === one || found.includes(one)),
    onclick: () => change(mark, value === one ? "" : one, id + "-" + one) }, more), inside);
  const plates = mark.forms.map((form) => {
    const right = should.get(form.id);
    return press(form.id, [picture(mark, form.id), make("span", { class: "cap" }, form.answer,
      right && right.only ? make("span", { class: "of-some" }, " ", say("pages.fits.only", { cars: right.only })) : null,
      right ? make("span", { class: "unseen" }, " ", say(part.sure ? "pages.fits.should" : "pages.fits.probably")) : null)],
    { class: "plate" + (right ? " expected" : found.includes(form.id) ? "" : " on-screen") });
  });
  const words = guide.answers.choices(say, mark, given).filter(([one]) => !mark.forms.some((form) => form.id === one));
  const link = guide.elements.pageOf(guide.key.links, mark.id, []);
  return make("div", { class: "fit" + (part.forms.length === 1 && (!found.length || found.every((one) => should.has(one))) ? " one" : "")
      + (guide.fitting.differs(part.verdict) ? " differs" : "") + (given ? "" : " open"), role: "group", "aria-labelledby": id },
  make("p", { class: "fit-head" }, make("b", { id }, mark.name), part.only ? [" ", make("span", { class: "small" }, say("pages.fits.only", { cars: part.only }))] : null,
    part.sure ? null : [" ", make("span", { class: "small" }, say("pages.fits.probably"))]),
  make("div", { class: "plates-row" }, plates),
  make("p", { class: "verdict" }, given ? guide.fitting.said(say, part) : ""),
  make("div", { class: "under-plates on-screen" },
    make("details", { class: "opens", open: Boolean(given) && words.some(([one]) => one === value) }, make("summary", {}, make("span", {}, say("pages.fits.else"))),
      make("div", { class: "word-row" }, words.map(([one, says]) => press(one, says, { class: "button low" })))),
    link ? make("a", { class: "press", href: link + (link.includes("#") || mark.kind === "interior" ? "" : "#changes"), "aria-label": say("pages.fits.why_of", { part: mark.name }) }, say("pages.fits.why")) : null));
}

// ---- several cars on one sheet: parts down, cars across ----

// The forms of a part in a cell, by their numbers in the row's head; what was found where it is something else.
function cell(part) {
  if (!part) { return make("td", {}, "\u2013"); }
  const at = (ids) => part.mark.forms.map((form, n) => (ids.includes(form.id) ? String(n + 1) : "")).filter(Boolean).join(", ");
  const differs = guide.fitting.differs(part.verdict);
  return make("td", { class: differs ? "differs" : null }, at(part.forms.map((form) => form.id)),
    differs ? make("span", { class: "found-is" }, say("pages.fits.class.found", { found: part.given.forms.length ? at(part.given.forms) : guide.fitting.said(say, part) })) : null);
}

// A part's row: null where all cars should have the same and nothing else was found.
function classRow(mark, parts) {
  const key = (part) => (part ? part.forms.map((form) => form.id).join("+") : "");
  if (parts.every((part) => key(part) === key(parts[0]) && !(part && guide.fitting.differs(part.verdict)))) { return null; }
  const meant = mark.forms.filter((form) => parts.some((part) => part && (part.forms.some((one) => one.id === form.id) || (part.given && part.given.forms.includes(form.id)))));
  return make("tr", {}, make("th", { scope: "row" }, make("b", {}, mark.name), meant.map((form) => make("span", { class: "form" },
    make("i", {}, String(mark.forms.indexOf(form) + 1)), " ", mark.kind === "interior" ? form.name : say.lowerFirst(form.name)))), parts.map(cell));
}

function classTable(cars) {
  const named = cars.map((car) => new Map(car.told.parts.map((part) => [part.mark.id, part])));
  const marks = model.marks.filter((mark) => named.some((one) => one.has(mark.id)));
  const rows = marks.map((mark) => [mark, classRow(mark, named.map((one) => one.get(mark.id) || null))]);
  const alike = rows.filter(([, row]) => !row).map(([mark]) => named[0].get(mark.id));
  return make("table", { class: "class-sheet" },
    make("thead", {}, make("tr", {}, make("th", { scope: "col" }, say("pages.fits.class.part")), cars.map((car) => make("th", { scope: "col" }, car.number)))),
    make("tfoot", {}, make("tr", {}, make("td", { colspan: String(cars.length + 1) }, make("div", { class: "in-sight" }, say("pages.fits.class.how"), " ", foot())))),
    make("tbody", {}, rows.map(([, row]) => row),
    alike.length ? make("tr", {}, make("th", { scope: "row" }, make("b", {}, say("pages.fits.class.alike"))),
      make("td", { class: "alike", colspan: String(cars.length) }, make("div", { class: "in-sight" }, alike.map((part) => say("pages.fits.class.one", { part: part.mark.name, forms: say.lowerFirst(part.says) })).join(" ")))) : null));
}

// When each car was built, in the words that every page has for its number, and beneath it what each should have.
function classSheet(cars) {
  return make("div", { class: "class-of" }, make("h2", { tabindex: "-1" }, say("pages.fits.class.title", { car: guide.key.car })),
    make("dl", { class: "spans" }, cars.map(({ number, told: { dated } }) => make("div", {}, make("dt", {}, number), " ",
      make("dd", {}, dated.sentences[0])))),
    make("div", { class: "wide-table", tabindex: "0", role: "region", "aria-label": say("pages.fits.class.title", { car: guide.key.car }) }, classTable(cars)));
}

function onOneSheet(cars, back) {
  const sheets = [];
  for (let at = 0; at < cars.length; at += CARS_TO_A_SHEET) { sheets.push(classSheet(cars.slice(at, at + CARS_TO_A_SHEET))); }
  return make("section", {}, make("p", { class: "on-screen sheet-ways" },
    make("button", { class: "button low", type: "button", onclick: () => window.print() }, say("pages.sheet.print")),
    make("a", { class: "press", href: back }, say("pages.fits.class.each"))),
  sheets);
}

// Numbers as typed, apart by commas, semicolons or line ends.
function numbersIn(text) { return text.split(/[,;\n\r\t]+/).map((one) => one.trim()).filter(Boolean); }

// Says what the part comes to, and the car: all of it was drawn anew, so a region that stays has to tell.
function hear(pressed) {
  root.querySelector("[data-heard]").textContent = [
    pressed.closest(".fit").querySelector(".verdict"), pressed.closest(".car-fits").querySelector("[data-looked]"),
  ].map((one) => one.textContent).filter(Boolean).join(" ");
}

// A list that is pasted is seen whole before it is asked.
function fitRows() {
  const field = form.elements.car;
  field.rows = Math.min(8, Math.max(1, field.value.replace(/\n+$/, "").split("\n").length));
}

function show(moved) {
  const state = guide.path.readHash(window.location.hash, vocabulary);
  const typed = numbersIn(state.car || "");
  const read = typed.map((text) => [text, guide.numbers.read(text, model.numbers)]);
  form.elements.car.value = typed.join("\n");
  fitRows();
  const lost = state.lost.map((raw) => guide.path.lostInWords(say, raw));
  put(reply, read.map((one) => guide.numbers.failure(say, one[1], one[0])).filter(Boolean).concat(lost).map((says) => make("span", { class: "each" }, says)));
  const good = Array.from(new Set(read.filter((one) => !one[1].failure).map((one) => one[1].written)));
  const single = good.length === 1;
  const found = (window.history.state && window.history.state.found) || {};
  const told = good.map((number) => {
    const answers = single ? state.answers : found[number] || [];
    const change = (mark, value, id) => {
      const rest = answers.filter((given) => given.mark !== mark.id);
      changed(single, number, found, value === "" ? rest : rest.concat([guide.answers.read(mark, value)]));
      const same = document.getElementById(id);
      if (same) { same.focus(); hear(same); }
    };
    return { number, answers, change, told: guide.fitting.outcome(prepared, model, number, answers) };
  });
  const sheet = good.length > 1 && state.at === ON_ONE_SHEET;
  const at = (place) => guide.path.hashOf(guide.path.moved(state, { at: place }));
  if (sheet) { document.head.append(landscape); } else { landscape.remove(); }
  root.classList.toggle("classed", sheet);
  put(cars, sheet ? onOneSheet(told, at(null)) : [good.length > 1 ? make("p", { class: "on-screen" },
    make("a", { class: "button low", href: at(ON_ONE_SHEET), "data-class": true }, say("pages.fits.class.go"))) : null, told.map(carSection)]);
  if (moved && good.length) {
    const heading = cars.querySelector("h2");
    heading.focus();
    heading.scrollIntoView({ block: "start" });
  }
}

// What was found on one car stands in the address, on one of several beside it.
function changed(single, number, found, answers) {
  if (single) {
    window.history.replaceState(null, "", guide.path.hashOf(Object.assign(guide.path.empty(), { car: number, answers })));
  } else {
    window.history.replaceState({ found: Object.assign({}, found, { [number]: answers }) }, "", window.location.hash);
  }
  show(false);
}

// Follows a link within the page, and keeps what was found on the cars.
cars.addEventListener("click", (event) => {
  const link = event.target.closest("a[href^='#']");
  if (!link) { return; }
  event.preventDefault();
  window.history.pushState(window.history.state, "", link.getAttribute("href"));
  show(true);
});

form.elements.car.addEventListener("input", fitRows);
form.addEventListener("submit", (event) => {
  event.preventDefault();
  const state = Object.assign(guide.path.empty(), { car: numbersIn(form.elements.car.value).join(",") || null });
  window.history.pushState(null, "", guide.path.hashOf(state));
  show(true);
});
window.addEventListener("popstate", () => show(false));
root.hidden = false;
show(false);
