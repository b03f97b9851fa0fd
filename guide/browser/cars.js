// From a chassis number to its days, and from those to the forms it may have: the twin of cars.py.
// Days are ISO text, so that no clock or time zone can shift them.
// needs: numbers
(function (guide) {
  "use strict";

  // The count of cars built in its series before this one, or null. `read` is what guide.numbers.read returns.
  function position(table, read) {
    const row = table.numbers.series.find((one) => one.id === read.series);
    let before = 0;
    for (const [prefix, first, last, built] of row.runs) {
      if (!built) { continue; }
      if ((prefix === "" || prefix === read.prefix) && first <= read.number && read.number <= last) {
        return before + read.number - first;
      }
      before += Math.max(0, last - first + 1);
    }
    return null;
  }

  // [first, last] day on which the car can have been built, or null where no table holds it.
  function daysOf(table, read) {
    const at = position(table, read);
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

  // The forms that a car built between two days may have had, in the order of the rows.
  function expectedForms(rows, car, first, last) {
    const found = rows.filter((row) => row.from <= last && row.to >= first
      && Object.keys(row.scope).every((name) => car[name] === undefined || row.scope[name].includes(car[name])));
    return Array.from(new Set(found.map((row) => row.form)));
  }

  // The periods that two days may lie in.
  function periodsOf(table, first, last) {
    return table.periods.filter((period) => period.from <= last && period.to >= first);
  }

  guide.cars = { position, daysOf, knownOf, expectedForms, periodsOf };
}(globalThis.guide = globalThis.guide || {}));
