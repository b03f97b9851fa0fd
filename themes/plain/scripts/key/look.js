// One look: the question, its answers, and what stands below them.

screens.look = function (app, section) {
  const state = app.state;
  const mark = app.markOf(app.asked);
  const at = state.answers.findIndex((given) => given.mark === mark.id);
  const several = state.several;
  setBack(app, ...(state.answers.some((given) => given.mark === state.look)
    ? [say("pages.key.result"), guide.path.moved(state, { at: "result" })] : backByOne(app)));
  put(section,
    soFar(app),
    make("p", { class: "where" }, say("pages.key.look", {
      n: state.answers.slice(0, at < 0 ? undefined : at).filter((given) => isLook(app, given)).length + 1, how: say("pages.reach.how." + howClose(state, mark)) })),
    make("h1", { class: "ask", tabindex: "-1" }, several ? say("pages.key.several", { question: mark.question }) : mark.question),
    mark.look ? make("p", { class: "look" }, mark.look) : null,
    (several ? severalPlates : plates)(app, mark, state.answers[at]),
    under(app, mark));
  document.title = mark.question;
  settleDock(section);
};

// How close one must come for a look; with photographs alone, the photographs are where it is looked for.
function howClose(state, mark) {
  return mark.photographs && state.reach.includes("photographs") && !state.reach.includes(mark.reach) ? "photographs" : mark.reach;
}

// Answers that are told by colour or stuff are words alone, and take the whole width.
function isDrawn(mark) { return mark.forms.some((form) => drawing(mark.id, form.id)); }

function answer(app, mark, value) { app.go(guide.path.answered(app.state, guide.answers.read(mark, value))); }

// The answers side by side; `press` makes what is pressed of one, round its drawing and its words.
function answersOf(mark, rows, press) {
  return make("ul", { class: "plates leaf" + (!isDrawn(mark) ? " words" : rows ? " rows" : "") + (mark.forms.some((form) => swatchOf(mark, form.id)) ? " sampled" : ""), onkeydown: pressDigit },
    mark.forms.map((form, index) => make("li", {}, press(form, [make("span", { class: "shown" }, drawing(mark.id, form.id)), swatchOf(mark, form.id),
      make("span", { class: "cap" }, make("span", { class: "n", "aria-hidden": "true" }, String(index + 1)), make("span", {}, form.answer))]))));
}

function plates(app, mark, given) {
  return [answersOf(mark, mark.forms.length > 2, (form, inside) => make("button", { class: "answer", type: "button", "data-answer": form.id,
    "aria-current": given && given.forms.includes(form.id) ? "true" : null, onclick: () => answer(app, mark, form.id) }, inside)),
  dock(app, mark, ["body", "split"].includes(mark.kind) ? null : others(app, mark))];
}

// Digits answer only while focus is among the answers, so that they never surprise anybody elsewhere.
function pressDigit(event) {
  if (event.ctrlKey || event.metaKey || event.altKey || !/^[1-9]$/.test(event.key)) { return; }
  const button = event.currentTarget.querySelectorAll("[data-answer]")[Number(event.key) - 1];
  if (button) { event.preventDefault(); button.click(); }
}

function dock(app, mark, beside) {
  return make("div", { class: "dock", "data-dock": true },
    make("button", { class: "button", type: "button", "data-answer": "cannot-tell", onclick: () => answer(app, mark, "cannot-tell") },
      say("pages.key.cannot_tell")), beside);
}

function others(app, mark) {
  const other = (value, pressed, hint) => make("button", { type: "button", "data-answer": value, onclick: pressed },
    say("pages.key." + value), hint ? make("span", {}, say(hint)) : null);
  const details = make("details", { class: "else", onkeydown: (event) => {
    if (event.key === "Escape" && details.open) { details.open = false; details.firstElementChild.focus(); }
  } }, make("summary", { class: "button" }, say("pages.key.else")), make("div", { class: "more" },
    other("both", () => both(app, mark)),
    other("changed", () => answer(app, mark, "changed"), "pages.key.changed_hint"),
    other("none", () => answer(app, mark, "none"))));
  return details;
}

function both(app, mark) {
  if (mark.forms.length === 2) { answer(app, mark, mark.forms.map((form) => form.id).join("+")); }
  else { app.go(guide.path.moved(app.state, { look: mark.id, several: true })); }
}

// "Which of these could it be?": any number of answers, for a mixture and for one not sure of.
function severalPlates(app, mark, given) {
  const reply = make("p", { class: "reply", role: "alert" });
  return make("form", { class: "several", novalidate: true, onsubmit: (event) => {
    event.preventDefault();
    const forms = Array.from(event.target.querySelectorAll("input:checked"), (input) => input.value);
    if (forms.length) { answer(app, mark, forms.join("+")); } else { reply.textContent = say("pages.key.several_none"); }
  } }, answersOf(mark, true, (form, inside) => make("label", { class: "answer" },
    make("input", { type: "checkbox", name: "form", value: form.id, checked: Boolean(given) && given.forms.includes(form.id) }), inside)),
  reply, dock(app, mark, make("button", { class: "button first", type: "submit" }, say("pages.key.several_go"))));
}

// What stands below the answers: why this look, second thoughts, how close.
function under(app, mark) {
  const state = app.state;
  const last = state.answers[state.answers.length - 1];
  const next = app.next;
  const page = pageOf(guide.key.links, mark.id, []);            // in the single file a place in it, which would end the look
  const told = page && !page.startsWith("#") && mark.forms.length > 1
    ? make("a", { class: "press", href: page + "#told" }, say("pages.key.tell_apart")) : null;
  const unsure = last && !state.look && last.forms.length === 1
    ? app.link(guide.path.moved(state, { look: last.mark, several: true }), { class: "press" }, say("pages.key.unsure")) : null;
  return make("div", { class: "under" },
    next && next.mark === mark.id && next.why ? make("p", { class: "small" }, next.why) : null,
    make("p", { class: "presses" }, unsure, told,
      app.link(guide.path.moved(state, { at: "begin" }), { class: "press" }, say("pages.key.closer"))));
}

// The bar stays in sight only while it takes less than a quarter of the screen.
function settleDock(section) {
  for (const bar of section.querySelectorAll("[data-dock]")) {
    bar.classList.toggle("loose", bar.offsetHeight * 4 > window.innerHeight);
  }
}

window.addEventListener("resize", () => settleDock(document));
document.addEventListener("click", (event) => {
  for (const open of document.querySelectorAll("details.else[open]")) {
    if (!open.contains(event.target)) { open.open = false; }
  }
});
