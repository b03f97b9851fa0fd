// What number and papers say day by day: the twin of daily.py.

const ALIKE = 1.5;          // a bin of which no day is so many times as likely as another stays whole

const eachBin = (prepared, found) => prepared.periodOf[0].map((_, t) => found(prepared.model.edges[t], prepared.model.edges[t + 1], t));
const binMeans = (prepared, line) => eachBin(prepared, (start, end) => sum(line.slice(start, end)) / (end - start));

function dailyOf(prepared, car, known, said, paced) {
  const kinds = Object.keys(known);
  if (!car && !kinds.length) { return null; }
  let line = new Array(prepared.model.edges[prepared.bins]).fill(1);
  kinds.filter((kind) => kind !== "model-year").forEach((kind) => {
    const renewed = kind.startsWith("part:") ? said.get(kind.slice(5)) : undefined;
    line = times(line, daysOfKnown(prepared, kind, known[kind], !renewed || !["changed", "none"].includes(renewed.kind)));
  });
  const lines = car ? daysOfNumber(prepared, car, paced).map((one) => times(line, one)) : [line];
  const lineOf = prepared.rows.map((_, row) => (car && !fitsRow(prepared, car, row) ? 1 : 0));
  const means = lines.map((one) => binMeans(prepared, one));
  let byCell = [].concat(...lineOf.map((at) => means[at]));
  if ("model-year" in known) { byCell = times(byCell, factorOfModelYear(prepared, known["model-year"].trim())); }
  return { lines, lineOf, means, wrong: car ? lines[1] : null, byCell };
}

// The chance that the number is not the own one of a car of each cell which carries it.
function wrongByCell({ prepared, daily }) {
  if (!daily.wrong) { return daily.byCell.map(() => 0); }
  const wrong = binMeans(prepared, daily.wrong);
  const parts = daily.means.map((means) => means.map((mean, t) => (mean ? wrong[t] / mean : 0)));
  return [].concat(...daily.lineOf.map((at) => parts[at]));
}

// The chance that the number is not the car's own; nought where there is none.
function numberWrong(state) {
  return state.daily ? sum(times(Array.from(state.weights), wrongByCell(state))) : 0;
}

// For each bin whose days differ, the share that each of them has of its weight; null for the others.
function withinBins(prepared, daily, weights) {
  const held = daily.lines.map(() => new Array(prepared.bins).fill(0));
  weights.forEach((weight, cell) => { held[daily.lineOf[Math.floor(cell / prepared.bins)]][cell % prepared.bins] += weight; });
  return eachBin(prepared, (start, end, t) => {
    const days = new Array(end - start).fill(0);
    daily.lines.forEach((line, at) => {
      if (held[at][t] > 0 && daily.means[at][t] > 0) {
        const share = held[at][t] / daily.means[at][t];
        days.forEach((_, day) => { days[day] += share * line[start + day]; });
      }
    });
    const whole = sum(days);
    return whole > 0 && Math.max(...days) > ALIKE * Math.min(...days) ? days.map((day) => day / whole) : null;
  });
}

// Edges and weights of a line of bins, those cut into days whose days number and papers tell apart.
function byDays(state, line) {
  const { edges } = state.prepared.model;
  if (!state.within) { return [edges, line]; }
  const days = [];
  const weights = [];
  line.forEach((weight, t) => {
    (state.within[t] || [1]).forEach((share, day) => { days.push(edges[t] + day); weights.push(weight * share); });
  });
  return [days.concat(edges[edges.length - 1]), weights];
}
