// Looking ahead: the twin of ahead.py.

const WORK = 12000;         // looks weighed squared, times series and bins
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

// By reach the effort that a bit is reckoned at once one is there; only reaches where something is told.
function pricesOf(model, few) {
  const rates = new Map();
  few.forEach((look) => { rates.set(look.reach, Math.max(rates.get(look.reach) || 0, look.gain_bits / model.marks[look.mark].effort)); });
  return [...rates].filter(([, rate]) => rate > EQUAL).map(([reach, rate]) => [reach, Math.max(LEAST_EFFORT, model.stop.bit_effort / rate)]);
}

// The effort that so many bits left unknown are reckoned at.
function reckoned(model, prices, bits, paid) {
  if (bits <= 0) { return 0; }
  const efforts = prices.map(([reach, price]) => (paid.has(reach) ? 0 : model.reaches[reach] || 0) + bits * price);
  return efforts.length ? Math.min(...efforts) : bits * LEAST_EFFORT;
}

// The effort still to be spent after an answer, times the chance of the answer. `done` are the looks taken until then,
// `paid` the reaches; `deeper`: the best look next is followed too.
function leftAfter(weighed, joint, done, paid, deeper) {
  const { state, few, tables, prices } = weighed;
  const { prepared } = state;
  const { model } = prepared;
  const periods = placePeriods(prepared, joint);
  const total = sum(periods);
  if (total <= 0 || isEnough(state, periods, total, () => overTime(prepared, joint))) { return 0; }
  let left = total * reckoned(model, prices, entropy(periods), paid);
  let follow = null;
  few.forEach((look, at) => {
    if (done.includes(at)) { return; }
    const effort = total * effortOf(state, look.mark, look.reach, paid);
    const reaches = new Set(paid).add(look.reach);
    const unknown = sum(tables[at].given.map((given) => {
      const sums = placePeriods(prepared, joint, given);
      const share = sum(sums);
      return share > 0 && most(sums) < model.stop.period * share ? share * reckoned(model, prices, entropy(sums), reaches) : 0;
    }));
    if (effort + unknown < left - EQUAL) {
      left = effort + unknown;
      follow = { effort, at, reaches };
    }
  });
  if (!follow || !deeper) { return left; }
  const onward = tables[follow.at].given.map((given) => (
    leftAfter(weighed, times(joint, given), done.concat(follow.at), follow.reaches, false)));
  return Math.min(left, follow.effort + sum(onward));
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
  const weighed = { state, few, tables, prices: pricesOf(prepared.model, few) };
  const paid = paidReaches(state);
  let best = null;
  few.forEach((look, at) => {
    const reaches = new Set(paid).add(look.reach);
    const cost = look.effort + sum(tables[at].joint.map((joint) => leftAfter(weighed, joint, [at], reaches, true)));
    if (!best || cost < best.cost - EQUAL) { best = { cost, look }; }
  });
  return best.look;
}
