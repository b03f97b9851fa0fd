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

// How far each part would stand apart on a car that is so as a whole; nothing where no car is.
function apartWith(state, mark, form, parts) {
  const answers = state.session.answers.filter((one) => one.mark !== mark).concat([{ mark, forms: [form], kind: "form" }]);
  try {
    return chancesApart(believe(state.prepared, withAnswers(state, answers)), parts);
  } catch (contradiction) { return new Map(); }
}

// What a car is as a whole that would settle the greatest doubt; the first of equals.
function settling(state) {
  const { prepared } = state;
  const { marks, telling } = prepared.model;
  const told = state.answers.filter((one) => state.vectors.has(one.mark));
  const found = told.filter((one) => (marks[one.mark].kind || "mark") === "mark");
  const byNumber = toldByNumber(state);
  let best = null;
  (found.length ? marks : []).forEach((asked, whole) => {
    if ((asked.kind || "mark") === "mark" || asked.ask === false || told.some((one) => one.mark === whole)) { return; }
    if (byNumber.has(whole)) { return; }
    const chances = chanceOfForms(state, whole, false);
    const likely = chances.map((_, at) => at).filter((at) => chances[at] >= LIKELY);
    const least = Math.min(...likely.map((at) => chances[at]));
    if (sum(likely.map((at) => chances[at])) - least < DOUBTFUL) { return; } // whichever is right, what speaks against it is little
    const verdicts = likely.map((at) => apartWith(state, asked.id, asked.forms[at].id, found.map((one) => one.mark)));
    for (const { mark, answer } of found) {
      const isRight = likely.map((_, at) => verdicts[at].has(mark) && verdicts[at].get(mark) < telling.apart);
      const right = likely.filter((_, at) => isRight[at]);
      const against = sum(likely.map((value, at) => (isRight[at] ? 0 : chances[value])));
      if (!right.length || against < DOUBTFUL) { continue; }
      if (!best || Math.round(against * 1e7) > Math.round(best.against * 1e7)) {
        const values = prepared.say.lowerFirst(prepared.say.oneOfNames(right.map((at) => asked.forms[at].name)));
        best = { against, mark: asked.id, says: prepared.say("dating.settle", Object.assign(foundWords(prepared, mark, answer), { values })),
          of: answer.mark, verdict: prepared.say("dating.verdict.settle", { values }) };
      }
    }
  });
  return best && { mark: best.mark, says: best.says, of: best.of, verdict: best.verdict };
}

function reasons(prepared, session) {
  const { state, apart } = workOut(prepared, session);
  return { why: decidingLooks(state, apart), basis: basisOf(state), settle: settling(state) };
}
