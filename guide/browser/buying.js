// What to put on a buyer's sheet for one car: which marks with a drawing, which with a line, and what each says.
// What the car should have is guide.dating's to say; the wording rules are those of guide/pages/kinds/sheet.py. No page
// is touched here.
// needs: days, dating

// What is known of a car before it is seen, as the key takes it: what an advert says, and beside it `asked.seen`, the
// answers that the key was given from photographs. The body is not read as a value: one that an old bookmark names and
// the guide does not know has to be found out.
function sessionFor(model, data, asked) {
  const seen = asked.seen || { answers: [], known: {} };
  const colours = Object.keys(data.colours).filter((id) => data.colours[id] === asked.colour);
  const answers = model.marks.map((mark) => ({ mark: mark.id,
    forms: mark.kind === "body" && asked.body ? [asked.body] : mark.kind === "interior" && asked.colour ? colours : [] }))
    .filter((one) => one.forms.length && !seen.answers.some((other) => other.mark === one.mark)).map((one) => Object.assign(one, { kind: one.forms.length > 1 ? "several" : "form" }));
  const registered = [asked.year, asked.year && asked.month].filter(Boolean).join("-");
  return { answers: answers.concat(seen.answers), car: asked.car || null, reach: [],
    known: Object.assign({}, seen.known, registered ? { registered } : {}) };
}

// How many lines a text takes beside a drawing.
function linesOf(data, text) { return Math.ceil(text.length / data.room.letters); }

// What a car built between two days should have: one form, first one and then another, or either.
function says(data, mark, part, from, to) {
  const say = guide.words(data.words);
  const ids = part.forms.map((form) => form.id);
  const turn = ids.length === 2 && part.forms.every((form) => form.apart.every((name) => name === "series"))
    && (mark.turns[ids.join("|")] || mark.turns[ids.slice().reverse().join("|")]);
  const [old, next, way, cars, first, last] = turn || [];
  if (turn && (!first || (first <= to && last >= from))) {
    const middle = first && Math.floor((guide.days.number(first) + guide.days.number(last)) / 2);
    const told = (way) => say((part.sure ? "pages.sheet.before_after." : "pages.sheet.before_after_probably.") + way, {
      before: part.sure ? mark.forms[old].name : say.lowerFirst(mark.forms[old].name),
      after: say.lowerFirst(mark.forms[next].name), cars,
      when: first ? say.monthYear(guide.days.iso(middle)) : "",
    });
    const noRoom = way === "cars_days" && linesOf(data, told(way)) > linesOf(data, told("days"));
    return told(noRoom ? "cars" : way);
  }
  return say("pages.sheet.either", { forms: part.says });
}

// The drawings of what a car should have: of the usual form, or of both where two are named, the older first;
// none where a form has none: its words then stand alone.
function picturesOf(mark, part) {
  const ids = part.forms.map((form) => form.id);
  const both = ids.length === 2 && ids.every((id) => mark.forms[id].picture);
  if (both && mark.turns[ids.slice().reverse().join("|")]) { ids.reverse(); }
  return ids.slice(0, both ? 2 : 1).map((id) => mark.forms[id].picture).filter(Boolean);
}

// {dated, places: [{heading, entries}], lines: [entry]}; an entry is {id, name, path, pictures, says, hint}, `dated` what
// guide.dating.tell returns. Throws where no car could be like this.
function plan(data, prepared, session) {
  const { room } = data;
  const say = guide.words(data.words);
  const lines = (text) => linesOf(data, text);
  const dated = guide.dating.tell(prepared, session);
  const parts = new Map(guide.dating.shouldHave(prepared, session).map((part) => [part.mark.id, part]));
  const likely = dated.periods.reduce((best, one) => (one.chance > best.chance ? one : best));
  const entries = new Map();
  data.marks.filter((mark) => parts.has(mark.id)).forEach(function (mark) {
    const part = parts.get(mark.id);
    const said = says(data, mark, part, dated.from, dated.to);
    const hint = (mark.hints.find((one) => !part.forms.some((form) => form.id === one[1])) || [""])[0];
    entries.set(mark.id, {
      id: mark.id, name: part.only ? say("pages.sheet.only", { part: mark.name, scope: part.only }) : mark.name, path: mark.path, place: mark.place,
      pictures: picturesOf(mark, part), says: said, hint: lines(said) + lines(hint) <= room.lines ? hint : "",
    });
  });
  const ranked = Array.from(new Set(data.ranking[likely.id].concat(Array.from(entries.keys())))).filter((id) => entries.has(id));
  let left = room.drawn;
  const end = ranked.findIndex((id) => { left -= entries.get(id).pictures.length > 1 ? room.both : 1; return left < 0; });
  const most = end < 0 ? ranked.length : end;
  const drawn = new Set(ranked.slice(0, most)), lined = new Set(ranked.slice(most, most + room.lined));
  const inOrder = Array.from(entries.values());
  const trims = Array.from(parts.values()).filter((part) => part.mark.kind === "interior");
  return {
    dated,
    places: data.places.map((heading, place) => ({
      heading, entries: inOrder.filter((one) => drawn.has(one.id) && one.place === place),
    })).filter((one) => one.entries.length),
    lines: trims.map((part) => ({ id: part.mark.id, name: part.mark.name, says: say("pages.sheet.either", { forms: part.says }) }))
      .concat(inOrder.filter((one) => lined.has(one.id))),
  };
}

guide.buying = { sessionFor, says, plan };
