// What the screen says beside the figures: the twin of says.py.

const APART_FROM = 0.5;      // a mark is said to stand apart from this chance up
const SHORTER = 0.9;         // a look's expected span is said where it is that much shorter

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
