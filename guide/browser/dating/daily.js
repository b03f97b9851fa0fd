// What number and papers say day by day: the twin of daily.py.

const ALIKE = 1.5;          // a bin of which no day is so many times as likely as another stays whole

const eachBin = (prepared, found) => prepared.periodOf[0].map((_, t) => found(prepared.model.edges[t], prepared.model.edges[t + 1], t));
const binMeans = (prepared, line) => eachBin(prepared, (start, end) => sum(line.slice(start, end)) / (end - start));

// What papers say by the day of build, and by that of the number: the two are one but for cars put together elsewhere.
function papersOf(prepared, known, said) {
  const { model } = prepared;
  const anywhere = "assembled" in known && !(model.assembled || []).length; // no plant is known
  const spans = anywhere ? prepared.rows.map(() => [0, model.chances.assembled_days || 0]) : prepared.assembled;
  const ones = () => new Array(model.edges[prepared.bins]).fill(1);
  const lines = { ofBuild: ones(), ofNumber: ones() };
  Object.keys(known).filter((kind) => kind !== "model-year").forEach((kind) => {
    const renewed = kind.startsWith("part:") ? said.get(kind.slice(5)) : undefined;
    const line = kind !== "despatched" || !spans.some(Boolean) ? "ofBuild" : "ofNumber";
    const isOwn = !renewed || !["changed", "none"].includes(renewed.kind);
    lines[line] = times(lines[line], daysOfKnown(prepared, kind, known[kind], isOwn));
  });
  return Object.assign(lines, { prepared, spans, year: known["model-year"] });
}

// The likelihood by the day of build of papers and numbers together.
function withNumbers(papers, numbers, span, series) {
  let { ofBuild: built, ofNumber: sent } = papers;
  let given = numbers.reduce(times, sent.map(() => 1));
  if (papers.year !== undefined) {
    const { line, isOfBuild } = daysOfModelYear(papers.prepared, papers.year.trim(), series);
    if (isOfBuild) { built = times(built, line); } else { given = times(given, line); }
  }
  if (span && span[0] >= 0) {                                  // a kit was sent off between its number and its build
    given = times(given, sent);
    sent = sent.map(() => 1);
  }
  if (span) { given = delayed(given, span, given.reduce((a, b) => Math.min(a, b))); }
  return times(times(built, sent), given);
}

function dailyOf(prepared, numbers, known, said, paced) {
  if (!numbers.length && !Object.keys(known).length) { return null; }
  const papers = papersOf(prepared, known, said);
  const told = numbers.map((one) => daysOfNumber(prepared, one, paced));
  const kinds = new Map();
  const lineOf = prepared.rows.map((_, row) => {
    const fits = numbers.map((one) => fitsRow(prepared, one, row));
    const series = papers.year === undefined ? 0 : prepared.rows[row][0];
    const key = JSON.stringify([fits, papers.spans[row], series]);
    if (!kinds.has(key)) { kinds.set(key, { at: kinds.size, fits, span: papers.spans[row], series }); }
    return kinds.get(key).at;
  });
  const lines = [];
  const wrong = [];
  for (const { fits, span, series } of kinds.values()) {
    const right = told.map((one, at) => one[fits[at] ? 0 : 1]);
    lines.push(withNumbers(papers, right, span, series));
    if (numbers.length) { wrong.push(withNumbers(papers, [told[0][1], ...right.slice(1)], span, series)); }
  }
  const means = lines.map((one) => binMeans(prepared, one));
  const byCell = [].concat(...lineOf.map((at) => means[at]));
  return { lines, lineOf, means, wrong, byCell };
}

// The chance that the number is not the own one of a car of each cell which carries it.
function wrongByCell({ prepared, daily }) {
  if (!daily.wrong.length) { return daily.byCell.map(() => 0); }
  const wrong = daily.wrong.map((one) => binMeans(prepared, one));
  const parts = daily.means.map((means, at) => means.map((mean, t) => (mean ? wrong[at][t] / mean : 0)));
  return [].concat(...daily.lineOf.map((at) => parts[at]));
}

// The chance that the number is not the car's own; nought where there is none.
function numberWrong(state) {
  return state.daily ? sum(times(Array.from(state.weights), wrongByCell(state))) : 0;
}

// The marks of what a car is as a whole that its number tells, unless that is hardly its own.
function toldByNumber(state) {
  const { prepared, daily, car } = state;
  const { model, bins, rows } = prepared;
  if (!daily || !car || car.failure || numberWrong(state) > model.telling.apart) { return new Set(); }
  const own = wrongByCell(state).map((wrong, cell) => state.known[cell] * (1 - wrong));
  const left = rows.filter((_, row) => own.slice(row * bins, (row + 1) * bins).some(Boolean));
  return new Set(model.marks.map((_, mark) => mark).filter((mark) => ["body", "split"].includes(model.marks[mark].kind)
    && new Set(left.map(([s, c]) => model.groups[prepared.groupOf[mark]].of[s][c])).size === 1));
}

// For each bin whose days differ, the share that each of them has of its weight; null for the others.
function withinBins(prepared, daily, weights) {
  const held = daily.lines.map(() => new Array(prepared.bins).fill(0));
  weights.forEach((weight, cell) => { held[daily.lineOf[Math.floor(cell / prepared.bins)]][cell % prepared.bins] += weight; });
  return eachBin(prepared, (start, end, t) => {
    const days = new Array(end - start).fill(0);
    daily.lines.forEach((line, at) => {
      if (held[at][t] > 0 && daily.means[at][t] > 0) {
        const share = held[at][t] / daily.means[at][t];
        days.forEach((_, day) => { days[day] += share * line[start + day]; });
      }
    });
    const whole = sum(days);
    return whole > 0 && Math.max(...days) > ALIKE * Math.min(...days) ? days.map((day) => day / whole) : null;
  });
}

// Edges and weights of a line of bins, those cut into days whose days number and papers tell apart.
function byDays(state, line) {
  const { edges } = state.prepared.model;
  if (!state.within) { return [edges, line]; }
  const days = [];
  const weights = [];
  line.forEach((weight, t) => {
    (state.within[t] || [1]).forEach((share, day) => { days.push(edges[t] + day); weights.push(weight * share); });
  });
  return [days.concat(edges[edges.length - 1]), weights];
}
