// What people write of a car in words of their own ("Small switches: toggles; trim: tan vinyl; car C1500"), read by the names
// that parts, forms and dates have in the guide and with people: the twin of guide/command/pasted.py. A line that the guide
// wrote itself is complete, and is read as guide.path reads it.
// needs: numbers, path, dates_in_words

const PIECES = /\s*[;|\n\t]\s*|,\s*(?=[^,;:=]{1,40}[:=]|[^,;:=]*[A-Za-z]-?\d{3})/;
const JOINED = /\s*[/&+,]\s*/;
const RESTORED = "--known=restored";                             // is said without a date
const MOST_WORDS = 4;                                          // of a name, where nothing parts it from what is said of it

const plain = (text) => (text.toLowerCase().match(/[\p{L}\p{N}_]+/gu) || []).join(" ");
const heard = (words, what) => (words["facts.heard." + what] || "").split(";").map((word) => word.trim().toLowerCase());

// What each name means, by its plain words: a mark's id, "--car", or "--known=KIND"; the first to have a name keeps it.
function namesIn(model, words, key) {
  const found = new Map();
  const add = (name, meant) => { if (name && plain(name) && !found.has(plain(name))) { found.set(plain(name), meant); } };
  for (const mark of model.marks) { add(mark.id, mark.id); add(mark.name, mark.id); }
  for (const former of Object.keys(key.formerly.marks)) { add(former, key.formerly.marks[former]); }
  const body = model.marks.find((mark) => mark.kind === "body"), trim = model.marks.find((mark) => mark.kind === "interior");
  for (const word of heard(words, "body")) { add(word, body && body.id); }
  for (const word of heard(words, "interior")) { add(word, trim && trim.id); }
  for (const word of heard(words, "number").concat(heard(words, "car"))) { add(word, "--car"); }
  for (const kind of ["assembled", "registered", "despatched", "titled", "model-year"]) {
    add(kind, "--known=" + kind);
    add(words["pages.key.known." + kind], "--known=" + kind);
  }
  for (const mark of model.marks) { add(words["pages.key.known.part"].replace("{part}", mark.name || mark.id), "--known=part:" + mark.id); }
  add(words["pages.key.known.restored"], RESTORED);
  for (const word of heard(words, "built")) { add(word, "--known=assembled"); }
  for (const word of heard(words, "dated")) { add(word, "--known=date"); }
  return found;
}

// The form of a mark that is called so, by its id, its name or its answer.
function formCalled(mark, text) {
  const form = mark.forms.find((one) => [one.id, one.name, one.answer].some((name) => name && plain(name) === plain(text)));
  return form ? form.id : "";
}

// An answer in words as the guide writes it ("toggle", "toggle+rocker", "changed"); empty for what is none.
function valueOf(mark, text, words) {
  const typed = text.trim().toLowerCase();
  const called = (kind) => kind === typed || heard(words, kind).some((word) => word === typed || (plain(word) && plain(word) === plain(typed)));
  const kind = guide.answers.KINDS.find((one) => called(one) || plain(words["pages.key." + one.replace("-", "_")] || "") === plain(typed));
  const whole = kind || formCalled(mark, text);
  if (whole) { return whole; }
  const divided = heard(words, "joined").reduce((some, word) => some.replace(new RegExp("\\s" + word + "\\s", "gi"), "/"), text);
  const forms = divided.split(JOINED).map((part) => formCalled(mark, part));
  return forms.length > 1 && forms.every(Boolean) ? forms.join("+") : "";
}

// The pieces of a text, each [what it is about, as namesIn tells, or as it was written; what is said of that].
function piecesOf(text, names, table) {
  const found = [];
  for (const piece of text.split(PIECES).map((one) => one.trim()).filter(Boolean)) {
    const parts = piece.split(/\s*[:=]\s*/);
    const two = parts.findIndex((part, n) => n < parts.length - 2 && names.has(plain(part + " " + parts[n + 1])));   // "Date on a part: Seat belts"
    const at = parts.findIndex((part, n) => n < parts.length - 1 && names.has(plain(part)));
    const tokens = piece.split(/\s+/);
    const count = [...Array(MOST_WORDS).keys()].map((n) => MOST_WORDS - n).find((n) => n < tokens.length && names.has(plain(tokens.slice(0, n).join(" "))));
    if (names.get(plain(parts[parts.length - 1])) === RESTORED) { found.push([RESTORED, "yes"]); }
    else if (two >= 0) { found.push([names.get(plain(parts[two] + " " + parts[two + 1])), parts.slice(two + 2).join(":")]); }
    else if (at >= 0) { found.push([names.get(plain(parts[at])), parts.slice(at + 1).join(":")]); }
    else if (parts.length === 1 && count) { found.push([names.get(plain(tokens.slice(0, count).join(" "))), tokens.slice(count).join(" ")]); }
    else if (parts.length === 1 && !guide.numbers.read(piece, table).failure) { found.push(["--car", piece]); }
    else if (parts.length === 2 && parts[0].split(/\s+/).length <= MOST_WORDS) { found.push([parts[0], parts[1]]); }  // and no talk
  }
  return found.map(([about, said]) => [about, said.replace(/^["'(\s]+|["').\s]+$/g, "")]).filter((one) => one[1]);
}

// What a text says of a car, as guide.path.readLine returns it. `key` is what that takes, `words` the guide's sentences.
function read(text, model, words, key) {
  const line = guide.path.readLine(text, key);
  if (line.edition !== null) { return line; }
  const own = line.answers.length || line.car || Object.keys(line.known).length;
  const state = Object.assign(guide.path.empty(), line, { answers: line.answers.slice(), known: Object.assign({}, line.known), lost: own ? line.lost.slice() : [] });
  for (const [about, said] of piecesOf(text, namesIn(model, words, key), model.numbers)) {
    const mark = model.marks.find((one) => one.id === about);
    const kind = about.startsWith("--known=") ? about.slice(8) : "";
    const value = mark ? valueOf(mark, said, words) : kind ? guide.path.known(kind, said, key) : "";
    if (about === "--car") { state.car = line.car || said; }
    else if (mark && value) {
      if (!line.answers.some((one) => one.mark === about)) { state.answers = state.answers.filter((one) => one.mark !== about).concat([guide.answers.today(about, value, key)]); }
    } else if (kind && value) { state.known[kind] = value; }
    else if (!own) { state.lost.push((kind ? about : mark ? mark.id : about) + "=" + said); }
  }
  const told = state.answers.length || state.car || Object.keys(state.known).length;
  return Object.assign(state, { lost: told || state.lost.length === 1 ? state.lost : line.lost });
}

guide.pasted = { read };
