// The result: the span and how sure it is, what casts doubt on it, the next step as something to press, and behind
// "Why?" what it rests on; then what stands apart, what the car showed, and what to do with it.

const LONG = 60;                        // letters of a time; two times in one are set smaller
const ROOMY = { height: 800, width: 700 };   // pixels: a screen with room for what else would stand in the next step's way
const FEW_LOOKS = 5;                         // that a phone has room for as well

screens.result = function (app, section) {
  const state = app.state;
  const result = app.concluded.result;
  const looking = state.answers.length && state.at === "result" && (state.on ? app.further : app.concluded).next;
  const reasons = app.reasons(state);
  setBack(app, ...(looking ? [say("pages.key.looks"), guide.path.moved(state, {})] : backByOne(app)));
  const [before, span, after] = app.explained.head || ["", app.explained.sentences[0], ""];
  const rest = after.replace(/^[,.;\s]+/, "");
  const [gravest, ...further] = app.explained.doubts;          // one of them leaves the next step in sight on a small phone
  put(section, make("div", {},
    paragraphs("lead", [before.trim()]),
    make("h1", { class: "span" + (span.length > LONG ? " long" : ""), tabindex: "-1" }, app.explained.head ? kept(span) : span),
    paragraphs("lead after", [rest]),
    app.line(result.spans),
    make("p", { class: "legend" }, app.explained.bar || say("pages.key.legend")),
    lookByLook(app, result.spans),
    arrived(app),
    paragraphs("said", [gravest].filter(Boolean)),
    onward(app, reasons),
    paragraphs("said", further),
    why(app, reasons),
    steps(app),
    toPaper(app)), make("div", {},
    apart(app),
    fits(app),
    showed(app, reasons),
    make("p", { class: "small caution" }, say("pages.shell.caution")),
    guide.fields.label(say, app.numberOf(state).car || "")));
  document.title = app.explained.sentences[0];
};

// One thin bar for the number and for each look, on the axis of the result: when cars were so, by the works. Folded where
// it would push the next step off the screen.
function lookByLook(app, spans) {
  const apart = new Map(app.concluded.apart.map((one) => [one.mark, one.looks]));
  const own = app.numberOf(app.state).own;
  const number = own && guide.dating.tell(app.prepared, { answers: [], car: own, reach: [], known: {} });
  const rows = (number ? [{ words: own, span: number, says: number.nine }] : []).concat(app.state.answers.filter((one) => apart.get(one.mark))
    .map((one) => ({ words: app.answerWords(one), span: apart.get(one.mark) })));
  if (!rows.length) { return null; }
  const nine = spans.filter((span) => span.level === spans[0].level);
  const { first, last } = guide.key;
  return make("details", { class: "opens look-lines", "data-open-on-paper": true, open: window.innerHeight >= ROOMY.height && (rows.length <= FEW_LOOKS || window.innerWidth >= ROOMY.width) },
    make("summary", {}, make("span", {}, say("pages.key.look_by_look"))),
    make("ul", { class: "plain-list" }, rows.map((row) => make("li", {}, make("span", {}, say("pages.key.look_line",
      { look: row.words, span: row.says || say.range(row.span.from, row.span.to) })), guide.lookLine(first, last, row.span, nine)))));
}

// ---- what to look at next, and why ----

// The best next look, what would settle a doubt, and the best look from nearer: each a button, or a sentence that
// there is none.
function onward(app, reasons) {
  const { next, beyond } = app.explained;
  const { settle } = reasons;
  const ask = (mark, changes) => guide.path.moved(app.state, Object.assign({ look: mark, on: true }, changes));
  const nearer = beyond && beyond.reach === "photographs" ? [beyond.reach]
    : beyond && app.state.reach.filter((reach) => reach !== "photographs").concat(beyond.reach);
  const step = (name, state, label, after) => [
    app.link(state, { class: "button" + (name === "more" && !app.concluded.stopped ? " first" : ""), ["data-" + name]: true }, label),
    paragraphs("small", [after])];
  if (!next && !beyond && !settle) { return paragraphs("small", [say("pages.key.nothing_more")]); }
  const part = (mark) => app.markOf(mark).name;
  return make("div", { class: "onward on-screen" },
    next ? step("more", ask(next.mark), say("pages.key.next_look", { part: part(next.mark) }), next.after) : null,
    settle ? [paragraphs("small", [settle.says]), step("settle", ask(settle.mark), say("pages.key.next_look", { part: part(settle.mark) }))] : null,
    beyond && (!settle || beyond.mark !== settle.mark)
      ? step("beyond", ask(beyond.mark, { reach: nearer }), say("pages.key.next_beyond", { part: part(beyond.mark), how: say("pages.reach.how." + beyond.reach) }), beyond.after)
      : null);
}

// The looks that decide, each a link to its part's page, or that nothing was looked at; and the rest of what there is to
// say of the date.
function why(app, reasons) {
  const page = (mark) => pageOf(guide.key.links, mark, (app.state.answers.find((one) => one.mark === mark) || { forms: [] }).forms);
  const { bar, doubts } = app.explained;
  const roomy = window.innerHeight >= ROOMY.height && window.innerWidth >= ROOMY.width;
  return make("details", { class: "opens why", "data-open-on-paper": true, open: roomy }, make("summary", {}, make("span", {}, say("pages.key.why"))),
    reasons.basis ? make("p", {}, reasons.basis) : null,
    make("ul", { class: "ruled" }, reasons.why.map((one) => make("li", {}, page(one.mark) ? make("a", { href: page(one.mark) }, one.says) : one.says))),
    paragraphs("sure", app.explained.sentences.slice(1).filter((one) => one !== bar && !doubts.includes(one))));
}

window.addEventListener("beforeprint", () => {
  document.querySelectorAll("[data-open-on-paper]").forEach((details) => { details.open = true; });
});

// A year stays on the line of its month.
function kept(span) { return span.replace(/ (?=\d{4}\b)/g, "\u00a0"); }

// What a pasted line, an old edition or a number has to say for itself.
function arrived(app) {
  const state = app.state;
  const said = [], held = [];
  if (state.edition && state.edition !== app.model.edition) {
    said.push(say("pages.key.other_edition", { edition: state.edition, says: app.explained.sentences[0] }));
    const changed = guide.key.links.editions;
    if (changed) { held.push(make("p", { class: "small" }, make("a", { href: changed + "?edition=" + encodeURIComponent(state.edition) }, say("pages.key.what_changed")))); }
  }
  const bad = app.numberOf(state).bad;
  if (bad) { said.push(guide.numbers.failure(say, bad.found, bad.typed)); }
  return paragraphs("said", said).concat(held, lost(app));
}

const lost = (app) => app.state.lost.map((raw) => {
  const [name] = raw.split("=");
  const mark = app.markOf(app.vocabulary.formerly.marks[name] || name);
  return make("p", { class: "said" }, guide.path.lostInWords(say, raw, mark && mark.name), " ",
    mark ? app.link(guide.path.moved(app.state, { look: mark.id }), {}, say("pages.key.look_again")) : null);
});

// ---- what to do with it ----

function steps(app) {
  const panel = make("div", { class: "panel", "data-panel": true });
  // there from the start, so that what it comes to say is announced
  const told = make("p", { class: "on-screen", role: "status", "data-kept": true });
  let kept = null;
  const show = () => {
    kept = kept || keep(app, told);                          // pressed again, it shows the same note again
    put(panel, kept);
    told.scrollIntoView({ block: "nearest" });
  };
  const first = app.concluded.stopped || !app.explained.next ? " first" : "";
  return [make("div", { class: "stack" },
    make("div", { class: "pair" },
      make("button", { class: "button" + first, type: "button", "data-keep": true, onclick: () => {
        const misfit = kept ? null : app.misfit(app.state);
        if (misfit) { question(app, panel, misfit, show); } else { show(); }
      } }, say("pages.key.keep")),
      make("button", { class: "button", type: "button", "data-send": true, onclick: () => send(app, panel) }, say("pages.key.send")))), told, panel];
}

// A number that does not fit what was seen is questioned before a note is kept of it.
function question(app, panel, misfit, goOn) {
  put(panel, make("p", { role: "alert" }, misfit), make("p", { class: "small" }, say("pages.key.apart_number")),
    make("div", { class: "pair" },
      app.link(guide.path.moved(app.state, { at: "begin" }), { class: "button", "data-number": true }, say("pages.key.change_number")),
      make("button", { class: "button", type: "button", "data-keep-anyway": true, onclick: goOn }, say("pages.key.keep_anyway"))));
  panel.scrollIntoView({ block: "nearest" });
}

// One press keeps the car; a number or a remark may follow, and each is kept as it is typed. Returns the fields.
function keep(app, told) {
  const store = app.notes();
  const { state } = app;
  const id = store.add({ car: app.numberOf(state).car || state.car || "", answers: state.answers.map((one) => guide.answers.noted(say, app.markOf(one.mark), one)),
    reach: state.reach, known: state.known, edition: app.model.edition, words: app.explained.sentences[0], remarks: "" });
  const stored = store.notes().find((one) => one.id === id);
  const tell = () => { told.textContent = guide.keeping.told(say, store); };
  const change = (name, value) => { stored[name] = value; store.put(id, stored); tell(); };
  told.classList.add("said");
  tell();
  return [
    guide.fields.number("note-car", stored.car, say, (value) => change("car", value), (car) => app.misfit(Object.assign({}, state, { car }))),
    guide.fields.remarks("note-remarks", stored.remarks, say, (value) => change("remarks", value)),
    make("p", { class: "small" }, say("pages.notes.nothing_sent")),
    make("div", { class: "pair" },
      app.link(guide.path.moved(guide.path.empty(), { reach: app.state.reach, at: "begin" }), { class: "button", "data-next-car": true }, say("pages.notes.next_car")),
      store.state() === "kept" && guide.key.links.notes ? make("a", { class: "button", href: guide.key.links.notes }, say("pages.notes.title"))
        : make("button", { class: "button", type: "button", onclick: () => guide.keeping.handIn(guide.key.links.notes ? [stored] : store.notes(), app.model.marks) }, say("pages.notes.csv")))];
}

function send(app, panel) {
  const { sentences, doubts } = app.explained;
  const car = app.numberOf(app.state).car || app.state.car;
  guide.sending.panel(panel, say, guide.key, { car, state: app.state, seen: app.state.answers.map((one) => app.answerWords(one)),
    sentences: [sentences[0], app.reasons(app.state).basis || guide.sending.basis(say, app.numberOf(app.state).car, app.state.answers.length), ...doubts] });
}

// A letter about this car, and a buyer's sheet for one such as it, made from the same answers.
function toPaper(app) {
  const { answers, car, known } = app.state;
  const hash = guide.path.hashOf(Object.assign(guide.path.empty(), { answers, car, known }));
  return [["car", "letter"], ["sheets", "sheet"]].filter(([page]) => guide.key.links[page]).map(([page, name]) => (
    make("p", { class: "on-screen" }, make("a", { class: "press", ["data-" + name]: true, href: guide.key.links[page] + hash }, say("pages.key." + name)))));
}

// ---- what stands apart, what the car showed ----

function pictureOf(given) {
  const picture = given.forms.length ? drawing(given.mark, given.forms[0]) : null;
  const sample = given.forms.length === 1 ? swatchOf({ id: given.mark }, given.forms[0]) : null;
  return picture && !sample ? make("span", { class: "leaf picture" }, picture) : make("span", { class: "picture" }, sample);
}

function given(app, mark) { return app.state.answers.find((one) => one.mark === mark); }

function apart(app) {
  const groups = app.explained.apart_groups;
  if (!groups.length) { return null; }
  return [make("h2", { class: "part" }, say(groups.length === 1 ? "pages.key.apart_one" : "pages.key.apart_some")),
    groups.map((group) => make("div", { class: "apart" }, pictureOf(given(app, group.marks[0])), make("p", {}, group.says),
      group.marks.length === 1 ? change(app, group.marks[0]) : null))];
}

const change = (app, mark) => app.link(guide.path.moved(app.state, { look: mark }), { class: "press",
  "aria-label": say("pages.key.change_what", { part: app.markOf(mark).name }) }, say("pages.key.change"));

// Whether it can be said that everything fits together: of two things seen at least, and never against a doubt.
function fitsTogether(app, settle) {
  const seen = app.state.answers.filter((one) => one.forms.length);
  const things = seen.length + (app.numberOf(app.state).car ? 1 : 0);
  return seen.length > 0 && things > 1 && !app.explained.apart_groups.length && !app.explained.doubts.length && !settle;
}

function showed(app, { settle }) {
  const says = new Map(app.explained.answers.map((one) => [one.mark, one.says]).concat(settle ? [[settle.of, settle.verdict]] : []));
  const told = app.explained.apart_groups.filter((group) => group.marks.length === 1).map((group) => group.marks[0]);
  const rest = app.state.answers.filter((one) => !told.includes(one.mark));
  if (!rest.length) { return null; }
  return [make("h2", { class: "part" }, say(told.length ? "pages.key.showed_rest" : "pages.key.showed")),
    fitsTogether(app, settle) ? make("p", {}, say("pages.key.apart_none")) : null,
    make("ul", { class: "told" }, rest.map((one) => make("li", {}, pictureOf(one),
      make("div", {}, make("b", {}, one.forms.length === 1 ? guide.answers.forms(say, app.markOf(one.mark), one.forms) : app.answerWords(one)),
        make("span", {}, says.get(one.mark) || "")),
      change(app, one.mark))))];
}

// With a number known the looks are a check: every part, expected and found, stands on a page of its own.
function fits(app) {
  const car = app.numberOf(app.state).own;
  if (!car || !guide.key.links.fits) { return null; }
  const state = Object.assign(guide.path.empty(), { car: car, answers: app.state.answers.filter((one) => app.markOf(one.mark).kind !== "body") });
  return [make("h2", { class: "part on-screen" }, say("pages.key.fits")), make("p", { class: "on-screen" }, say("pages.key.fits_hint", { car: car })),
    make("p", { class: "on-screen" }, make("a", { class: "button low", href: guide.key.links.fits + guide.path.hashOf(state) }, say("pages.fits.title")))];
}
