// The shortest span: the twin of span.py.

const CLOSE = 1e-7;         // days

// The first place in rising `values` that is not below (`after`: that is above) `wanted`.
function place(values, wanted, after) {
  let low = 0;
  let high = values.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (values[middle] < wanted || (after && values[middle] === wanted)) { low = middle + 1; } else { high = middle; }
  }
  return low;
}

const within = (value, low, high) => Math.min(Math.max(value, low), high);

function dayOf(edges, sums, weight) {
  const at = within(place(sums, weight), 1, edges.length - 1);
  const [below, above] = [sums[at - 1], sums[at]];
  const part = above > below ? (weight - below) / (above - below) : 1;
  return edges[at - 1] + within(part, 0, 1) * (edges[at] - edges[at - 1]);
}

function dayOfStart(edges, sums, weight) {
  const at = within(place(sums, Math.max(weight, 0), true) - 1, 0, edges.length - 2);
  const [below, above] = [sums[at], sums[at + 1]];
  const part = above > below ? (weight - below) / (above - below) : 0;
  return edges[at] + within(part, 0, 1) * (edges[at + 1] - edges[at]);
}

function shortest(edges, weights, level) {
  const sums = running(weights);
  const total = sums[weights.length];
  const want = level * total;
  let best = null;
  const take = (start, end) => {
    const shorter = best ? (end - start) - (best.end - best.start) : -1;
    if (!best || (Math.abs(shorter) > CLOSE ? shorter < 0 : start < best.start - CLOSE)) { best = { start, end, weight: level }; }
  };
  for (let at = 0; at < weights.length; at += 1) {
    if (weights[at] <= 0) { continue; }
    if (sums[at] + want <= total * (1 + 1e-12)) { take(edges[at], dayOf(edges, sums, Math.min(sums[at] + want, total))); }
    if (sums[at + 1] - want >= -total * 1e-12) { take(dayOfStart(edges, sums, sums[at + 1] - want), edges[at + 1]); }
  }
  return best;
}

// The shortest stretch inside `outer`, so that half of the cars never stick out of nine in ten of them.
function shortestWithin(edges, weights, level, outer) {
  const bins = weights.map((_, at) => at).filter((at) => edges[at + 1] > outer.start + CLOSE && edges[at] < outer.end - CLOSE);
  const ends = [outer.start].concat(bins.slice(1).map((at) => edges[at]), [outer.end]);
  const inside = bins.map((at, place) => weights[at] * (ends[place + 1] - ends[place]) / (edges[at + 1] - edges[at]));
  const found = shortest(ends, inside, Math.min(level * sum(weights) / sum(inside), 1));
  return { start: found.start, end: found.end, weight: level };
}

// The weight gathered by a day: none before the first edge, all of it after the last.
function weightBy(edges, sums, day) {
  if (day <= edges[0]) { return 0; }
  const at = Math.min(place(edges, day, true) - 1, edges.length - 2);
  return sums[at] + Math.min((day - edges[at]) / (edges[at + 1] - edges[at]), 1) * (sums[at + 1] - sums[at]);
}

// The stretch, or the two parts either side of a hole that is long and holds next to nothing; one where the other, with the
// hole, holds less than a hole may.
function piecesOf(edges, weights, whole, telling) {
  const sums = running(weights);
  const total = sums[weights.length];
  const inside = edges.map((_, at) => at).filter((at) => whole.start + CLOSE < edges[at] && edges[at] < whole.end - CLOSE);
  const length = whole.end - whole.start;
  const [longest, most] = [telling.hole_share * length, telling.hole_weight * total];
  const dense = (at) => weights[at] > most / longest * (edges[at + 1] - edges[at]);
  let best = null;
  for (const first of inside) {
    if (dense(first)) { continue; }
    let last = Math.min(place(sums, sums[first] + most) - 1, inside[inside.length - 1]);
    while (last > first && dense(last - 1)) { last -= 1; }
    const found = edges[last] - edges[first];
    if (found > longest && (!best || found > edges[best[1]] - edges[best[0]])) { best = [first, last]; }
  }
  if (!best) { return [whole]; }
  const parts = [[whole.start, edges[best[0]]], [edges[best[1]], whole.end]].map(([start, end]) => (
    { start, end, weight: (weightBy(edges, sums, end) - weightBy(edges, sums, start)) / total }));
  const alone = parts.find((part) => whole.weight - part.weight < telling.hole_weight);  // a splinter is no date
  return alone ? [alone] : parts;
}

// First and last whole day (inclusive) that a stretch touches.
function daysBetween(stretch) {
  const first = Math.floor(stretch.start + 1e-6);
  return [first, Math.max(first, Math.ceil(stretch.end - 1e-6) - 1)];
}
