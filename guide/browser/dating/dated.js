// One car dated, each thing once: the twin of dated.py.

// Everything worked out once for a session; the last one is remembered, so that a screen may ask twice.
function workOut(prepared, session) {
  const key = JSON.stringify([session.answers, session.car, session.reach, session.known]);
  if (!prepared.last || prepared.last.key !== key) {
    const state = believe(prepared, session);
    prepared.last = { key, state, concluded: figures(state), apart: standsApart(state), found: null };
  }
  return prepared.last;
}

// Why one would stop here, or null: then nothing is left to do after any look, and the best is what tells most.
function enough({ state, concluded }) { return wouldStop(state, concluded.periods, concluded.line); }

// The looks there are, and the best of them within reach; which of several models it is comes before all.
function lookOut(worked) {
  if (!worked.found) {
    const least = worked.state.prepared.model.stop.gain_bits;
    worked.found = looks(worked.state);
    const { marks, periods } = worked.state.prepared.model;
    const worth = worked.found.filter((one) => one.within && one.gain_bits >= least);
    const first = worth.filter((one) => marks[one.mark].kind === "body" && periods.some((period) => period.series));
    const asked = first.length ? first : worth;
    worked.inside = enough(worked) === null ? chooseAhead(worked.state, asked) : choose(asked, least);
  }
  return worked;
}

// By part that was looked at, by its place, those of the forms found that the works can have fitted to such a car.
function rightOf(worked) {
  const { state, concluded } = worked;
  const { marks } = state.prepared.model;
  if (!worked.right) {
    worked.fitted = fittedOf(state, concluded);
    const fittedForms = new Map(worked.fitted.map((one) => [one.mark, one.forms]));
    worked.right = new Map(state.answers.filter(({ mark }) => (marks[mark].kind || "mark") === "mark").map(({ mark, answer }) => {
      const found = seenForms(marks[mark], answer);
      return [mark, (fittedForms.get(mark) || []).filter((form) => found.includes(form.form))];
    }));
  }
  return worked.right;
}

// Whether only some of the cars in question can have a form.
const ofSome = (form) => Object.keys(form.scopes[0].cars).length > 0;

// Whether the date rests on an even pace of building: the papers alone would leave it much longer.
function isPaced(worked) {
  const { state, concluded } = worked;
  if (!state.car || state.car.failure || state.car.position === null || state.elsewhere) { return false; }
  if (worked.paced === undefined) {
    const alone = figures(believe(state.prepared, state.session, false));
    worked.paced = lengthNow(concluded) < state.prepared.model.telling.shorter * lengthNow(alone);
  }
  return worked.paced;
}

// Whether the widest span is two, and not only parted by days on which nothing was built.
function twoDates({ state, concluded }) {
  const [before, after] = guide.days.widest(concluded.spans).map((one) => one.stretch);
  const { series, edges } = state.prepared.model;
  return Boolean(after) && series.some(({ cars }) => (
    cars.some((built, t) => built > 0 && before.end <= edges[t] && edges[t + 1] <= after.start)));
}

function onward(worked) {
  const { state, concluded } = worked;
  const code = enough(worked);
  if (code) { return { stopped: code, look: null }; }
  const { found, inside } = lookOut(worked);
  if (inside) { return { stopped: null, look: inside }; }
  return { stopped: choose(found, state.prepared.model.stop.gain_bits) ? "nothing-in-reach" : "nothing-left", look: null };
}
