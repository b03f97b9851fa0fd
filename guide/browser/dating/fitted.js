// What the works can have fitted to a car of which this much is known: the twin of fitted.py, which holds the theory.

const ANY_CAR = [{}];                                          // stands behind a form of which the model says nothing

const holdsCar = (cars, car) => Object.keys(cars).every((name) => !(name in car) || cars[name].includes(car[name]));

// The kinds of car that an entry speaks of; empty for all.
const carsOn = (model, entry) => ("on" in entry ? model.kinds[entry.on] : {});

const behindForm = (form) => (form.fitted && form.fitted.length ? form.fitted : ANY_CAR);

// One list for all that are alike, so that they can be told by being the same.
function interned(prepared, lists) {
  const key = JSON.stringify(lists);
  if (!prepared.alike.has(key)) { prepared.alike.set(key, lists); }
  return prepared.alike.get(key);
}

// What answers tell of the kind of car: its body, its splits and its trim, taken as they were seen.
function knownOf(prepared, answers) {
  const known = {};
  for (const answer of answers) {
    const mark = prepared.model.marks[prepared.markAt.get(answer.mark)];
    if ((mark.kind || "mark") !== "mark" && seenForms(mark, answer).length) { known[mark.kind === "body" ? "series" : mark.id] = answer.forms; }
  }
  return known;
}

// For each piece of a mark's block the chance that a car was built with a form, remembered.
function builtWith(prepared, mark, form) {
  const key = mark + " " + form;
  if (!prepared.built.has(key)) {
    const one = prepared.model.marks[mark].forms.map((_, at) => (at === form ? 1 : 0));
    const vector = { own: one, under: one, donor: one.map(() => 1) };
    prepared.built.set(key, blockLikelihood(prepared, prepared.blocks[prepared.blockOf[mark]], new Map([[mark, vector]])));
  }
  return prepared.built.get(key);
}

// The weights of a session with a number, as far as that is the car's own.
function weightsOfNumber(state) {
  const wrong = wrongByCell(state);
  return state.known.map((weight, at) => weight * (1 - wrong[at]));
}

// What the works can have fitted to one car: by its number where that is known, else within the days in which it was
// very probably built, the widest spans of `concluded`.
function fittedOf(state, concluded) {
  const { prepared } = state;
  const known = knownOf(prepared, state.answers.map((one) => one.answer));
  if (state.car && !state.car.failure && !state.elsewhere) {
    const weights = weightsOfNumber(state);
    return fitted(prepared, () => weights, known, state.car);
  }
  const { edges } = prepared.model;
  const nine = guide.days.widest(concluded.spans).map((one) => one.stretch);
  const inside = prepared.periodOf[0].map((_, t) => sum(nine.map((one) => (
    Math.max(0, Math.min(one.end, edges[t + 1]) - Math.max(one.start, edges[t]))))) / (edges[t + 1] - edges[t]));
  const held = new Map();
  return fitted(prepared, (block) => {
    const weights = without(state, block);
    if (!held.has(weights)) { held.set(weights, weights.map((weight, cell) => weight * inside[cell % prepared.bins])); }
    return held.get(weights);
  }, known, null);
}

// [{mark, only, sure, forms: [{form, chance, sure, scopes: [{cars, behind}]}]}], marks and forms by their places.
function fitted(prepared, weightsFor, told, car) {
  const { model, bins, rows } = prepared;
  const trim = model.marks.findIndex((mark) => mark.kind === "interior");
  const known = Object.assign({}, told);
  if (known.series) {                                          // a body is named by the first of its series
    const bodies = new Set(model.series.filter((one) => known.series.includes(one.id)).map((one) => one.body));
    known.series = model.series.filter((one) => bodies.has(one.body)).map((one) => one.id);
  }
  const ofRow = (row) => Object.assign({ series: model.series[rows[row][0]].id }, model.specifications[rows[row][1]].splits);

  // What is known is left out of account where no car is so.
  const first = weightsFor(0);
  let inQuestion = rows.map((_, row) => row).filter((row) => first.slice(row * bins, (row + 1) * bins).some((weight) => weight > 0));
  for (const name of Object.keys(known)) {
    const narrowed = inQuestion.filter((row) => !(name in ofRow(row)) || known[name].includes(ofRow(row)[name]));
    if (narrowed.length) { inQuestion = narrowed; }
  }

  let byTrim = null;                                           // the chance of the trim that is known, per cell
  if (trim >= 0 && known.interior) {
    const block = prepared.blocks[prepared.blockOf[trim]];
    const lines = model.marks[trim].forms.map((form, at) => (known.interior.includes(form.id) ? builtWith(prepared, trim, at) : null))
      .filter(Boolean);
    const line = spread(prepared, block, Array.from(block.starts, (_, piece) => sum(lines.map((one) => one[piece]))));
    const there = inQuestion.some((row) => first.slice(row * bins, (row + 1) * bins).some((weight, t) => weight * line[row * bins + t] > 0));
    if (there) { byTrim = line; }
  }

  const massesOf = new Map();
  function massesIn(at) {
    const weights = weightsFor(at);
    const block = prepared.blocks[at];
    if (!massesOf.has(weights)) {
      const narrowed = new Float64Array(weights.length);
      for (const row of inQuestion) { narrowed.set(weights.slice(row * bins, (row + 1) * bins), row * bins); }
      if (byTrim) { narrowed.forEach((weight, cell) => { narrowed[cell] = weight * byTrim[cell]; }); }
      massesOf.set(weights, { narrowed, sums: new Map() });
    }
    const one = massesOf.get(weights);
    if (!one.sums.has(block.rowKey)) { one.sums.set(block.rowKey, merged(prepared, block, one.narrowed)); }
    return massesFrom(block, one.sums.get(block.rowKey));
  }

  const dimensionsOf = new Map();
  function dimensions([row, interior]) {
    const key = row + " " + interior;
    if (!dimensionsOf.has(key)) { dimensionsOf.set(key, interior ? Object.assign(ofRow(row), { interior }) : ofRow(row)); }
    return dimensionsOf.get(key);
  }

  // Which entries of each form of a mark speak of a kind of car; remembered.
  function entriesOf(mark, kind) {
    const key = [mark, ...rows[kind[0]], kind[1]].join(" ");
    if (!prepared.spokenOf.has(key)) {
      prepared.spokenOf.set(key, interned(prepared, model.marks[mark].forms.map((form) => (form.factory === false ? []
        : behindForm(form).map((_, at) => at).filter((at) => holdsCar(carsOn(model, behindForm(form)[at]), dimensions(kind)))))));
    }
    return prepared.spokenOf.get(key);
  }

  // By own row of a mark's block: the weight in question, and the chance of each form.
  const chancesKnown = new Map();
  function chancesOf(mark) {
    if (!chancesKnown.has(mark)) { chancesKnown.set(mark, workOutChances(mark)); }
    return chancesKnown.get(mark);
  }

  function workOutChances(mark) {
    const at = prepared.blockOf[mark];
    const block = prepared.blocks[at];
    const masses = massesIn(at);
    const forms = model.marks[mark].forms.map((_, form) => builtWith(prepared, mark, form));
    const whole = new Array(block.rowCount).fill(0);
    const sums = whole.map(() => forms.map(() => 0));
    block.rows.forEach((row, piece) => {
      if (!(masses[piece] > 0)) { return; }
      whole[row] += masses[piece];
      forms.forEach((line, form) => { sums[row][form] += masses[piece] * line[piece]; });
    });
    return { whole, chances: sums.map((row, own) => row.map((value) => (whole[own] ? value / whole[own] : 0))) };
  }

  // The entries of a form that the number lies within; all of them where none is known.
  function byNumber(form, entries) {
    if (!car || car.position === null || strayOf(model.series[car.series], car)) { return entries; }   // one out of turn is held to none
    const behind = behindForm(form);
    return entries.filter((at) => {
      const [low, high] = (behind[at].numbers || {})[model.series[car.series].id] || [null, null];
      return (low === null || car.position >= low) && (high === null || car.position <= high);
    });
  }

  // For each kind of car that can have a mark its forms, each with the entries that stand behind it.
  function allowedOn(mark, kinds) {
    const forms = model.marks[mark].forms;
    const block = prepared.blocks[prepared.blockOf[mark]];
    const { chances } = chancesOf(mark);
    const peaks = peaksOf(prepared, mark);
    const found = new Map();
    const alike = new Map();                                   // by own row and entries, the forms that such cars can have
    for (const kind of kinds) {
      const own = block.rowOf[kind[0]];
      const entries = entriesOf(mark, kind);
      if (alike.has(entries) && alike.get(entries).has(own)) {
        const chosen = alike.get(entries).get(own);
        if (chosen.size) { found.set(kind, chosen); }
        continue;
      }
      const held = forms.map((_, form) => form).filter((form) => entries[form].length);
      const likely = held.filter((form) => chances[own][form] > 0 && chances[own][form] >= model.telling.fitted * peaks[own][form]);
      const exact = likely.map((form) => [form, byNumber(forms[form], entries[form])]).filter((one) => one[1].length);
      const most = held.reduce((best, form) => (best === null || chances[own][form] > chances[own][best] ? form : best), null);
      const chosen = exact.length ? exact : likely.length ? likely.map((form) => [form, entries[form]])
        : most === null ? [] : [[most, entries[most]]];
      const told = mark === trim && byTrim ? chosen.filter(([form]) => known.interior.includes(forms[form].id)) : chosen;
      if (!alike.has(entries)) { alike.set(entries, new Map()); }
      alike.get(entries).set(own, new Map(told));
      if (told.length) { found.set(kind, alike.get(entries).get(own)); }
    }
    return found;
  }

  let kinds = inQuestion.map((row) => [row, model.interiors.length ? model.interiors[0].id : ""]);
  const plainKinds = inQuestion.map((row) => [row, ""]);
  if (trim >= 0) {
    kinds = [];
    allowedOn(trim, plainKinds).forEach((allowed, kind) => {
      for (const form of allowed.keys()) { kinds.push([kind[0], model.marks[trim].forms[form].id]); }
    });
  }

  function orderOf(name) {
    if (name === "series" || name === "interior") { return (name === "series" ? model.series : model.interiors).map((one) => one.id); }
    return [...new Set(Object.keys((model.splits || {})[name] || {}).concat(model.specifications.map((one) => one.splits[name])))];
  }

  // Some kinds of car in as few terms as tell them from the others, each with those it holds.
  function toldOf(mark, every, some) {
    if (some.length === every.length) { return [{ cars: {}, kinds: some }]; }
    const entries = model.marks[mark].forms.flatMap((form) => form.fitted || []);
    const named = new Set(entries.flatMap((one) => Object.keys(carsOn(model, one))));
    if (entries.some((one) => one.numbers)) { named.add("series"); }
    const names = Object.keys(dimensions(every[0])).filter((name) => named.has(name));
    const tuple = (kind) => names.map((name) => dimensions(kind)[name]);
    const inside = new Map(some.map((kind) => [tuple(kind).join("\n"), tuple(kind)]));
    const without = every.map(tuple).filter((one) => !inside.has(one.join("\n")));
    if (!without.length) { return [{ cars: {}, kinds: some }]; }
    const chosen = deciding(names.length, [...inside.values()], without);
    const ordered = chosen.map((at) => orderOf(names[at]));
    const pick = (one) => chosen.map((at) => one[at]);
    const told = new Map([...inside.values()].map((one) => [pick(one).join("\n"), pick(one)]));
    const rank = (one) => one.map((value, at) => ordered[at].indexOf(value));
    const sorted = [...told.values()].sort((a, b) => {
      const [left, right] = [rank(a), rank(b)];
      const at = left.findIndex((place, index) => place !== right[index]);
      return at < 0 ? 0 : left[at] - right[at];
    });
    return boxes(sorted).map((box) => {
      const cars = {};
      box.forEach((held, at) => {
        const name = names[chosen[at]];
        if (!every.every((kind) => held.includes(dimensions(kind)[name]))) { cars[name] = ordered[at].filter((value) => held.includes(value)); }
      });
      return { cars, kinds: some.filter((kind) => holdsCar(cars, dimensions(kind))) };
    });
  }

  function ofMark(mark) {
    const every = mark === trim ? plainKinds : kinds;
    const allowed = allowedOn(mark, every);
    if (!allowed.size) { return null; }
    const block = prepared.blocks[prepared.blockOf[mark]];
    const { whole, chances } = chancesOf(mark);
    const own = [...new Set([...allowed.keys()].map((kind) => block.rowOf[kind[0]]))].sort((a, b) => a - b);
    const all = sum(own.map((row) => whole[row])) || 1;
    const having = [...allowed.keys()];
    const forms = model.marks[mark].forms.map((_, form) => form).filter((form) => having.some((kind) => allowed.get(kind).has(form)));
    const told = forms.map((form) => {
      const some = having.filter((kind) => allowed.get(kind).has(form));
      const behind = behindForm(model.marks[mark].forms[form]);
      const behindOf = (kindsHeld) => [...new Set(kindsHeld.flatMap((kind) => allowed.get(kind).get(form)))].sort((a, b) => a - b);
      return {
        form, chance: sum(own.map((row) => whole[row] * chances[row][form])) / all,
        sure: behindOf(some).every((at) => behind[at].sure === true),
        scopes: toldOf(mark, having, some).map((one) => ({ cars: one.cars, behind: behindOf(one.kinds) })),
      };
    });
    const share = (one) => Math.round(one.chance * 1e6);
    told.sort((a, b) => share(b) - share(a));
    return { mark, only: toldOf(mark, every, having).map((one) => one.cars), sure: told.every((one) => one.sure), forms: told };
  }

  return model.marks.map((mark, at) => (["mark", "interior"].includes(mark.kind || "mark") ? ofMark(at) : null)).filter(Boolean);
}

// By own row of a mark's block the most that each form ever was, while such cars were built; remembered.
function peaksOf(prepared, mark) {
  if (!prepared.peaks.has(mark)) {
    const block = prepared.blocks[prepared.blockOf[mark]];
    const masses = massesFrom(block, merged(prepared, block, prepared.weights));
    const forms = prepared.model.marks[mark].forms.map((_, form) => builtWith(prepared, mark, form));
    const most = Array.from({ length: block.rowCount }, () => forms.map(() => 0));
    block.rows.forEach((row, piece) => {
      if (masses[piece] > 0) { forms.forEach((line, form) => { most[row][form] = Math.max(most[row][form], line[piece]); }); }
    });
    prepared.peaks.set(mark, most);
  }
  return prepared.peaks.get(mark);
}

// The fewest places by which tuples inside differ from all those without, the first such in order.
function deciding(size, inside, without) {
  const every = Array.from({ length: size }, (_, at) => at);
  const choices = (count, from) => (count === 0 ? [[]]
    : every.filter((at) => at >= from).flatMap((at) => choices(count - 1, at + 1).map((rest) => [at].concat(rest))));
  for (let count = 1; count < size; count += 1) {
    for (const chosen of choices(count, 0)) {
      const told = new Set(inside.map((one) => chosen.map((at) => one[at]).join("\n")));
      if (!without.some((one) => told.has(chosen.map((at) => one[at]).join("\n")))) { return chosen; }
    }
  }
  return every;
}

// Combinations of values as products of sets of values, those alike in all but the first joined.
function boxes(tuples) {
  if (!tuples.some((one) => one.length)) { return [[]]; }
  const rest = new Map();
  for (const [value, ...others] of tuples) { rest.set(value, (rest.get(value) || []).concat([others])); }
  const alike = new Map();
  for (const [value, others] of rest) {
    const key = JSON.stringify(others);
    alike.set(key, { values: alike.has(key) ? alike.get(key).values.concat(value) : [value], others });
  }
  return [...alike.values()].flatMap(({ values, others }) => boxes(others).map((box) => [values].concat(box)));
}
