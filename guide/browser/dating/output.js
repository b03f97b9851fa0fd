// The whole result as one object, and what the screen says beside it: the twin of output.py.
// needs: say, days, numbers, answers
// in: car

function apartForOutput(prepared, one) {
  const mark = prepared.model.marks[one.mark];
  return { mark: mark.id, found: guide.answers.valueOf(one.answer), chance: one.chance, replaced: one.replaced, misread: one.misread,
    expected: mark.forms.map((form, at) => ({ form: form.id, chance: one.expected[at] })),
    looks: daysOf(prepared, one.looks) };
}

const daysOf = (prepared, found) => found && { from: iso(prepared, prepared.model.edges[found[0]]), to: iso(prepared, prepared.model.edges[found[1] + 1] - 1) };

// The statements behind each form stand in the facts, and are told by its page; here there are none.
function shouldHave(state, concluded) {
  return fittedOf(state, concluded).map((one) => {
    const mark = state.prepared.model.marks[one.mark];
    return { mark: mark.id, only: one.only, sure: one.sure,
      forms: one.forms.flatMap((form) => form.scopes.map((scope) => (
        { form: mark.forms[form.form].id, scope: scope.cars, because: [] }))) };
  });
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
      words: sayResult(worked).sentences.join(" "),
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
    stopped: stopped && { code: stopped, words: prepared.say("dating.stopped." + stopped) },
    get should_have() { return shouldHave(state, concluded); },   // which the key's own screens do not ask for
    doubts: judged(worked).doubts,
  };
}

// That no car of this number could be like what was seen, where one of another could.
function excluded(prepared, session) {
  try { workOut(prepared, Object.assign({}, session, { car: null })); } catch (contradiction) { return null; }
  return prepared.say("dating.doubt.number", { number: session.car });
}

const OF_NUMBER = ["number-does-not-fit", "restored", "two-dates"];      // doubts that question the number, where there is one

// What a result has to say against a car's number after what was seen of it: the most serious of its doubts, in words.
// Null where there is none, where there is no number, and where nothing was seen that could disagree. A car that is known
// to have been restored is questioned only where its number does not fit.
function misfit(prepared, session) {
  let worked;
  try { worked = workOut(prepared, session); } catch (contradiction) { return excluded(prepared, session); }
  const { car, vectors } = worked.state;
  if (!car || car.failure || !vectors.size) { return null; }
  const asked = (session.known || {}).restored ? OF_NUMBER.slice(0, 1) : OF_NUMBER;
  const found = judged(worked).doubts.find((one) => asked.includes(one.code));
  return found ? found.words : null;
}

// Each answered mark with its verdict, what stands apart, and the doubts.
function judged(worked) {
  const said = verdictsOf(worked);
  const groups = groupsOf(worked.state, said);
  return { said, groups, doubts: doubtsOf(worked, groups) };
}

const TOLD_ELSEWHERE = ["renewed-together", "paper-alone", "number-alone"];  // by what stands apart, and by the reasons

function explain(prepared, session) {
  const worked = workOut(prepared, session);
  const { state, concluded } = worked;
  const { said, groups, doubts: all } = judged(worked);
  const { head, sentences, bar } = sayResult(worked);
  const doubts = all.filter((one) => !TOLD_ELSEWHERE.includes(one.code)).map((one) => one.words);
  const least = prepared.model.stop.gain_bits;
  const { found, inside } = lookOut(worked);
  let beyond = choose(found.filter((one) => !one.within), least);
  if (inside && beyond && beyond.gain_bits <= inside.gain_bits + 1e-9) { beyond = null; }
  const best = (look, id) => {
    if (!look) { return null; }
    const mark = prepared.model.marks[look.mark];
    const after = expectedLength(state, look);
    const shorter = after <= prepared.model.telling.shorter * lengthNow(concluded);
    return { mark: mark.id, reach: look.reach, says: prepared.say(id, { part: mark.name }),
      after: shorter ? prepared.say("dating.bring_down", { length: prepared.say.duration(after) }) : null };
  };
  return {
    head,
    sentences: sentences.concat(doubts),
    bar,
    doubts,
    next: best(inside, "dating.best_next"),
    beyond: beyond && best(beyond, "dating.beyond." + beyond.reach),
    answers: said.map((each) => ({ mark: prepared.model.marks[each.one.mark].id, says: sayVerdict(worked, each) })),
    apart_groups: groups,
  };
}

// How each part that was looked at compares, by mark, and when the works fitted what was found; `doubted`: the number is
// not to be believed.
function verdicts(prepared, session) {
  const worked = workOut(prepared, session);
  const marks = prepared.model.marks;
  return { doubted: numberWrong(worked.state) > prepared.model.telling.apart,
    of: Object.fromEntries(verdictsOf(worked).map(({ one, verdict }) => [marks[one.mark].id, verdict])),
    looks: Object.fromEntries(worked.apart.map((one) => [marks[one.mark].id, daysOf(prepared, one.looks || one.offered)])) };
}

// The date alone, in the sentences of a result: {head, sentences, basis, from, to, periods}, days as ISO text; and what a
// letter says of it: `nine` the span in words, `paced`, `number` {written, series} or null, `looks` how many tell anything.
function tell(prepared, session) {
  const worked = workOut(prepared, session);
  const stretches = datesOf(prepared, worked.concluded, prepared.model.telling.spans[0]);
  const { car, vectors } = worked.state;
  return Object.assign(sayResult(worked), { nine: nineSaid(worked), paced: isPaced(worked), looks: vectors.size,
    number: car && !car.failure ? { written: car.written, series: prepared.model.series[car.series].id } : null,
    basis: basisOf(worked.state), from: stretches[0][0], to: stretches[stretches.length - 1][1],
    periods: prepared.model.periods.map((one, at) => ({ id: one.id, name: one.name, chance: worked.concluded.periods[at] })) });
}

guide.dating = { prepare, believe, looks, conclude, explain, tell, partLag, verdicts, misfit, reasons, shouldHave: shouldHaveSaid, shouldHaveIn,
  tellFormsApart, nineInTen };
