// A letter about one car, sentence by sentence with whose word each is: the twin of guide/pages/parts/letter.py, which
// tells what stands here and why. `facts` are those of guide/pages/parts/letter_facts.py,
// with the `fingerprint` of the page. Pure functions, no page.
// needs: say, days, answers, numbers, dating

const DEPTHS = ["letter", "list", "quote"];
const TOLD = ":told", WORKED = ":worked", GUIDE = ":guide";    // by whom, where it is no source: who asks, the key, the guide
const WITH_LEAD = ["sure", "likely", "nobody", "parts"];
const BY_NUMBER = ["sure", "nobody"];                          // whether a number tells of the car, or only a span of days
const CARE_NOTES = 3;
const PART = "part:";

const unique = (list) => [...new Set(list)];
const line = (says, by, mark, more) => ({ says, by, mark: mark || "", more: more || [] });

// What the works can have fitted; the trim that was seen is not held against itself.
function leftByWorks(prepared, session) {
  const parts = guide.dating.shouldHave(prepared, session);
  const rest = session.answers.filter((one) => one.mark !== "interior");
  if (rest.length === session.answers.length) { return parts; }
  const without = guide.dating.shouldHave(prepared, Object.assign({}, session, { answers: rest }));
  return parts.map((part) => (part.mark.kind === "interior" && without.find((one) => one.mark === part.mark)) || part);
}

// All that is said of one car, by what a letter is composed of.
function writerOf(prepared, say, facts, session) {
  const { model } = prepared;
  const said = guide.dating.explain(prepared, session);
  const because = guide.dating.reasons(prepared, session);
  const concluded = guide.dating.conclude(prepared, session);
  const dated = guide.dating.tell(prepared, session);
  const left = leftByWorks(prepared, session);
  const markOf = (id) => model.marks.find((mark) => mark.id === id);
  const partOf = (id) => markOf(id).name;
  const answerOf = (mark) => session.answers.find((one) => one.mark === mark);
  const known = Object.entries(session.known);
  const behindOf = (mark, forms) => unique(forms.flatMap((form) => ((facts.behind[mark] || {})[form] || []).flat()));
  const kindsTold = session.answers.filter((one) => one.forms.length && (markOf(one.mark).kind || "mark") !== "mark")
    .map((one) => (markOf(one.mark).kind === "body" ? "series" : one.mark));
  const numbersBy = dated.number ? facts.numbers[dated.number.series] || [] : [];
  const title = concluded.car ? say("pages.sheets.for_car", { car: model.car, number: concluded.car }) : model.car;
  const isoSpan = (days) => say.daySpan(...days.map(guide.days.iso));

  // ---- what it is ----

  function what() {
    const failures = guide.numbers.readEach(session.car || "", model.numbers).filter((one) => one.found.failure)
      .map((one) => guide.numbers.failure(say, one.found, one.typed));
    const [first, ...rest] = said.sentences;
    return failures.map((says) => line(says, [WORKED]))
      .concat([line(first, numbersBy.concat(WORKED))], rest.map((says) => line(says, [WORKED])),
        because.basis ? [line(because.basis, [WORKED])] : [],
        because.why.map((one) => line(one.says, [TOLD].concat(behindOf(one.mark, answerOf(one.mark).forms), WORKED), one.mark)),
        known.filter(([kind]) => !kind.startsWith(PART))
          .map(([kind, text]) => line(say("pages.letter.paper", { paper: guide.answers.known(say, model, kind, text) }), [TOLD])));
  }

  // ---- what it left the works with ----

  // What it had for certain, what probably, what hangs on the kind of car, and what nobody knows.
  function fitted() {
    const found = { sure: [], likely: [], hangs: [], nobody: [] };
    for (const part of left) {
      const told = fittedLine(part);
      if (part.forms.length === 1) { found[part.sure ? "sure" : "likely"].push(told); continue; }
      const on = part.forms.filter((form) => !form.apart.length).length < 2 ? decides(part) : "";
      if (on) { found.hangs.push(Object.assign(told, { says: say("pages.letter.hangs", { line: told.says, on }) })); }
      else { found.nobody.push(told); }
    }
    return found;
  }

  function fittedLine(part) {
    const name = part.only ? say("pages.sheet.only", { part: part.mark.name, scope: say.lowerFirst(part.only) }) : part.mark.name;
    return line(say("pages.letter.part", { part: name, forms: part.says }), fittedBy(part), part.mark.id);
  }

  function fittedBy(part) {
    const entries = facts.behind[part.mark.id] || {};
    const named = unique(part.forms.flatMap((form) => form.behind.flatMap((at) => (entries[form.id] || [])[at] || [])));
    const on = part.mark.forms.flatMap((form) => form.fitted || []).flatMap((one) => Object.keys("on" in one ? model.kinds[one.on] : {}));
    return (named.length ? named : [WORKED]).concat(on.some((name) => kindsTold.includes(name)) ? [TOLD] : []);
  }

  // What a car is as a whole that tells which of a part's forms it had; empty where nothing does.
  function decides(part) {
    const names = unique(part.forms.flatMap((form) => form.apart)).map((name) => (
      model.marks.find((mark) => (name === "series" ? mark.kind === "body" : mark.id === name && (mark.kind || "mark") !== "mark"))));
    return say.allOf(names.filter(Boolean).map((mark) => say.lowerFirst(mark.name)));
  }

  // ---- what it shows, and what stands apart ----

  function shows() {
    const { settle } = because;
    const lines = said.answers.map((one) => shown(one.mark, settle && settle.of === one.mark ? settle.verdict : one.says)).concat(known.map(([kind, text]) => [kind.slice(PART.length), text, kind])
      .filter(([mark, , kind]) => kind.startsWith(PART) && markOf(mark)).map(([mark, text]) => partDated(mark, text)));
    return lines.length ? lines : [line(say("pages.letter.nothing_shown"), [TOLD])];
  }

  function shown(mark, verdict) {
    const form = formFound(mark);
    return line(say(form ? "pages.letter.shows" : "pages.letter.shows_none", { part: partOf(mark), form, verdict }), [TOLD, WORKED], mark);
  }

  // The forms that were found at a mark as inside a sentence; empty for an answer that names none.
  function formFound(mark) {
    const found = markOf(mark).forms.filter((form) => answerOf(mark).forms.includes(form.id)).map((form) => form.name);
    return found.length ? say.lowerFirst(say.oneOfNames(found)) : "";
  }

  // The date on a part beside the days of the car, as they are believed without it.
  function partDated(mark, text) {
    const rest = Object.fromEntries(known.filter(([kind]) => kind !== PART + mark));
    const nine = guide.dating.tell(prepared, Object.assign({}, session, { known: rest }));
    const days = guide.days.read(text), lag = guide.dating.partLag(model, markOf(mark));
    const way = days[0] > guide.days.number(nine.to) ? "later" : days[1] + Math.round(lag) < guide.days.number(nine.from) ? "earlier" : "agrees";
    return line(say("pages.letter.part_dated." + way, { part: partOf(mark), when: isoSpan(days), length: say.duration(lag) }), [TOLD, WORKED], mark);
  }

  function apart() {
    const lines = said.apart_groups.map((one) => line(one.says,
      unique(one.marks.flatMap((mark) => behindOf(mark, answerOf(mark).forms))).concat(WORKED), one.marks[0]));
    return lines.length ? lines.concat(line(say("pages.fits.question"), [WORKED])) : [];
  }

  // ---- what is open ----

  const withAfter = (look) => line(look.after ? look.says + " " + look.after : look.says, [WORKED], look.mark);

  function next() {
    const { settle } = because;
    return [settle && line(say("pages.letter.settle", { says: settle.says, part: partOf(settle.mark) }), [WORKED]),
      !concluded.next ? line(concluded.stopped.words, [WORKED]) : said.next && withAfter(said.next),
      said.beyond && withAfter(said.beyond)].filter(Boolean);
  }

  function unruled() {
    return left.flatMap(({ mark }) => ((facts.marks[mark.id] || {}).unruled || []).map((one) => (
      line(say("pages.letter.unruled", { part: mark.name, says: one.says }), one.source ? [one.source] : [WORKED], mark.id))));
  }

  // ---- care ----

  const groupMarks = said.apart_groups.flatMap((one) => one.marks);

  // The usual cautions, and the notes on what stands apart, then on what is to be looked at next.
  function care() {
    const ahead = [because.settle, said.next, said.beyond].filter(Boolean).map((one) => one.mark);
    const notes = unique(groupMarks.concat(ahead).flatMap((mark) => facts.care.filter((note) => note.marks.includes(mark)))).slice(0, CARE_NOTES);
    return [line(say("pages.sheet.caution"), [GUIDE])]
      .concat(notes.map((note) => line(say("pages.letter.care", { title: note.title, says: note.says }), [GUIDE])));
  }

  // ---- the restorer's list ----

  // The right part with its number, what can be had of it, what fits but is not right, and how each is told.
  function right(part) {
    const { mark } = part;
    const told = facts.marks[mark.id] || { forms: {}, tells: "" };
    const own = part.forms.map((one) => [mark.forms.find((form) => form.id === one.id), told.forms[one.id] || {}]);
    const had = own.flatMap(([form, each]) => (each.had || []).map(([says, source]) => (
      line(own.length > 1 ? say("pages.letter.had", { form: form.name, says }) : says, [source || GUIDE], mark.id))));
    const more = had.concat(mark.forms.filter((form) => !part.forms.some((one) => one.id === form.id)).map((form) => notRight(mark.id, form, told.forms[form.id] || {})))
      .concat(own.flatMap(([, each]) => (each.tells || []).map((one) => line(say("pages.letter.tell", one), [GUIDE], mark.id))),
        told.tells ? [line(told.tells, [GUIDE], mark.id)] : []);
    const plain = fittedLine(part);
    const says = carried(carried(plain.says, "numbered", own, "numbers"), "stamped", own, "stamped");
    return Object.assign(plain, { says, more });
  }

  // A line with what the right forms carry; where there are several, each with its own.
  function carried(says, name, own, what) {
    const each = own.filter(([, told]) => (told[what] || []).length).map(([form, told]) => [form, say.listed(told[what])]);
    if (!each.length) { return says; }
    const carries = own.length > 1 ? say.listed(each.map(([form, one]) => say("pages.letter.with_form", { form: say.lowerFirst(form.name), carries: one }))) : each[0][1];
    return say("pages.letter." + name, { line: says, carries });
  }

  function notRight(mark, form, told) {
    const answer = say.lowerFirst(form.answer);
    const named = (told.numbers || []).length ? say("pages.letter.with_form", { form: answer, carries: say.listed(told.numbers) }) : answer;
    const by = behindOf(mark, [form.id]);
    return line([say("pages.letter.not_right", { form: named }), told.how].filter(Boolean).join(" "), by.length ? by : [GUIDE], mark);
  }

  // ---- the paragraph to quote ----

  function quoted() {
    const told = { car: concluded.car ? title : say("pages.letter.quote.this", { car: model.car }), span: dated.nine, evidence: evidence(),
      title: facts.title, edition: model.edition };
    const way = !told.evidence ? "_nothing" : dated.paced ? "_paced" : "";
    return [say("pages.letter.quote.believed" + way, told), ...said.doubts, looked(), say("pages.shell.caution")].join(" ");
  }

  // What the date rests on, as inside a sentence; empty for nothing.
  function evidence() {
    const deciding = because.why.map((one) => one.mark), rest = dated.looks - deciding.length;
    return say.allOf([].concat(dated.number ? [say("dating.doubt.its_number", { number: dated.number.written })] : [],
      known.filter(([kind]) => kind !== "restored").map(([kind, text]) => paperSaid(kind, text)),
      deciding.map((mark) => say("pages.letter.quote.look", { part: say.lowerFirst(partOf(mark)), form: formFound(mark) })),
      rest ? [say("pages.letter.quote.further", { n: rest, count: say.count(rest) })] : []));
  }

  function paperSaid(kind, text) {
    return kind.startsWith(PART)
      ? say("pages.letter.quote.part_date", { part: say.lowerFirst(partOf(kind.slice(PART.length))), when: isoSpan(guide.days.read(text)) })
      : say("pages.letter.quote.paper", { paper: say.lowerFirst(guide.answers.known(say, model, kind, text)) });
  }

  function looked() {
    const n = session.answers.filter((one) => (markOf(one.mark).kind || "mark") === "mark" && one.kind !== "cannot-tell").length;
    if (!n) { return say("pages.letter.quote.not_looked"); }
    return groupMarks.length ? say("pages.letter.quote.apart", { n, count: say.count(n), m: groupMarks.length,
      parts: say.allOf(groupMarks.map((mark) => say.lowerFirst(partOf(mark)))) }) : say("pages.letter.quote.none_apart", { n, count: say.count(n) });
  }

  const told = session.answers.length || known.length ? [TOLD] : [];
  const not = () => [line(say("pages.shell.caution"), [WORKED])];
  const leadOf = (name) => (!WITH_LEAD.includes(name) ? "" : dated.number || !BY_NUMBER.includes(name) ? name : name + "_in_time");
  return { title, leadOf,
    letter() {
      const { sure, likely, hangs, nobody } = fitted();
      return [["care", care()], ["what", what()], ["sure", sure], ["likely", likely], ["shows", shows()], ["apart", apart()],
        ["open", hangs.concat(next())], ["nobody", nobody.concat(unruled())], ["not", not()]];
    },
    list: () => [["care", care().slice(0, 1)], ["what", what()],
      ["parts", left.filter((part) => (part.mark.kind || "mark") === "mark").map(right)], ["not", not()]],
    quote: () => [["quote", [line(quoted(), numbersBy.concat(told, WORKED))]]] };
}

// The letter about one car at a depth: {depth, title, edition, sections: [{name, lead, lines: [{says, by, mark, more}]}], sources}.
// Throws where no car could be like this.
function compose(prepared, say, facts, session, depth) {
  const writer = writerOf(prepared, say, facts, session);
  const sections = writer[depth]().filter(([, lines]) => lines.length).map(([name, lines]) => ({ name, lines, lead: writer.leadOf(name) }));
  const every = sections.flatMap((one) => one.lines).flatMap((one) => [one].concat(one.more));
  return { depth, title: writer.title, edition: prepared.model.edition, sections,
    sources: unique(every.flatMap((one) => one.by).filter((by) => !by.startsWith(":"))) };
}

// Whose word a line is, in words, each [id, words]: the number of each source, then the others by name.
function bySaid(say, one, sources) {
  return one.by.filter((by) => !by.startsWith(":")).map((by) => [by, String(sources.indexOf(by) + 1)])
    .concat(one.by.filter((by) => by.startsWith(":")).map((by) => [by, say("pages.letter.by." + by.slice(1))]));
}

// What goes before the lines of a section; empty where nothing does.
const leadOf = (say, section) => (section.lead ? say("pages.letter.lead." + section.lead) : "");

// A letter as plain text, to be put into a message.
function text(say, facts, letter) {
  const of = (one) => say("pages.letter.with_by", { says: one.says, by: say("pages.letter.by", { by: say.listed(bySaid(say, one, letter.sources).map((piece) => piece[1])) }) });
  return [letter.title, say("pages.letter.from", { title: facts.title, edition: letter.edition, fingerprint: facts.fingerprint })].concat(
    ...letter.sections.map((one) => ["", say("pages.letter.section." + one.name), leadOf(say, one)].filter((said, at) => said || !at)
      .concat(...one.lines.map((each) => ["- " + of(each)].concat(each.more.map((more) => "  - " + of(more)))))),
    ["", say("pages.letter.by_what"), ""], letter.sources.map((id, at) => say("pages.letter.source", { n: at + 1, source: facts.sources[id].name }))).join("\n");
}

guide.letter = { DEPTHS, compose, bySaid, leadOf, text };
