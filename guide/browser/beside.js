// Cars side by side: where two or three of them differ, in walking order, and the part that gives the difference away
// best. A car is a number, a note of today's, or all cars of a period; what each should have is guide.dating's to say.
// needs: days, answers, dating

const NEVER = 0.05;          // of two cars' looks: what tells them no more often than this tells nothing

// The chance of each report of a mark, by what the car should have: own, replaced or misread.
function reportsOf(prepared, part) {
  const at = prepared.markAt.get(part.mark.id);
  const built = part.mark.forms.map((form) => (part.forms.find((one) => one.id === form.id) || { chance: 0 }).chance);
  const whole = built.reduce((a, b) => a + b, 0) || 1;
  return part.mark.forms.map((_, told) => built.reduce((sum, chance, form) => sum + (chance / whole) * prepared.reports[at][told][form], 0));
}

// How often one look tells two cars apart: half the sum of what their reports differ by (total variation).
function tellsApart(prepared, one, other) {
  const [a, b] = [reportsOf(prepared, one), reportsOf(prepared, other)];
  return a.reduce((sum, chance, at) => sum + Math.abs(chance - b[at]), 0) / 2;
}

const pairsOf = (list) => list.flatMap((one, at) => list.slice(at + 1).map((other) => [one, other]));

// A mark of all the cars: null where no two differ; `sure` where no form is right for both of some two, or one of them
// never had the part; a form that either may have is no difference.
function compared(prepared, mark, parts) {
  const ids = (part) => (part ? part.forms.map((form) => form.id) : []);
  const key = (part) => JSON.stringify(part ? part.forms.map((form) => [form.id, form.only]).sort() : null);
  if (parts.every((part) => key(part) === key(parts[0]))) { return null; }
  const pairs = pairsOf(parts);
  const sure = pairs.some(([one, other]) => !ids(one).some((id) => ids(other).includes(id)));
  const tells = pairs.reduce((sum, [one, other]) => sum + (one && other ? tellsApart(prepared, one, other) : Number(Boolean(one) !== Boolean(other))), 0);
  if (!sure && tells / pairs.length < NEVER) { return null; }
  return { mark, parts, sure, tells: tells / pairs.length };
}

// {best, differ, may, alike}: what differs for certain and what may, each in walking order, how many parts do not, and
// what gives the difference away best. `cars` are lists of parts as guide.dating.shouldHave returns them, `order` the ids
// of the guide's marks as one walks round a car.
function sideBySide(prepared, cars, order) {
  const named = cars.map((parts) => new Map(parts.map((part) => [part.mark.id, part])));
  const marks = order.map((id) => prepared.model.marks[prepared.markAt.get(id)]).filter((mark) => mark && named.some((one) => one.has(mark.id)));
  const found = marks.map((mark) => compared(prepared, mark, named.map((one) => one.get(mark.id) || null))).filter(Boolean);
  const differ = found.filter((one) => one.sure);
  const asked = differ.filter((one) => one.mark.ask !== false);
  const best = asked.reduce((most, one) => (!most || one.tells > most.tells + 1e-9 ? one : most), null);
  return { best, differ, may: found.filter((one) => !one.sure), alike: marks.length - found.length };
}

// The numbers in a question that names several cars and nothing else ("C1217 or C2711"), each {typed, found} as
// guide.numbers.read returns it; null for anything else. Of those that one writes apart by more than a blank one good number
// is enough: what the others are can be said. `between` is how the guide's language parts two things.
function numbersIn(text, table, between) {
  const apart = new RegExp("\\s*[,;/&+\\n\\t]+\\s*|\\s+(?:" + between.concat(["or", "and", "vs", "versus"])
    .map((word) => word.replace(/[.*+?^${}()|[\]\\]/g, "\\$&")).join("|") + ")\\.?\\s+", "i");
  const split = text.trim().split(apart).filter(Boolean);
  const each = (split.length > 1 ? split : text.trim().split(/\s+/)).map((typed) => ({ typed, found: guide.numbers.read(typed, table) }));
  const isGood = (one) => !one.found.failure;
  const areNumbers = split.length > 1 ? each.some(isGood) && each.every((one) => /\d/.test(one.typed)) : each.every(isGood);
  return each.length > 1 && areNumbers ? each : null;
}

guide.beside = { sideBySide, numbersIn };
