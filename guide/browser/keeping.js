// Notes of cars, kept on the device and nowhere else. Kept twice: in the store that lasts, and in the one that
// lives as long as the tab, because opened from a disk some browsers give every file a lasting store of its own
// while the tab's store is shared by the pages of one folder. Whoever opens last joins the two by the time of
// each note's last change. A removed note leaves its id behind so that no other copy brings it back.
// needs: say, answers, elements

const LONGEST_MEMORY = 200;             // removed ids remembered

// name: what our notes are called in the stores; now: the clock, in milliseconds; stores: for tests.
function open(name, now, stores) {
  const [lasting, passing] = stores || [storeOf("localStorage"), storeOf("sessionStorage")];
  const records = new Map();            // id -> {id, changed, gone, note}
  let state = "kept";                   // kept, refused (nothing lasts here), full

  // Takes in whatever was changed elsewhere since: another tab, another page.
  function join() {
    for (const store of [lasting, passing]) {
      for (const record of readFrom(store, name)) {
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
    records.set(id, { id, changed, gone, note });
  }

  load();
  return {
    state: () => state,
    // The notes, oldest first.
    notes: () => Array.from(records.values()).filter((record) => !record.gone && record.note)
      .map((record) => Object.assign({}, record.note, { id: record.id }))
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

function isNote(note) { return Boolean(note) && Array.isArray(note.answers) && typeof note.made === "string" && typeof note.seen === "string"; }

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

// One line a car, as cars-seen/*.csv has it: the fixed columns, then one for every mark (of the model's) that
// some car has an answer for, in the guide's order.
function csv(notes, marks) {
  const rows = notes.map((note) => ({ note, cells: marks.map((mark) => cellOf(mark, note.answers.find((given) => given.mark === mark.id))) }));
  const used = marks.map((mark, at) => at).filter((at) => rows.some((row) => row.cells[at]));
  const table = [["car", "untouched", "seen on", "remarks"].concat(used.map((at) => marks[at].id))].concat(rows.map((row) =>
    [row.note.car || "", row.note.untouched ? "yes" : "", row.note.seen, row.note.remarks || ""].concat(used.map((at) => row.cells[at]))));
  return "\ufeff" + table.map((row) => row.map(cell).join(",")).join("\r\n") + "\r\n";
}

function json(notes, edition) {
  return JSON.stringify({ format: 1, edition, cars: notes.map((note) => ({
    car: note.car || null, seen: note.seen, untouched: Boolean(note.untouched), remarks: note.remarks || "",
    edition: note.edition || edition, reach: note.reach || [],
    answers: Object.fromEntries(note.answers.map((one) => [one.mark, guide.answers.valueOf(one)])),
  })) }, null, 1) + "\n";
}

// What has become of the notes, in words.
function told(say, store) {
  const n = store.notes().length;
  return say("pages.notes.state." + store.state(), { n, count: say.count(n) });
}

// Hands over a sheet of cars seen.
function handIn(notes, marks) { guide.elements.download("cars-seen.csv", "text/csv;charset=utf-8", csv(notes, marks)); }

guide.keeping = { open, csv, guard, json, told, handIn };
