// Today's cars: the list, and one car by itself to correct. Every change is kept as it is made.
// needs: path, keeping, parts
(function (guide) {
  "use strict";

  const { make, put, say, download } = guide.parts;
  const words = guide.key.words;
  const marks = new Map(guide.model.marks.map((mark) => [mark.id, mark]));
  const root = document.querySelector("main");
  const store = guide.keeping.open(guide.key.store, Date.now);
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

  // When it was noted, by the person's own clock, and how much was looked at.
  function looksOf(note) {
    const n = note.answers.length;
    const at = new Date(note.made);
    const two = (value) => String(value).padStart(2, "0");
    return say("pages.notes.looks", { count: guide.say.count(words, n), time: two(at.getHours()) + ":" + two(at.getMinutes()) });
  }

  function draw(focus) {
    const id = decodeURIComponent(window.location.hash.slice(1));
    const note = store.notes().find((one) => one.id === id);
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
        note.words ? make("span", {}, note.words) : null, make("span", {}, looksOf(note)), note.remarks ? make("span", {}, note.remarks) : null),
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
    tell(say("pages.notes.cleared", { n: ids.length, count: guide.say.count(words, ids.length) }),
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
    const state = Object.assign(guide.path.empty(), { answers: note.answers, car: note.car || null, reach: note.reach || [], edition: note.edition || null, at: "result" });
    const heading = make("h1", { class: "begin", tabindex: "-1" }, nameOf(note));
    const reply = make("p", { class: "reply", id: "car-reply", role: "alert" });
    const settle = (event) => {
      reply.textContent = guide.parts.readNumber(event.target);
      keep({ car: event.target.value.trim() });
      heading.textContent = nameOf(note);
    };
    put(single, heading,
      note.words ? make("p", { class: "sure" }, note.words) : null,
      make("p", { class: "small" }, say("pages.notes.seen", { day: guide.say.day(words, note.seen), edition: note.edition || guide.model.edition })),
      make("div", { class: "asked" }, make("label", { for: "car" }, say("pages.notes.car")),
        make("input", { class: "entry", id: "car", type: "text", value: note.car || "", autocomplete: "off", autocapitalize: "characters", spellcheck: "false",
          "aria-describedby": "car-reply", onchange: settle, oninput: (event) => keep({ car: event.target.value.trim() }) }), reply),
      make("label", { class: "choice" }, make("input", { type: "checkbox", checked: Boolean(note.untouched),
        onchange: (event) => keep({ untouched: event.target.checked }) }), make("span", {}, say("pages.notes.untouched"))),
      make("h2", { class: "part" }, say("pages.key.showed")),
      note.answers.map((given) => answerRow(note, given, keep)),
      addRow(note, keep),
      make("div", { class: "asked" }, make("label", { for: "remarks" }, say("pages.notes.remarks")),
        make("textarea", { class: "entry", id: "remarks", oninput: (event) => keep({ remarks: event.target.value }) }, note.remarks || "")),
      make("div", { class: "stack on-screen" },
        make("a", { class: "button first", href: guide.key.links.key + guide.path.hashOf(state) }, say("pages.notes.open_key")),
        make("div", { class: "pair" },
          make("button", { class: "button", type: "button", onclick: () => handIn([note]) }, say("pages.notes.csv")),
          make("button", { class: "button", type: "button", onclick: () => remove(note) }, say("pages.notes.remove_this")))),
      make("p", { class: "small" }, say("pages.notes.nothing_sent")));
    document.title = nameOf(note);
  }

  function valueOf(given) { return given.forms.length ? given.forms.join("+") : given.kind; }

  // An answer as choices: each form, both, and the rest; one that names several forms keeps its place among them.
  function answerRow(note, given, keep) {
    const mark = marks.get(given.mark);
    if (!mark) { return make("p", { class: "small" }, given.mark + ": " + valueOf(given)); }
    const choices = mark.forms.map((form) => [form.id, form.answer]);
    if (mark.forms.length === 2) { choices.push([mark.forms.map((form) => form.id).join("+"), say("pages.key.both")]); }
    if (given.forms.length > 1 && !choices.some((choice) => choice[0] === valueOf(given))) {
      choices.push([valueOf(given), guide.say.oneOfNames(words, given.forms.map((id) => mark.forms.find((form) => form.id === id).name))]);
    }
    choices.push(["changed", say("pages.key.changed")], ["none", say("pages.key.none")], ["cannot-tell", say("pages.key.cannot_tell")],
      ["", say("pages.notes.not_looked")]);
    const id = "answer-" + mark.id;
    const select = make("select", { class: "entry", id: id, onchange: () => {
      const value = select.value;
      const forms = value.split("+").filter((one) => mark.forms.some((form) => form.id === one));
      const answers = value === "" ? note.answers.filter((one) => one !== given)
        : note.answers.map((one) => (one === given ? Object.assign(given, { forms: forms, kind: forms.length > 1 ? "several" : forms.length ? "form" : value }) : one));
      keep({ answers: answers, words: "" });
      draw(false);
      const same = document.getElementById(id);
      if (same) { same.focus(); }
    } }, choices.map((choice) => make("option", { value: choice[0], selected: choice[0] === valueOf(given) }, choice[1])));
    return make("div", { class: "asked" }, make("label", { for: id }, mark.name), select);
  }

  function addRow(note, keep) {
    const rest = guide.model.marks.filter((mark) => mark.kind !== "body" && !note.answers.some((given) => given.mark === mark.id));
    const select = make("select", { class: "entry", id: "add", onchange: () => {
      keep({ answers: note.answers.concat([{ mark: select.value, forms: [], kind: "cannot-tell" }]) });
      draw(false);
      document.getElementById("answer-" + select.value).focus();
    } }, make("option", { value: "" }, ""), rest.map((mark) => make("option", { value: mark.id }, mark.name)));
    return rest.length ? make("div", { class: "asked on-screen" }, make("label", { for: "add" }, say("pages.notes.add")), select) : null;
  }

  function handIn(notes) {
    download("cars-seen.csv", "text/csv;charset=utf-8", guide.keeping.csv(notes, guide.model.marks));
  }

  list.querySelector("[data-csv]").addEventListener("click", () => handIn(store.notes()));
  list.querySelector("[data-json]").addEventListener("click", () => download("cars-seen.json", "application/json", guide.keeping.json(store.notes(), guide.model.edition)));
  list.querySelector("[data-clear]").addEventListener("click", clear);
  window.addEventListener("popstate", () => { tell(""); draw(true); });
  tell("");
  draw(false);
}(globalThis.guide = globalThis.guide || {}));
