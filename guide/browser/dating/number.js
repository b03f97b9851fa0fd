// From a chassis number to its days, and back: the twin of number.py.

function readCar(prepared, text) {
  const read = guide.numbers.read(text, prepared.model.numbers);
  if (read.failure) { return { failure: read.failure }; }
  const series = prepared.numbered.findIndex((one) => one.id === read.series);
  if (series < 0) { return { failure: "not-in-tables" }; }
  return { series, written: read.written, suffix: read.suffix,
    position: guide.numbers.place(prepared.numbered[series].runs || [], read) };
}

const isFurther = (prepared, car) => car.series >= prepared.model.series.length;

// What the numbers of one car mean, several being joined by "+": its chassis number or the failure of the first that
// cannot be used where there is none, and its further numbers.
function readCars(prepared, text) {
  const read = text.split("+").map((part) => readCar(prepared, part));
  const further = read.filter((one) => !one.failure && isFurther(prepared, one));
  const own = read.filter((one) => !further.includes(one));
  return { car: own.find((one) => !one.failure) || own[0] || null, further };
}

function wrongNumber(prepared) {
  return prepared.model.chances.number_wrong / sum(prepared.model.series.map((series) => sum(series.cars)));
}

// The likelihood of a number day by day: of a car whose series and ending it fits, and of any other. Not `paced`: of what
// the papers alone say.
function daysOfNumber(prepared, car, paced) {
  const made = prepared.carsADay[car.series];
  const wrong = wrongNumber(prepared);
  const right = 1 - prepared.model.chances.number_wrong;
  const chances = chanceByDay(prepared, car, paced);
  return [made.map((cars, day) => (chances ? wrong + (cars ? right * chances[day] / cars : 0) : 1)), made.map(() => wrong)];
}

function fitsRow(prepared, car, row) {
  const [series, specification] = prepared.rows[row];
  const splits = prepared.model.specifications[specification].splits;
  const settled = (car.position !== null && (prepared.numbered[car.series].suffixes || {})[car.suffix]) || {};
  return (series === car.series || isFurther(prepared, car)) && Object.keys(settled).every((name) => (
    !(name in splits) || settled[name].includes(splits[name])));
}

const strayOf = (series, car) => (
  (series.strays || {})[car.suffix ? car.written.slice(0, -car.suffix.length) : car.written]);

// The chance that the car of a number was built on each day, or null where it says nothing.
function chanceByDay(prepared, car, paced) {
  if (car.position === null) { return null; }
  const series = prepared.numbered[car.series];
  const made = prepared.carsADay[car.series];
  const stray = strayOf(series, car);
  const reach = reachOfNumber(series, car.position);
  const [first, last] = stray || allowedDays(series, reach, made.length - 1);
  const allowed = made.map((cars, day) => (cars && first <= day && day <= last ? 1 : 0));
  const whole = sum(allowed);
  if (!whole) { return null; }
  const even = paced && !stray ? times(pacedDays(prepared, car, reach), allowed) : allowed;
  const known = sum(even);
  const unknown = known ? prepared.model.chances.pace_unknown || 0 : 1;
  return even.map((chance, day) => (1 - unknown) / (known || 1) * chance + unknown * allowed[day] / whole);
}

// The first and last day that the papers allow the car of a number, or null where they say nothing of it.
function daysAllowed(prepared, car) {
  if (car.position === null) { return null; }
  const series = prepared.model.series[car.series];
  const end = prepared.model.edges[prepared.bins] - 1;
  return strayOf(series, car) || allowedDays(series, reachOfNumber(series, car.position), end);
}

// The first and last place in which a car can have been built, on its side of closures that papers place.
function reachOfNumber(series, position) {
  const cuts = series.cuts || [];
  const most = Math.min(...cuts.filter((cut) => cut > position), sum(series.runs.map((run) => run[2])));
  return [Math.max(position - (series.tolerance_cars || 0), 0, ...cuts.filter((cut) => cut <= position)),
    Math.min(position + (series.tolerance_cars || 0), most - 1)];
}

function allowedDays(series, [low, high], end) {
  const days = (rows) => rows.map(([, day]) => day);
  return [Math.max(0, ...days((series.since || []).filter(([at]) => at <= low))),
    Math.min(end, ...days((series.until || []).filter(([at]) => at >= high)))];
}

// How many lots leave the build so far ahead or behind midway; no more than the cars allow.
const lotsOf = (uneven, cars) => Math.min(uneven ? Math.max(0.75 / uneven ** 2 - 3, 0) : Infinity, Math.max(cars - 1, 0));

// The chance of each day by a pace that was nearly even between two knots.
function pacedDays(prepared, car, [low, high]) {
  const series = prepared.numbered[car.series];
  const made = prepared.carsADay[car.series];
  const found = made.map(() => 0);
  const knots = series.knots || [];
  knots.slice(1).forEach(([then, ended], at) => {
    const [finished, began] = knots[at];
    const places = [];
    for (let place = low; place <= high; place += 1) { if (finished <= place + 0.5 && place + 0.5 < then) { places.push(place); } }
    const days = [];
    for (let day = Math.floor(began); places.length && day < ended; day += 1) { if (made[day]) { days.push(day); } }
    const cars = then - finished;
    const lots = lotsOf(prepared.model.chances.uneven || 0, cars);
    const parts = days.map((day) => Math.min(day + 1, ended) - Math.max(day, began));
    const starts = running(parts);
    const middles = parts.map((part, day) => (starts[day] + part / 2) / starts[parts.length]);
    const passed = middles.map((middle) => Math.log(middle));
    const left = middles.map((middle) => Math.log(1 - middle));
    if (!days.length) { return; }
    places.forEach((place) => {
      const q = (place + 0.5 - finished) / cars;
      const top = q > 0 && q < 1 ? q * Math.log(q) + (1 - q) * Math.log(1 - q) : 0;
      const line = passed.map((value, day) => parts[day] * Math.exp(lots * (q * value + (1 - q) * left[day] - top)));
      const share = ((series.tolerance_cars || 0) + 1 - Math.abs(place - car.position)) / sum(line);
      line.forEach((value, day) => { found[days[day]] += share * value; });
    });
  });
  return found;
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
  const cuts = series.cuts || [];                              // no car stands on the other side of these closures
  const first = Math.max(earliest - tolerance, ...cuts.filter((cars) => cars <= earliest));
  const last = Math.min(latest + tolerance, ...cuts.filter((cars) => cars > latest).map((cars) => cars - 1));
  if (first >= count) { return null; }                         // beyond the last number known
  return [writeAt(prepared, at, within(first, 0, count - 1)), writeAt(prepared, at, within(last, 0, count - 1))];
}
