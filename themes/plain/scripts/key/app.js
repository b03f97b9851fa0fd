// The key on the screen: one state (guide.path), read from the address, and the screen drawn from it. Everything
// about dates is the dating's; here is only who asks what next, and where each press leads.
// needs: build-line, dating, path, keeping, fields, sending, data/model, data/key

const { make, put, select, drawing, pageOf, swatch, settleReach } = guide.elements;
const say = guide.words(guide.key.words);
const screens = {};

// The app handed to every screen: what holds now, and how to move.
function App(root) {
  const model = guide.model;
  guide.parts.learn(guide.key.parts);
  const prepared = guide.dating.prepare(model, guide.key.words);
  // for "one more look": the same model, which never finds that it has seen enough
  const tireless = guide.dating.prepare(Object.assign({}, model, {
    stop: Object.assign({}, model.stop, { period: 2, fine_days: 0 }) }), guide.key.words);
  const marks = new Map(model.marks.map((mark) => [mark.id, mark]));
  const vocabulary = guide.answers.vocabulary(model, guide.key.formerly);
  let store = null;
  const app = { root, model, prepared, vocabulary, notes: () => (store = store || guide.keeping.open(guide.key.store, Date.now, vocabulary)) };

  // The numbers that can be used, and among them the one by which cars are known; and the first that cannot.
  app.numberOf = function (state) {
    const each = guide.numbers.readEach(state.car || "", model.numbers);
    const used = each.filter((one) => !one.found.failure);
    const own = used.find((one) => model.series.some((series) => series.id === one.found.series));
    const bad = each.find((one) => one.found.failure);
    return { car: used.map((one) => one.found.written).join("+") || null, own: own ? own.found.written : null,
      bad: bad || null };
  };

  app.session = function (state) {
    return { answers: state.answers, car: app.numberOf(state).car, reach: state.reach, known: state.known };
  };

  app.reasons = (state) => guide.dating.reasons(prepared, app.session(state));
  app.misfit = (state) => guide.dating.misfit(prepared, app.session(state));
  app.markOf = (id) => marks.get(id);
  app.answerWords = (given) => guide.answers.inWords(say, marks.get(given.mark), given);
  app.dated = () => guide.dating.tell(prepared, app.session(app.state));
  app.line = (spans) => guide.buildLine(guide.key.first, guide.key.last, spans);

  // A link to a state: a press inside the page, an address for a new tab.
  app.link = function (state, attributes, ...inside) {
    const hash = guide.path.hashOf(state);
    return make("a", Object.assign({ href: hash, onclick: (event) => {
      if (event.ctrlKey || event.metaKey || event.shiftKey || event.button > 0) { return; }
      event.preventDefault();
      app.go(state);
    } }, attributes), ...inside);
  };

  // Goes on once what the next screen shows is there: an address and its screen change together.
  app.go = function (state) {
    whenThere(state, () => {
      const hash = guide.path.hashOf(state);
      if (hash === window.location.hash) {
        window.history.replaceState(window.history.state, "", hash);
      } else if (isBehind(state)) {
        root.setAttribute("aria-busy", "true");
        window.history.back();                               // popstate draws it
        return;
      } else {
        window.history.pushState({ before: window.location.hash, asked: app.asked }, "", hash);
      }
      app.show(true);
    });
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

  // What follows from a state; null before the first look, and where no car at all could be like this.
  function worked(state) {
    if (state.at === "begin") { return null; }
    try {
      const concluded = guide.dating.conclude(prepared, app.session(state));
      const further = concluded.stopped ? guide.dating.conclude(tireless, app.session(state)) : concluded;
      return { concluded, further, next: (state.on ? further : concluded).next };
    } catch (contradiction) { return null; }
  }

  // Does something once the words and drawings of what a state's screen shows are there, unless something else is asked for
  // meanwhile; where they cannot be fetched, says so and offers to try again.
  let turn = 0;
  function whenThere(state, then) {
    const own = turn += 1;
    const now = worked(state);
    const asked = state.look || (now && now.next && now.next.mark);
    const shown = now ? state.answers.map((given) => given.mark).concat(!state.at && asked ? [asked] : []) : [];
    const done = (act) => () => {
      if (own === turn) { root.removeAttribute("aria-busy"); act(); }
    };
    root.setAttribute("aria-busy", "true");                  // until the screen is the one that was asked for
    guide.parts.withWords(shown, done(() => then(now)), done(() => app.turnTo("lacking", true, () => whenThere(state, then))));
  }

  // Draws the screen that the address asks for. `moved`: the person pressed something, so focus follows.
  app.show = function (moved) {
    const state = app.read();
    whenThere(state, (now) => {
      app.impossible = !now && state.at !== "begin";
      if (!now) { state.at = "begin"; }
      app.state = state;
      app.concluded = now && now.concluded;
      app.further = now && now.further;
      app.next = now && now.next;
      app.explained = now && guide.dating.explain(prepared, app.session(state));
      const name = screenOf(app);
      app.asked = name === "look" ? state.look || app.next.mark : null;
      hear(app);
      app.turnTo(name, moved);
    });
  };

  app.turnTo = function (name, moved, ...more) {
    document.body.dataset.shows = name;
    for (const section of root.querySelectorAll("[data-screen]")) {
      section.hidden = section.dataset.screen !== (name === "lacking" ? "look" : name);
      if (!section.hidden) { screens[name](app, section, ...more); }
    }
    if (moved) {
      window.scrollTo(0, 0);
      root.querySelector("[data-screen]:not([hidden]) h1").focus({ preventScroll: true });
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

// A file with what is said of a part could not be fetched: where the signal is weak it may come at the next try.
screens.lacking = function (app, section, again) {
  put(section, make("h1", { class: "begin", tabindex: "-1" }, say("pages.key.lacking")), make("p", {}, say("pages.key.lacking_hint")),
    make("div", { class: "dock" }, make("button", { class: "button first", type: "button", "data-again": true, onclick: again }, say("pages.key.again"))));
};

// The live region says only what there is to say so far, and only when it has changed.
function hear(app) {
  const place = app.root.querySelector("[data-heard]");
  const { degree, slots } = app.concluded ? app.dated() : {};
  const words = degree ? say("pages.key.so_far." + degree, slots) : "";
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

// The sample of colour that goes with an answer, where the guide has one.
function swatchOf(mark, form) { return swatch(((guide.key.swatches || {})[mark.id] || {})[form]); }

const isLook = (app, given) => (app.markOf(given.mark).kind || "mark") === "mark";

// Back to the answer before, or to the beginning, where what the car is as a whole was asked for.
function backByOne(app) {
  const { state } = app;
  if (!state.answers.some((given) => isLook(app, given))) { return [say("pages.key.begin.short"), guide.path.moved(state, { at: "begin" })]; }
  const at = state.answers.map((given) => isLook(app, given)).lastIndexOf(true);
  const last = state.answers[at];
  return [app.answerWords(last), guide.path.moved(state, { answers: state.answers.filter((_, place) => place !== at), look: last.mark })];
}

// Paragraphs, for what of some texts there is.
function paragraphs(name, texts) { return texts.filter(Boolean).map((text) => make("p", { class: name }, text)); }

function soFar(app) {
  const { degree, slots } = app.dated();
  return app.link(guide.path.moved(app.state, { at: "result" }), { class: "so-far" },
    make("span", { class: "words" }, say.parts("pages.key.so_far." + degree, slots).map(([slot, text]) => (slot ? make("b", {}, text) : text))),
    app.line(app.concluded.result.spans));
}
