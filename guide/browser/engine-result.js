// Spans, the figures of the result and what stands apart: the twin of span.py, result.py and apart.py, which hold
// the theory.
// needs: engine-belief
(function (guide) {
  "use strict";

  const { sum, times, running, reported, tells, blockLikelihood, masses, chanceOfForms } = guide.engine.inside;
  const LEVELS = [0.9, 0.5];
  const CLOSE = 1e-7;         // days

  // ---- the shortest span (span.py) ----

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

  function gathered(edges, sums, day) {
    if (day <= edges[0]) { return 0; }
    const at = Math.min(place(edges, day, true) - 1, edges.length - 2);
    return sums[at] + Math.min((day - edges[at]) / (edges[at + 1] - edges[at]), 1) * (sums[at + 1] - sums[at]);
  }

  // The stretch, or the two parts either side of a hole over a third of its length holding under 2 %.
  function piecesOf(edges, weights, whole) {
    const sums = running(weights);
    const total = sums[weights.length];
    const inside = edges.map((_, at) => at).filter((at) => whole.start + CLOSE < edges[at] && edges[at] < whole.end - CLOSE);
    const length = whole.end - whole.start;
    const dense = (at) => weights[at] > 0.02 * total / (length / 3) * (edges[at + 1] - edges[at]);
    let best = null;
    for (const first of inside) {
      if (dense(first)) { continue; }
      let last = Math.min(place(sums, sums[first] + 0.02 * total) - 1, inside[inside.length - 1]);
      while (last > first && dense(last - 1)) { last -= 1; }
      const found = edges[last] - edges[first];
      if (found > length * (1 / 3) && (!best || found > edges[best[1]] - edges[best[0]])) { best = [first, last]; }
    }
    if (!best) { return [whole]; }
    return [[whole.start, edges[best[0]]], [edges[best[1]], whole.end]].map(([start, end]) => (
      { start, end, weight: (gathered(edges, sums, end) - gathered(edges, sums, start)) / total }));
  }

  // First and last whole day (inclusive) that a stretch touches.
  function daysBetween(stretch) {
    const first = Math.floor(stretch.start + 1e-6);
    return [first, Math.max(first, Math.ceil(stretch.end - 1e-6) - 1)];
  }

  // ---- figures of the result (result.py, number.py) ----

  function overTime(prepared, weights) {
    const bins = prepared.bins;
    const line = new Array(bins).fill(0);
    for (let cell = 0; cell < weights.length; cell += 1) { line[cell % bins] += weights[cell]; }
    return line;
  }

  function periodChances(prepared, line) {
    const chances = new Array(prepared.model.periods.length + 1).fill(0);
    line.forEach((weight, t) => { chances[prepared.periodOf[t]] += weight; });
    return chances;
  }

  function writeAt(prepared, at, position) {
    const series = prepared.model.series[at];
    const row = prepared.model.numbers.series.find((one) => one.id === series.id);
    let start = 0;
    for (const [prefix, first, cars] of series.runs) {
      if (position < start + cars) {
        const digits = String(first + position - start);
        const notation = row.notations.find((one) => (prefix === "" || one.prefix === prefix) && digits.length <= one.digits);
        const padded = digits.padStart(notation.digits, "0").split("");
        return notation.written.split("").map((sign) => (sign === "#" ? padded.shift() : sign)).join("");
      }
      start += cars;
    }
    throw new Error(series.id + " has no position " + position);
  }

  const ROUNDED = 0.05; // cars: more than the thousandths add up to in which the model writes the cars of each slot

  function numbersIn(prepared, at, whole) {
    const series = prepared.model.series[at];
    if (!series.runs || !series.runs.length) { return null; }
    const edges = prepared.model.edges;
    const before = prepared.before[at];
    const carsBy = (day) => {
      const t = within(place(edges, day, true) - 1, 0, edges.length - 2);
      return before[t] + within((day - edges[t]) / (edges[t + 1] - edges[t]), 0, 1) * (before[t + 1] - before[t]);
    };
    const tolerance = series.tolerance_cars || 0;
    const count = sum(series.runs.map((run) => run[2]));
    const earliest = Math.floor(carsBy(whole.start) + ROUNDED);
    const latest = Math.ceil(carsBy(whole.end) - ROUNDED) - 1;
    const shut = before.slice(0, -1).filter((cars, t) => series.cars[t] <= 0 && before[0] < cars && cars < before[before.length - 1])
      .map(Math.round);                                          // no car stands on the other side of a closure
    const first = Math.max(earliest - tolerance, ...shut.filter((cars) => cars <= earliest));
    const last = Math.min(latest + tolerance, ...shut.filter((cars) => cars > latest).map((cars) => cars - 1));
    return [writeAt(prepared, at, within(first, 0, count - 1)), writeAt(prepared, at, within(last, 0, count - 1))];
  }

  function numbersOf(state, byRow) {
    const prepared = state.prepared;
    const found = [];
    prepared.model.series.forEach((_, at) => {
      const rows = prepared.rows.map((__, row) => row).filter((row) => prepared.rows[row][0] === at);
      const chance = sum(rows.map((row) => byRow[row]));
      if (chance < 0.01) { return; }
      const line = prepared.periodOf.map((__, t) => sum(rows.map((row) => state.weights[row * prepared.bins + t])));
      const ends = numbersIn(prepared, at, shortest(prepared.model.edges, line, LEVELS[0]));
      if (ends) { found.push({ series: at, first: ends[0], last: ends[1], chance }); }
    });
    return found;
  }

  function figures(state) {
    const prepared = state.prepared;
    const model = prepared.model;
    const line = overTime(prepared, state.weights);
    const spans = [];
    let outer = null;
    for (const level of LEVELS) {
      outer = outer ? shortestWithin(model.edges, line, level, outer) : shortest(model.edges, line, level);
      spans.push(...piecesOf(model.edges, line, outer).map((stretch) => ({ level, stretch })));
    }
    const byRow = prepared.rows.map((_, row) => sum(state.weights.slice(row * prepared.bins, (row + 1) * prepared.bins)));
    const trim = model.marks.findIndex((mark) => mark.kind === "interior");
    const built = trim < 0 ? null : chanceOfForms(state, trim, false);
    const interiors = model.interiors.map((one) => {
      if (!built) { return 1; }
      const at = model.marks[trim].forms.findIndex((form) => form.id === one.id);
      return at < 0 ? 0 : built[at];
    });
    const specifications = new Map();
    const keyOf = (c) => JSON.stringify(model.specifications[c].splits);
    model.specifications.forEach((one, c) => {
      if (!specifications.has(keyOf(c))) { specifications.set(keyOf(c), { splits: one.splits, chance: 0 }); }
    });
    prepared.rows.forEach(([, c], row) => { specifications.get(keyOf(c)).chance += byRow[row]; });
    return { line, spans, periods: periodChances(prepared, line), interiors, specifications: [...specifications.values()],
      numbers: numbersOf(state, byRow) };
  }

  // ---- what stands apart (apart.py) ----

  function looksLike(state, mark, forms) {
    const prepared = state.prepared;
    const bins = prepared.bins;
    const vector = prepared.model.marks[mark].forms.map((_, form) => (forms.includes(form) ? 1 : 0));
    const block = prepared.blocks[prepared.blockOf[mark]];
    const even = { own: vector, under: vector, donor: vector.map(() => 1) };
    const line = blockLikelihood(prepared, block, new Map([[mark, even]]));
    const byRow = new Array(block.rowCount).fill(0);
    block.rowOf.forEach((own, row) => { byRow[own] += sum(state.weights.slice(row * bins, (row + 1) * bins)); });
    const fitted = new Array(bins).fill(0);
    const built = new Array(bins).fill(0);
    block.rows.forEach((own, piece) => {
      const first = Math.max(block.starts[piece] - own * bins, block.spans[own][0]);
      const end = Math.min(block.ends[piece] - own * bins, block.spans[own][1]);
      for (let t = first; t < end; t += 1) {
        fitted[t] += byRow[own] * line[piece];
        built[t] += byRow[own];
      }
    });
    const usual = fitted.map((_, t) => t).filter((t) => built[t] > 1e-9 && fitted[t] >= (0.5 - 1e-9) * built[t]);
    return usual.length ? [usual[0], usual[usual.length - 1]] : null;
  }

  function apartOf(state, mark, answer) {
    const prepared = state.prepared;
    const expected = chanceOfForms(state, mark, true);
    if (!tells(answer)) {
      const chance = answer.kind === "cannot-tell" ? 0 : 1;
      return { mark, answer, chance, replaced: chance, misread: 0, expected, looks: null };
    }
    const one = prepared.model.marks[mark];
    const forms = one.forms.map((_, at) => at).filter((at) => answer.forms.includes(one.forms[at].id));
    const { everything, truly } = reported(one, forms);
    const other = one.forms.map((_, form) => (forms.includes(form) ? 0 : 1));
    const at = prepared.blockOf[mark];
    const block = prepared.blocks[at];
    const weights = masses(state, at);
    const weigh = (vector) => sum(times(weights, blockLikelihood(prepared, block, new Map(state.vectors).set(mark, vector))));
    const whole = weigh(state.vectors.get(mark));
    const chance = Math.min(weigh({ own: times(everything, other), under: other, donor: everything }) / whole, 1);
    const replaced = Math.min(weigh({ own: times(truly, other), under: other, donor: truly }) / whole, chance);
    return { mark, answer, chance, replaced, misread: chance - replaced, expected, looks: looksLike(state, mark, forms) };
  }

  function standsApart(state) {
    const rank = (one) => Math.round(one.chance * 1e7);
    return state.answers.map(({ mark, answer }) => apartOf(state, mark, answer))
      .sort((a, b) => rank(b) - rank(a) || a.mark - b.mark);
  }

  Object.assign(guide.engine.inside, { shortest, daysBetween, overTime, periodChances, figures, standsApart });
}(globalThis.guide = globalThis.guide || {}));
