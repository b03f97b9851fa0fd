// Sentences on the screen: the twin of say.py, run against the same cases (tests/twins/words.json). Days are ISO text.
// in: car

const STOPPED = /[^\s.][.!?\u2026]$/;                           // what ends as a sentence does
const SLOT = /\{([a-z][a-z0-9_]*)((?:\|[^{}|]*)+)?\}/g;

function split(iso) {
  const [year, month, day] = iso.split("-");
  return { year: String(Number(year)), month, day: Number(day) };
}

// Whether two days are the first and last of one month or of one year.
function isWhole(first, last) {
  const [a, b] = [split(first), split(last)];
  const ends = new Date(Date.UTC(Number(b.year), Number(b.month), 0)).getUTCDate() === b.day;
  return a.day === 1 && ends && a.year === b.year && [0, 11].includes(Number(b.month) - Number(a.month));
}

function isYear(first, last) {
  return first.year === last.year && first.month === "01" && last.month === "12";
}

// Says the sentences of one language: say(id, slots), and say.span, say.oneOf... for what every language says in a
// way of its own. `templates` are sentences by id, as a page's data holds them.
guide.words = function (templates) {
  const say = (id, slots) => parts(id, slots).map((piece) => piece[1]).join("");

  function template(id) {
    if (typeof templates[id] !== "string") { throw new Error("no sentence " + id); }
    return templates[id];
  }

  // The sentence in pieces, each [slot name or "", text], so that a page can set a slot apart.
  function parts(id, slots) {
    const text = template(id);
    const given = slots || {};
    const pieces = [];
    let at = 0;
    for (const found of text.matchAll(SLOT)) {
      if (found.index > at) { pieces.push(["", text.slice(at, found.index)]); }
      const name = found[1];
      if (!(name in given)) { throw new Error("sentence " + id + " wants " + name); }
      pieces.push([name, found[2] ? choose(found[2].slice(1).split("|"), given[name]) : String(given[name])]);
      at = found.index + found[0].length;
    }
    if (at < text.length) { pieces.push(["", text.slice(at)]); }
    // what was put in with a stop of its own takes no second one
    return pieces.map(([name, piece], n) => [name, n && piece[0] === "." && STOPPED.test(pieces[n - 1][1]) ? piece.slice(1) : piece]);
  }

  function choose(choices, value) {
    const named = template("words.plural").split(" ");
    const chosen = named.indexOf(new Intl.PluralRules(template("words.language")).select(Number(value)));
    return choices[chosen < 0 ? choices.length - 1 : Math.min(chosen, choices.length - 1)];
  }

  const month = (iso) => template("words.month." + split(iso).month);
  const monthYear = (iso) => say("words.month_year", { month: month(iso), year: split(iso).year });
  const day = (iso) => say("words.day", { day: split(iso).day, month: month(iso), year: split(iso).year });
  const dayMonth = (iso) => say("words.day_month", { day: split(iso).day, month: month(iso) });

  function months(first, last) {
    const [a, b] = [split(first), split(last)];
    if (a.year !== b.year) { return [monthYear(first), monthYear(last)]; }
    if (isYear(a, b)) { return ["", b.year]; }
    return [a.month === b.month ? "" : month(first), monthYear(last)];
  }

  function days(first, last) {
    const [a, b] = [split(first), split(last)];
    if (a.year !== b.year) { return [day(first), day(last)]; }
    if (a.month !== b.month) { return [dayMonth(first), day(last)]; }
    return [a.day === b.day ? "" : say("words.day_alone", { day: a.day }), day(last)];
  }

  function between(one, two, ends) {
    return ends[0] ? say(two, { from: ends[0], to: ends[1] }) : say(one, { when: ends[1] });
  }

  const span = (first, last) => between(isYear(split(first), split(last)) ? "words.in_year" : "words.in_month",
    "words.between", months(first, last));
  const range = (first, last) => between("words.only", "words.to", months(first, last));
  const daySpan = (first, last) => (
    isWhole(first, last) ? span(first, last) : between("words.on_day", "words.between_days", days(first, last)));

  const number = (n) => String(n).replace(/\B(?=(\d{3})+$)/g, template("words.thousands"));

  function count(n) {
    const small = template("words.count").split(/\s+/);
    return n >= 0 && n < small.length ? small[n] : number(n);
  }

  function ordinal(n) {
    const small = template("words.ordinals").split(/\s+/);
    return n >= 1 && n <= small.length ? small[n - 1] : say("words.ordinal", { n });
  }

  // One with a comma of its own is parted from the others by more than a comma.
  function listed(last, things) {
    const stop = things.some((thing) => thing.includes(", ")) ? "_after_stop" : "";
    return things.reduce((said, thing, at) => (at === 0 ? thing
      : say((at === things.length - 1 ? last : "words.then") + stop, { a: said, b: thing })), "");
  }

  // A chance as one would say it: "three in ten", "hardly any".
  function inTen(chance) {
    const nearest = (value) => Math.floor(value + 0.5);
    if (chance < 0.01) { return say("words.chance.hardly_any"); }
    if (chance < 0.095) { return say("words.chance.in_hundred", { count: count(Math.max(1, nearest(chance * 100))) }); }
    if (chance >= 0.995) { return say("words.chance.nearly_all"); }
    if (chance >= 0.95) { return say("words.chance.in_hundred", { count: count(nearest(chance * 100)) }); }
    return say("words.chance.in_ten", { count: count(nearest(chance * 10)) });
  }

  // Words as they stand inside a sentence; a name in capitals or figures stays as it is, and so does a first word that
  // the language bends into none.
  function lowerFirst(name) {
    const second = name.slice(1, 2);
    const small = second !== second.toUpperCase() && second === second.toLowerCase();
    if (!small && !name.startsWith("A ")) { return name; }
    const word = name.match(/^[\p{L}\p{N}_]*/u)[0].toLowerCase();
    return new RegExp("^(?:" + template("words.lowered") + ")$").test(word) ? name.slice(0, 1).toLowerCase() + name.slice(1) : name;
  }

  const allOf = (things) => listed("words.and", things);
  const oneOf = (things) => listed("words.or", things);
  const oneOfNames = (names) => oneOf(names.map((name, at) => (at === 0 ? name : lowerFirst(name))));

  function duration(inDays) {
    const nearest = (value) => Math.floor(value + 0.5);
    let [unit, n] = ["years", nearest(inDays / 365.25)];
    if (nearest(inDays) <= 10) {
      [unit, n] = ["days", Math.max(1, nearest(inDays))];
    } else if (inDays < 7 * 7.5) {
      [unit, n] = ["weeks", nearest(inDays / 7)];
    } else if (inDays < 23.5 * 30.4375) {
      [unit, n] = ["months", nearest(inDays / 30.4375)];
    }
    return say("words.length." + unit, { n, count: count(n) });
  }

  return Object.assign(say, { listed: (things) => listed("words.then", things), parts, month, monthYear, day, span, range, daySpan, number, count, ordinal, allOf, oneOf,
    oneOfNames, duration, inTen, lowerFirst });
};
