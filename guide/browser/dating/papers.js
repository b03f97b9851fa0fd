// Dates on papers and on parts: the twin of papers.py.

// The likelihood of a model year for cars of a series, day by day, and whether these are days of build.
function daysOfModelYear(prepared, year, s) {
  const { model } = prepared;
  const rowsOf = (series) => series.model_years || [];
  const named = new Set([].concat(...model.series.map((series) => rowsOf(series).map((row) => row.year))));
  if (!named.has(year)) { return { line: new Array(model.edges[prepared.bins]).fill(1), isOfBuild: true }; }
  const wrong = model.chances.paper_wrong / named.size;
  const rows = rowsOf(model.series[s]).filter((row) => row.year === year);
  const before = prepared.before[s];
  const line = model.series[s].cars.flatMap((cars, t) => {
    const inside = sum(rows.map((row) => Math.max(0, Math.min(before[t + 1], row.end) - Math.max(before[t], row.first))));
    const chance = wrong + (1 - model.chances.paper_wrong) * (cars > 0 ? inside / cars : 0);
    return new Array(model.edges[t + 1] - model.edges[t]).fill(chance);
  });
  return { line, isOfBuild: rows.every((row) => row.by_days) };
}

// How many days before the car a part can have been made, at most.
function partLag(model, mark) { return mark.dated_before === undefined ? model.chances.part_lag_days : mark.dated_before; }

// The likelihood of a paper or a part's date, day by day. `isOwn` false: of a part that is known to have been changed.
function daysOfKnown(prepared, kind, text, isOwn) {
  const days = guide.days.read(text);
  if (!days) { throw new Error("expected a date such as 1968, 1968-03 or 1968-03-12 for " + kind + ", found '" + text + "'"); }
  const model = prepared.model;
  const first = days[0] - guide.days.number(model.origin);
  const end = days[1] - guide.days.number(model.origin) + 1;
  const mark = kind.startsWith("part:") ? prepared.markAt.get(kind.slice(5)) : undefined;
  let chance;                      // that a car built on a day has a date in these days
  let right = 1 - model.chances.paper_wrong;
  if (kind === "assembled") {
    chance = (day) => (first <= day && day < end ? 1 : 0);
  } else if (kind in model.chances.lag_days) {
    const mean = model.chances.lag_days[kind];
    const later = (built, day) => (day <= built ? 1
      : mean * (Math.exp((built + 1 - day) / mean) - Math.exp((built - day) / mean)));
    chance = (day) => later(day, first) - later(day, end);
  } else if (mark !== undefined) {
    const lag = partLag(model, model.marks[mark]);
    right *= isOwn ? model.marks[mark].survives : 0;
    const swept = (day, made) => {
      const part = Math.min(day - made, lag);
      return day <= made ? day - made : part - part * part / (2 * lag);
    };
    const over = (day) => swept(day, end) - swept(day, first);
    chance = (day) => over(day + 1) - over(day);
  } else {
    throw new Error("'" + kind + "' is not a paper or a part of this guide");
  }
  const flat = (1 - right) * (end - first) / model.chances.stray_days;
  return Array.from({ length: model.edges[prepared.bins] }, (_, day) => flat + right * chance(day));
}
