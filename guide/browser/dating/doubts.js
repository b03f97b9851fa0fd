// What a reader must hear before believing a result: the twin of doubts.py.

const SPEAKS = 2;           // times as likely at one date as at the other
const LEANS = 1.1;          // where nothing speaks so clearly

// Whether it is said that the car may have been restored: with a number from another chance up.
function mayBeRestored({ prepared, car, chanceRestored }) {
  const { telling } = prepared.model;
  return chanceRestored >= (car && !car.failure ? telling.restored_numbered : telling.restored);
}

function doubtsOf(worked, groups) {
  const { state, concluded } = worked;
  const { prepared, car } = state;
  const found = [];
  const say = (code, chance, words) => { found.push({ code, chance, words }); };
  const number = car && !car.failure ? car.written : "";
  if (numberWrong(state) > prepared.model.telling.apart) {
    say("number-does-not-fit", numberWrong(state), prepared.say(mayBeRestored(state) ? "dating.doubt.number_or_restored" : "dating.doubt.number", { number }));
  } else if (mayBeRestored(state)) {
    say("restored", state.chanceRestored, prepared.say(number ? "dating.doubt.restored_or_number" : "dating.doubt.restored", { number }));
  }
  groups.filter((group) => group.renewed).forEach((group) => {
    const marks = group.marks.map((mark) => prepared.markAt.get(mark));
    const chances = worked.apart.filter((one) => marks.includes(one.mark)).map((one) => one.chance);
    say("renewed-together", Math.max(...chances), group.says);
  });
  const two = twoDates(worked) ? sayTwoDates(state, concluded, number) : "";
  if (two) { say("two-dates", null, two); }
  if (!state.vectors.size) {
    const basis = basisOf(state);
    if (basis) { say(number ? "number-alone" : "paper-alone", null, basis); }
  }
  return found;
}

// The two dates with what speaks for each; nothing where beside a number nothing speaks for one of them.
function sayTwoDates(state, concluded, number) {
  const { prepared } = state;
  const nine = guide.days.widest(concluded.spans).map((one) => one.stretch);
  const spoken = nine.map((stretch, at) => speaking(state, nine, at, number));
  if (number && !spoken.every((parts) => parts.length)) { return ""; }
  const [one, other] = nine.map((stretch, at) => {
    const span = prepared.say.span(...daysBetween(stretch).map((day) => iso(prepared, day)));
    const parts = spoken[at];
    return parts.length ? prepared.say("dating.doubt.date_by", { span, parts: prepared.say.allOf(parts) }) : span;
  });
  return prepared.say(number ? "dating.doubt.two_dates_number" : "dating.doubt.two_dates", { one, other });
}

// What speaks for one of two dates: the number, then marks in the order of the answers.
function speaking(state, nine, at, number) {
  const { prepared } = state;
  const cells = nine.map((stretch) => prepared.weights.map((weight, cell) => {
    const [start, end] = prepared.model.edges.slice(cell % prepared.bins, cell % prepared.bins + 2);
    return weight * Math.max(0, Math.min(stretch.end, end) - Math.max(stretch.start, start)) / (end - start);
  }));
  const likely = (line) => {
    const means = cells.map((one) => sum(times(one, line)) / (sum(one) || 1));
    return means[1 - at] > 0 ? means[at] / means[1 - at] : Infinity;
  };
  const found = number && state.daily ? [[prepared.say("dating.doubt.its_number", { number }), likely(state.daily.byCell)]] : [];
  for (const [mark, vectors] of state.vectors) {
    const block = prepared.blocks[prepared.blockOf[mark]];
    found.push([prepared.model.marks[mark].name, likely(spread(prepared, block, blockLikelihood(prepared, block, new Map([[mark, vectors]]))))]);
  }
  const said = found.filter((one) => one[1] > SPEAKS);
  const rank = (one) => Math.round(Math.min(one[1], SPEAKS) * 1e7);
  const most = found.reduce((best, one) => (!best || rank(one) > rank(best) ? one : best), null);
  return (said.length || !most || most[1] <= LEANS ? said : [most]).map((one) => one[0]);
}
