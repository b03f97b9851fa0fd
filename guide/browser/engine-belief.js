// What is believed of one car: number, papers and looks brought together. The twin of number.py, known.py and
// state.py, which hold the theory.
// needs: engine
(function (guide) {
  "use strict";

  const { sum, times, reported, blockLikelihood, spread, merged, massesFrom } = guide.engine.inside;

  // ---- number and papers (number.py, known.py) ----

  function readCar(prepared, text) {
    const read = guide.numbers.read(text, prepared.model.numbers);
    if (read.failure) { return { failure: read.failure }; }
    const series = prepared.model.series.findIndex((one) => one.id === read.series);
    if (series < 0) { return { failure: "not-in-tables" }; }
    let start = 0;
    let position = null;
    for (const [prefix, first, cars] of prepared.model.series[series].runs || []) {
      if ((prefix === "" || prefix === read.prefix) && first <= read.number && read.number < first + cars) {
        position = start + read.number - first;
        break;
      }
      start += cars;
    }
    return { series, written: read.written, suffix: read.suffix, position };
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

  const DAY = 86400000;
  const dayNumber = (iso) => Date.parse(iso + "T00:00:00Z") / DAY;

  // The first and last day (since 1970) of "1968", "1968-03" or "1968-03-12"; null for anything else.
  function readDays(text) {
    const found = /^([0-9]{4})(?:-([0-9]{2})(?:-([0-9]{2}))?)?$/.exec(text.trim());
    if (!found) { return null; }
    const year = Number(found[1]);
    const month = found[2] ? Number(found[2]) : 1;
    const day = found[3] ? Number(found[3]) : 1;
    const at = (y, m, d) => { const made = new Date(0); made.setUTCFullYear(y, m - 1, d); return made; };
    const first = at(year, month, day);
    if (year < 1 || first.getUTCMonth() !== month - 1 || first.getUTCDate() !== day) { return null; }
    const next = found[3] ? at(year, month, day + 1) : found[2] ? at(year, month + 1, 1) : at(year + 1, 1, 1);
    return [first.getTime() / DAY, next.getTime() / DAY - 1];
  }

  function modelYear(prepared, year) {
    const model = prepared.model;
    const rowsOf = (series) => series.model_years || [];
    const named = new Set([].concat(...model.series.map((series) => rowsOf(series).map((row) => row.year))));
    if (!named.has(year)) { return prepared.weights.map(() => 1); }
    const wrong = model.chances.paper_wrong / named.size;
    const cells = [];
    prepared.rows.forEach(([s]) => {
      const before = prepared.before[s];
      model.series[s].cars.forEach((cars, t) => {
        const inside = sum(rowsOf(model.series[s]).filter((row) => row.year === year).map((row) => (
          Math.max(0, Math.min(before[t + 1], row.end) - Math.max(before[t], row.first)))));
        cells.push(wrong + (1 - model.chances.paper_wrong) * (cars > 0 ? inside / cars : 0));
      });
    });
    return cells;
  }

  // `isOwn` false: of a part that is known to have been changed.
  function factorOfKnown(prepared, kind, text, isOwn) {
    if (kind === "model-year") { return modelYear(prepared, text.trim()); }
    const days = readDays(text);
    if (!days) { throw new Error("expected a date such as 1968, 1968-03 or 1968-03-12 for " + kind + ", found '" + text + "'"); }
    const model = prepared.model;
    const first = days[0] - dayNumber(model.origin);
    const end = days[1] - dayNumber(model.origin) + 1;
    const mark = kind.startsWith("part:") ? prepared.markAt.get(kind.slice(5)) : undefined;
    let chance;                      // that a car built in a bin has a date in these days
    let right = 1 - model.chances.paper_wrong;
    if (kind in model.chances.lag_days) {
      const mean = model.chances.lag_days[kind];
      const later = (start, stop, day) => {
        const built = Math.min(stop, day);
        const sure = Math.max(stop - Math.max(start, day), 0);
        return built <= start ? sure : sure + mean * (Math.exp((built - day) / mean) - Math.exp((start - day) / mean));
      };
      chance = (start, stop) => (later(start, stop, first) - later(start, stop, end)) / (stop - start);
    } else if (mark !== undefined) {
      const lag = model.chances.part_lag_days;
      right *= isOwn ? model.marks[mark].survives : 0;
      const swept = (day, made) => {
        const part = Math.min(day - made, lag);
        return day <= made ? day - made : part - part * part / (2 * lag);
      };
      chance = (start, stop) => (swept(stop, end) - swept(start, end) - swept(stop, first) + swept(start, first)) / (stop - start);
    } else {
      throw new Error("'" + kind + "' is not a paper or a part of this guide");
    }
    const flat = (1 - right) * (end - first) / model.chances.stray_days;
    const line = prepared.periodOf.map((_, t) => flat + right * chance(model.edges[t], model.edges[t + 1]));
    return [].concat(...prepared.rows.map(() => line));
  }

  // ---- the belief about one car (state.py) ----

  const tells = (answer) => answer.kind === "form" || answer.kind === "several";

  function normal(weights) {
    const total = sum(weights);
    if (total <= 0) { throw new Error("no car can give all these answers"); }
    return weights.map((weight) => weight / total);
  }

  function vectorsOf(prepared, mark, answer) {
    const ids = prepared.model.marks[mark].forms.map((form) => form.id);
    const forms = answer.forms.map((form) => ids.indexOf(form));
    if (forms.includes(-1)) { throw new Error("'" + answer.mark + "' has no form '" + answer.forms + "'"); }
    const own = reported(prepared.model.marks[mark], forms).everything;
    return { own, under: own.map(() => 1), donor: own };
  }

  function believe(prepared, session) {
    const said = new Map();
    for (const answer of session.answers) {
      if (!prepared.markAt.has(answer.mark)) { throw new Error("no mark '" + answer.mark + "'"); }
      said.delete(answer.mark);
      said.set(answer.mark, answer);
    }
    const answers = [...said.values()].map((answer) => ({ mark: prepared.markAt.get(answer.mark), answer }));
    const vectors = new Map(answers.filter((one) => tells(one.answer)).map((one) => (
      [one.mark, vectorsOf(prepared, one.mark, one.answer)])));
    let weights = Float64Array.from(prepared.weights);
    const car = session.car ? readCar(prepared, session.car) : null;
    if (car && !car.failure) { weights = normal(times(weights, factorOfNumber(prepared, car))); }
    for (const kind of Object.keys(session.known || {})) {
      const renewed = kind.startsWith("part:") ? said.get(kind.slice(5)) : undefined;
      const isOwn = !renewed || !["changed", "none"].includes(renewed.kind);
      weights = normal(times(weights, factorOfKnown(prepared, kind, session.known[kind], isOwn)));
    }
    const asked = [...new Set([...vectors.keys()].map((mark) => prepared.blockOf[mark]))].sort((a, b) => a - b);
    const laid = asked.map((at) => spread(prepared, prepared.blocks[at], blockLikelihood(prepared, prepared.blocks[at], vectors)));
    const before = [weights];
    laid.forEach((line, at) => { before.push(times(before[at], line)); });
    const others = new Map();
    let after = null;
    for (let at = asked.length - 1; at >= 0; at -= 1) {
      others.set(asked[at], after ? times(before[at], after) : before[at]);
      after = after ? times(laid[at], after) : laid[at];
    }
    return { prepared, session, answers, car, vectors, others, weights: normal(before[asked.length]), sums: new Map() };
  }

  // The weight in each piece of a block, its own answers left out. Blocks that divide the rows alike share the sums.
  function masses(state, at) {
    const block = state.prepared.blocks[at];
    const key = state.others.has(at) ? "block " + at : block.rowKey;
    if (!state.sums.has(key)) { state.sums.set(key, merged(state.prepared, block, state.others.get(at) || state.weights)); }
    return massesFrom(block, state.sums.get(key));
  }

  // For each form of a mark, the chance that the car was built with it; `leaveOut` leaves its own answer out.
  function chanceOfForms(state, mark, leaveOut) {
    const at = state.prepared.blockOf[mark];
    const block = state.prepared.blocks[at];
    const weights = masses(state, at);
    const said = leaveOut ? undefined : state.vectors.get(mark);
    const chances = state.prepared.model.marks[mark].forms.map((_, form, forms) => {
      const one = forms.map((__, built) => (built === form ? 1 : 0));
      const vector = { own: said ? times(one, said.own) : one, under: one, donor: said ? said.donor : one.map(() => 1) };
      return sum(times(weights, blockLikelihood(state.prepared, block, new Map(state.vectors).set(mark, vector))));
    });
    const total = sum(chances);
    return chances.map((chance) => chance / total);
  }

  guide.engine.readDays = readDays;
  Object.assign(guide.engine.inside, { tells, believe, masses, factorOfNumber, chanceOfForms, dayNumber, DAY });
}(globalThis.guide = globalThis.guide || {}));
