// From a chassis number to its days, and back: the twin of number.py.

function readCar(prepared, text) {
  const read = guide.numbers.read(text, prepared.model.numbers);
  if (read.failure) { return { failure: read.failure }; }
  const series = prepared.model.series.findIndex((one) => one.id === read.series);
  if (series < 0) { return { failure: "not-in-tables" }; }
  return { series, written: read.written, suffix: read.suffix,
    position: guide.numbers.place(prepared.model.series[series].runs || [], read) };
}

// By how many cars the build may run ahead of an even one, or behind: nought at a knot, most midway.
function aheadOrBehind(knots, position, uneven) {
  const at = knots.findIndex((knot) => knot > position);
  if (at < 1) { return 0; }
  const cars = knots[at] - knots[at - 1];
  const part = (position + 0.5 - knots[at - 1]) / cars;
  return uneven * cars * 4 * part * (1 - part);
}

// From where to where in an even build the car may stand: an uneven one stays between two lines of the calendar.
function placesOf(series, position, uneven) {
  const knots = series.knots || [];
  const beyond = aheadOrBehind(knots, position, uneven);
  const low = position - (series.tolerance_cars || 0);
  const high = position + 1 + (series.tolerance_cars || 0);
  return [Math.max(low - beyond, ...knots.filter((cars) => cars <= low).slice(-1)),
    Math.min(high + beyond, ...knots.filter((cars) => cars >= high).slice(0, 1))];
}

// Per bin, the chance that a car of the series built then carries this number.
function numberLine(prepared, car) {
  const series = prepared.model.series[car.series];
  const before = prepared.before[car.series];
  const edges = prepared.model.edges;
  const plain = car.suffix ? car.written.slice(0, -car.suffix.length) : car.written;
  const stray = series.strays && series.strays[plain];
  if (stray) {
    const days = series.cars.map((_, t) => Math.max(0, Math.min(edges[t + 1], stray[1] + 1) - Math.max(edges[t], stray[0])));
    const whole = sum(days);
    return days.map((share, t) => (series.cars[t] > 0 ? share / whole / series.cars[t] : 0));
  }
  const all = before[prepared.bins];
  let [low, high] = placesOf(series, car.position, prepared.model.chances.uneven || 0);
  series.cars.forEach((cars, t) => {
    if (cars <= 0 && before[0] < before[t] && before[t] < all) {
      if (before[t] <= car.position + 0.5) { low = Math.max(low, before[t]); } else { high = Math.min(high, before[t]); }
    }
  });
  const width = Math.min(high, all) - Math.max(low, 0);
  return series.cars.map((cars, t) => (
    cars > 0 ? Math.max(0, Math.min(before[t + 1], high) - Math.max(before[t], low)) / cars / width : 0));
}

function factorOfNumber(prepared, car) {
  const model = prepared.model;
  const wrong = model.chances.number_wrong / sum(model.series.map((series) => sum(series.cars)));
  const line = car.position === null ? null : numberLine(prepared, car);
  const settled = (line && model.series[car.series].suffixes && model.series[car.series].suffixes[car.suffix]) || {};
  const cells = [];
  prepared.rows.forEach(([s, c]) => {
    const splits = model.specifications[c].splits;
    const fits = s === car.series && Object.keys(settled).every((split) => (
      !(split in splits) || settled[split].includes(splits[split])));
    for (let t = 0; t < prepared.bins; t += 1) {
      if (!fits) { cells.push(wrong); } else { cells.push(line ? wrong + (1 - model.chances.number_wrong) * line[t] : 1); }
    }
  });
  return cells;
}

function writeAt(prepared, at, position) {
  const series = prepared.model.series[at];
  const row = prepared.model.numbers.series.find((one) => one.id === series.id);
  let start = 0;
  for (const [prefix, first, cars] of series.runs) {
    if (position < start + cars) {
      const digits = String(first + position - start);
      const notation = row.notations.find((one) => (prefix === "" || one.prefix === prefix) && digits.length <= one.digits);
      const padded = digits.padStart(notation.digits, "0").split("");
      return notation.written.split("").map((sign) => (sign === "#" ? padded.shift() : sign)).join("");
    }
    start += cars;
  }
  throw new Error(series.id + " has no position " + position);
}

const ROUNDED = 0.05; // cars: more than the thousandths add up to in which the model writes the cars of each slot

function numbersIn(prepared, at, whole) {
  const series = prepared.model.series[at];
  if (!series.runs || !series.runs.length) { return null; }
  const edges = prepared.model.edges;
  const before = prepared.before[at];
  const tolerance = series.tolerance_cars || 0;
  const count = sum(series.runs.map((run) => run[2]));
  const earliest = Math.floor(weightBy(edges, before, whole.start) + ROUNDED);
  const latest = Math.ceil(weightBy(edges, before, whole.end) - ROUNDED) - 1;
  const shut = before.slice(0, -1).filter((cars, t) => series.cars[t] <= 0 && before[0] < cars && cars < before[before.length - 1])
    .map(Math.round);                                          // no car stands on the other side of a closure
  const first = Math.max(earliest - tolerance, ...shut.filter((cars) => cars <= earliest));
  const last = Math.min(latest + tolerance, ...shut.filter((cars) => cars > latest).map((cars) => cars - 1));
  if (first >= count) { return null; }                         // beyond the last number known
  return [writeAt(prepared, at, within(first, 0, count - 1)), writeAt(prepared, at, within(last, 0, count - 1))];
}

// The chance that the number is not the car's own, or null where none was read.
function numberWrong(state) {
  if (!state.car || state.car.failure) { return null; }
  const { model } = state.prepared;
  const wrong = model.chances.number_wrong / sum(model.series.map((series) => sum(series.cars)));
  const factors = factorOfNumber(state.prepared, state.car);
  return sum(Array.from(state.weights, (weight, at) => (weight > 0 ? weight * wrong / factors[at] : 0)));
}
