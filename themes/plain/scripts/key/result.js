// The result: the span and how sure it is, what stands apart, what the car showed, and what to do with it.

screens.result = function (app, section) {
  const state = app.state;
  const result = app.concluded.result;
  const looking = state.answers.length && state.at === "result" && (state.on ? app.further : app.concluded).next;
  setBack(app, ...(looking ? [say("pages.key.looks"), guide.path.moved(state, {})] : backByOne(app)));
  const [before, span, after] = app.explained.head || ["", app.explained.sentences[0], ""];
  const rest = after.replace(/^[,.;\s]+/, "");
  put(section,
    paragraphs("lead", [before.trim()]),
    make("h1", { class: "span", tabindex: "-1" }, app.explained.head ? kept(span) : span),
    paragraphs("lead after", [rest]),
    app.line(result.spans),
    make("p", { class: "legend" }, say("pages.key.legend")),
    arrived(app),
    paragraphs("sure", app.explained.sentences.slice(1)),
    steps(app),
    paragraphs("small", [app.explained.next || say("pages.key.nothing_more"), app.explained.beyond]),
    apart(app),
    fits(app),
    showed(app),
    make("p", { class: "small caution" }, say("pages.shell.caution")));
  document.title = app.explained.sentences[0];
};

// A year stays on the line of its month.
function kept(span) { return span.replace(/ (?=\d{4}\b)/g, "\u00a0"); }

// What a pasted line, an old edition or a number has to say for itself.
function arrived(app) {
  const state = app.state;
  const said = [];
  if (state.edition && state.edition !== app.model.edition) {
    const span = app.concluded.result.spans[0];
    said.push(say("pages.key.other_edition", { edition: state.edition, span: say.range(span.from, span.to) }));
  }
  const failure = app.numberOf(state).failure;
  if (failure) { said.push(say("pages.number." + failure, { number: state.car })); }
  return paragraphs("said", said).concat(lost(app));
}

const lost = (app) => app.state.lost.map((raw) => {
  const name = raw.split("=")[0];
  const mark = app.markOf(app.vocabulary.formerly.marks[name] || name);
  return make("p", { class: "said" }, say("pages.key.lost", { answer: mark ? mark.name : raw }), " ",
    mark ? app.link(guide.path.moved(app.state, { look: mark.id }), {}, say("pages.key.look_again")) : null);
});

// ---- what to do with it ----

function steps(app) {
  const panel = make("div", { class: "panel", "data-panel": true });
  // there from the start, so that what it comes to say is announced
  const told = make("p", { class: "on-screen", role: "status", "data-kept": true });
  let kept = null;
  const more = app.further.next ? app.link(guide.path.moved(app.state, { on: true }), { class: "button", "data-more": true }, say("pages.key.more")) : null;
  return [make("div", { class: "stack" },
    make("button", { class: "button first", type: "button", "data-keep": true, onclick: () => {
      kept = kept || keep(app, told);                        // pressed again, it shows the same note again
      put(panel, kept);
      told.scrollIntoView({ block: "nearest" });
    } }, say("pages.key.keep")),
    make("div", { class: "pair" }, more,
      make("button", { class: "button", type: "button", "data-send": true, onclick: () => send(app, panel) }, say("pages.key.send")))), told, panel];
}

// One press keeps the car; a number or a remark may follow, and each is kept as it is typed. Returns the fields.
function keep(app, told) {
  const store = app.notes();
  const { state } = app;
  const id = store.add({ car: app.numberOf(state).car || state.car || "", answers: state.answers, reach: state.reach,
    edition: app.model.edition, words: app.explained.sentences[0], remarks: "" });
  const stored = store.notes().find((one) => one.id === id);
  const tell = () => { told.textContent = guide.keeping.told(say, store); };
  const change = (name, value) => { stored[name] = value; store.put(id, stored); tell(); };
  told.classList.add("said");
  tell();
  return [
    guide.fields.number("note-car", stored.car, say, (value) => change("car", value)),
    guide.fields.remarks("note-remarks", stored.remarks, say, (value) => change("remarks", value)),
    make("p", { class: "small" }, say("pages.notes.nothing_sent")),
    make("div", { class: "pair" },
      app.link(guide.path.moved(guide.path.empty(), { reach: app.state.reach, at: "begin" }), { class: "button", "data-next-car": true }, say("pages.notes.next_car")),
      store.state() === "kept" && guide.key.links.notes ? make("a", { class: "button", href: guide.key.links.notes }, say("pages.notes.title"))
        : make("button", { class: "button", type: "button", onclick: () => guide.keeping.handIn(guide.key.links.notes ? [stored] : store.notes(), app.model.marks) }, say("pages.notes.csv")))];
}

// Text to send by whatever way the person likes: the sentence, the edition, one line the key takes back.
function send(app, panel) {
  const text = make("textarea", { class: "entry sent", id: "send-text", readonly: true, rows: "8" });
  const number = make("input", { type: "checkbox" });
  const told = make("p", { class: "small", role: "status" });
  const write = () => {
    text.value = [app.explained.sentences[0], say("pages.key.send_edition", { title: guide.key.title, edition: app.model.edition }),
      say("pages.key.send_line"), guide.path.lineOf(app.state, app.model.edition, number.checked)].join("\n");
  };
  const select = () => { text.focus(); text.select(); };
  number.addEventListener("change", write);
  write();
  const copy = () => {
    const done = () => { told.textContent = say("pages.key.copied"); };
    const byHand = () => { select(); told.textContent = say(document.execCommand("copy") ? "pages.key.copied" : "pages.key.copy_by_hand"); };
    if (navigator.clipboard) { navigator.clipboard.writeText(text.value).then(done, byHand); } else { byHand(); }
  };
  put(panel,
    make("label", { for: "send-text" }, say("pages.key.send_label")), text,
    app.state.car ? make("label", { class: "choice" }, number, make("span", {}, say("pages.key.send_number"))) : null,
    make("p", { class: "small" }, say("pages.notes.nothing_sent")),
    make("div", { class: "pair" },
      make("button", { class: "button", type: "button", "data-copy": true, onclick: copy }, say("pages.key.copy")),
      navigator.share ? make("button", { class: "button", type: "button", onclick: () => {
        navigator.share({ text: text.value }).catch(() => {});
      } }, say("pages.key.share")) : null), told);
  select();
  panel.scrollIntoView({ block: "nearest" });
}

// ---- what stands apart, what the car showed ----

function pictureOf(given) {
  const picture = given.forms.length ? drawing(given.mark, given.forms[0]) : null;
  return picture ? make("span", { class: "leaf picture" }, picture) : make("span", { class: "picture" });
}

function given(app, mark) { return app.state.answers.find((one) => one.mark === mark); }

function apart(app) {
  const groups = app.explained.apart_groups;
  const title = groups.length === 0 ? "pages.key.apart_none" : groups.length === 1 ? "pages.key.apart_one" : "pages.key.apart_some";
  if (app.state.answers.every((one) => one.kind === "cannot-tell")) { return null; }   // nothing seen fits nothing together
  return [make("h2", { class: "part" }, say(title)), groups.map((group) => make("div", { class: "apart" },
    pictureOf(given(app, group.marks[0])), make("p", {}, group.says)))];
}

function showed(app) {
  const says = new Map(app.explained.answers.map((one) => [one.mark, one.says]));
  if (!app.state.answers.length) { return null; }
  return [make("h2", { class: "part" }, say("pages.key.showed")),
    make("ul", { class: "told" }, app.state.answers.map((one) => make("li", {}, pictureOf(one),
      make("div", {}, make("b", {}, one.forms.length === 1 ? guide.answers.forms(say, app.markOf(one.mark), one.forms) : app.answerWords(one)),
        make("span", {}, says.get(one.mark) || "")),
      app.link(guide.path.moved(app.state, { look: one.mark }), { class: "press",
        "aria-label": say("pages.key.change_what", { part: app.markOf(one.mark).name }) }, say("pages.key.change")))))];
}

// With a number known the looks are a check: every part, expected and found, stands on a page of its own.
function fits(app) {
  const car = app.numberOf(app.state).car;
  if (!car || !guide.key.links.fits) { return null; }
  const state = Object.assign(guide.path.empty(), { car: car, answers: app.state.answers.filter((one) => app.markOf(one.mark).kind !== "body") });
  return [make("h2", { class: "part" }, say("pages.key.fits")), make("p", {}, say("pages.key.fits_hint", { car: car })),
    make("p", { class: "on-screen" }, make("a", { class: "button low", href: guide.key.links.fits + guide.path.hashOf(state) }, say("pages.fits.title")))];
}
