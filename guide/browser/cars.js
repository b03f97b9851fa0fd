// From a chassis number to its days, and from those to the forms it may have: the twin of cars.py.
// Days are ISO text, so that no clock or time zone can shift them.
// needs: say, numbers

// The place of a number among the cars of its series, or null where no table holds it.
function placeOf(table, read) {
  const runs = table.numbers.series.find((one) => one.id === read.series).runs.filter((run) => run[3]);
  return guide.numbers.place(runs.map(([prefix, first, last]) => [prefix, first, Math.max(0, last - first + 1)]), read);
}

// [first, last] day on which the car can have been built, or null where no table holds it.
function daysOf(table, read) {
  const at = placeOf(table, read);
  if (at === null) { return null; }
  const series = table.series[read.series];
  if (series.strays[at]) { return series.strays[at]; }
  let found = null;
  for (const [start, first, last] of series.days) {
    if (start > at) { break; }
    found = [first, last];
  }
  return found;
}

// What a number tells of its car besides when it was built.
function knownOf(table, read) {
  const settled = table.series[read.series].suffixes[read.suffix] || {};
  const known = { series: read.series };
  Object.keys(settled).forEach((name) => { if (settled[name].length === 1) { known[name] = settled[name][0]; } });
  return known;
}

// Whether a scope may hold a car, of which some things are known.
function applies(scope, car) {
  return Object.keys(scope).every((name) => !car[name] || scope[name].includes(car[name]));
}

// Whether a row leaves room for a car's place among the numbers of its series; one of no place, as a car that was built
// out of turn, is everywhere.
function holds(row, car) {
  const [first, last] = (row.numbers || {})[car.series] || [null, null];
  return typeof car.place !== "number" || ((first === null || car.place >= first) && (last === null || car.place <= last));
}

// The forms that a car built between two days may have had, in the order of the rows.
function expectedForms(rows, car, first, last) {
  const found = rows.filter((row) => row.from <= last && row.to >= first && applies(row.scope, car) && holds(row, car));
  return Array.from(new Set(found.map((row) => row.form)));
}

// The periods that two days may lie in.
function periodsOf(table, first, last) {
  return table.periods.filter((period) => period.from <= last && period.to >= first);
}

// What a mark's page says of a number: [words, forms that such a car was built with]. `data` is that page's own:
// {rows, scope, names}.
function expectation(say, table, data, typed) {
  const read = guide.numbers.read(typed, table.numbers);
  if (read.failure) { return [guide.numbers.failure(say, read, typed), []]; }
  const car = knownOf(table, read);
  const told = (way, slots) => say("pages.mark.expect." + way, Object.assign({ car: read.written }, slots));
  if (!applies(data.scope, car)) { return [told("not_on"), []]; }
  const place = placeOf(table, read);
  if (!table.series[read.series].strays[place]) { car.place = place; }
  const forms = expectedForms(data.rows, car, ...daysOf(table, read));
  return [forms.length ? told("forms", { forms: say.oneOf(forms.map((one) => data.names[one])) }) : told("unknown"), forms];
}

guide.cars = { daysOf, knownOf, applies, expectedForms, periodsOf, expectation };
