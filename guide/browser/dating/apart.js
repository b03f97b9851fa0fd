// What stands apart: the twin of apart.py.

function looksLike(state, mark, forms) {
  const prepared = state.prepared;
  const bins = prepared.bins;
  const vector = prepared.model.marks[mark].forms.map((_, form) => (forms.includes(form) ? 1 : 0));
  const block = prepared.blocks[prepared.blockOf[mark]];
  const even = { own: vector, under: vector, donor: vector.map(() => 1) };
  const line = blockLikelihood(prepared, block, new Map([[mark, even]]));
  const byRow = new Array(block.rowCount).fill(0);
  const hadBy = prepared.model.marks[mark].had_by;
  block.rowOf.forEach((own, row) => {
    const [s, c] = prepared.rows[row];
    if (!hadBy || hadBy[s].includes(c)) { byRow[own] += sum(state.weights.slice(row * bins, (row + 1) * bins)); }
  });
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

// The chance that a mark stands apart, and that of its part having been replaced.
function apartShares(state, mark, answer) {
  const prepared = state.prepared;
  const one = prepared.model.marks[mark];
  const forms = seenForms(one, answer);
  if (!forms.length) {
    const chance = answer.kind === "changed" || answer.kind === "none" ? 1 : 0;
    return { chance, replaced: chance };
  }
  const { everything, truly } = reported(one, forms);
  const other = one.forms.map((_, form) => (forms.includes(form) ? 0 : 1));
  const at = prepared.blockOf[mark];
  const block = prepared.blocks[at];
  const weights = masses(state, at, ofBuilt);
  const weigh = (vector) => {
    const chance = sum(times(weights, blockLikelihood(prepared, block, new Map(state.vectors).set(mark, vector))));
    return state.restored ? (1 - state.share) * chance + state.share * weighRestored(state.restored, mark, vector) : chance;
  };
  const whole = weigh(state.vectors.get(mark));
  const chance = Math.min(weigh({ own: times(everything, other), under: other, donor: everything }) / whole, 1);
  return { chance, replaced: Math.min(weigh({ own: times(truly, other), under: other, donor: truly }) / whole, chance) };
}

// How far every answered mark stands apart, and nothing else of it.
function chancesApart(state) {
  return new Map(state.answers.map(({ mark, answer }) => [mark, apartShares(state, mark, answer).chance]));
}

function apartOf(state, mark, answer) {
  const { chance, replaced } = apartShares(state, mark, answer);
  const forms = seenForms(state.prepared.model.marks[mark], answer);
  return { mark, answer, chance, replaced, misread: chance - replaced, expected: chanceOfForms(state, mark, true),
    looks: forms.length ? looksLike(state, mark, forms) : null };
}

function standsApart(state) {
  const rank = (one) => Math.round(one.chance * 1e7);
  return state.answers.map(({ mark, answer }) => apartOf(state, mark, answer))
    .sort((a, b) => rank(b) - rank(a) || a.mark - b.mark);
}
