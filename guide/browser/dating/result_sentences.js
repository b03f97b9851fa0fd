// The result in sentences: the twin of result_sentences.py.

const iso = (prepared, day) => guide.days.iso(guide.days.number(prepared.model.origin) + day);

function periodDays(prepared, at) {
  const { first, end } = prepared.model.periods[at];
  return [iso(prepared, prepared.model.edges[first]), iso(prepared, prepared.model.edges[end] - 1)];
}

function datesOf(prepared, concluded, level) {
  return concluded.spans.filter((one) => one.level === level)
    .map((one) => daysBetween(one.stretch).map((day) => iso(prepared, day)));
}

const ofOneModel = (periods, one, other) => String(periods[one].series || "") === String(periods[other].series || "");

// First and last day of each stretch of neighbouring periods of one model, in order of time.
function stretchesOf(prepared, periods) {
  const found = [];
  let last = -2;
  for (const at of periods.slice().sort((a, b) => a - b)) {
    const days = periodDays(prepared, at);
    if (at === last + 1 && ofOneModel(prepared.model.periods, last, at)) { found[found.length - 1][1] = days[1]; } else { found.push(days); }
    last = at;
  }
  return found;
}

function eitherSpan(prepared, parts, inDays) {
  const said = parts.map(([first, last]) => (inDays ? prepared.say.daySpan : prepared.say.span)(first, last));
  return said.length === 1 ? said[0] : prepared.say("dating.either", { one: said[0], other: said[1] });
}

const areInDays = ({ model }, nine) => guide.days.number(nine[nine.length - 1][1]) - guide.days.number(nine[0][0]) < model.telling.in_days;

// The span of nine in ten as inside a sentence, in days where it is short.
function nineSaid({ state, concluded }) {
  const nine = datesOf(state.prepared, concluded, state.prepared.model.telling.spans[0]);
  return eitherSpan(state.prepared, nine, areInDays(state.prepared, nine));
}

// The sentences of the result, the main one first: { head, sentences, degree, slots, bar }. The head is that one as [before,
// what a screen sets large, after], or null where nothing in it is set apart; `degree` and `slots` are how sure it is and of
// which time; `bar` is the sentence of the spans, which stands beneath them, or null.
function sayResult(worked) {
  const { state, concluded } = worked;
  const prepared = state.prepared;
  const { spans, mention, sureness } = prepared.model.telling;
  const [nine, half] = spans.map((level) => datesOf(prepared, concluded, level));
  const inDays = areInDays(prepared, nine);
  const halfOf = eitherSpan(prepared, half, inDays);
  const chances = concluded.periods.slice(0, -1);
  const rank = (at) => Math.round(chances[at] * 1e7);
  const order = chances.map((_, at) => at).sort((a, b) => rank(b) - rank(a) || a - b);
  const top = order.length ? chances[order[0]] : 0;
  const span = order.length ? prepared.say.span(...periodDays(prepared, order[0])) : "";
  const either = eitherSpan(prepared, nine, inDays);
  const halves = halfOf !== either ? prepared.say("dating.halves", { span: either, half: halfOf }) : prepared.say("dating.nine", { span: either });
  const pace = sayPace(worked, inDays);
  let degree = pace ? "probably" : "very_probably", slots = { span: either }, rest, bar = halves;
  if (isClose(prepared, concluded, order)) {
    bar = halfOf !== either ? prepared.say("dating.halves_there", { half: halfOf }) : null;
    rest = [pace, sayPeriods(prepared, chances, order), bar];
  } else if (top >= sureness.probably) {
    degree = "probably";
    slots = { span };
    rest = [sayPeriod(prepared, order[0], "is"), halves, pace];
  } else if (top >= sureness.may_well) {
    const likely = order.slice(1).filter((at) => chances[at] >= mention);
    const others = stretchesOf(prepared, likely.length ? likely : order.slice(1, 2)).map((days) => prepared.say.range(...days));
    degree = "may_well";
    slots = { span, other: prepared.say.oneOf(others) };
    rest = [sayPeriod(prepared, order[0], "likeliest"), halves, pace];
  } else {
    slots = { span: prepared.say.range(nine[0][0], nine[nine.length - 1][1]) };
    return { head: null, sentences: [prepared.say("dating.not_enough", slots)], degree: "not_enough", slots, bar: null };
  }
  const head = cut(prepared.say.parts("dating." + degree, slots));
  return { head, sentences: [head.join(""), ...rest.filter(Boolean), ...sayNumbers(state, concluded)], degree, slots, bar };
}

// A sentence in pieces as [before, from the first of its slots to the last, after].
function cut(pieces) {
  const slots = pieces.map((piece) => Boolean(piece[0]));
  const [first, end] = [slots.indexOf(true), slots.lastIndexOf(true) + 1];
  return [pieces.slice(0, first), pieces.slice(first, end), pieces.slice(end)].map((some) => some.map((piece) => piece[1]).join(""));
}

// What the papers alone say of the number, where only an even pace of building says more.
function sayPace(worked, inDays) {
  const { prepared, car } = worked.state;
  if (!isPaced(worked)) { return ""; }
  const allowed = daysAllowed(prepared, car).map((day) => iso(prepared, day));
  return prepared.say("dating.by_pace", { span: eitherSpan(prepared, [allowed], inDays) });
}

// Names a period and its place among those of its model; nothing where it is the only one.
function sayPeriod(prepared, at, how) {
  const { periods } = prepared.model;
  const all = periods.map((_, other) => other);
  const own = all.filter((other) => (periods[other].series || []).some((one) => (periods[at].series || []).includes(one)));
  const model = own.length ? own : all.filter((other) => !periods[other].series);
  return model.length < 2 ? "" : prepared.say("dating.period." + how,
    { period: nameOfPeriod(prepared, at, how !== "is"), ordinal: prepared.say.ordinal(model.indexOf(at) + 1), of: prepared.say.count(model.length) });
}

const DATED = ["almost_certainly", "very_probably", "probably"];   // degrees that name a period whose time is not yet said

// A period's name, with its months where they are to be said; a year says them itself.
function nameOfPeriod(prepared, at, dated) {
  const period = prepared.model.periods[at].name;
  if (!dated || /^[0-9]+$/.test(period)) { return prepared.say("dating.period.name", { period }); }
  return prepared.say("dating.period.dated", { period, span: prepared.say.range(...periodDays(prepared, at)) });
}

// What a span says of the period: which it is and how surely, or which it may be.
function sayPeriods(prepared, chances, order) {
  if (!order.length) { return ""; }
  const { sureness, mention } = prepared.model.telling;
  const degree = Object.keys(sureness).find((one) => chances[order[0]] >= sureness[one]);
  if (DATED.includes(degree)) { return sayPeriod(prepared, order[0], degree); }
  const found = order.filter((at) => chances[at] >= mention);
  const likely = (found.length ? found : order.slice(0, 1)).sort((a, b) => a - b);
  const named = likely.map((at) => nameOfPeriod(prepared, at, true));
  return prepared.say("dating.period.either", { periods: prepared.say.oneOf(named) });
}

// Whether nine in ten lie within a time no longer than the likeliest period, or as fine as the guide wants.
function isClose(prepared, concluded, order) {
  const { model } = prepared;
  const period = order.length ? model.periods[order[0]] : null;
  const own = period ? model.edges[period.end] - model.edges[period.first] : 0;
  return lengthNow(concluded) <= Math.max(model.stop.fine_days, own) + 1e-6;
}

function sayNumbers(state, concluded) {
  if (state.car !== null) { return []; }
  const likely = concluded.numbers.filter((one) => one.chance >= state.prepared.model.telling.mention);
  if (likely.length === 1) { return [state.prepared.say("dating.number", { first: likely[0].first, last: likely[0].last })]; }
  return likely.map((one) => state.prepared.say("dating.number_of",
    { body: state.prepared.model.series[one.series].name, first: one.first, last: one.last }));
}

// Bits that a look tells about which of two periods it is, times the chance of either.
function told(look, one, other) {
  const both = look.joint.map((sums) => [sums[one], sums[other]]);
  const totals = [sum(both.map((pair) => pair[0])), sum(both.map((pair) => pair[1]))];
  return sum(totals) * entropy(totals) - sum(both.map((pair) => sum(pair) * entropy(pair)));
}

function sayNext(state, concluded, look) {
  const prepared = state.prepared;
  let best = null;
  for (let one = 0; one < concluded.periods.length - 1; one += 1) {
    for (let other = one + 1; other < concluded.periods.length - 1; other += 1) {
      const bits = told(look, one, other);
      if (!best || bits > best.bits + 1e-9) { best = { bits, one, other }; }
    }
  }
  if (!best || best.bits <= 0) { return prepared.say("dating.why_any"); }
  const both = [best.one, best.other];
  const [one, other] = both.map((period) => prepared.say.range(...periodDays(prepared, period)));
  if (one === other || !ofOneModel(prepared.model.periods, ...both)) { // spans are whole months, and tell no model
    const named = both.map((period) => nameOfPeriod(prepared, period, true));
    return prepared.say("dating.why", { one: named[0], other: named[1] });
  }
  return prepared.say("dating.why", { one, other });
}
