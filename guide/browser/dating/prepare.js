// The model made ready: the twin of prepare.py. Parts of this folder see each other (guide/press/scripts.py); what
// they compute is told in the modules of guide/dating/ that have their names.

const sum = (values) => values.reduce((a, b) => a + b, 0);
const times = (a, b) => a.map((value, at) => value * b[at]);

// Sums before each place and after the last: one longer than `values`.
function running(values) {
  const sums = new Float64Array(values.length + 1);
  for (let at = 0; at < values.length; at += 1) { sums[at + 1] = sums[at] + values[at]; }
  return sums;
}

// How long after its number a car of a row was built, or null where it was built in its turn.
function assembledOf(model, s, c) {
  const found = (model.assembled || []).find((one) => one.of[s].includes(c));
  return found ? [found.least, found.most] : null;
}

function weigh(model, bins) {
  const rows = [];
  const cells = [];
  const assembled = [];
  model.series.forEach((series, s) => {
    const shares = laidOut(series.shares.flat(), bins);
    model.specifications.forEach((_, c) => {
      const row = series.cars.map((cars, t) => cars * shares[t][c]);
      if (row.some((value) => value > 0)) {
        const span = assembledOf(model, s, c);
        rows.push([s, c]);
        cells.push(...(span ? delayedCars(model.edges, row, span) : row));
        assembled.push(span);
      }
    });
  });
  const total = sum(cells);
  return { rows, assembled, weights: cells.map((cell) => cell / total) };
}

// Groups that some set joins are computed together.
function joined(model, groupOf) {
  const leader = model.groups.map((_, at) => at);
  const find = (at) => (leader[at] === at ? at : find(leader[at]));
  model.sets.forEach((set) => {
    const first = find(groupOf[set.marks[0]]);
    set.marks.slice(1).forEach((mark) => { leader[find(groupOf[mark])] = first; });
  });
  const members = new Map();
  model.groups.forEach((_, at) => {
    if (!members.has(find(at))) { members.set(find(at), { groups: [], sets: [] }); }
    members.get(find(at)).groups.push(at);
  });
  model.sets.forEach((set, at) => { members.get(find(groupOf[set.marks[0]])).sets.push(at); });
  return [...members.values()];
}

function laidOut(runs, bins) {
  const line = [];
  for (let at = 0; at < runs.length; at += 2) {
    const end = at + 2 < runs.length ? runs[at + 2] : bins;
    while (line.length < end) { line.push(runs[at + 1]); }
  }
  return line;
}

// The profiles of a group: for a lone mark its mixes, otherwise the stages of each slot.
function layOut(model, group, bins) {
  const runs = group.runs.map((run) => laidOut(run, bins));
  if (group.marks.length === 1) {
    return { stages: model.marks[group.marks[0]].mixes.map((_, mix) => [{ chance: 1, mixes: [mix] }]),
      profiles: group.variants.map((variant) => runs[variant[0]]) };
  }
  const found = new Map();
  const stages = [];
  const profiles = group.variants.map((variant) => runs[0].map((_, t) => {
    const come = group.passed[runs[variant[0]][t]];
    const profile = [[1 - come, 1], [come, 2]].filter(([chance]) => chance > 0).map(([chance, first]) => (
      { chance, mixes: group.marks.map((__, at) => runs[variant[first + 2 * at]][t]) }));
    const key = JSON.stringify(profile);
    if (!found.has(key)) { found.set(key, found.size); stages.push(profile); }
    return found.get(key);
  }));
  return { stages, profiles };
}

function makeBlock(model, parts, rows, weights, periodsOf, groupOf, laid) {
  const bins = model.edges.length - 1;
  const keys = new Map();
  const rowOf = rows.map(([s, c], row) => {
    const variants = parts.groups.map((g) => model.groups[g].of[s][c]);
    const key = [parts.sets.length ? row : s, ...variants].join();
    if (!keys.has(key)) { keys.set(key, { at: keys.size, variants, series: s }); }
    return keys.get(key).at;
  });
  const block = { groups: parts.groups, sets: parts.sets, rowOf, rowCount: keys.size, joint: [], spans: [],
    starts: [], ends: [], rows: [], periods: [], profiles: [], prior: [] };
  block.marks = model.marks.map((_, mark) => mark).filter((mark) => parts.groups.includes(groupOf[mark]));
  const joint = new Map();
  if (parts.groups.length === 1) {         // a lone group's profiles keep their numbers
    laid[parts.groups[0]].stages.forEach((_, profile) => { joint.set(String(profile), profile); block.joint.push([profile]); });
  }
  keys.forEach(({ at, variants, series }) => {
    const periodOf = periodsOf[series];
    const lines = parts.groups.map((g, i) => laid[g].profiles[variants[i]]);
    let start = 0;
    for (let t = 1; t <= bins; t += 1) {
      const same = t < bins && periodOf[t] === periodOf[start] && lines.every((line) => line[t] === line[start]);
      if (same) { continue; }
      const profile = lines.map((line) => line[start]);
      const key = profile.join();
      if (!joint.has(key)) { joint.set(key, joint.size); block.joint.push(profile); }
      block.starts.push(at * bins + start);
      block.ends.push(at * bins + t);
      block.rows.push(at);
      block.periods.push(periodOf[start]);
      block.profiles.push(joint.get(key));
      start = t;
    }
    const built = [];
    for (let t = 0; t < bins; t += 1) {
      if (rowOf.some((own, row) => own === at && weights[row * bins + t] > 0)) { built.push(t); }
    }
    block.spans.push([built[0], built[built.length - 1] + 1]);
  });
  for (const name of ["starts", "ends", "rows", "periods", "profiles"]) { block[name] = Int32Array.from(block[name]); }
  block.rowKey = rowOf.join();
  block.lone = parts.groups.length === 1 && model.groups[parts.groups[0]].marks.length === 1;
  if (parts.sets.length) {
    const sums = running(weights);
    block.prior = Float64Array.from(block.rows, (at, i) => (
      (sums[block.ends[i]] - sums[block.starts[i]]) / (sums[(at + 1) * bins] - sums[at * bins])));
  }
  return block;
}

function fineRuns(model, periodsOf) {
  const runs = new Map();
  periodsOf[0].forEach((_, t) => {
    const until = model.edges[t + 1] + model.stop.fine_days;
    const within = (__, other) => other >= t && model.edges[other] < until;
    const run = [...new Set(periodsOf.flatMap((line) => line.filter(within)))];
    if (run.length > 1 || model.stop.period > model.telling.spans[0]) { runs.set(run.join(), run); }
  });
  return [...runs.values()];
}

// Makes a model (the JSON that dump_model writes) ready; `templates` are the sentences.
function prepare(model, templates) {
  const bins = model.edges.length - 1;
  const periodOf = model.series.map((_, series) => {
    const line = new Array(bins).fill(model.periods.length);
    model.periods.forEach((period, at) => { if (!period.series || period.series.includes(series)) { line.fill(at, period.first, period.end); } });
    return line;
  });
  const { rows, assembled, weights } = weigh(model, bins);
  const groupOf = [];
  const setOf = model.marks.map(() => null);
  model.groups.forEach((group, at) => { group.marks.forEach((mark) => { groupOf[mark] = at; }); });
  model.sets.forEach((set, at) => { set.marks.forEach((mark) => { setOf[mark] = at; }); });
  const laid = model.groups.map((group) => layOut(model, group, bins));
  const blocks = joined(model, groupOf).map((parts) => makeBlock(model, parts, rows, weights, periodOf, groupOf, laid));
  const blockOf = [];
  blocks.forEach((block, at) => { block.marks.forEach((mark) => { blockOf[mark] = at; }); });
  const reports = model.marks.map((mark) => mark.forms.map((_, form) => reported(mark, [form]).everything));
  const numbered = model.series.concat(model.further || []);
  return {
    model, say: guide.words(templates), bins, rows, assembled, weights, periodOf, numbered, byEra: new Map(),
    eraOf: periodOf[0].map((_, t) => Math.floor(ERAS * (model.edges[t] + model.edges[t + 1]) / (2 * model.edges[bins]))),
    before: model.series.map((series) => running(series.cars)),
    carsADay: numbered.map((series) => [].concat(...series.cars.map((cars, t) => {
      const days = model.edges[t + 1] - model.edges[t];
      return new Array(days).fill(cars / days);
    }))),
    blocks, blockOf, groupOf, setOf,
    stages: laid.map((one) => one.stages),
    reports,
    // per mark and form: the chance of that report for each mix, which is all that a lone mark's answer needs
    saidOfMix: model.marks.map((mark, at) => reports[at].map((said) => Float64Array.from(factorOf(mark, said)))),
    fineRuns: fineRuns(model, periodOf),
    built: new Map(), peaks: new Map(), spokenOf: new Map(), alike: new Map(), // what fitted.js remembers
    markAt: new Map(model.marks.map((mark, at) => [mark.id, at])),
  };
}
