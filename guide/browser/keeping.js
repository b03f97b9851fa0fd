// Notes of cars, kept on the device and nowhere else. Kept twice: in the store that lasts, and in the one that
// lives as long as the tab, because opened from a disk some browsers give every file a lasting store of its own
// while the tab's store is shared by the pages of one folder. Whoever opens last joins the two by the time of
// each note's last change. A removed note leaves its id behind so that no other copy brings it back.
// A note outlives the edition that it was made with: ids that were renamed since are read as what they are called now, and
// an answer that the guide no longer has stays in the note, apart from the others, in the words it had.
// needs: say, answers, path, elements
// in: car

const LONGEST_MEMORY = 200;             // removed ids remembered

// name: what our notes are called in the stores; now: the clock, in milliseconds; known: the vocabulary of answers, without
// which notes are handed out as they were written; stores: for tests.
function open(name, now, known, stores) {
  const [lasting, passing] = stores || [storeOf("localStorage"), storeOf("sessionStorage")];
  const records = new Map();            // id -> {id, changed, gone, note}
  let state = "kept";                   // kept, refused (nothing lasts here), full

  // Takes in whatever was changed elsewhere since: another tab, another page.
  function join() {
    for (const store of [lasting, passing]) {
      for (const record of [name].concat(known ? known.formerly.titles : []).flatMap((one) => readFrom(store, one))) {
        const have = records.get(record.id);
        if (!have || record.changed > have.changed) { records.set(record.id, record); }
      }
    }
  }

  function load() {
    join();
    let purge = false;
    for (const record of records.values()) {
      if (record.gone && record.note) {
        record.note = null;                                  // undoing ends when the page is left
        purge = true;
      }
    }
    if (!lasting) { state = "refused"; }
    if (purge) { save(); }
  }

  // Returns whether everything is safe in the lasting store.
  function save() {
    join();
    const gone = Array.from(records.values()).filter((record) => record.gone && !record.note)
      .sort((a, b) => b.changed - a.changed);
    for (const record of gone.slice(LONGEST_MEMORY)) { records.delete(record.id); }
    const text = JSON.stringify(Array.from(records.values()));
    writeTo(passing, name, text);
    state = writeTo(lasting, name, text);
    return state === "kept";
  }

  function change(id, note, gone) {
    const before = records.get(id);
    const changed = Math.max(now(), before ? before.changed + 1 : 0);
    records.set(id, { id, changed, gone, note: note && whole(note) });
  }

  load();
  return {
    state: () => state,
    // The notes, oldest first.
    notes: () => Array.from(records.values()).filter((record) => !record.gone && record.note)
      .map((record) => Object.assign(asOfToday(record.note, known), { id: record.id }))
      .sort((a, b) => (a.made < b.made ? -1 : a.made > b.made ? 1 : a.id < b.id ? -1 : 1)),
    add: function (note) {
      const made = note.made || new Date(now()).toISOString();
      let id = made.replace(/[^0-9]/g, "");
      while (records.has(id)) { id += "1"; }
      change(id, Object.assign({}, note, { made, seen: note.seen || dayHere(now()) }), false);
      save();
      return id;
    },
    put: function (id, note) { change(id, note, false); return save(); },
    remove: function (id) {
      const record = records.get(id);
      if (record) { change(id, record.note, true); }
      return save();
    },
    restore: function (id) {
      const record = records.get(id);
      if (record && record.note) { change(id, record.note, false); }
      return save();
    },
  };
}

const isText = (value) => typeof value === "string";
const isAnswer = (one) => Boolean(one) && isText(one.mark) && isText(one.kind) && Array.isArray(one.forms) && one.forms.every(isText);

// A note as the guide has it today: its answers by present ids, and as `gone` those that are no longer in the guide, each
// `under` the mark that it would stand at; what is not of its kind, as another program may have left it, is passed over.
function asOfToday(note, known) {
  const texts = Object.fromEntries(["car", "words", "remarks", "edition"].map((name) => [name, isText(note[name]) ? note[name] : ""]));
  const former = (kind) => (known && known.formerly.marks[kind.replace("part:", "")] && kind.startsWith("part:") ? "part:" + known.formerly.marks[kind.slice(5)] : kind);
  const dates = Object.entries(note.known || {}).map(([kind, when]) => [former(kind), when])
    .filter(([kind, when]) => isText(when) && (!known || guide.path.known(kind, when, known) === when));
  const made = Object.assign({}, note, texts, { answers: [], gone: [], known: Object.fromEntries(dates),
    reach: (Array.isArray(note.reach) ? note.reach : []).filter((reach) => !known || known.reaches.includes(reach)) });
  for (const given of note.answers.filter(isAnswer)) {
    const value = guide.answers.valueOf(given);
    const now = known ? guide.answers.today(given.mark, value, known) : given;
    const other = now && made.answers.find((one) => one.mark === now.mark);
    if (now && !other) { made.answers.push(given.said ? Object.assign({}, now, { said: given.said }) : now); }
    else if (!now || guide.answers.valueOf(other) !== guide.answers.valueOf(now)) { made.gone.push(Object.assign({}, given, { under: (known && known.formerly.marks[given.mark]) || given.mark })); }
  }
  return made;
}

// The same to be kept: all its answers together.
function whole(note) {
  const gone = (note.gone || []).map((given) => Object.assign({}, given));
  gone.forEach((given) => delete given.under);
  const kept = Object.assign({}, note, { answers: note.answers.concat(gone) });
  delete kept.gone;
  return kept;
}

// An answer that is gone from the guide, in the words it had.
function goneInWords(given) { return isText(given.said) ? given.said : given.mark + ": " + guide.answers.valueOf(given); }

// The day on the person's own calendar, as ISO text.
function dayHere(milliseconds) {
  const at = new Date(milliseconds);
  const two = (value) => String(value).padStart(2, "0");
  return at.getFullYear() + "-" + two(at.getMonth() + 1) + "-" + two(at.getDate());
}

function storeOf(kind) {
  try {
    const store = globalThis[kind];
    store.setItem("running-change:try", "1");
    store.removeItem("running-change:try");
    return store;
  } catch (refused) {
    return isFull(refused) ? globalThis[kind] : null;
  }
}

function isFull(error) {
  return error && (error.name === "QuotaExceededError" || error.name === "NS_ERROR_DOM_QUOTA_REACHED" || error.code === 22);
}

function readFrom(store, name) {
  try {
    const records = JSON.parse((store && store.getItem(name)) || "[]");
    return Array.isArray(records) ? records.filter((record) => record && typeof record.id === "string"
      && typeof record.changed === "number" && (record.gone || isNote(record.note))) : [];
  } catch (unreadable) { return []; }
}

function isNote(note) { return Boolean(note) && Array.isArray(note.answers) && !Number.isNaN(Date.parse(note.made)) && /^\d{4}-\d{2}-\d{2}$/.test(note.seen); }

function writeTo(store, name, text) {
  if (!store) { return "refused"; }
  try { store.setItem(name, text); return "kept"; } catch (error) { return isFull(error) ? "full" : "refused"; }
}

// ---- handing in: the sheet of cars seen, and everything as JSON ----

// A cell that a spreadsheet would run as a formula, whole or from where it parts the cell on, is guarded by an apostrophe,
// which reading undoes; numbers stay as they are. The rule is guard_cell's of csv_tables.py.
function guard(text) {
  if (/^[+-]?\d+([.,]\d+)?(E[+-]?\d+)?$/.test(text)) { return text; }
  const guarded = text.replace(/([;\t\r\n])(?='*[=+\-@\uff1d\uff0b\uff0d\uff20])/g, "$1'");
  return /^'*[=+\-@\t\r\uff1d\uff0b\uff0d\uff20]/.test(guarded) ? "'" + guarded : guarded;
}

function cell(text) {
  const guarded = guard(text);
  return /[",;\r\n\t]|^\s|\s$/.test(guarded) ? '"' + guarded.replace(/"/g, '""') + '"' : guarded;
}

// What a cell of the sheet can hold of an answer: what a car is as a whole, its body, side or trim, is one or none.
function cellOf(mark, given) {
  if (!given || ((mark.kind || "mark") !== "mark" && given.kind !== "form")) { return ""; }
  return guide.answers.valueOf(given);
}

// One line a car, as cars-seen/*.csv has it: the fixed columns, then one for every mark (of the model's) that some car has
// an answer for, in the guide's order, then those of answers that are gone from it: who reads the sheet is told of them.
function csv(notes, present) {
  const lost = notes.flatMap((note) => note.gone || []).map((given) => given.under).filter((id) => !present.some((mark) => mark.id === id));
  const marks = present.concat(Array.from(new Set(lost), (id) => ({ id })));
  const given = (note, mark) => note.answers.find((one) => one.mark === mark.id) || (note.gone || []).find((one) => one.under === mark.id);
  const rows = notes.map((note) => ({ note, cells: marks.map((mark) => cellOf(mark, given(note, mark))) }));
  const used = marks.map((mark, at) => at).filter((at) => rows.some((row) => row.cells[at]));
  const table = [["car", "untouched", "seen on", "remarks"].concat(used.map((at) => marks[at].id))].concat(rows.map((row) =>
    [row.note.car || "", row.note.untouched ? "yes" : "", row.note.seen, row.note.remarks || ""].concat(used.map((at) => row.cells[at]))));
  return "\ufeff" + table.map((row) => row.map(cell).join(",")).join("\r\n") + "\r\n";
}

function json(notes, edition) {
  return JSON.stringify({ format: 1, edition, cars: notes.map((note) => ({
    car: note.car || null, seen: note.seen, untouched: Boolean(note.untouched), remarks: note.remarks || "",
    edition: note.edition || edition, reach: note.reach || [],
    answers: Object.fromEntries((note.gone || []).concat(note.answers).map((one) => [one.mark, guide.answers.valueOf(one)])),
  })) }, null, 1) + "\n";
}

// The ids of the marks that would tell most of a car that is looked for, and that were not looked at. `wanted` are
// {series, first, last, marks}, ranges of places in the order of build; best first.
function stillWanted(note, wanted, model) {
  const looked = new Set(note.answers.filter((given) => given.kind !== "cannot-tell").map((given) => given.mark));
  const read = guide.numbers.readEach(note.car || "", model.numbers).map((one) => one.found);
  return Array.from(new Set(wanted.flatMap((range) => read.some((number) => {
    const series = model.series.find((one) => one.id === range.series && one.id === number.series);
    const at = series ? guide.numbers.place(series.runs, number) : null;
    return at !== null && range.first <= at && at <= range.last;
  }) ? range.marks : []))).filter((mark) => !looked.has(mark));
}

// What has become of the notes, in words.
function told(say, store) {
  const n = store.notes().length;
  return say("pages.notes.state." + store.state(), { n, count: say.count(n) });
}

// Hands over a sheet of cars seen.
function handIn(notes, marks) { guide.elements.download("cars-seen.csv", "text/csv;charset=utf-8", csv(notes, marks)); }

guide.keeping = { open, goneInWords, csv, guard, json, told, handIn, stillWanted };
