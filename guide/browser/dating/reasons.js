// Why a result is as it is: the twin of reasons.py.

const MOST_NAMED = 3, LEAST_BITS = 0.1, LIKELY = 0.02, DOUBTFUL = 0.1;

function withAnswers(state, answers) { return Object.assign({}, state.session, { answers }); }

// By how many bits an answer moves the belief about the days.
function movedBy(state, answer) {
  const { prepared } = state;
  const rest = state.session.answers.filter((one) => one.mark !== answer.mark);
  const before = overTime(prepared, believe(prepared, withAnswers(state, rest)).weights);
  return sum(overTime(prepared, state.weights).map((now, t) => (now > 0 ? now * Math.log2(now / before[t]) : 0)));
}

// What a sentence about a part that was found says of it.
function foundWords(prepared, mark, answer) {
  const one = prepared.model.marks[mark];
  return { part: one.name, form: prepared.say.oneOfNames(one.forms.filter((form) => answer.forms.includes(form.id)).map((form) => form.name)) };
}

function sayUsual(prepared, apart, mark, answer) {
  const { looks } = apart.find((one) => one.mark === mark);
  const { edges } = prepared.model;
  const slots = foundWords(prepared, mark, answer);
  if (!looks) { return prepared.say("dating.because.rare", slots); }
  const span = prepared.say.span(iso(prepared, edges[looks[0]]), iso(prepared, edges[looks[1] + 1] - 1));
  return prepared.say("dating.because.usual", Object.assign(slots, { span }));
}

function decidingLooks(state, apart) {
  const { prepared } = state;
  const rank = (one) => Math.round(one.bits * 1e7);
  return state.answers.filter((one) => state.vectors.has(one.mark)).map((one) => ({ mark: one.mark, answer: one.answer, bits: movedBy(state, one.answer) }))
    .sort((a, b) => rank(b) - rank(a) || a.mark - b.mark).slice(0, MOST_NAMED).filter((one) => one.bits >= LEAST_BITS)
    .map((one) => ({ mark: prepared.model.marks[one.mark].id, says: sayUsual(prepared, apart, one.mark, one.answer) }));
}

function basisOf(state) {
  if (state.vectors.size) { return null; }
  if (state.car && !state.car.failure) { return state.prepared.say("dating.because.number"); }
  return Object.keys(state.session.known || {}).some((kind) => kind !== "restored") ? state.prepared.say("dating.because.paper") : null;
}

// The values of what a car is as a whole with which the works can have fitted one of some forms.
function valuesRight(model, asked, right) {
  const name = asked.kind === "body" ? "series" : asked.id;
  const every = (asked.kind === "body" ? model.series : asked.forms).map((one) => one.id);
  const values = right.flatMap((form) => form.scopes).flatMap((scope) => scope.cars[name] || every);
  if (asked.kind !== "body") { return values; }
  const bodyOf = (id) => model.series.find((one) => one.id === id).body;     // a body is named by the first of its series
  const bodies = values.map(bodyOf);
  return every.filter((id) => bodies.includes(bodyOf(id)));
}

// What a car is as a whole that would settle the greatest doubt; the first of equals.
function settling(worked) {
  const { state } = worked;
  const { prepared } = state;
  const { model } = prepared;
  if (numberWrong(state) > model.telling.apart) { return null; }
  const told = state.answers.filter((one) => state.vectors.has(one.mark));
  const fits = verdictsOf(worked).filter((one) => NOT_APART.includes(one.verdict)).map(({ one }) => one.mark);
  const right = rightOf(worked);
  const parts = told.filter(({ mark }) => fits.includes(mark) && right.has(mark) && right.get(mark).length && right.get(mark).every(ofSome));
  const byNumber = toldByNumber(state);
  let best = null;
  (parts.length ? model.marks : []).forEach((asked, whole) => {
    if ((asked.kind || "mark") === "mark" || asked.ask === false || told.some((one) => one.mark === whole) || byNumber.has(whole)) { return; }
    const chances = chanceOfForms(state, whole, false);
    for (const { mark, answer } of parts) {
      const values = valuesRight(model, asked, right.get(mark));
      const within = sum(chances.filter((_, at) => values.includes(asked.forms[at].id)));
      if (within < LIKELY || 1 - within < DOUBTFUL) { continue; }
      if (!best || Math.round((1 - within) * 1e7) > Math.round(best.against * 1e7)) { best = { against: 1 - within, asked, mark, answer }; }
    }
  });
  if (!best) { return null; }
  const verdict = sayRightFor(worked, right.get(best.mark));
  return { mark: best.asked.id, says: prepared.say("dating.settle", Object.assign(foundWords(prepared, best.mark, best.answer), { verdict })),
    of: best.answer.mark, verdict };
}

function reasons(prepared, session) {
  const worked = workOut(prepared, session);
  return { why: decidingLooks(worked.state, worked.apart), basis: basisOf(worked.state), settle: settling(worked) };
}
