// The whole result as one object, and what the screen says beside it: the twin of engine.py, words.py and says.py.
// needs: engine-look
(function (guide) {
  "use strict";

  const { sum, tells, believe, figures, standsApart, entropy, wouldStop, looks, choose, chooseAhead, expectedLength, daysBetween,
    dayNumber, DAY, factorOfNumber } = guide.engine.inside;
  const MENTION = 0.1;         // another period is named beside the first from this chance up
  const SHORTER = 0.9;         // a look's expected span is said where it is that much shorter
  const IN_DAYS = 62;          // a span shorter than this is said in days, not in months
  const APART_FROM = 0.5;      // a mark is said to stand apart from this chance up

  function iso(prepared, day) {
    return new Date((dayNumber(prepared.model.origin) + day) * DAY).toISOString().slice(0, 10);
  }

  function say(prepared, id, slots) { return guide.say(prepared.words, id, slots); }

  // ---- the result in sentences (words.py) ----

  function periodDays(prepared, at) {
    const { first, end } = prepared.model.periods[at];
    return [iso(prepared, prepared.model.edges[first]), iso(prepared, prepared.model.edges[end] - 1)];
  }

  function datesOf(prepared, concluded, level) {
    return concluded.spans.filter((one) => one.level === level)
      .map((one) => daysBetween(one.stretch).map((day) => iso(prepared, day)));
  }

  // First and last day of each stretch of neighbouring periods, in order of time.
  function stretchesOf(prepared, periods) {
    const found = [];
    let last = -2;
    for (const at of periods.slice().sort((a, b) => a - b)) {
      const days = periodDays(prepared, at);
      if (at === last + 1) { found[found.length - 1][1] = days[1]; } else { found.push(days); }
      last = at;
    }
    return found;
  }

  function eitherSpan(prepared, parts, inDays) {
    const said = parts.map(([first, last]) => (inDays ? guide.say.daySpan : guide.say.span)(prepared.words, first, last));
    return said.length === 1 ? said[0] : say(prepared, "dating.either", { one: said[0], other: said[1] });
  }

  function sayResult(state, concluded) {
    const prepared = state.prepared;
    const words = prepared.words;
    const nine = datesOf(prepared, concluded, 0.9);
    const inDays = dayNumber(nine[nine.length - 1][1]) - dayNumber(nine[0][0]) < IN_DAYS;
    const half = eitherSpan(prepared, datesOf(prepared, concluded, 0.5), inDays);
    const chances = concluded.periods.slice(0, -1);
    const rank = (at) => Math.round(chances[at] * 1e7);
    const order = chances.map((_, at) => at).sort((a, b) => rank(b) - rank(a) || a - b);
    const top = order.length ? chances[order[0]] : 0;
    const span = order.length ? guide.say.span(words, ...periodDays(prepared, order[0])) : "";
    const either = eitherSpan(prepared, nine, inDays);
    const halves = half !== either ? say(prepared, "dating.halves", { span: either, half }) : say(prepared, "dating.nine", { span: either });
    let sentences;
    if (isClose(prepared, concluded, order)) {
      sentences = [say(prepared, "dating.very_probably", { span: either }), sayPeriods(prepared, chances, order),
        half !== either ? say(prepared, "dating.halves_there", { half }) : ""];
    } else if (top >= 0.66) {
      sentences = [say(prepared, "dating.probably", { span }), sayPeriod(prepared, order[0], "is"), halves];
    } else if (top >= 0.33) {
      const likely = order.slice(1).filter((at) => chances[at] >= MENTION);
      const others = stretchesOf(prepared, likely.length ? likely : order.slice(1, 2)).map((days) => guide.say.range(words, ...days));
      sentences = [say(prepared, "dating.may_well", { span, other: guide.say.oneOf(words, others) }),
        sayPeriod(prepared, order[0], "likeliest"), halves];
    } else {
      return [say(prepared, "dating.not_enough", { span: guide.say.range(words, nine[0][0], nine[nine.length - 1][1]) })];
    }
    return sentences.filter(Boolean).concat(sayNumbers(state, concluded));
  }

  // Names a period and its place among them; nothing where there is only one.
  function sayPeriod(prepared, at, how) {
    const { periods } = prepared.model;
    return periods.length < 2 ? "" : say(prepared, "dating.period." + how,
      { period: periods[at].name, ordinal: guide.say.ordinal(prepared.words, at + 1), of: guide.say.count(prepared.words, periods.length) });
  }

  // What a span says of the period: which it is and how surely, or which it may be.
  function sayPeriods(prepared, chances, order) {
    if (!order.length) { return ""; }
    const degree = guide.say.sureness(chances[order[0]]);
    if (["almost_certainly", "very_probably", "probably"].includes(degree)) { return sayPeriod(prepared, order[0], degree); }
    const found = order.filter((at) => chances[at] >= MENTION);
    const likely = (found.length ? found : order.slice(0, 1)).sort((a, b) => a - b);
    const named = likely.map((at) => say(prepared, "dating.period.name", { period: prepared.model.periods[at].name }));
    return say(prepared, "dating.period.either", { periods: guide.say.oneOf(prepared.words, named) });
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
    const likely = concluded.numbers.filter((one) => one.chance >= MENTION);
    if (likely.length === 1) { return [say(state.prepared, "dating.number", { first: likely[0].first, last: likely[0].last })]; }
    return likely.map((one) => say(state.prepared, "dating.number_of",
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
    if (!best || best.bits <= 0) { return say(prepared, "dating.why_any"); }
    const both = [best.one, best.other];
    const [one, other] = both.map((period) => guide.say.range(prepared.words, ...periodDays(prepared, period)));
    if (one === other) {  // the spans are said in whole months, and both periods lie in the same
      const names = both.map((period) => prepared.model.periods[period].name);
      return say(prepared, "dating.why_named", { one: names[0], other: names[1] });
    }
    return say(prepared, "dating.why", { one, other });
  }

  // ---- the whole result (engine.py) ----

  // Everything worked out once for a session; the last one is remembered, so that a screen may ask twice.
  function workOut(prepared, session) {
    const key = JSON.stringify([session.answers, session.car, session.reach, session.known]);
    if (!prepared.last || prepared.last.key !== key) {
      const state = believe(prepared, session);
      prepared.last = { key, state, concluded: figures(state), apart: standsApart(state), found: null };
    }
    return prepared.last;
  }

  // The looks there are, and the best of them within reach.
  function lookOut(worked) {
    if (!worked.found) {
      const least = worked.state.prepared.model.stop.gain_bits;
      worked.found = looks(worked.state);
      worked.inside = chooseAhead(worked.state, worked.found.filter((one) => one.within && one.gain_bits >= least));
    }
    return worked;
  }

  function onward(worked) {
    const { state, concluded } = worked;
    const code = wouldStop(state.prepared, concluded.periods, concluded.line);
    if (code) { return { stopped: code, look: null }; }
    const { found, inside } = lookOut(worked);
    if (inside) { return { stopped: null, look: inside }; }
    return { stopped: choose(found, state.prepared.model.stop.gain_bits) ? "nothing-in-reach" : "nothing-left", look: null };
  }

  const valueOf = (answer) => (tells(answer) ? answer.forms.join("+") : answer.kind);

  function apartForOutput(prepared, one) {
    const mark = prepared.model.marks[one.mark];
    const edges = prepared.model.edges;
    return { mark: mark.id, found: valueOf(one.answer), chance: one.chance, replaced: one.replaced, misread: one.misread,
      expected: mark.forms.map((form, at) => ({ form: form.id, chance: one.expected[at] })),
      looks: one.looks && { from: iso(prepared, edges[one.looks[0]]), to: iso(prepared, edges[one.looks[1] + 1] - 1) } };
  }

  function conclude(prepared, session) {
    const model = prepared.model;
    const worked = workOut(prepared, session);
    const { state, concluded, apart } = worked;
    const { stopped, look } = onward(worked);
    const named = (things, chances) => things.map((thing, at) => ({ id: thing.id, name: thing.name, chance: chances[at] }));
    const asked = look && model.marks[look.mark];
    return {
      format: 1,
      edition: model.edition,
      car: state.car && !state.car.failure ? state.car.written : session.car || null,
      reach: (session.reach || []).slice(),
      answers: state.answers.map(({ answer }) => ({ mark: answer.mark, forms: answer.forms.slice(), kind: answer.kind })),
      result: {
        spans: concluded.spans.map(({ level, stretch }) => {
          const [from, to] = daysBetween(stretch).map((day) => iso(prepared, day));
          return { level, weight: stretch.weight, from, to };
        }),
        words: sayResult(state, concluded).join(" "),
      },
      periods: named(model.periods, concluded.periods),
      interiors: named(model.interiors, concluded.interiors),
      specifications: concluded.specifications,
      numbers: concluded.numbers.map((one) => (
        { series: model.series[one.series].id, from: one.first, to: one.last, chance: one.chance })),
      apart: apart.map((one) => apartForOutput(prepared, one)),
      next: look && { mark: asked.id, question: asked.question, reach: look.reach,
        answers: asked.forms.map((form) => ({ form: form.id, answer: form.answer })),
        gain_bits: look.gain_bits, effort: look.effort, why: sayNext(state, concluded, look) },
      stopped: stopped && { code: stopped, words: say(prepared, "dating.stopped." + stopped) },
    };
  }

  // ---- what the screen says beside it (says.py) ----

  function verdictOf(state, concluded, one) {
    if (!tells(one.answer)) { return one.answer.kind; }
    if (one.chance < APART_FROM) { return "expected"; }
    const forms = state.prepared.model.marks[one.mark].forms.filter((form) => one.answer.forms.includes(form.id));
    if (forms.every((form) => form.factory === false)) {
      const kinds = [...new Set(forms.map((form) => form.kind || ""))].join();
      return kinds === "reproduction" ? "copy" : kinds === "service part" ? "spare" : "not-works";
    }
    if (one.misread > one.replaced) { return "misread"; }
    const nine = concluded.spans.filter((span) => span.level === 0.9).map((span) => daysBetween(span.stretch));
    const edges = state.prepared.model.edges;
    if (one.looks && edges[one.looks[0]] > nine[nine.length - 1][1]) { return "later"; }
    if (one.looks && edges[one.looks[1] + 1] <= nine[0][0]) { return "earlier"; }
    return "other";
  }

  function sayOne(state, each) {
    const prepared = state.prepared;
    const mark = prepared.model.marks[each.one.mark];
    const slots = { part: mark.name };
    if (each.verdict === "later" && each.one.looks) {
      slots.month = guide.say.monthYear(prepared.words, iso(prepared, prepared.model.edges[each.one.looks[0]]));
    }
    if (each.verdict === "spare") {
      const since = mark.forms.filter((form) => each.one.answer.forms.includes(form.id) && form.since).map((form) => form.since);
      if (since.length) { return say(prepared, "dating.apart.spare_since", { part: mark.name, year: String(Math.min(...since)) }); }
    }
    return say(prepared, "dating.apart." + each.verdict, slots);
  }

  function groupsOf(state, said) {
    const model = state.prepared.model;
    const gathered = new Map();
    for (const each of said) {
      if (each.verdict === "expected" || each.verdict === "cannot-tell") { continue; }
      const set = state.prepared.setOf[each.one.mark];
      let key = "mark " + each.one.mark;
      if (["later", "earlier", "other"].includes(each.verdict) && set !== null) {
        key = "set " + set;
      } else if (each.verdict === "later") {
        key = "area " + model.areas.findIndex((area) => area.id === model.marks[each.one.mark].area);
      }
      if (!gathered.has(key)) { gathered.set(key, []); }
      gathered.get(key).push(each);
    }
    return [...gathered].map(([key, members]) => {
      const ids = members.map((each) => model.marks[each.one.mark].id);
      if (members.length === 1) { return { marks: ids, says: sayOne(state, members[0]) }; }
      const parts = guide.say.allOf(state.prepared.words, members.map((each) => model.marks[each.one.mark].name));
      const [kind, at] = key.split(" ");
      return { marks: ids, says: kind === "set" ? say(state.prepared, "dating.apart.set", { parts, job: model.sets[at].name })
        : say(state.prepared, "dating.apart.area", { parts }) };
    });
  }

  function lengthNow(concluded) {
    const nine = concluded.spans.filter((one) => one.level === 0.9).map((one) => one.stretch);
    return nine[nine.length - 1].end - nine[0].start;
  }

  // The chance that the number is not the car's own, or null where none was read.
  function numberWrong(state) {
    if (!state.car || state.car.failure) { return null; }
    const { model } = state.prepared;
    const wrong = model.chances.number_wrong / sum(model.series.map((series) => sum(series.cars)));
    const factors = factorOfNumber(state.prepared, state.car);
    return sum(Array.from(state.weights, (weight, at) => (weight > 0 ? weight * wrong / factors[at] : 0)));
  }

  function explain(prepared, session) {
    const worked = workOut(prepared, session);
    const { state, concluded } = worked;
    const byMark = new Map(worked.apart.map((one) => [one.mark, one]));
    const said = state.answers.map(({ mark }) => ({ one: byMark.get(mark), verdict: verdictOf(state, concluded, byMark.get(mark)) }));
    const sentences = sayResult(state, concluded);
    if (concluded.spans.filter((one) => one.level === 0.9).length > 1) {
      const number = state.car && !state.car.failure;
      sentences.push(say(prepared, number ? "dating.two_dates_number" : "dating.two_dates"));
    }
    if (numberWrong(state) > APART_FROM) { sentences.push(say(prepared, "dating.number_apart", { number: state.car.written })); }
    const least = prepared.model.stop.gain_bits;
    const { found, inside } = lookOut(worked);
    let beyond = choose(found.filter((one) => !one.within), least);
    if (inside && beyond && beyond.gain_bits <= inside.gain_bits + 1e-9) { beyond = null; }
    const best = (look, id) => {
      if (!look) { return null; }
      const said = say(prepared, id, { part: prepared.model.marks[look.mark].name });
      const after = expectedLength(state, look);
      return after > SHORTER * lengthNow(concluded) ? said
        : said + " " + say(prepared, "dating.bring_down", { length: guide.say.duration(prepared.words, after) });
    };
    return {
      sentences,
      next: best(inside, "dating.best_next"),
      beyond: beyond && best(beyond, "dating.beyond." + beyond.reach),
      beyond_look: beyond && { mark: prepared.model.marks[beyond.mark].id, reach: beyond.reach, gain_bits: beyond.gain_bits,
        effort: beyond.effort },
      answers: said.map((each) => ({ mark: prepared.model.marks[each.one.mark].id, says: say(prepared, "dating.verdict." + each.verdict) })),
      apart_groups: groupsOf(state, said),
    };
  }

  guide.engine.conclude = conclude;
  guide.engine.explain = explain;
}(globalThis.guide = globalThis.guide || {}));
