// Sentences on the screen: the browser twin of say.py, run against the same cases (tests/twins/words.json).
// Days are ISO text ("1968-06-24"), so that no clock or time zone of the device can shift them.
(function (guide) {
  "use strict";

  const SLOT = /\{([a-z][a-z0-9_]*)((?:\|[^{}|]*)+)?\}/g;

  // Which of the choices of {n|...} a whole number takes; the same table as in say.py.
  const PLURALS = {
    "one-many": (n) => (n === 1 ? 0 : 1),
    "few-many": (n) => (n < 2 ? 0 : 1),
    "one-few-many": (n) => (n === 1 ? 0 : n >= 2 && n <= 4 ? 1 : 2),
    "all": () => 0,
  };

  // Degrees of sureness and the least chance each may stand for; the same table as in say.py.
  const SURENESS = [
    ["almost_certainly", 0.99],
    ["very_probably", 0.9],
    ["probably", 0.66],
    ["may_well", 0.33],
    ["unsure", 0],
  ];

  function template(words, id) {
    if (typeof words[id] !== "string") { throw new Error("no sentence " + id); }
    return words[id];
  }

  // The sentence in pieces, each [slot name or "", text], so that a page can set a slot apart.
  function parts(words, id, slots) {
    const text = template(words, id);
    const given = slots || {};
    const pieces = [];
    let at = 0;
    for (const found of text.matchAll(SLOT)) {
      if (found.index > at) { pieces.push(["", text.slice(at, found.index)]); }
      const name = found[1];
      if (!(name in given)) { throw new Error("sentence " + id + " wants " + name); }
      pieces.push([name, found[2] ? choose(words, found[2].slice(1).split("|"), given[name]) : String(given[name])]);
      at = found.index + found[0].length;
    }
    if (at < text.length) { pieces.push(["", text.slice(at)]); }
    return pieces;
  }

  function choose(words, choices, value) {
    const chosen = PLURALS[template(words, "words.plural")](Number(value));
    return choices[Math.min(chosen, choices.length - 1)];
  }

  function say(words, id, slots) {
    return parts(words, id, slots).map((piece) => piece[1]).join("");
  }

  function split(iso) {
    const [year, month, day] = iso.split("-");
    return { year: String(Number(year)), month: month, day: Number(day) };
  }

  function month(words, iso) { return template(words, "words.month." + split(iso).month); }

  function monthYear(words, iso) {
    return say(words, "words.month_year", { month: month(words, iso), year: split(iso).year });
  }

  function day(words, iso) {
    const at = split(iso);
    return say(words, "words.day", { day: at.day, month: month(words, iso), year: at.year });
  }

  function dayMonth(words, iso) {
    return say(words, "words.day_month", { day: split(iso).day, month: month(words, iso) });
  }

  function months(words, first, last) {
    const a = split(first);
    const b = split(last);
    if (a.year !== b.year) { return [monthYear(words, first), monthYear(words, last)]; }
    if (a.month === "01" && b.month === "12") { return ["", b.year]; }
    if (a.month !== b.month) { return [month(words, first), monthYear(words, last)]; }
    return ["", monthYear(words, last)];
  }

  function days(words, first, last) {
    const a = split(first);
    const b = split(last);
    if (a.year !== b.year) { return [day(words, first), day(words, last)]; }
    if (a.month !== b.month) { return [dayMonth(words, first), day(words, last)]; }
    return [a.day === b.day ? "" : String(a.day), day(words, last)];
  }

  // Whether two days are the first and last of one month or of one year.
  function isWhole(first, last) {
    const a = split(first);
    const b = split(last);
    const ends = new Date(Date.UTC(Number(b.year), Number(b.month), 0)).getUTCDate() === b.day;
    return a.day === 1 && ends && a.year === b.year && [0, 11].includes(Number(b.month) - Number(a.month));
  }

  function between(words, one, two, ends) {
    return ends[0] ? say(words, two, { from: ends[0], to: ends[1] }) : say(words, one, { when: ends[1] });
  }

  function number(words, n) {
    return String(n).replace(/\B(?=(\d{3})+$)/g, template(words, "words.thousands"));
  }

  function count(words, n) {
    const small = template(words, "words.count").split(/\s+/);
    return n >= 0 && n < small.length ? small[n] : number(words, n);
  }

  function ordinal(words, n) {
    const small = template(words, "words.ordinals").split(/\s+/);
    return n >= 1 && n <= small.length ? small[n - 1] : say(words, "words.ordinal", { n });
  }

  // One with a comma of its own is parted from the others by more than a comma.
  function listed(words, last, things) {
    const stop = things.some((thing) => thing.includes(", ")) ? "_after_stop" : "";
    return things.reduce((said, thing, at) => (at === 0 ? thing
      : say(words, (at === things.length - 1 ? last : "words.then") + stop, { a: said, b: thing })), "");
  }

  function duration(words, inDays) {
    const nearest = (value) => Math.floor(value + 0.5);
    let unit = "years";
    let n = nearest(inDays / 365.25);
    if (nearest(inDays) <= 10) {
      unit = "days";
      n = Math.max(1, nearest(inDays));
    } else if (inDays < 7 * 7.5) {
      unit = "weeks";
      n = nearest(inDays / 7);
    } else if (inDays < 23.5 * 30.4375) {
      unit = "months";
      n = nearest(inDays / 30.4375);
    }
    return say(words, "words.length." + unit, { n: n, count: count(words, n) });
  }

  // Words as they stand inside a sentence; a name in capitals or figures stays as it is.
  function lowerFirst(name) {
    const second = name.slice(1, 2);
    const small = second !== second.toUpperCase() && second === second.toLowerCase();
    return small || name.startsWith("A ") ? name.slice(0, 1).toLowerCase() + name.slice(1) : name;
  }

  function inTen(words, chance) {
    if (chance < 0.01) { return say(words, "words.chance.hardly_any"); }
    if (chance >= 0.995) { return say(words, "words.chance.nearly_all"); }
    if (chance < 0.095 || chance >= 0.95) {
      return say(words, "words.chance.in_hundred", { count: count(words, Math.max(1, Math.floor(chance * 100 + 0.5))) });
    }
    return say(words, "words.chance.in_ten", { count: count(words, Math.floor(chance * 10 + 0.5)) });
  }

  say.parts = parts;
  say.month = month;
  say.monthYear = monthYear;
  say.day = day;
  say.span = (words, first, last) => between(words, "words.in_month", "words.between", months(words, first, last));
  say.range = (words, first, last) => between(words, "words.only", "words.to", months(words, first, last));
  say.daySpan = (words, first, last) => (isWhole(first, last) ? say.span(words, first, last)
    : between(words, "words.on_day", "words.between", days(words, first, last)));
  say.dayRange = (words, first, last) => (isWhole(first, last) ? say.range(words, first, last)
    : between(words, "words.only", "words.to", days(words, first, last)));
  say.number = number;
  say.count = count;
  say.ordinal = ordinal;
  say.allOf = (words, things) => listed(words, "words.and", things);
  say.oneOf = (words, things) => listed(words, "words.or", things);
  say.oneOfNames = (words, names) => listed(words, "words.or", names.map((name, at) => at === 0 ? name : lowerFirst(name)));
  say.duration = duration;
  say.inTen = inTen;
  say.sureness = (chance) => SURENESS.find((degree) => chance >= degree[1])[0];
  guide.say = say;
}(globalThis.guide = globalThis.guide || {}));
