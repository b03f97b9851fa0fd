// What is said of the parts that were looked at: the twin of apart_sentences.py.

// The answered marks, by their places, of which nothing was named that the works can have fitted to such a car.
function neverFitted(worked) {
  const { state, concluded } = worked;
  const { marks, telling } = state.prepared.model;
  const plain = (mark) => (marks[mark].kind || "mark") === "mark";
  if (numberWrong(state) > telling.apart) { return new Set(); }
  if ((!state.car || state.car.failure) && state.answers.every(({ mark }) => plain(mark))) { return new Set(); }
  worked.fitted = worked.fitted || fittedOf(state, concluded);
  const fittedForms = new Map(worked.fitted.map((one) => [one.mark, one.forms.map((form) => form.form)]));
  return new Set(state.answers.filter(({ mark, answer }) => plain(mark)
    && !seenForms(marks[mark], answer).some((form) => (fittedForms.get(mark) || []).includes(form))).map(({ mark }) => mark));
}

// Every answered mark in order with its verdict: [{one, verdict}].
function verdictsOf(worked) {
  const byMark = new Map(worked.apart.map((one) => [one.mark, one]));
  const unfitted = neverFitted(worked);
  return worked.state.answers.map(({ mark }) => (
    { one: byMark.get(mark), verdict: verdictOf(worked.state, worked.concluded, byMark.get(mark), !unfitted.has(mark)) }));
}

// Whether an answer has nothing to stand apart from: it is the only part that is known of the car.
const isAlone = (state) => !state.daily
  && [...state.vectors.keys()].filter((mark) => (state.prepared.model.marks[mark].kind || "mark") === "mark").length <= 1;

// Whether what was found was never the usual form, and yet on enough such cars: first of all it is an option.
function isOption(state, one) {
  const forms = seenForms(state.prepared.model.marks[one.mark], one.answer);
  return !one.looks && sum(forms.map((at) => one.expected[at])) >= state.prepared.model.telling.fitted;
}

function verdictOf(state, concluded, one, couldBe) {
  const mark = state.prepared.model.marks[one.mark];
  const forms = seenForms(mark, one.answer).map((at) => mark.forms[at]);
  if (!forms.length) { return one.answer.forms.length ? "covered" : one.answer.kind; }
  if (couldBe && one.chance < state.prepared.model.telling.apart) { return "expected"; }
  if (forms.every((form) => form.factory === false)) {
    const kinds = [...new Set(forms.map((form) => form.kind || ""))].join();
    return kinds === "reproduction" ? "copy" : kinds === "service part" ? "spare" : "not-works";
  }
  if (couldBe && (isAlone(state) || isOption(state, one))) { return "expected"; }
  if (one.misread > one.replaced) { return "misread"; }
  const nine = guide.days.widest(concluded.spans).map((span) => daysBetween(span.stretch));
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
    slots.month = prepared.say.monthYear(iso(prepared, prepared.model.edges[each.one.looks[0]]));
  }
  if (each.verdict === "spare") {
    const since = mark.forms.filter((form) => each.one.answer.forms.includes(form.id) && form.since).map((form) => form.since);
    if (since.length) { return prepared.say("dating.apart.spare_since", { part: mark.name, year: String(Math.min(...since)) }); }
  }
  return prepared.say("dating.apart." + each.verdict, slots);
}

function groupsOf(state, said) {
  const { prepared } = state;
  const { model } = prepared;
  const gathered = new Map();
  for (const each of said) {
    if (["expected", "covered", "cannot-tell"].includes(each.verdict)) { continue; }
    const set = prepared.setOf[each.one.mark];
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
    if (members.length === 1) { return { marks: ids, says: sayOne(state, members[0]), renewed: false }; }
    const parts = prepared.say.allOf(members.map((each) => model.marks[each.one.mark].name));
    const [kind, at] = key.split(" ");
    return { marks: ids, says: kind === "set" ? prepared.say("dating.apart.set", { parts, job: model.sets[at].name })
      : prepared.say("dating.apart.area", { parts }), renewed: kind === "set" };
  });
}
