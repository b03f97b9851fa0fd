// The whole result as one object: the twin of engine.py.
// needs: say, numbers

// Everything worked out once for a session; the last one is remembered, so that a screen may ask twice.
function workOut(prepared, session) {
  const key = JSON.stringify([session.answers, session.car, session.reach, session.known]);
  if (!prepared.last || prepared.last.key !== key) {
    const state = believe(prepared, session);
    prepared.last = { key, state, concluded: figures(state), apart: standsApart(state), found: null };
  }
  return prepared.last;
}

// The looks there are, and the best of them within reach.
function lookOut(worked) {
  if (!worked.found) {
    const least = worked.state.prepared.model.stop.gain_bits;
    worked.found = looks(worked.state);
    worked.inside = chooseAhead(worked.state, worked.found.filter((one) => one.within && one.gain_bits >= least));
  }
  return worked;
}

function onward(worked) {
  const { state, concluded } = worked;
  const code = wouldStop(state.prepared, concluded.periods, concluded.line);
  if (code) { return { stopped: code, look: null }; }
  const { found, inside } = lookOut(worked);
  if (inside) { return { stopped: null, look: inside }; }
  return { stopped: choose(found, state.prepared.model.stop.gain_bits) ? "nothing-in-reach" : "nothing-left", look: null };
}

const valueOf = (answer) => (tells(answer) ? answer.forms.join("+") : answer.kind);

function apartForOutput(prepared, one) {
  const mark = prepared.model.marks[one.mark];
  const edges = prepared.model.edges;
  return { mark: mark.id, found: valueOf(one.answer), chance: one.chance, replaced: one.replaced, misread: one.misread,
    expected: mark.forms.map((form, at) => ({ form: form.id, chance: one.expected[at] })),
    looks: one.looks && { from: iso(prepared, edges[one.looks[0]]), to: iso(prepared, edges[one.looks[1] + 1] - 1) } };
}

function conclude(prepared, session) {
  const model = prepared.model;
  const worked = workOut(prepared, session);
  const { state, concluded, apart } = worked;
  const { stopped, look } = onward(worked);
  const named = (things, chances) => things.map((thing, at) => ({ id: thing.id, name: thing.name, chance: chances[at] }));
  const asked = look && model.marks[look.mark];
  return {
    format: 1,
    edition: model.edition,
    car: state.car && !state.car.failure ? state.car.written : session.car || null,
    reach: (session.reach || []).slice(),
    answers: state.answers.map(({ answer }) => ({ mark: answer.mark, forms: answer.forms.slice(), kind: answer.kind })),
    result: {
      spans: concluded.spans.map(({ level, stretch }) => {
        const [from, to] = daysBetween(stretch).map((day) => iso(prepared, day));
        return { level, weight: stretch.weight, from, to };
      }),
      words: sayResult(state, concluded).join(" "),
    },
    periods: named(model.periods, concluded.periods),
    interiors: named(model.interiors, concluded.interiors),
    specifications: concluded.specifications,
    numbers: concluded.numbers.map((one) => (
      { series: model.series[one.series].id, from: one.first, to: one.last, chance: one.chance })),
    apart: apart.map((one) => apartForOutput(prepared, one)),
    next: look && { mark: asked.id, question: asked.question, reach: look.reach,
      answers: asked.forms.map((form) => ({ form: form.id, answer: form.answer })),
      gain_bits: look.gain_bits, effort: look.effort, why: sayNext(state, concluded, look) },
    stopped: stopped && { code: stopped, words: say(prepared, "dating.stopped." + stopped) },
  };
}

guide.dating = { prepare, believe, looks, conclude, explain, readDays };
