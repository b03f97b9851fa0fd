// Does it fit its number? What a car of this number should have, part by part, and how what was found compares. What it
// should have is guide.dating's to say (fitted.js); what was found of the body, the trim, the hand and the market tells
// which car of that number it is.
// needs: days, answers, dating

// What tells the kind of car, of what was found.
function kinds(model, answers) {
  return answers.filter((given) => model.marks.some((mark) => mark.id === given.mark && (mark.kind || "mark") !== "mark"));
}

// What the key says of a part that stands apart although such a car can have had it, as this page says it.
const SAID = { later: "later", earlier: "earlier", other: "other", misread: "other" };

// How a found form compares with what is expected: as-expected, only, later, earlier, other, not-works, changed,
// cannot-tell, not-looked. `key` is what the key says of the same finds.
function compare(part, span, given, key) {
  if (!given) { return "not-looked"; }
  if (!given.forms.length) { return given.kind === "none" ? "not-works" : given.kind; }
  const right = part.forms.filter((form) => given.forms.includes(form.id));
  const said = key.doubted ? null : SAID[key.of[part.mark.id]];
  if (right.length) { return said || (right.some((form) => !form.only) ? "as-expected" : "only"); }
  const forms = part.mark.forms.filter((form) => given.forms.includes(form.id));
  if (forms.every((form) => form.factory === false)) { return "not-works"; }
  const looks = key.looks[part.mark.id];
  if (looks && looks.from > span.to) { return "later"; }
  if (looks && looks.to < span.from) { return "earlier"; }
  return "other";
}

// What the key says of the finds; nothing where they exclude each other, so that no car could be like this: what differs
// from the number is still told then, only not whether it is earlier or later.
function keyOf(prepared, car, answers) {
  try {
    return guide.dating.verdicts(prepared, { answers, car, reach: [], known: {} });
  } catch (contradiction) { return { doubted: true, of: {}, looks: {} }; }
}

// The outcome for every part that a number speaks of, in the guide's order: {dated, parts: [{mark, forms, sure, only,
// says, given, verdict}]}; `dated` as guide.dating.tell returns it of the number alone.
function outcome(prepared, model, car, answers) {
  const session = (some) => ({ answers: some, car, reach: [], known: {} });
  const dated = guide.dating.tell(prepared, session([]));
  const key = answers.length ? keyOf(prepared, car, answers) : {};
  const seen = kinds(model, answers);
  const trimless = seen.filter((given) => given.mark !== "interior");   // a trim is not held against itself
  const trim = seen.length > trimless.length && guide.dating.shouldHave(prepared, session(trimless)).find((part) => part.mark.kind === "interior");
  const parts = guide.dating.shouldHave(prepared, session(seen)).map((one) => {
    const part = trim && one.mark.kind === "interior" ? trim : one;
    const given = answers.find((one) => one.mark === part.mark.id) || null;
    return Object.assign(part, { given, verdict: compare(part, dated, given, key) });
  });
  return { dated, parts };
}

// Whether a verdict says that a part is other than it should be.
const differs = (verdict) => !["as-expected", "only", "not-looked", "cannot-tell"].includes(verdict);

const onlyOn = ({ forms, given }) => (forms.find((form) => given.forms.includes(form.id)) || { only: "" }).only;

// A verdict in words; of a form for some cars only, for which.
function said(say, part) {
  return part.verdict === "only" ? say("dating.verdict.only", { cars: onlyOn(part) }) : say("pages.fits.verdict." + part.verdict);
}

// What was found of a part and how it compares, as one of several in a list.
function sent(say, part) {
  return say("pages.fits.sent." + part.verdict, { found: guide.answers.inWords(say, part.mark, part.given), cars: onlyOn(part) });
}

const NOT_AS_BUILT = ["later", "earlier", "not-works", "changed"];

// What speaks against a car being untouched: its parts that a car of its number cannot have left the works with. "" where
// nothing does.
function touched(say, outcome) {
  const parts = outcome ? outcome.parts.filter((part) => NOT_AS_BUILT.includes(part.verdict)) : [];
  return parts.length ? say("pages.record.untouched_but", { parts: say.allOf(parts.map((part) => part.mark.name)), n: parts.length }) : "";
}

guide.fitting = { outcome, differs, kinds, said, sent, touched };
