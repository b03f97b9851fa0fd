// The next look: the twin of look.py.

const EQUAL = 1e-9;         // scores nearer than this are equal

function entropy(chances) {
  const total = sum(chances);
  let bits = 0;
  for (let at = 0; total > 0 && at < chances.length; at += 1) {
    if (chances[at] > 0) { bits -= chances[at] / total * Math.log2(chances[at] / total); }
  }
  return bits;
}

function wouldStop(state, periods, line) {
  const { stop, telling } = state.prepared.model;
  if (most(periods) >= stop.period * sum(periods)) { return "period"; }
  const whole = shortest(...byDays(state, line), telling.spans[0]);
  return whole.end - whole.start <= stop.fine_days ? "fine-enough" : null;
}

function reachOf(state, mark) {
  const one = state.prepared.model.marks[mark];
  const allowed = state.session.reach || [];
  if (!allowed.length || allowed.includes(one.reach)) { return { within: true, reach: one.reach }; }
  if (allowed.includes("photographs") && one.photographs) { return { within: true, reach: "photographs" }; }
  return { within: false, reach: one.reach };
}

function afterAnswer(state, mark, form) {
  const prepared = state.prepared;
  const said = prepared.reports[mark][form];
  const vector = { own: said, under: said.map(() => 1), donor: said };
  return blockLikelihood(prepared, prepared.blocks[prepared.blockOf[mark]], new Map(state.vectors).set(mark, vector));
}

function timeAfter(state, mark, line) {
  const at = state.prepared.blockOf[mark];
  const cells = spread(state.prepared, state.prepared.blocks[at], line);
  return overTime(state.prepared, times(cells, asking(state, at)));
}

function most(periods) {
  let best = 0;
  for (let at = 0; at < periods.length - 1; at += 1) { if (periods[at] > best) { best = periods[at]; } }
  return best;
}

// Whether one would stop; `lineOf` gives the weight of each bin, asked for only where some run of periods that a span
// just fine enough can touch holds nine in ten.
function isEnough(state, periods, total, lineOf) {
  const { model: { stop, telling }, fineRuns } = state.prepared;
  if (most(periods) >= stop.period * total) { return true; }
  return fineRuns.some((run) => run.reduce((held, at) => held + periods[at], 0) >= telling.spans[0] * total)
    && wouldStop(state, periods, lineOf()) !== null;
}

function effortOf(state, mark, reach, paid) {
  return state.prepared.model.marks[mark].effort + (paid.has(reach) ? 0 : state.prepared.model.reaches[reach] || 0);
}

function paidReaches(state) { return new Set(state.answers.map((one) => reachOf(state, one.mark).reach)); }

// The weight of each period with each answer to a mark; `lines` are the likelihoods per piece where they are needed.
function answersTo(state, mark, weights) {
  const prepared = state.prepared;
  const block = prepared.blocks[prepared.blockOf[mark]];
  const count = prepared.model.periods.length + 1;
  const { periods, profiles } = block;
  return prepared.saidOfMix[mark].map((said, form) => {
    const sums = new Float64Array(count);
    if (block.lone) {
      for (let piece = 0; piece < weights.length; piece += 1) { sums[periods[piece]] += weights[piece] * said[profiles[piece]]; }
    } else {
      const line = afterAnswer(state, mark, form);
      for (let piece = 0; piece < weights.length; piece += 1) { sums[periods[piece]] += weights[piece] * line[piece]; }
    }
    return sums;
  });
}

function looks(state) {
  const prepared = state.prepared;
  const model = prepared.model;
  const known = new Set([...state.answers.map((one) => one.mark), ...state.hidden, ...toldByNumber(state)]);
  const paid = paidReaches(state);
  const line = overTime(prepared, state.weights);
  const periods = periodChances(prepared, line, state.weights);
  const now = entropy(periods);
  const stopped = wouldStop(state, periods, line) !== null; // then each look leads to where one would, whatever it tells
  const weightsOf = new Map();
  const found = [];
  model.marks.forEach((one, mark) => {
    if (known.has(mark) || one.ask === false) { return; }
    const at = prepared.blockOf[mark];
    if (!weightsOf.has(at)) { weightsOf.set(at, masses(state, at, asking)); }
    const joint = answersTo(state, mark, weightsOf.get(at));
    const totals = joint.map(sum);
    const whole = sum(totals);
    let after = 0;
    joint.forEach((sums, form) => {
      const lineOf = () => timeAfter(state, mark, afterAnswer(state, mark, form));
      if (totals[form] > 0 && (stopped || !isEnough(state, sums, totals[form], lineOf))) {
        after += totals[form] / whole * entropy(sums);
      }
    });
    const { within: near, reach } = reachOf(state, mark);
    found.push({ mark, reach, gain_bits: Math.max(now - after, 0), effort: effortOf(state, mark, reach, paid), within: near, joint });
  });
  return found;
}

function choose(candidates, least) {
  let best = null;
  for (const look of candidates) {
    if (look.gain_bits < least) { continue; }
    if (!best || look.gain_bits / look.effort > best.gain_bits / best.effort + EQUAL) { best = look; }
  }
  return best;
}

// How long, in days, the span of nine in ten can be expected to be after a look.
function expectedLength(state, look) {
  let total = 0;
  let length = 0;
  state.prepared.model.marks[look.mark].forms.forEach((_, form) => {
    const line = timeAfter(state, look.mark, afterAnswer(state, look.mark, form));
    const weight = sum(line);
    if (weight > 0) {
      const whole = shortest(...byDays(state, line), state.prepared.model.telling.spans[0]);
      total += weight;
      length += weight * (whole.end - whole.start);
    }
  });
  return length / total;
}
