// The likelihood of a block of marks, piece by piece: the twin of blocks.py.

function factorOf(mark, vector) {
  return mark.mixes.map((mix) => (typeof mix === "number" ? vector[mix] : sum(times(mix, vector))));
}

function profileTable(prepared, group, factor) {
  const factors = prepared.model.groups[group].marks.map(factor);
  return prepared.stages[group].map((profile) => {
    if (factors.every((one) => one === null)) { return 1; }
    return profile.reduce((total, stage) => total + stage.mixes.reduce((value, mix, at) => (
      factors[at] === null ? value : value * factors[at][mix]), stage.chance), 0);
  });
}

function jointTable(prepared, block, factor) {
  const tables = block.groups.map((group) => profileTable(prepared, group, factor));
  return block.joint.map((joint) => joint.reduce((value, profile, at) => value * tables[at][profile], 1));
}

// `vectors` maps a mark to {own, under, donor}; a mark without says nothing.
function blockLikelihood(prepared, block, vectors) {
  const marks = prepared.model.marks;
  const pick = (which) => (mark) => {
    const name = vectors.has(mark) ? which(mark) : null;
    return name === null ? null : factorOf(marks[mark], vectors.get(mark)[name]);
  };
  if (!block.sets.length) {
    const table = profileTable(prepared, block.groups[0], pick(() => "own"));
    return Float64Array.from(block.profiles, (profile) => table[profile]);
  }
  const asked = block.sets.filter((set) => prepared.model.sets[set].marks.some((mark) => vectors.has(mark)));
  const total = new Float64Array(block.profiles.length);
  for (let chosen = 0; chosen < 2 ** asked.length; chosen += 1) {
    const renewed = asked.filter((_, at) => Math.floor(chosen / 2 ** at) % 2 === 1);
    const weight = asked.reduce((value, set) => {
      const share = prepared.model.sets[set].share;
      return value * (renewed.includes(set) ? share : 1 - share);
    }, 1);
    const table = jointTable(prepared, block, pick((mark) => (renewed.includes(prepared.setOf[mark]) ? "under" : "own")));
    const byRow = new Float64Array(block.rowCount).fill(weight);
    for (const set of renewed) {
      const donor = jointTable(prepared, block, pick((mark) => (prepared.setOf[mark] === set ? "donor" : null)));
      const shared = new Float64Array(block.rowCount);
      block.rows.forEach((row, at) => { shared[row] += block.prior[at] * donor[block.profiles[at]]; });
      shared.forEach((value, row) => { byRow[row] *= value; });
    }
    block.rows.forEach((row, at) => { total[at] += byRow[row] * table[block.profiles[at]]; });
  }
  return total;
}

// A value per piece laid out over all cells.
function spread(prepared, block, byPiece) {
  const bins = prepared.bins;
  const lines = new Float64Array(block.rowCount * bins);
  byPiece.forEach((value, at) => { lines.fill(value, block.starts[at], block.ends[at]); });
  const cells = new Float64Array(prepared.weights.length);
  block.rowOf.forEach((own, row) => { cells.set(lines.subarray(own * bins, (own + 1) * bins), row * bins); });
  return cells;
}

function merged(prepared, block, weights) {
  const bins = prepared.bins;
  const lines = new Float64Array(block.rowCount * bins);
  block.rowOf.forEach((own, row) => {
    for (let t = 0; t < bins; t += 1) { lines[own * bins + t] += weights[row * bins + t]; }
  });
  return running(lines);
}

function massesFrom(block, sums) {
  const found = new Float64Array(block.starts.length);
  for (let at = 0; at < found.length; at += 1) { found[at] = sums[block.ends[at]] - sums[block.starts[at]]; }
  return found;
}
