// The belief about one car: the twin of state.py.

const NO_CAR = "no car can give all these answers";

function normal(weights) {
  const total = sum(weights);
  if (total <= 0) { throw new Error(NO_CAR); }
  return weights.map((weight) => weight / total);
}

function vectorsOf(prepared, mark, forms) {
  const own = reported(prepared.model.marks[mark], forms).everything;
  return { own, under: own.map(() => 1), donor: own };
}

// The weights once it is known that the car has some marks: a row of cars without one only by misreading.
function having(prepared, weights, marks) {
  return marks.map((mark) => prepared.model.marks[mark]).filter((mark) => mark.had_by).reduce((held, mark) => (
    held.map((weight, cell) => {
      const [s, c] = prepared.rows[Math.floor(cell / prepared.bins)];
      return mark.had_by[s].includes(c) ? weight : weight * mark.misread;
    })), weights);
}

function believe(prepared, session, paced = true) {
  const said = new Map();
  for (const answer of session.answers) {
    if (!prepared.markAt.has(answer.mark)) { throw new Error("no mark '" + answer.mark + "'"); }
    said.delete(answer.mark);
    said.set(answer.mark, answer);
  }
  const answers = [...said.values()].map((answer) => ({ mark: prepared.markAt.get(answer.mark), answer }));
  const { marks } = prepared.model;
  const seen = answers.map(({ mark, answer }) => [mark, seenForms(marks[mark], answer)]).filter(([, forms]) => forms.length);
  const vectors = new Map(seen.map(([mark, forms]) => [mark, vectorsOf(prepared, mark, forms)]));
  const hidden = new Set(answers.flatMap(({ mark, answer }) => hiddenBy(marks[mark], answer)).map((id) => prepared.markAt.get(id)));
  answers.forEach(({ mark }) => hidden.delete(mark));
  let weights = Float64Array.from(prepared.weights);
  const { car, further } = session.car ? readCars(prepared, session.car) : { car: null, further: [] };
  const numbers = car && !car.failure ? [car, ...further] : further;
  const papers = Object.fromEntries(Object.entries(session.known || {}).filter(([kind]) => kind !== "restored"));
  const daily = dailyOf(prepared, numbers, papers, said, paced);
  if (daily) { weights = normal(times(weights, daily.byCell)); }
  weights = having(prepared, weights, answers.filter(({ answer }) => showsPart(answer)).map(({ mark }) => mark));
  const asked = [...new Set([...vectors.keys()].map((mark) => prepared.blockOf[mark]))].sort((a, b) => a - b);
  const laid = asked.map((at) => spread(prepared, prepared.blocks[at], blockLikelihood(prepared, prepared.blocks[at], vectors)));
  const before = [weights];
  laid.forEach((line, at) => { before.push(times(before[at], line)); });
  const asBuilt = new Map();           // of cars as they were built: the weights with each answered block left out
  let after = null;
  for (let at = asked.length - 1; at >= 0; at -= 1) {
    asBuilt.set(asked[at], after ? times(before[at], after) : before[at]);
    after = after ? times(laid[at], after) : laid[at];
  }
  const cars = prepared.model.chances.restored;
  const share = "restored" in (session.known || {}) ? cars.known : cars.share;
  const restored = share && vectors.size ? restoredOf(prepared, weights, vectors) : null;
  const other = restored && times(weights, likelihoodsRestored(restored));
  const mixed = restored ? before[asked.length].map((one, at) => (1 - share) * one + share * other[at]) : before[asked.length];
  const believed = normal(mixed);
  const found = daily && withinBins(prepared, daily, believed);
  const held = sum(believed.filter((_, cell) => prepared.assembled[Math.floor(cell / prepared.bins)]));
  // it may well have been put together elsewhere, so that its number has another time than it
  const elsewhere = "assembled" in (session.known || {}) || held >= prepared.model.telling.mention;
  return { prepared, session, answers, car, daily, vectors, known: weights, hidden, elsewhere, asked, laid, asBuilt, restored,
    share: restored ? share : 0, chanceRestored: restored ? share * sum(other) / sum(mixed) : 0, weights: believed,
    sums: new Map(), cells: new Map(),
    within: found && found.some(Boolean) ? found : null };
}

function remembered(state, key, work) {
  if (!state.cells.has(key)) { state.cells.set(key, work()); }
  return state.cells.get(key);
}

// The weights of cars as they were built, a block's own answers left out; of a block not asked of, all weights.
const ofBuilt = (state, at) => state.asBuilt.get(at) || state.weights;

// The weights with a block's own answers left out.
function without(state, at) {
  if (!state.restored || !state.asBuilt.has(at)) { return ofBuilt(state, at); }
  return remembered(state, "without " + at, () => {
    const other = times(state.known, likelihoodsRestored(state.restored, state.prepared.blocks[at].marks));
    return state.asBuilt.get(at).map((one, cell) => (1 - state.share) * one + state.share * other[cell]);
  });
}

// The weights that a further answer to a block multiplies, together with those that it had.
function asking(state, at) {
  if (!state.restored || !state.asBuilt.has(at)) { return ofBuilt(state, at); }
  return remembered(state, "asking " + at, () => {
    const said = state.laid[state.asked.indexOf(at)];
    return state.weights.map((weight, cell) => (said[cell] ? weight / said[cell] : 0));
  });
}

// The weight in each piece of a block, of `ofBuilt` or `asking`. Blocks that divide the rows alike share the sums.
function masses(state, at, which) {
  const block = state.prepared.blocks[at];
  const key = state.asBuilt.has(at) ? which.name + at : block.rowKey;
  if (!state.sums.has(key)) { state.sums.set(key, merged(state.prepared, block, which(state, at))); }
  return massesFrom(block, state.sums.get(key));
}

// For each form of a mark, the chance that the car was built with it; `leaveOut` leaves its own answer out.
function chanceOfForms(state, mark, leaveOut) {
  const at = state.prepared.blockOf[mark];
  const block = state.prepared.blocks[at];
  const weights = masses(state, at, ofBuilt);
  const restored = state.asBuilt.has(at) ? state.restored : null;
  const said = leaveOut ? undefined : state.vectors.get(mark);
  const chances = state.prepared.model.marks[mark].forms.map((_, form, forms) => {
    const one = forms.map((__, built) => (built === form ? 1 : 0));
    const vector = { own: said ? times(one, said.own) : one, under: one, donor: said ? said.donor : one.map(() => 1) };
    const chance = sum(times(weights, blockLikelihood(state.prepared, block, new Map(state.vectors).set(mark, vector))));
    return restored ? (1 - state.share) * chance + state.share * weighRestored(restored, mark, vector) : chance;
  });
  const total = sum(chances);
  return chances.map((chance) => chance / total);
}

function overTime(prepared, weights) {
  const bins = prepared.bins;
  const line = new Array(bins).fill(0);
  for (let cell = 0; cell < weights.length; cell += 1) { line[cell % bins] += weights[cell]; }
  return line;
}
