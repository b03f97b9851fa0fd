// Does it fit its number? What a car of this number should have, part by part, and how what was found compares. What it
// should have is guide.dating's to say (fitted.js); what was found of the body, the trim, the hand and the market tells
// which car of that number it is.
// needs: days, answers, dating

// What tells the kind of car, of what was found.
function kinds(model, answers) {
  return answers.filter((given) => model.marks.some((mark) => mark.id === given.mark && (mark.kind || "mark") !== "mark"));
}

// How a found form compares with what is expected: as-expected, only, later, earlier, other, not-works, changed,
// cannot-tell, not-looked. `looks` is when the works fitted the found form, as the engine gives it.
function compare(part, span, given, looks) {
  if (!given) { return "not-looked"; }
  if (!given.forms.length) { return given.kind === "none" ? "not-works" : given.kind; }
  const right = part.forms.filter((form) => given.forms.includes(form.id));
  if (right.length) { return right.some((form) => !form.only) ? "as-expected" : "only"; }
  const forms = part.mark.forms.filter((form) => given.forms.includes(form.id));
  if (forms.every((form) => form.factory === false)) { return "not-works"; }
  if (looks && looks.from > span.to) { return "later"; }
  if (looks && looks.to < span.from) { return "earlier"; }
  return "other";
}

// When the works fitted what was found, by mark; nothing where the finds exclude each other, so that no car could
// be like this: what differs from the number is still told then, only not whether it is earlier or later.
function looksOf(prepared, car, answers) {
  let concluded;
  try {
    concluded = guide.dating.conclude(prepared, { answers, car, reach: [], known: {} });
  } catch (contradiction) { return {}; }
  return Object.fromEntries(concluded.apart.map((one) => [one.mark, one.looks]));
}

// The outcome for every part that a number speaks of, in the guide's order: {dated, parts: [{mark, forms, sure, only,
// says, given, verdict}]}; `dated` as guide.dating.tell returns it of the number alone.
function outcome(prepared, model, car, answers) {
  const session = (some) => ({ answers: some, car, reach: [], known: {} });
  const dated = guide.dating.tell(prepared, session([]));
  const looks = answers.length ? looksOf(prepared, car, answers) : {};
  const seen = kinds(model, answers);
  const trimless = seen.filter((given) => given.mark !== "interior");   // a trim is not held against itself
  const trim = seen.length > trimless.length && guide.dating.shouldHave(prepared, session(trimless)).find((part) => part.mark.kind === "interior");
  const parts = guide.dating.shouldHave(prepared, session(seen)).map((one) => {
    const part = trim && one.mark.kind === "interior" ? trim : one;
    const given = answers.find((one) => one.mark === part.mark.id) || null;
    return Object.assign(part, { given, verdict: compare(part, dated, given, looks[part.mark.id] || null) });
  });
  return { dated, parts };
}

// Whether a verdict says that a part is other than it should be.
const differs = (verdict) => !["as-expected", "only", "not-looked", "cannot-tell"].includes(verdict);

guide.fitting = { outcome, differs, kinds };
