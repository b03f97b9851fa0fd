// One step of look-ahead: the twin of ahead.py.

const WORK = 12000;         // looks weighed squared, times series and bins
const DEEPER = 2;           // looks, and looks after each answer to them, of which it is weighed what comes after
const DEARER = 1.25;        // times what a bit is reckoned at where that is weighed
const LEAST_EFFORT = 1;     // that a bit is reckoned at

// The weight of each answer by place (series and bin laid end to end), adding up to one.
function byPlace(state, mark) {
  const prepared = state.prepared;
  const bins = prepared.bins;
  const at = prepared.blockOf[mark];
  const weights = asking(state, at);
  const joint = prepared.model.marks[mark].forms.map((_, form) => {
    const cells = spread(prepared, prepared.blocks[at], afterAnswer(state, mark, form));
    const line = new Float64Array(prepared.model.series.length * bins);
    prepared.rows.forEach(([series], row) => {
      for (let t = 0; t < bins; t += 1) { line[series * bins + t] += cells[row * bins + t] * weights[row * bins + t]; }
    });
    return line;
  });
  const place = joint[0].map((_, p) => sum(joint.map((line) => line[p])));
  const whole = sum(place);
  return { joint: joint.map((line) => line.map((value) => value / whole)),
    given: joint.map((line) => line.map((value, p) => (place[p] > 0 ? value / place[p] : 0))) };
}

// The weight of each period in `joint`, or in `joint` times `given`.
function placePeriods(prepared, joint, given) {
  const sums = new Array(prepared.model.periods.length + 1).fill(0);
  for (let p = 0; p < joint.length; p += 1) {
    sums[prepared.periodOf[Math.floor(p / prepared.bins)][p % prepared.bins]] += given ? joint[p] * given[p] : joint[p];
  }
  return sums;
}

// The few looks, by their places, that cost least: of [cost, place] each.
function leastOf(costs) {
  return costs.sort((a, b) => Math.round(a[0] * 1e7) - Math.round(b[0] * 1e7) || a[1] - b[1]).slice(0, DEEPER).map((one) => one[1]);
}

// The effort still to be spent after an answer, times the chance of the answer; `done` are the places of the looks taken.
// `deeper`: with the second look told by what is left after each answer to it, and not by the bits it leaves.
function leftAfter(state, few, tables, done, joint, paid, bit, deeper) {
  const prepared = state.prepared;
  const stop = prepared.model.stop;
  const periods = placePeriods(prepared, joint);
  const total = sum(periods);
  if (total <= 0 || isEnough(state, periods, total, () => overTime(prepared, joint))) { return 0; }
  const unknown = entropy(periods);
  const free = new Set(paid);
  done.forEach((at) => free.add(few[at].reach));
  const effort = (other) => effortOf(state, few[other].mark, few[other].reach, free);
  const second = [];
  few.forEach((look, other) => {
    if (done.includes(other)) { return; }
    const after = sum(tables[other].given.map((given) => {
      const sums = placePeriods(prepared, joint, given);
      const share = sum(sums);
      return share > 0 && most(sums) < stop.period * share ? share / total * entropy(sums) : 0;
    }));
    second.push([effort(other) + bit * Math.min(after, unknown), other]);
  });
  if (!deeper) { return total * second.reduce((least, one) => Math.min(least, one[0]), bit * unknown); }
  return total * leastOf(second).reduce((least, other) => {
    const after = sum(tables[other].given.map((given) => leftAfter(state, few, tables, done.concat(other), times(joint, given), paid, bit, false)));
    return Math.min(least, effort(other) + after / total);
  }, bit * unknown);
}

function chooseAhead(state, candidates) {
  if (candidates.length < 2) { return candidates[0] || null; }
  const prepared = state.prepared;
  const places = prepared.bins * prepared.model.series.length;
  const count = Math.min(16, Math.max(3, Math.floor(Math.sqrt(Math.floor(WORK / places)))));
  const rank = (look) => Math.round(look.gain_bits / look.effort * 1e7);
  const few = candidates.slice().sort((a, b) => rank(b) - rank(a) || a.mark - b.mark).slice(0, count)
    .sort((a, b) => a.mark - b.mark);
  const tables = few.map((look) => byPlace(state, look.mark));
  // a bit left unknown is reckoned at somewhat more than the best look now takes per bit
  const rate = Math.max(...candidates.map((look) => look.gain_bits / look.effort));
  const bit = rate > EQUAL ? Math.max(LEAST_EFFORT, prepared.model.stop.bit_effort / rate) : LEAST_EFFORT;
  const paid = paidReaches(state);
  const whole = (at, each, deeper) => [few[at].effort + sum(tables[at].joint.map((joint) => (
    leftAfter(state, few, tables, [at], joint, paid, each, deeper)))), at];
  let best = leastOf(few.map((_, at) => whole(at, bit, false)));
  if (few.length === candidates.length) { best = leastOf(best.map((at) => whole(at, bit * DEARER, true))); }
  return few[best[0]];
}
