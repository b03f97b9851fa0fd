// What to put on a buyer's sheet for one car: which marks with a drawing, which with a line, and what each says.
// The chances come from the engine, the wording rules are those of guide/pages/kinds/sheet.py. No page is touched here.
// needs: days, dating, cars

// The answers that make the engine say what to expect at every mark: "can't tell" everywhere, and what an
// advert tells of the body and the colour of the trim.
function answersFor(model, data, advert) {
  return model.marks.map(function (mark) {
    const forms = mark.kind === "body" && advert.body ? [advert.body]
      : mark.kind === "interior" && advert.colour
        ? mark.forms.map((form) => form.id).filter((id) => data.colours[id] === advert.colour) : [];
    // not read as a value: a body that an old bookmark names and the guide does not know has to be found out
    return { mark: mark.id, forms, kind: forms.length > 1 ? "several" : forms.length ? "form" : "cannot-tell" };
  });
}

// Forms worth naming, most usual first; `chances` is [{form, chance}] in the guide's order.
function named(data, chances) {
  const kept = (chances || []).filter((one) => one.chance >= data.room.least);
  kept.sort((a, b) => Math.round(b.chance * 1e6) - Math.round(a.chance * 1e6));
  return kept.length && kept[0].chance >= data.room.usual ? kept.slice(0, 1) : kept;
}

// What a car built between two days should have: one form, first one and then another, or either.
function says(data, mark, forms, from, to) {
  const say = guide.words(data.words);
  if (forms.length === 1) { return mark.forms[forms[0].form].answer + "."; }
  const ids = forms.slice(0, 3).map((one) => one.form);
  const turn = ids.length === 2 && (mark.turns[ids.join("|")] || mark.turns[ids.slice().reverse().join("|")]);
  if (turn && turn[2] <= to && turn[3] >= from) {
    return say("pages.sheet.before_after", {
      before: mark.forms[turn[0]].name, after: guide.words.lowerFirst(mark.forms[turn[1]].name),
      when: say.monthYear(guide.days.iso(Math.floor((guide.days.number(turn[2]) + guide.days.number(turn[3])) / 2))),
    });
  }
  return say("pages.sheet.either", { forms: say.oneOfNames(ids.map((id) => mark.forms[id].name)) });
}

// The interiors that such a car may have had, as a line; null where the guide asks for none. Of a colour that an
// advert tells those of that colour, or all of them where there was none.
function trimOf(data, expected, colour) {
  const all = data.trim ? named(data, expected.get(data.trim.id)) : [];
  if (!all.length) { return null; }
  const alike = all.filter((one) => data.colours[one.form] === colour);
  const forms = alike.length ? alike : all;
  const say = guide.words(data.words);
  return { id: data.trim.id, name: data.trim.name,
    says: say("pages.sheet.either", { forms: say.oneOfNames(forms.map((one) => data.trim.forms[one.form])) }) };
}

// {places: [{heading, entries}], lines: [entry]}; an entry is {id, name, path, picture, says, hint}. `concluded`
// is what guide.dating.conclude returned for `answersFor`, `car` what is known of the car besides (its series), `colour`
// what an advert says of the trim.
function plan(data, concluded, car, colour) {
  const { room } = data;
  const lines = (text) => Math.ceil(text.length / room.letters);   // how many a text takes beside a drawing
  const expected = new Map(concluded.apart.map((one) => [one.mark, one.expected]));
  const likely = concluded.periods.reduce((best, one) => (one.chance > best.chance ? one : best));
  const entries = new Map();
  const { from, to } = guide.days.ends(concluded.result.spans);
  data.marks.filter((mark) => guide.cars.applies(mark.scope, car)).forEach(function (mark) {
    const forms = named(data, expected.get(mark.id));
    if (!forms.length || forms[0].chance <= 0) { return; }
    const said = says(data, mark, forms, from, to);
    const hint = (mark.hints.find((one) => !forms.some((form) => form.form === one[1])) || [""])[0];
    entries.set(mark.id, {
      id: mark.id, name: mark.name, path: mark.path, place: mark.place,
      picture: mark.forms[forms[0].form].picture, says: said, hint: lines(said) + lines(hint) <= room.lines ? hint : "",
    });
  });
  const ranked = Array.from(new Set(data.ranking[likely.id].concat(Array.from(entries.keys())))).filter((id) => entries.has(id));
  const drawn = new Set(ranked.slice(0, room.drawn)), lined = new Set(ranked.slice(room.drawn, room.drawn + room.lined));
  const inOrder = Array.from(entries.values());
  return {
    places: data.places.map((heading, place) => ({
      heading, entries: inOrder.filter((one) => drawn.has(one.id) && one.place === place),
    })).filter((one) => one.entries.length),
    lines: [trimOf(data, expected, colour)].filter(Boolean).concat(inOrder.filter((one) => lined.has(one.id))),
  };
}

guide.buying = { answersFor, says, plan };
