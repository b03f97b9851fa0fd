// The key on the screen: one state (guide.path), read from the address, and the screen drawn from it. Everything
// about dates is the engine's; here is only who asks what next, and where each press leads.
// needs: dating, path, keeping, parts
(function (guide) {
  "use strict";

  const { make, put, say, sayWith, drawing, buildLine } = guide.parts;
  const screens = {};

  // The app handed to every screen: what holds now, and how to move.
  function App(root) {
    const model = guide.model;
    const prepared = guide.dating.prepare(model);
    // for "one more look": the same model, which never finds that it has seen enough
    const tireless = guide.dating.prepare(Object.assign({}, model, {
      stop: Object.assign({}, model.stop, { period: 2, fine_days: 0 }) }));
    const marks = new Map(model.marks.map((mark) => [mark.id, mark]));
    const vocabulary = {
      marks: Object.fromEntries(model.marks.map((mark) => [mark.id,
        { forms: Object.fromEntries(mark.forms.map((form) => [form.id, form])) }])),
      formerly: guide.key.formerly,
      reaches: Object.keys(model.reaches),
    };
    const app = { root: root, model: model, prepared: prepared, marks: marks, vocabulary: vocabulary };

    // The number, when it can be used; otherwise null and why.
    app.numberOf = function (state) {
      if (!state.car) { return { car: null, failure: null }; }
      const read = guide.numbers.read(state.car, model.numbers);
      return read.failure ? { car: null, failure: read.failure } : { car: read.written, failure: null };
    };

    app.session = function (state) {
      return { answers: state.answers, car: app.numberOf(state).car, reach: state.reach, known: state.known };
    };

    app.markOf = (id) => marks.get(id);
    app.formOf = (mark, id) => marks.get(mark).forms.find((form) => form.id === id);

    // An answer in a few words, as the way back is labelled and a note lists it.
    app.answerWords = function (given) {
      const part = marks.get(given.mark).name;
      if (given.forms.length) {
        const names = given.forms.map((form) => app.formOf(given.mark, form).name);
        return say("pages.key.answer.form", { part: part, form: guide.say.oneOfNames(guide.key.words, names) });
      }
      return say("pages.key.answer." + given.kind, { part: part });
    };

    app.spanWords = function (spans) {
      const wide = spans.filter((span) => span.level > 0.6);
      const ranges = wide.map((span) => guide.say.range(guide.key.words, span.from, span.to));
      return guide.say.oneOf(guide.key.words, ranges);
    };

    app.line = (spans) => buildLine(guide.key.first, guide.key.last, spans);

    // A link to a state: a press inside the page, an address for a new tab.
    app.link = function (state, attributes, ...inside) {
      const hash = guide.path.hashOf(state);
      return make("a", Object.assign({ href: hash, onclick: (event) => {
        if (event.ctrlKey || event.metaKey || event.shiftKey || event.button > 0) { return; }
        event.preventDefault();
        app.go(state);
      } }, attributes), ...inside);
    };

    app.go = function (state, how) {
      const hash = guide.path.hashOf(state);
      if (hash === window.location.hash || how === "replace") {
        window.history.replaceState(window.history.state, "", hash);
      } else if (isBehind(state)) {
        window.history.back();                                 // popstate draws it
        return;
      } else {
        window.history.pushState({ before: window.location.hash, asked: app.asked }, "", hash);
      }
      app.show(true);
    };

    // Whether a state is what the browser's own way back would show, so that going back does not pile up.
    function isBehind(state) {
      const came = window.history.state;
      if (!came || typeof came.before !== "string") { return false; }
      if (came.before === guide.path.hashOf(state)) { return true; }
      const before = guide.path.readHash(came.before, vocabulary);
      const same = (one) => guide.path.hashOf(guide.path.moved(one, { reach: [] }));
      return state.look !== null && came.asked === state.look && !state.several && !before.at && same(before) === same(state);
    }

    app.read = function () {
      const state = guide.path.readHash(window.location.hash, vocabulary);
      const empty = !state.answers.length && !state.reach.length && !state.car;
      if (!state.at && (empty || state.lost.length > 0 && !state.answers.length)) { state.at = "begin"; }
      if (!state.reach.length) { state.reach = guide.key.usual.slice(); }
      return state;
    };

    function conclude(state) {
      const ask = state.at !== "begin";
      try {
        app.concluded = ask ? guide.dating.conclude(prepared, app.session(state)) : null;
        app.explained = ask ? guide.dating.explain(prepared, app.session(state)) : null;
        app.further = ask && app.concluded.stopped ? guide.dating.conclude(tireless, app.session(state)) : app.concluded;
        app.impossible = false;
      } catch (contradiction) {                                // no car at all could be like this
        state.at = "begin";
        app.concluded = app.explained = app.further = null;
        app.impossible = true;
      }
    }

    // Draws the screen that the address asks for. `moved`: the person pressed something, so focus follows.
    app.show = function (moved) {
      const state = app.read();
      app.state = state;
      conclude(state);
      app.next = app.concluded && (state.on ? app.further : app.concluded).next;
      const name = screenOf(app);
      app.asked = name === "look" ? state.look || app.next.mark : null;
      for (const section of root.querySelectorAll("[data-screen]")) {
        section.hidden = section.dataset.screen !== name;
        if (!section.hidden) { screens[name](app, section); }
      }
      hear(app);
      if (moved) {
        window.scrollTo(0, 0);
        const heading = root.querySelector('[data-screen="' + name + '"] h1');
        heading.focus({ preventScroll: true });
      }
    };
    return app;
  }

  // Which screen a state shows.
  function screenOf(app) {
    const state = app.state;
    if (state.at === "begin" || state.at === "result") { return state.at; }
    return state.look || app.next ? "look" : "result";
  }

  // The live region says only the span so far, and only when it has changed.
  function hear(app) {
    const place = app.root.querySelector("[data-heard]");
    const words = app.concluded ? say("pages.key.heard", { span: app.spanWords(app.concluded.result.spans) }) : "";
    if (place.textContent !== words) { place.textContent = words; }
  }

  // The way back, labelled with where it leads.
  function setBack(app, label, state) {
    const back = document.querySelector("[data-back]");
    back.querySelector("[data-back-label]").textContent = label;
    back.setAttribute("aria-label", say("pages.key.back", { answer: label }));
    back.href = state ? guide.path.hashOf(state) : back.dataset.back || back.getAttribute("href");
    back.onclick = state ? (event) => { event.preventDefault(); app.go(state); } : null;
  }

  function lastAsked(state) {
    const last = state.answers[state.answers.length - 1];
    return guide.path.moved(state, { answers: state.answers.slice(0, -1), look: last.mark });
  }

  function backFromLook(app) {
    const state = app.state;
    const asked = state.answers.find((given) => given.mark === state.look);
    if (asked) { return [say("pages.key.result"), guide.path.moved(state, { at: "result" })]; }
    if (!state.answers.length) { return [say("pages.key.begin.short"), guide.path.moved(state, { at: "begin" })]; }
    return [app.answerWords(state.answers[state.answers.length - 1]), lastAsked(state)];
  }

  function soFar(app) {
    const spans = app.concluded.result.spans;
    return app.link(guide.path.moved(app.state, { at: "result" }), { class: "so-far" },
      make("span", { class: "words" },
        sayWith("pages.key.so_far", { span: app.spanWords(spans) }, "span", (text) => make("b", {}, text))),
      app.line(spans));
  }

  // ---- one look ----

  screens.look = function (app, section) {
    const state = app.state;
    const mark = app.markOf(app.asked);
    const at = state.answers.findIndex((given) => given.mark === mark.id);
    const several = state.several;
    setBack(app, ...backFromLook(app));
    put(section,
      soFar(app),
      make("p", { class: "where" }, say("pages.key.look", {
        n: (at < 0 ? state.answers.length : at) + 1, how: say("pages.reach.how." + howClose(state, mark)) })),
      make("h1", { class: "ask", tabindex: "-1" }, several ? say("pages.key.several", { question: mark.question }) : mark.question),
      mark.look ? make("p", { class: "look" }, mark.look) : null,
      several ? severalPlates(app, mark, at) : plates(app, mark, at),
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

  function caption(index, form) {
    return make("span", { class: "cap" }, make("span", { class: "n", "aria-hidden": "true" }, String(index + 1)),
      make("span", {}, form.answer));
  }

  function answer(app, mark, forms, kind) {
    app.go(guide.path.answered(app.state, { mark: mark.id, forms: forms, kind: kind }));
  }

  function plates(app, mark, at) {
    const given = at < 0 ? null : app.state.answers[at];
    const list = make("ul", { class: "plates leaf" + (!isDrawn(mark) ? " words" : mark.forms.length > 2 ? " rows" : ""), onkeydown: pressDigit },
      mark.forms.map((form, index) => make("li", {},
        make("button", { class: "answer", type: "button", "data-answer": form.id,
          "aria-current": given && given.forms.includes(form.id) ? "true" : null,
          onclick: () => answer(app, mark, [form.id], "form") }, drawing(mark.id, form.id), caption(index, form)))));
    return [list, dock(app, mark)];
  }

  // Digits answer only while focus is among the answers, so that they never surprise anybody elsewhere.
  function pressDigit(event) {
    if (event.ctrlKey || event.metaKey || event.altKey || !/^[1-9]$/.test(event.key)) { return; }
    const button = event.currentTarget.querySelectorAll("[data-answer]")[Number(event.key) - 1];
    if (button) { event.preventDefault(); button.click(); }
  }

  function dock(app, mark) {
    const other = make("div", { class: "more" },
      make("button", { type: "button", "data-answer": "both", onclick: () => both(app, mark) }, say("pages.key.both")),
      make("button", { type: "button", "data-answer": "changed", onclick: () => answer(app, mark, [], "changed") },
        say("pages.key.changed"), make("span", {}, say("pages.key.changed_hint"))),
      make("button", { type: "button", "data-answer": "none", onclick: () => answer(app, mark, [], "none") }, say("pages.key.none")));
    const details = make("details", { class: "else", onkeydown: (event) => {
      if (event.key === "Escape" && details.open) { details.open = false; details.firstElementChild.focus(); }
    } }, make("summary", { class: "button" }, say("pages.key.else")), other);
    return make("div", { class: "dock", "data-dock": true },
      make("button", { class: "button", type: "button", "data-answer": "cannot-tell", onclick: () => answer(app, mark, [], "cannot-tell") },
        say("pages.key.cannot_tell")),
      mark.kind === "body" ? null : details);
  }

  function both(app, mark) {
    if (mark.forms.length === 2) { answer(app, mark, mark.forms.map((form) => form.id), "several"); }
    else { app.go(guide.path.moved(app.state, { look: mark.id, several: true })); }
  }

  // "Which of these could it be?": any number of answers, for a mixture and for one not sure of.
  function severalPlates(app, mark, at) {
    const given = at < 0 ? [] : app.state.answers[at].forms;
    const go = make("button", { class: "button first", type: "submit" }, say("pages.key.several_go"));
    const list = make("ul", { class: "plates leaf" + (isDrawn(mark) ? " rows" : " words") }, mark.forms.map((form, index) => make("li", {},
      make("label", { class: "answer" },
        make("input", { type: "checkbox", name: "form", value: form.id, checked: given.includes(form.id) }),
        drawing(mark.id, form.id), caption(index, form)))));
    const reply = make("p", { class: "reply", role: "alert" });
    return make("form", { class: "several", novalidate: true, onsubmit: (event) => {
      event.preventDefault();
      const forms = Array.from(event.target.querySelectorAll("input:checked"), (input) => input.value);
      if (!forms.length) { reply.textContent = say("pages.key.several_none"); return; }
      answer(app, mark, forms, forms.length > 1 ? "several" : "form");
    } }, list, reply, make("div", { class: "dock", "data-dock": true },
      make("button", { class: "button", type: "button", "data-answer": "cannot-tell", onclick: () => answer(app, mark, [], "cannot-tell") },
        say("pages.key.cannot_tell")), go));
  }

  // What stands below the answers: why this look, second thoughts, how close.
  function under(app, mark) {
    const state = app.state;
    const last = state.answers[state.answers.length - 1];
    const next = app.next;
    const page = guide.key.links.marks[mark.id];             // in the single file a place in it, which would end the look
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

  guide.keypage = { App: App, screens: screens, setBack: setBack, lastAsked: lastAsked, settleDock: settleDock };
}(globalThis.guide = globalThis.guide || {}));
