// Telling two forms of one mark apart, of cars built with the one and with the other: the twin of tell_apart.py.

// The cars built with a form: the weight of each cell, and what of it lies in the pieces of a block.
function carsBuilt(prepared, mark, form) {
  const weights = times(prepared.weights, spread(prepared, prepared.blocks[prepared.blockOf[mark]], builtWith(prepared, mark, form)));
  const sums = new Map();
  return { any: weights.some((weight) => weight > 0), masses(block) {
    if (!sums.has(block.rowKey)) { sums.set(block.rowKey, merged(prepared, block, weights)); }
    return massesFrom(block, sums.get(block.rowKey));
  } };
}

// The share of each form of a mark as built among some cars.
function sharesBuilt(prepared, cars, mark) {
  const held = cars.masses(prepared.blocks[prepared.blockOf[mark]]);
  const shares = prepared.model.marks[mark].forms.map((_, form) => sum(times(held, builtWith(prepared, mark, form))));
  const whole = sum(shares);
  return shares.map((share) => (whole > 0 ? share / whole : 1 / shares.length));
}

function gainBetween(prepared, mark, one, other) {
  return Math.max(prepared.reports[mark].reduce((gain, said) => {
    const [first, second] = [sum(times(said, one)) / 2, sum(times(said, other)) / 2];
    const whole = first + second;
    const bits = (part) => (part > 0 ? part / whole * Math.log2(part / whole) : 0);
    return gain + whole * (bits(first) + bits(second));
  }, 1), 0);
}

// The marks that tell cars built with one form of a mark from cars built with another, best first; none where the works
// never fitted one of the two, and none that is never asked for.
function tellFormsApart(prepared, id, ids) {
  const { marks } = prepared.model;
  const mark = prepared.markAt.get(id);
  const forms = ids.map((one) => marks[mark].forms.findIndex((form) => form.id === one));
  const kinds = forms.map((form) => carsBuilt(prepared, mark, form));
  if (forms.some((form) => marks[mark].forms[form].factory === false) || !kinds.every((kind) => kind.any)) { return []; }
  const rank = (row) => Math.round(row.gain_bits * 1e7);
  return marks.map((_, at) => at).filter((at) => at !== mark && marks[at].ask !== false).map((at) => {
    const [one, other] = kinds.map((cars) => sharesBuilt(prepared, cars, at));
    const separation = sum(one.map((share, form) => Math.abs(share - other[form]))) / 2;
    return { mark: marks[at].id, separation, gain_bits: gainBetween(prepared, at, one, other), one, other };
  }).sort((a, b) => rank(b) - rank(a));
}

// The days between which nine in ten of the cars that show a form today were built: [[from, to], ...]; none where no car does.
function nineInTen(prepared, id, form) {
  try {
    const { concluded } = workOut(prepared, { answers: [{ mark: id, forms: [form], kind: "form" }], car: null, reach: [], known: {} });
    return datesOf(prepared, concluded, prepared.model.telling.spans[0]);
  } catch (error) {
    if (error.message !== NO_CAR) { throw error; }
    return [];
  }
}
