// What is said of the parts that were looked at: the twin of apart_sentences.py.

// The verdicts that tell of nothing that stands apart.
const NOT_APART = ["expected", "only", "covered", "cannot-tell"];

const OF_THAT_KIND = 0.3;

// By answered mark the forms found that are right for such a car, where that is known; nothing otherwise.
function rightThere(worked) {
  const { state } = worked;
  const { marks, telling } = state.prepared.model;
  if (numberWrong(state) > telling.apart) { return new Map(); }
  const plain = ({ mark }) => (marks[mark].kind || "mark") === "mark";
  return (!state.car || state.car.failure) && state.answers.every(plain) ? new Map() : rightOf(worked);
}

// Every answered mark in order with its verdict: [{one, verdict}].
function verdictsOf(worked) {
  const byMark = new Map(worked.apart.map((one) => [one.mark, one]));
  const right = rightThere(worked);
  return worked.state.answers.map(({ mark }) => (
    { one: byMark.get(mark), verdict: verdictOf(worked.state, worked.concluded, byMark.get(mark), right.get(mark)) }));
}

// That a part is right for some kinds of car only.
function sayRightFor(worked, right) {
  const { prepared } = worked.state;
  return prepared.say("dating.verdict.only", { cars: onlySaid(prepared, right[0], trimsOf(prepared.model, worked.fitted)) });
}

const sayVerdict = (worked, { one, verdict }) => (verdict === "only" ? sayRightFor(worked, rightOf(worked).get(one.mark))
  : worked.state.prepared.say("dating.verdict." + verdict));

// Whether an answer has nothing to stand apart from: it is the only part that is known of the car.
const isAlone = (state) => !state.daily
  && [...state.vectors.keys()].filter((mark) => (state.prepared.model.marks[mark].kind || "mark") === "mark").length <= 1;

// Whether what was found was never the usual form, yet on enough such cars, or is right for some of them only and the car
// is likely enough of that kind.
function isOption(state, one, some) {
  const forms = seenForms(state.prepared.model.marks[one.mark], one.answer);
  const built = sum(forms.map((at) => one.expected[at]));
  return (!one.looks && built >= state.prepared.model.telling.fitted) || (some && built >= OF_THAT_KIND);
}

// `right` are the forms found that are right for such a car; undefined where that is not known.
function verdictOf(state, concluded, one, right) {
  const mark = state.prepared.model.marks[one.mark];
  const forms = seenForms(mark, one.answer).map((at) => mark.forms[at]);
  if (!forms.length) { return one.answer.forms.length ? "covered" : one.answer.kind; }
  const couldBe = !right || right.length > 0;
  const some = Boolean(right) && right.length > 0 && right.every(ofSome);
  const expected = some ? "only" : "expected";
  if (couldBe && one.chance < state.prepared.model.telling.apart) { return expected; }
  if (forms.every((form) => form.factory === false)) {
    const kinds = [...new Set(forms.map((form) => form.kind || ""))].join();
    return kinds === "reproduction" ? "copy" : kinds === "service part" ? "spare" : "not-works";
  }
  if (couldBe && (isAlone(state) || isOption(state, one, some))) { return expected; }
  if (one.misread > one.replaced) { return "misread"; }
  const nine = guide.days.widest(concluded.spans).map((span) => daysBetween(span.stretch));
  const edges = state.prepared.model.edges;
  const fitted = one.looks || one.offered;
  if (fitted && edges[fitted[0]] > nine[nine.length - 1][1]) { return "later"; }
  if (fitted && edges[fitted[1] + 1] <= nine[0][0]) { return "earlier"; }
  return "other";
}

function sayOne(state, each) {
  const prepared = state.prepared;
  const mark = prepared.model.marks[each.one.mark];
  const slots = { part: mark.name };
  const fitted = each.one.looks || each.one.offered;
  if (["later", "earlier"].includes(each.verdict) && fitted) {
    const { edges } = prepared.model;
    slots.month = prepared.say.monthYear(iso(prepared, each.verdict === "later" ? edges[fitted[0]] : edges[fitted[1] + 1] - 1));
    return prepared.say("dating.apart." + each.verdict + (each.one.offered ? "-offer" : ""), slots);
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
    if (NOT_APART.includes(each.verdict)) { continue; }
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
