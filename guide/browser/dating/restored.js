// The car as a whole, as it was built or restored: the twin of restored.py.

const ERAS = 12;            // of equal length
const WIDE = 2 * ERAS;      // parts of each era, then interiors of each era

function byEra(prepared, line) {
  const sums = new Array(ERAS).fill(0);
  line.forEach((value, t) => { sums[prepared.eraOf[t]] += value; });
  return sums;
}

// P(way, era of the parts | era of the build), by era of the build.
function erasOfParts(prepared) {
  const chances = prepared.model.chances;
  const table = [];
  for (let built = 0; built < ERAS; built += 1) {
    const earlier = built ? chances.restored.earlier : 0;
    for (let era = 0; era < ERAS; era += 1) {
      table.push((1 - chances.restored.interior) * (era < built ? earlier / built : (1 - earlier) / (ERAS - built)));
    }
    for (let era = 0; era < ERAS; era += 1) { table.push(chances.restored.interior / ERAS); }
  }
  return table;
}

// [own row of the mark's block][era][form]: the share of each form as built.
function formShares(prepared, mark) {
  if (!prepared.byEra.has(mark)) {
    const block = prepared.blocks[prepared.blockOf[mark]];
    const bins = prepared.bins;
    const weights = new Float64Array(block.rowCount * bins);
    block.rowOf.forEach((own, row) => {
      for (let t = 0; t < bins; t += 1) { weights[own * bins + t] += prepared.weights[row * bins + t]; }
    });
    const lines = prepared.model.marks[mark].forms.map((_, form) => {
      const cells = new Float64Array(weights.length);
      builtWith(prepared, mark, form).forEach((value, piece) => { cells.fill(value, block.starts[piece], block.ends[piece]); });
      return times(weights, cells);
    });
    const found = [];
    for (let start = 0; start < weights.length; start += bins) {
      const made = byEra(prepared, weights.subarray(start, start + bins));
      const sums = lines.map((line) => byEra(prepared, line.subarray(start, start + bins)));
      const eras = made.map((cars, era) => (cars ? sums.map((one) => one[era] / cars) : null));
      for (let era = 1; era < ERAS; era += 1) { eras[era] = eras[era] || eras[era - 1]; }
      for (let era = ERAS - 2; era >= 0; era -= 1) { eras[era] = eras[era] || eras[era + 1]; }
      found.push(eras);
    }
    prepared.byEra.set(mark, found);
  }
  return prepared.byEra.get(mark);
}

// A report's three vectors averaged over the cars of each era, of one row of the mark's block.
function byEras(prepared, mark, ownRow, vectors) {
  const shares = formShares(prepared, mark)[ownRow];
  return [vectors.own, vectors.under, vectors.donor].map((vector) => shares.map((era) => sum(times(era, vector))));
}

// The chance that a mark's part is the car's own, of either way: with parts, with an interior.
function stays(prepared, mark) {
  const one = prepared.model.marks[mark];
  const sure = one.survives >= 1;
  return [sure ? 1 : prepared.model.chances.restored.survives, sure || one.reach === "outside" ? 1 : 0];
}

// The likelihood of one mark by both eras: of its own part, or of another over whatever it was built with.
function markTable(prepared, mark, row, vectors) {
  const [own, under, donor] = byEras(prepared, mark, prepared.blocks[prepared.blockOf[mark]].rowOf[row], vectors);
  const table = [];
  own.forEach((mine, built) => {
    stays(prepared, mark).forEach((share) => {
      donor.forEach((theirs) => { table.push(share * mine + (1 - share) * under[built] * theirs); });
    });
  });
  return table;
}

// What was seen of a car if it was restored, given the weights before; rows that the marks cannot tell apart are one kind.
function restoredOf(prepared, weights, vectors) {
  const asked = [...new Set([...vectors.keys()].map((mark) => prepared.blockOf[mark]))].sort((a, b) => a - b);
  const kinds = new Map();
  const members = [];
  const kindOf = prepared.rows.map((_, row) => {
    const key = asked.map((at) => prepared.blocks[at].rowOf[row]).join();
    if (!kinds.has(key)) { kinds.set(key, kinds.size); members.push(row); }
    return kinds.get(key);
  });
  const prior = members.map(() => new Array(ERAS).fill(0));
  kindOf.forEach((kind, row) => {
    byEra(prepared, weights.subarray(row * prepared.bins, (row + 1) * prepared.bins)).forEach((weight, era) => { prior[kind][era] += weight; });
  });
  const marks = [...vectors.keys()].sort((a, b) => a - b);
  const each = new Map(marks.map((mark) => [mark, members.map((row) => markTable(prepared, mark, row, vectors.get(mark)))]));
  const seen = members.map((_, kind) => marks.reduce((table, mark) => times(table, each.get(mark)[kind]), erasOfParts(prepared)));
  return { prepared, kindOf, members, prior, seen, each, folds: new Map() };
}

// The likelihood of what was seen of a kind of car, some marks left out.
function seenWithout(restored, kind, marks) {
  let table = restored.seen[kind];
  for (const mark of marks.filter((one) => restored.each.has(one))) {
    const own = restored.each.get(mark)[kind];
    if (own.some((value) => !value)) {
      const kept = [...restored.each.keys()].filter((other) => !marks.includes(other));
      return kept.reduce((line, other) => times(line, restored.each.get(other)[kind]), erasOfParts(restored.prepared));
    }
    table = table.map((value, at) => value / own[at]);
  }
  return table;
}

// Sums of a table by era of the build.
const byBuild = (table) => Array.from({ length: ERAS }, (_, era) => sum(table.slice(era * WIDE, (era + 1) * WIDE)));

// The likelihood of every cell, the answers to some marks left out.
function likelihoodsRestored(restored, leaveOut) {
  const byKind = restored.members.map((_, kind) => byBuild(seenWithout(restored, kind, leaveOut || [])));
  return Float64Array.from([].concat(...restored.kindOf.map((kind) => restored.prepared.eraOf.map((era) => byKind[kind][era]))));
}

// The weight of all cars by all but one mark, per row that this mark tells apart.
function foldOf(restored, mark) {
  const { prepared } = restored;
  const [ownParts, ownInterior] = stays(prepared, mark);
  const found = new Map();
  restored.members.forEach((row, kind) => {
    if (!restored.prior[kind].some(Boolean)) { return; }
    const ownRow = prepared.blocks[prepared.blockOf[mark]].rowOf[row];
    if (!found.has(ownRow)) { found.set(ownRow, { stayed: new Array(ERAS).fill(0), changed: Array.from({ length: ERAS }, () => new Array(ERAS).fill(0)) }); }
    const { stayed, changed } = found.get(ownRow);
    const table = seenWithout(restored, kind, [mark]);
    restored.prior[kind].forEach((weight, built) => {
      const parts = table.slice(built * WIDE, built * WIDE + ERAS);
      const interiors = table.slice(built * WIDE + ERAS, (built + 1) * WIDE);
      stayed[built] += weight * (ownParts * sum(parts) + ownInterior * sum(interiors));
      parts.forEach((one, era) => { changed[built][era] += weight * ((1 - ownParts) * one + (1 - ownInterior) * interiors[era]); });
    });
  });
  return found;
}

// The weight of all cars, one mark being reported and built as given by its vectors.
function weighRestored(restored, mark, vectors) {
  if (!restored.folds.has(mark)) { restored.folds.set(mark, foldOf(restored, mark)); }
  return sum([...restored.folds.get(mark)].map(([ownRow, { stayed, changed }]) => {
    const [own, under, donor] = byEras(restored.prepared, mark, ownRow, vectors);
    return sum(times(stayed, own)) + sum(under.map((built, era) => built * sum(times(changed[era], donor))));
  }));
}
