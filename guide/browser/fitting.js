// Does it fit its number? What a car of this number should have, part by part, and how what was found compares.
// The engine is asked with every part "can't tell", so that nothing but the number speaks; claims about numbers
// ("from C2005") then put out what they exclude exactly (fits.py).
// needs: days, answers, dating

// A form is allowed where at least this share of cars of that number were built with it; below, it is a
// misread number speaking. Common practice, no source.
const ALLOWED = 0.04;

// Whether the claims about numbers leave a form possible: some spell of it holds the position.
function holds(spells, series, position) {
  return !spells || spells.some((bounds) => {
    const [first, last] = bounds[series] || [null, null];
    return (first === null || position >= first) && (last === null || position <= last);
  });
}

// Returns {from, to, parts: {mark: {allowed: [form ids], chances: {form: chance}}}}; days as ISO text.
function expectedOf(prepared, model, car, byNumber) {
  const read = guide.numbers.read(car, model.numbers);
  const series = model.series.find((one) => one.id === read.series);
  const position = series ? guide.numbers.place(series.runs || [], read) : null;
  const asked = model.marks.filter((mark) => !["body", "split"].includes(mark.kind));
  const answers = asked.map((mark) => guide.answers.read(mark, "cannot-tell"));
  const concluded = guide.dating.conclude(prepared, { answers, car, reach: [], known: {} });
  const parts = {};
  for (const one of concluded.apart) {
    const chances = Object.fromEntries(one.expected.map((form) => [form.form, form.chance]));
    const likely = Object.keys(chances).filter((form) => chances[form] >= ALLOWED);
    const told = (byNumber && byNumber[one.mark]) || {};
    const exact = position === null ? likely : likely.filter((form) => holds(told[form], read.series, position));
    parts[one.mark] = { chances, allowed: exact.length ? exact : likely };
  }
  return Object.assign(guide.days.ends(concluded.result.spans), { parts });
}

// How a found form compares with what is expected: as-expected, later, earlier, other, not-works, changed,
// cannot-tell, not-looked. `looks` is when the works fitted the found form, as the engine gives it.
function compare(mark, expected, given, looks) {
  if (!given) { return "not-looked"; }
  if (!given.forms.length) { return given.kind === "none" ? "not-works" : given.kind; }
  if (given.forms.some((form) => expected.parts[mark.id].allowed.includes(form))) { return "as-expected"; }
  const forms = mark.forms.filter((form) => given.forms.includes(form.id));
  if (forms.every((form) => form.factory === false)) { return "not-works"; }
  if (looks && looks.from > expected.to) { return "later"; }
  if (looks && looks.to < expected.from) { return "earlier"; }
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

// The outcome for every part that a number speaks of, in the guide's order:
// {mark, allowed, given, verdict}.
function outcome(prepared, model, car, answers, byNumber) {
  const expected = expectedOf(prepared, model, car, byNumber);
  const looks = looksOf(prepared, car, answers);
  return {
    from: expected.from,
    to: expected.to,
    parts: model.marks.filter((mark) => expected.parts[mark.id]).map((mark) => {
      const given = answers.find((one) => one.mark === mark.id) || null;
      return { mark, allowed: expected.parts[mark.id].allowed, given, verdict: compare(mark, expected, given, looks[mark.id] || null) };
    }),
  };
}

// Whether a verdict says that a part is other than it should be.
const differs = (verdict) => !["as-expected", "not-looked", "cannot-tell"].includes(verdict);

guide.fitting = { outcome, differs };
