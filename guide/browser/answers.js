// An answer about a mark, {mark, forms: [ids], kind}: read from a value, written as one, and put in words. Its kind is
// form, several, or one of KINDS, which name no form. `mark` is always the model's, `say` what guide.words returned.
// needs: days
// in: car

const KINDS = ["changed", "none", "cannot-tell"];
const idOf = (kind) => "pages.key." + kind.replace("-", "_");

// What can be answered, by ids: {marks: {id: {forms: {id: form}}}, formerly, reaches}. Its tables hold what is put into
// them and nothing else, so that an address which names what every object has ("constructor") finds nothing.
function vocabulary(model, formerly) {
  const bare = (pairs) => pairs.reduce((table, [id, one]) => { table[id] = one; return table; }, Object.create(null));
  const byId = (things, made) => bare(things.map((one) => [one.id, made(one)]));
  return { marks: byId(model.marks, (mark) => ({ forms: byId(mark.forms, (form) => form) })),
    formerly: { marks: bare(Object.entries(formerly.marks)),
      forms: bare(Object.entries(formerly.forms).map(([mark, forms]) => [mark, bare(Object.entries(forms))])),
      titles: formerly.titles || [] },
    reaches: Object.keys(model.reaches) };
}

// What a car is as a whole, its body, its side, its trim: the marks that are asked for before any look, and of them
// those that can be seen.
const whole = (model) => model.marks.filter((mark) => (mark.kind || "mark") !== "mark");
const atFirst = (model) => whole(model).filter((mark) => mark.ask !== false);

// An answer as one value: "toggle", "toggle+rocker", "changed".
const valueOf = (given) => (given.forms.length ? given.forms.join("+") : given.kind);

// An answer as the guide knows it today, or null where its mark or one of its forms is gone. Old ids lead to their present
// ones. `known` is a vocabulary.
function today(name, value, known) {
  const mark = known.marks[name] ? name : known.formerly.marks[name];
  const one = mark && known.marks[mark];
  if (!one) { return null; }
  if (KINDS.includes(value)) { return { mark, forms: [], kind: value }; }
  const renamed = known.formerly.forms[mark] || {};
  const ids = value.split("+").map((form) => (one.forms[form] ? form : renamed[form]));
  if (ids.some((form) => !one.forms[form])) { return null; }
  const once = Object.keys(one.forms).filter((form) => ids.includes(form));
  return { mark, forms: once, kind: once.length > 1 ? "several" : "form" };
}

// The answer that a value gives; forms that the mark does not have are left out.
function read(mark, value) {
  const forms = value.split("+").filter((id) => mark.forms.some((form) => form.id === id));
  return { mark: mark.id, forms, kind: forms.length > 1 ? "several" : forms.length ? "form" : value };
}

// Some forms of a mark in words: "Round metal toggles or flat black rockers".
function forms(say, mark, ids) {
  return say.oneOfNames(ids.map((id) => mark.forms.find((form) => form.id === id).answer));
}

// An answer in a few words, as the way back is labelled and a note lists it.
function inWords(say, mark, given) {
  const names = given.forms.map((id) => mark.forms.find((form) => form.id === id).name);
  return names.length ? say("pages.key.answer.form", { part: mark.name, form: say.oneOfNames(names) })
    : say("pages.key.answer." + given.kind, { part: mark.name });
}

// An answer as a note holds it: with its words, which a later edition has no longer where the answer is gone from it.
function noted(say, mark, given) { return Object.assign({}, given, { said: inWords(say, mark, given) }); }

// What is known of a car besides its looks, in a few words: "First registered: in July 1968".
function known(say, model, kind, text) {
  if (kind === "restored") { return say("pages.key.known.restored"); }
  const part = model.marks.find((mark) => "part:" + mark.id === kind);
  const days = kind === "model-year" ? null : guide.days.read(text);
  return say("pages.key.known_is", { when: days ? say.daySpan(...days.map(guide.days.iso)) : text,
    what: part ? say("pages.key.known.part", { part: part.name || part.id }) : say("pages.key.known." + kind) });
}

// What may be chosen for a mark, each [value, words]; an answer that names several forms has its place among them.
function choices(say, mark, given) {
  const found = mark.forms.map((form) => [form.id, form.answer]);
  if (mark.forms.length === 2) { found.push([mark.forms.map((form) => form.id).join("+"), say("pages.key.both")]); }
  if (given && given.forms.length > 1 && !found.some((choice) => choice[0] === valueOf(given))) {
    found.push([valueOf(given), forms(say, mark, given.forms)]);
  }
  return found.concat(KINDS.map((kind) => [kind, say(idOf(kind))]));
}

guide.answers = { KINDS, vocabulary, whole, atFirst, valueOf, today, read, forms, inWords, noted, known, choices };
