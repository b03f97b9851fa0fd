"""Notes of cars on the device: kept, refused, full, corrected, removed, joined from two stores, handed in."""

from __future__ import annotations

import csv
import io
import itertools
import json
from typing import Any

import pytest

from guide.facts.text.csv_tables import bare_cell, guard_cell
from tests.pages.scripts import evaluate

# A store as browsers have it: `limit` in characters; `refuses` throws on every use.
STORE = """
globalThis.storeOf = function (limit, refuses) {
  const held = new Map();
  return {
    held: held,
    getItem(name) {
      if (refuses) { throw new Error("SecurityError"); }
      return held.has(name) ? held.get(name) : null;
    },
    setItem(name, text) {
      if (refuses) { throw new Error("SecurityError"); }
      if (text.length > limit) { throw Object.assign(new Error("full"), {name: "QuotaExceededError"}); }
      held.set(name, text);
    },
    removeItem(name) { held.delete(name); },
  };
};
let clock = Date.parse("2026-06-14T10:00:00Z");
globalThis.now = () => (clock += 1000);
globalThis.car = (number, remarks) => ({
  car: number, answers: [{mark: "switches", forms: ["rocker"], kind: "form"}], remarks: remarks || "",
  words: "", reach: [], edition: "2026"});
globalThis.cars = (store) => store.notes().map((note) => note.car);
"""


def keeping(node: str, body: str, given: Any = None) -> Any:
    return evaluate(node, "keeping", f"{STORE}\n(function () {{ {body} }}())", given)


def test_notes_are_kept_corrected_and_found_again(node: str) -> None:
    assert keeping(
        node,
        """
        const lasting = storeOf(1e6), passing = storeOf(1e6);
        const first = guide.keeping.open("n", now, null, [lasting, passing]);
        const id = first.add(car("C1912"));
        first.add(car("D744"));
        first.put(id, Object.assign(first.notes()[0], {remarks: "red"}));
        const again = guide.keeping.open("n", now, null, [lasting, storeOf(1e6)]);
        return [cars(again), again.notes()[0].remarks, again.state()];
    """,
    ) == [["C1912", "D744"], "red", "kept"]


def test_a_removed_note_comes_back_only_by_undoing_and_its_words_are_gone_afterwards(node: str) -> None:
    assert keeping(
        node,
        """
        const lasting = storeOf(1e6), passing = storeOf(1e6);
        const store = guide.keeping.open("n", now, null, [lasting, passing]);
        const id = store.add(car("C1912", "secret"));
        store.remove(id);
        const removed = cars(store);
        store.restore(id);
        const undone = cars(store);
        store.remove(id);
        guide.keeping.open("n", now, null, [lasting, passing]);
        const held = (store) => store.held.get("n").includes("secret");
        return [removed, undone, held(lasting), held(passing)];
    """,
    ) == [[], ["C1912"], False, False]


def test_the_two_hundred_notes_removed_last_are_remembered_and_no_more(node: str) -> None:
    """Their ids alone, so that no other store brings them back; of 205 the five removed first are forgotten."""
    left, forgotten, remembered = keeping(
        node,
        """
        const lasting = storeOf(1e6), passing = storeOf(1e6);
        const store = guide.keeping.open("n", now, null, [lasting, passing]);
        const ids = [];
        for (let at = 0; at < 205; at += 1) { ids.push(store.add(car("C" + at))); }
        ids.forEach((id) => store.remove(id));
        const again = guide.keeping.open("n", now, null, [lasting, passing]);
        again.add(car("D744"));
        const held = JSON.parse(lasting.held.get("n")).map((record) => record.id);
        return [cars(again), ids.map((id, at) => at).filter((at) => !held.includes(ids[at])), held.length - 1];
    """,
    )
    assert (left, forgotten, remembered) == (["D744"], [0, 1, 2, 3, 4], 200)


def test_two_pages_with_stores_of_their_own_agree_through_the_tab(node: str) -> None:
    """Opened from a disk, some browsers give each file a lasting store of its own."""
    assert keeping(
        node,
        """
        const tab = storeOf(1e6), one = storeOf(1e6), two = storeOf(1e6);
        const key = guide.keeping.open("n", now, null, [one, tab]);
        const id = key.add(car("C1912"));
        key.add(car("D744"));
        const notes = guide.keeping.open("n", now, null, [two, tab]);
        notes.remove(id);
        const back = guide.keeping.open("n", now, null, [one, tab]);
        return [cars(notes), cars(back)];
    """,
    ) == [["D744"], ["D744"]]


def test_two_tabs_open_at_once_lose_neither_note_nor_correction(node: str) -> None:
    assert keeping(
        node,
        """
        const lasting = storeOf(1e6);
        const one = guide.keeping.open("n", now, null, [lasting, storeOf(1e6)]);
        const id = one.add(car("C1912"));
        const two = guide.keeping.open("n", now, null, [lasting, storeOf(1e6)]);
        one.put(id, Object.assign(one.notes()[0], {remarks: "red"}));
        two.add(car("D744"));
        one.add(car("D834"));
        const after = guide.keeping.open("n", now, null, [lasting, storeOf(1e6)]);
        return [cars(after), after.notes()[0].remarks];
    """,
    ) == [["C1912", "D744", "D834"], "red"]


def test_a_store_that_refuses_is_said_and_the_note_stays_at_hand(node: str) -> None:
    assert keeping(
        node,
        """
        const store = guide.keeping.open("n", now, null, [null, null]);
        store.add(car("C1912"));
        const refused = guide.keeping.open("n", now, null, [storeOf(0, true), storeOf(0, true)]);
        refused.add(car("D744"));
        return [store.state(), cars(store), refused.state(), cars(refused)];
    """,
    ) == ["refused", ["C1912"], "refused", ["D744"]]


def test_a_full_store_is_said_and_clearing_makes_room(node: str) -> None:
    assert keeping(
        node,
        """
        const store = guide.keeping.open("n", now, null, [storeOf(900), storeOf(1e6)]);
        const ids = [];
        while (store.state() === "kept" && ids.length < 20) { ids.push(store.add(car("C" + ids.length))); }
        const before = [store.state(), store.notes().length === ids.length];
        ids.forEach((id) => store.remove(id));
        const after = guide.keeping.open("n", now, null, [storeOf(1e6), storeOf(1e6)]);
        return before.concat(after.state());
    """,
    ) == ["full", True, "kept"]


@pytest.mark.parametrize("spoilt", ["{", "null", "3", '[{"id": 1}]', '[{"id": "a", "changed": 1, "note": {}}]'])
def test_a_spoilt_store_is_read_as_empty(node: str, spoilt: str) -> None:
    assert (
        keeping(
            node,
            """
        const lasting = storeOf(1e6);
        lasting.held.set("n", given);
        return cars(guide.keeping.open("n", now, null, [lasting, storeOf(1e6)]));
    """,
            spoilt,
        )
        == []
    )


MARKS = [  # as the model writes them: a mark of the guide leaves its kind out
    {"id": "body", "kind": "body"},
    {"id": "interior", "kind": "interior"},
    {"id": "switches"},
    {"id": "dials"},
    {"id": "never"},
]
NOTES = [
    {
        "car": "C1912",
        "seen": "2026-06-14",
        "made": "2026-06-14T10:00:00Z",
        "untouched": True,
        "remarks": '=HYPERLINK("x"), "quoted"',
        "answers": [
            {"mark": "body", "forms": ["coupe"], "kind": "form"},
            {"mark": "interior", "forms": ["tan-cloth"], "kind": "form"},
            {"mark": "switches", "forms": ["toggle", "rocker"], "kind": "several"},
        ],
    },
    {
        "car": "",
        "seen": "2026-06-14",
        "made": "2026-06-14T11:00:00Z",
        "remarks": "'-5 mm\nlow",
        "answers": [
            {"mark": "interior", "forms": [], "kind": "changed"},
            {"mark": "dials", "forms": [], "kind": "cannot-tell"},
        ],
    },
]


def test_the_sheet_has_the_columns_of_the_cars_seen_and_reads_back_exactly(node: str) -> None:
    text = evaluate(node, "keeping", "guide.keeping.csv(given.notes, given.marks)", {"notes": NOTES, "marks": MARKS})
    assert text.startswith("\ufeff")
    assert [[bare_cell(cell) for cell in row] for row in csv.reader(io.StringIO(text[1:], newline=""))] == [
        ["car", "untouched", "seen on", "remarks", "body", "interior", "switches", "dials"],
        ["C1912", "yes", "2026-06-14", '=HYPERLINK("x"), "quoted"', "coupe", "tan-cloth", "toggle+rocker", ""],
        ["", "", "2026-06-14", "'-5 mm\nlow", "", "", "", "cannot-tell"],
    ]


def test_everything_goes_out_as_json(node: str) -> None:
    text = evaluate(node, "keeping", "guide.keeping.json(given, '2026 autumn')", NOTES)
    assert json.loads(text)["cars"][1] == {
        "car": None,
        "seen": "2026-06-14",
        "untouched": False,
        "remarks": "'-5 mm\nlow",
        "edition": "2026 autumn",
        "reach": [],
        "answers": {"interior": "changed", "dials": "cannot-tell"},
    }


def test_no_cell_starts_a_formula_in_the_browser_either(node: str) -> None:
    """As `guard_cell` does it, which tests/facts/test_tables.py holds."""
    cells = ["".join(signs) for signs in itertools.product("'=;\t\n-x\uff1d5", repeat=3)]
    assert evaluate(node, "keeping", "given.map(guide.keeping.guard)", cells) == [guard_cell(cell) for cell in cells]


def test_a_car_that_is_looked_for_is_asked_for_what_was_not_looked_at(node: str) -> None:
    """Positions 100 to 199 of the coupés are C1101 to C1200: the run begins at C1001."""
    model = {"series": [{"id": "coupe", "runs": [["C", 1001, 1900]]}], "numbers": {}}
    wanted = [
        {"series": "coupe", "first": 100, "last": 199, "marks": ["dials", "switches"]},
        {"series": "coupe", "first": 150, "last": 160, "marks": ["belts", "dials"]},
        {"series": "open", "first": 0, "last": 999, "marks": ["tail-lamps"]},
    ]
    # How numbers are read, tests/twins/ holds; here they are given as read.
    script = """(guide.numbers = {
      readEach: (text) => text ? [{ found: { series: "coupe", number: Number(text.slice(1)) } }] : [],
      place: (runs, read) => read.number - runs[0][1],
    }) && given.notes.map((note) => guide.keeping.stillWanted(note, given.wanted, given.model))"""
    looked = [
        {"mark": "switches", "forms": ["toggle"], "kind": "form"},
        {"mark": "dials", "forms": [], "kind": "cannot-tell"},
    ]
    notes = [
        {"car": "C1101", "answers": looked},
        {"car": "C1155", "answers": []},
        {"car": "C1201", "answers": []},
        {"car": "", "answers": []},
    ]
    asked = evaluate(node, "keeping", script, {"notes": notes, "wanted": wanted, "model": model})
    assert asked == [["dials"], ["dials", "switches", "belts"], [], []]
