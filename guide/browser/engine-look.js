// The next look, with one step of look-ahead: the twin of look.py and ahead.py, which hold the theory.
// needs: engine-result
(function (guide) {
  "use strict";

  const { sum, times, blockLikelihood, spread, masses, shortest, overTime, periodChances } = guide.engine.inside;
  const EQUAL = 1e-9;         // scores nearer than this are equal
  const WORK = 12000;         // looks weighed squared, times series and bins

  // ---- the next look (look.py) ----

  function entropy(chances) {
    const total = sum(chances);
    let bits = 0;
    for (let at = 0; total > 0 && at < chances.length; at += 1) {
      if (chances[at] > 0) { bits -= chances[at] / total * Math.log2(chances[at] / total); }
    }
    return bits;
  }

  function wouldStop(prepared, periods, line) {
    const stop = prepared.model.stop;
    if (most(periods) >= stop.period * sum(periods)) { return "period"; }
    const whole = shortest(prepared.model.edges, line, 0.9);
    return whole.end - whole.start <= stop.fine_days ? "fine-enough" : null;
  }

  function reachOf(state, mark) {
    const one = state.prepared.model.marks[mark];
    const allowed = state.session.reach || [];
    if (!allowed.length || allowed.includes(one.reach)) { return { within: true, reach: one.reach }; }
    if (allowed.includes("photographs") && one.photographs) { return { within: true, reach: "photographs" }; }
    return { within: false, reach: one.reach };
  }

  function afterAnswer(state, mark, form) {
    const prepared = state.prepared;
    const said = prepared.reports[mark][form];
    const vector = { own: said, under: said.map(() => 1), donor: said };
    return blockLikelihood(prepared, prepared.blocks[prepared.blockOf[mark]], new Map(state.vectors).set(mark, vector));
  }

  function timeAfter(state, mark, line) {
    const at = state.prepared.blockOf[mark];
    const cells = spread(state.prepared, state.prepared.blocks[at], line);
    return overTime(state.prepared, times(cells, state.others.get(at) || state.weights));
  }

  function most(periods) {
    let best = 0;
    for (let at = 0; at < periods.length - 1; at += 1) { if (periods[at] > best) { best = periods[at]; } }
    return best;
  }

  // Whether some run of periods that a span just fine enough can touch holds nine in ten.
  function mayBeFine(prepared, periods, total) {
    return prepared.fineRuns.some((run) => run.reduce((held, at) => held + periods[at], 0) >= 0.9 * total);
  }

  function stops(state, mark, form, sums, total) {
    const prepared = state.prepared;
    if (most(sums) >= prepared.model.stop.period * total) { return true; }
    if (!mayBeFine(prepared, sums, total)) { return false; }
    return wouldStop(prepared, sums, timeAfter(state, mark, afterAnswer(state, mark, form))) !== null;
  }

  function effortOf(state, mark, reach, paid) {
    return state.prepared.model.marks[mark].effort + (paid.has(reach) ? 0 : state.prepared.model.reaches[reach] || 0);
  }

  function paidReaches(state) { return new Set(state.answers.map((one) => reachOf(state, one.mark).reach)); }

  // The weight of each period with each answer to a mark; `lines` are the likelihoods per piece where they are needed.
  function answersTo(state, mark, weights) {
    const prepared = state.prepared;
    const block = prepared.blocks[prepared.blockOf[mark]];
    const count = prepared.model.periods.length + 1;
    const { periods, profiles } = block;
    return prepared.saidOfMix[mark].map((said, form) => {
      const sums = new Float64Array(count);
      if (block.lone) {
        for (let piece = 0; piece < weights.length; piece += 1) { sums[periods[piece]] += weights[piece] * said[profiles[piece]]; }
      } else {
        const line = afterAnswer(state, mark, form);
        for (let piece = 0; piece < weights.length; piece += 1) { sums[periods[piece]] += weights[piece] * line[piece]; }
      }
      return sums;
    });
  }

  function looks(state) {
    const prepared = state.prepared;
    const model = prepared.model;
    const answered = new Set(state.answers.map((one) => one.mark));
    const paid = paidReaches(state);
    const now = entropy(periodChances(prepared, overTime(prepared, state.weights)));
    const weightsOf = new Map();
    const found = [];
    model.marks.forEach((one, mark) => {
      if (answered.has(mark) || one.ask === false) { return; }
      const at = prepared.blockOf[mark];
      if (!weightsOf.has(at)) { weightsOf.set(at, masses(state, at)); }
      const joint = answersTo(state, mark, weightsOf.get(at));
      const totals = joint.map(sum);
      const whole = sum(totals);
      let after = 0;
      joint.forEach((sums, form) => {
        if (totals[form] > 0 && !stops(state, mark, form, sums, totals[form])) { after += totals[form] / whole * entropy(sums); }
      });
      const { within: near, reach } = reachOf(state, mark);
      found.push({ mark, reach, gain_bits: Math.max(now - after, 0), effort: effortOf(state, mark, reach, paid), within: near, joint });
    });
    return found;
  }

  function choose(candidates, least) {
    let best = null;
    for (const look of candidates) {
      if (look.gain_bits < least) { continue; }
      if (!best || look.gain_bits / look.effort > best.gain_bits / best.effort + EQUAL) { best = look; }
    }
    return best;
  }

  // ---- one step of look-ahead (ahead.py) ----

  // The weight of each answer by place (series and bin laid end to end), adding up to one.
  function byPlace(state, mark) {
    const prepared = state.prepared;
    const bins = prepared.bins;
    const at = prepared.blockOf[mark];
    const weights = state.others.get(at) || state.weights;
    const joint = prepared.model.marks[mark].forms.map((_, form) => {
      const cells = spread(prepared, prepared.blocks[at], afterAnswer(state, mark, form));
      const line = new Float64Array(prepared.model.series.length * bins);
      prepared.rows.forEach(([series], row) => {
        for (let t = 0; t < bins; t += 1) { line[series * bins + t] += cells[row * bins + t] * weights[row * bins + t]; }
      });
      return line;
    });
    const place = joint[0].map((_, p) => sum(joint.map((line) => line[p])));
    const whole = sum(place);
    return { joint: joint.map((line) => line.map((value) => value / whole)),
      given: joint.map((line) => line.map((value, p) => (place[p] > 0 ? value / place[p] : 0))) };
  }

  // The weight of each period in `joint`, or in `joint` times `given`.
  function placePeriods(prepared, joint, given) {
    const sums = new Array(prepared.model.periods.length + 1).fill(0);
    for (let p = 0; p < joint.length; p += 1) {
      sums[prepared.periodOf[p % prepared.bins]] += given ? joint[p] * given[p] : joint[p];
    }
    return sums;
  }

  function placeStops(prepared, periods, joint) {
    const total = sum(periods);
    if (most(periods) >= prepared.model.stop.period * total) { return true; }
    if (!mayBeFine(prepared, periods, total)) { return false; }
    return wouldStop(prepared, periods, overTime(prepared, joint)) !== null;
  }

  // The effort still to be spent after an answer, times the chance of the answer.
  function leftAfter(state, few, tables, at, joint, paid, bit) {
    const prepared = state.prepared;
    const stop = prepared.model.stop;
    const periods = placePeriods(prepared, joint);
    const total = sum(periods);
    if (total <= 0 || placeStops(prepared, periods, joint)) { return 0; }
    const unknown = entropy(periods);
    const free = new Set(paid).add(few[at].reach);
    let left = bit * unknown;
    few.forEach((look, other) => {
      if (other === at) { return; }
      const after = sum(tables[other].given.map((given) => {
        const sums = placePeriods(prepared, joint, given);
        const share = sum(sums);
        return share > 0 && most(sums) < stop.period * share ? share / total * entropy(sums) : 0;
      }));
      left = Math.min(left, effortOf(state, look.mark, look.reach, free) + bit * Math.min(after, unknown));
    });
    return total * left;
  }

  function chooseAhead(state, candidates) {
    if (candidates.length < 2) { return candidates[0] || null; }
    const prepared = state.prepared;
    const places = prepared.bins * prepared.model.series.length;
    const count = Math.min(16, Math.max(3, Math.floor(Math.sqrt(Math.floor(WORK / places)))));
    const rank = (look) => Math.round(look.gain_bits / look.effort * 1e7);
    const few = candidates.slice().sort((a, b) => rank(b) - rank(a) || a.mark - b.mark).slice(0, count)
      .sort((a, b) => a.mark - b.mark);
    const tables = few.map((look) => byPlace(state, look.mark));
    // a bit left unknown is reckoned at somewhat more than the best look now takes per bit
    const rate = Math.max(...candidates.map((look) => look.gain_bits / look.effort));
    const reckoned = prepared.model.stop.bit_effort === undefined ? 1.75 : prepared.model.stop.bit_effort;
    const bit = rate > 0 ? Math.min(4, Math.max(1, reckoned / rate)) : 4;
    const paid = paidReaches(state);
    let best = null;
    few.forEach((look, at) => {
      const cost = look.effort + sum(tables[at].joint.map((joint) => leftAfter(state, few, tables, at, joint, paid, bit)));
      if (!best || cost < best.cost - EQUAL) { best = { cost, look }; }
    });
    return best.look;
  }

  // How long, in days, the span of nine in ten can be expected to be after a look.
  function expectedLength(state, look) {
    let total = 0;
    let length = 0;
    state.prepared.model.marks[look.mark].forms.forEach((_, form) => {
      const line = timeAfter(state, look.mark, afterAnswer(state, look.mark, form));
      const weight = sum(line);
      if (weight > 0) {
        const whole = shortest(state.prepared.model.edges, line, 0.9);
        total += weight;
        length += weight * (whole.end - whole.start);
      }
    });
    return length / total;
  }

  Object.assign(guide.engine.inside, { entropy, wouldStop, looks, choose, chooseAhead, expectedLength });
}(globalThis.guide = globalThis.guide || {}));
