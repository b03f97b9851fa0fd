// What stands apart: the twin of apart.py.

// When such a car was more likely than not built with one of `forms`, and, where it never was, when one was to be had at all.
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
  const shares = fitted.map((one, t) => (built[t] > 1e-9 ? one / built[t] : -1));
  const ends = (some, least) => {
    const found = some.map((_, t) => t).filter((t) => some[t] >= least);
    return found.length ? [found[0], found[found.length - 1]] : null;
  };
  const looks = ends(shares, 0.5 - 1e-9);
  if (looks) { return { looks, offered: null }; }
  const open = shares.map((share, t) => (prepared.rows.some((_, row) => prepared.weights[row * bins + t] > 0) ? share : -1));
  const most = Math.max(...open);
  return { looks, offered: most > 0 ? ends(open, (0.5 - 1e-9) * most) : null };
}

function weighWith(state, mark, vector) {
  const { prepared } = state;
  const at = prepared.blockOf[mark];
  const vectors = new Map(state.vectors).set(mark, vector);
  const chance = sum(times(masses(state, at, ofBuilt), blockLikelihood(prepared, prepared.blocks[at], vectors)));
  return state.restored ? (1 - state.share) * chance + state.share * weighRestored(state.restored, mark, vector) : chance;
}

function weighBuiltOtherwise(state, mark, forms, report) {
  const other = report.map((_, form) => (forms.includes(form) ? 0 : 1));
  return weighWith(state, mark, { own: times(report, other), under: other, donor: report });
}

// The chance that a mark stands apart, and that of its part having been replaced.
function apartShares(state, mark, answer, forms) {
  if (!forms.length) {
    const chance = answer.kind === "changed" || answer.kind === "none" ? 1 : 0;
    return { chance, replaced: chance };
  }
  const whole = weighWith(state, mark, state.vectors.get(mark));
  const { everything, truly } = reported(state.prepared.model.marks[mark], forms);
  const chance = Math.min(weighBuiltOtherwise(state, mark, forms, everything) / whole, 1);
  return { chance, replaced: Math.min(weighBuiltOtherwise(state, mark, forms, truly) / whole, chance) };
}

function apartOf(state, mark, answer) {
  const forms = seenForms(state.prepared.model.marks[mark], answer);
  const { chance, replaced } = apartShares(state, mark, answer, forms);
  return Object.assign({ mark, answer, chance, replaced, misread: chance - replaced, expected: chanceOfForms(state, mark, true) },
    forms.length ? looksLike(state, mark, forms) : { looks: null, offered: null });
}

function standsApart(state) {
  const rank = (one) => Math.round(one.chance * 1e7);
  return state.answers.map(({ mark, answer }) => apartOf(state, mark, answer))
    .sort((a, b) => rank(b) - rank(a) || a.mark - b.mark);
}
