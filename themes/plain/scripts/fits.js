// Does it fit its number? Numbers in; for each, every part with what it should have. Only what was found needs
// touching; the rest stays "not looked at". One car's findings stand in the address, those of several beside it, in the
// browser's own history, so that a reload or the way back brings them as well.
// needs: elements, path, fitting, sending, data/model, data/key, data/words

const { make, put, select, drawing, pageOf } = guide.elements;
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

function picture(mark, id) {
  const shown = drawing(mark.id, id);
  return shown ? make("span", { class: "leaf picture" }, shown) : null;
}

// One car: its number and what that says of the date, then its parts.
function carSection(number, answers, change) {
  const { dated, parts } = guide.fitting.outcome(prepared, model, number, answers);
  const differ = parts.filter((part) => guide.fitting.differs(part.verdict)).length;
  const looked = parts.filter((part) => part.given && part.verdict !== "cannot-tell").length;
  return make("section", { class: "car-fits" },
    make("h2", { tabindex: "-1" }, number),
    make("p", { class: "dated" }, dated.sentences.join(" ")),
    make("p", { class: "small" }, say("pages.fits.basis")),
    make("p", { class: "small", "data-looked": true }, say(looked ? "pages.fits.looked" : "pages.fits.none_looked",
      { looked, looked_count: say.count(looked), differ, differ_count: say.count(differ) })),
    make("p", { class: "small" }, say("pages.fits.question")),
    make("div", { class: "fit-list" }, model.marks.filter((mark) => mark.kind === "split").map((mark) => kindRow(mark, number, answers, change)),
      parts.map((part) => partRow(part, number, change))),
    make("button", { class: "button on-screen", type: "button", "data-send": true, onclick: (event) => send(event.target.nextElementSibling, number, answers, dated, parts) },
      say("pages.key.send")), make("div", { class: "panel on-screen" }),
    make("p", { class: "on-screen" }, make("a", { class: "press", "data-letter": true,
      href: guide.key.links.car + guide.path.hashOf(Object.assign(guide.path.empty(), { car: number, answers })) }, say("pages.key.letter"))));
}

// Expected and found as text: the date, what was seen of each part, and how it compares.
function send(panel, number, answers, dated, parts) {
  document.querySelectorAll(".car-fits .panel").forEach((other) => put(other));
  const verdictOf = (part) => say("pages.fits.verdict." + part.verdict,
    part.verdict === "only" ? { cars: part.forms.find((form) => part.given.forms.includes(form.id)).only } : {});
  const kinds = guide.fitting.kinds(model, answers).filter((given) => !parts.some((part) => part.mark.id === given.mark));
  guide.sending.panel(panel, say, guide.key, { car: number, state: Object.assign(guide.path.empty(), { car: number, answers }),
    sentences: [dated.sentences[0], say("pages.fits.basis"), say("pages.fits.question")],
    seen: kinds.map((given) => guide.answers.inWords(say, model.marks.find((mark) => mark.id === given.mark), given))
      .concat(parts.filter((part) => part.given).map((part) => say("pages.fits.sent",
        { found: guide.answers.inWords(say, part.mark, part.given), verdict: verdictOf(part) }))) });
}

// What tells which car of this number it is: the side of the wheel, the market. Nothing of it is right or wrong.
function kindRow(mark, number, answers, change) {
  const id = "found-" + number + "-" + mark.id;
  const given = answers.find((one) => one.mark === mark.id);
  const choices = [["", say("pages.notes.not_looked")]].concat(mark.forms.map((form) => [form.id, form.answer]));
  return make("div", { class: "fit either" + (given ? "" : " open") }, make("div", {}, make("label", { for: id }, make("b", {}, mark.name)),
    make("p", {}, say("pages.fits.kind")),
    select(id, choices, given ? guide.answers.valueOf(given) : "", (value) => change(mark, value, id)), make("p", { class: "verdict" })));
}

// A form in words, which lead to its own page where it has one.
function named(mark, form) {
  const own = (guide.key.links.forms[mark.id] || {})[form.id];
  const says = guide.answers.forms(say, mark, [form.id]);
  return own ? make("a", { href: own }, says) : says;
}

function partRow(part, number, change) {
  const mark = part.mark;
  const id = "found-" + number + "-" + mark.id;
  const choices = [["", say("pages.notes.not_looked")]].concat(guide.answers.choices(say, mark, part.given));
  const differs = guide.fitting.differs(part.verdict);
  // Where several forms are right, each stands beside its own words; one alone stands beside the whole row.
  const several = part.forms.length > 1;
  const found = differs ? part.given.forms : [];
  const page = pageOf(guide.key.links, mark.id, part.given ? part.given.forms : part.forms.map((form) => form.id));
  const own = part.given ? part.forms.filter((form) => part.given.forms.includes(form.id)) : [];
  return make("div", { class: "fit" + (several ? " either" : "") + (differs ? " differs" : "") + (part.given ? "" : " open") },
    several ? null : make("div", { class: "both" }, part.forms.map((form) => form.id).concat(found).map((one) => picture(mark, one))),
    make("div", {}, make("label", { for: id }, make("b", {}, mark.name), part.only ? [" ", make("span", { class: "small" }, say("pages.fits.only", { cars: part.only }))] : null),
      make("p", {}, say(part.sure ? "pages.fits.should" : "pages.fits.probably")),
      make("ul", { class: "plain-list" }, part.forms.map((form) => make("li", {},
        several ? picture(mark, form.id) : null, make("span", {}, named(mark, form),
          form.only ? make("span", { class: "of-some" }, say("pages.fits.only", { cars: form.only })) : null)))),
      select(id, choices, part.given ? guide.answers.valueOf(part.given) : "", (value) => change(mark, value, id)),
      several && found.length ? make("div", { class: "both" }, found.map((one) => picture(mark, one))) : null,
      make("p", { class: "verdict" }, part.given ? say("pages.fits.verdict." + part.verdict, part.verdict === "only" ? { cars: own[0].only } : {}) : ""),
      page
        ? make("a", { class: "press on-screen", href: page, "aria-label": say("pages.fits.why_of", { part: mark.name }) },
          say("pages.fits.why")) : null));
}

// Numbers as typed, apart by commas, semicolons or line ends.
function numbersIn(text) { return text.split(/[,;\n\r\t]+/).map((one) => one.trim()).filter(Boolean); }

// Says what the part comes to, and the car: all of it was drawn anew, so a region that stays has to tell.
function hear(select) {
  root.querySelector("[data-heard]").textContent = [
    select.parentElement.querySelector(".verdict"), select.closest(".car-fits").querySelector("[data-looked]"),
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
  reply.textContent = read.map((one) => guide.numbers.failure(say, one[1], one[0])).filter(Boolean).join(" ");
  const good = Array.from(new Set(read.filter((one) => !one[1].failure).map((one) => one[1].written)));
  const single = good.length === 1;
  const found = (window.history.state && window.history.state.found) || {};
  const answersOn = (number) => (single ? state.answers : found[number] || []);
  put(cars, good.map((number) => carSection(number, answersOn(number), (mark, value, id) => {
    const rest = answersOn(number).filter((given) => given.mark !== mark.id);
    const answers = value === "" ? rest : rest.concat([guide.answers.read(mark, value)]);
    if (single) {
      window.history.replaceState(null, "", guide.path.hashOf(Object.assign(guide.path.empty(), { car: number, answers })));
    } else {
      window.history.replaceState({ found: Object.assign({}, found, { [number]: answers }) }, "", window.location.hash);
    }
    show(false);
    const same = document.getElementById(id);
    if (same) { same.focus(); hear(same); }
  })));
  if (moved && good.length) {
    const heading = cars.querySelector("h2");
    heading.focus();
    heading.scrollIntoView({ block: "start" });
  }
}

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
