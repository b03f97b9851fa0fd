// The figures of the result: the twin of result.py.

// The chance of each period, from the weight of each bin; from that of each cell where some series have their own.
function periodChances(prepared, line, weights) {
  const chances = new Array(prepared.model.periods.length + 1).fill(0);
  if (prepared.model.periods.some((period) => period.series)) {
    prepared.rows.forEach(([series], row) => {
      prepared.periodOf[series].forEach((period, t) => { chances[period] += weights[row * prepared.bins + t]; });
    });
  } else {
    line.forEach((weight, t) => { chances[prepared.periodOf[0][t]] += weight; });
  }
  return chances;
}

// The weight of a row's bins by when its cars' numbers were given out.
function byNumber({ prepared, weights }, row) {
  const span = prepared.assembled[row];
  const line = Array.from(weights.slice(row * prepared.bins, (row + 1) * prepared.bins));
  return span ? delayedCars(prepared.model.edges, line, [-span[1], -span[0]]) : line;
}

function numbersOf(state, byRow) {
  const prepared = state.prepared;
  const found = [];
  prepared.model.series.forEach((_, at) => {
    const rows = prepared.rows.map((__, row) => row).filter((row) => prepared.rows[row][0] === at);
    const chance = sum(rows.map((row) => byRow[row]));
    if (chance < prepared.model.telling.series) { return; }
    const given = rows.map((row) => byNumber(state, row));
    const line = prepared.periodOf[0].map((__, t) => sum(given.map((one) => one[t])));
    const ends = numbersIn(prepared, at, shortest(prepared.model.edges, line, prepared.model.telling.spans[0]));
    if (ends) { found.push({ series: at, first: ends[0], last: ends[1], chance }); }
  });
  return found;
}

function figures(state) {
  const prepared = state.prepared;
  const model = prepared.model;
  const line = overTime(prepared, state.weights);
  const [edges, weights] = byDays(state, line);
  const spans = [];
  let outer = null;
  for (const level of model.telling.spans) {
    outer = outer ? shortestWithin(edges, weights, level, outer) : shortest(edges, weights, level);
    spans.push(...piecesOf(edges, weights, outer, model.telling).map((stretch) => ({ level, stretch })));
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
  return { line, spans, periods: periodChances(prepared, line, state.weights), interiors, specifications: [...specifications.values()],
    numbers: numbersOf(state, byRow) };
}

function lengthNow(concluded) {
  const nine = guide.days.widest(concluded.spans).map((one) => one.stretch);
  return nine[nine.length - 1].end - nine[0].start;
}
