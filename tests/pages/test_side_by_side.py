"""Cars side by side: what is a difference and what is not, what gives it away best, and how two cars are asked for."""

from __future__ import annotations

import json
from typing import Any

import pytest

from guide.dating.model import dump_model
from guide.facts.when.numbers import number_table
from guide.pages.kinds.side_by_side import data_files
from guide.words.say import load_words
from tests.pages.scripts import evaluate

SCRIPT = "beside"
COMPARED = """(() => {
  const prepared = guide.dating.prepare(given.model, given.words);
  const session = (car, answers) => ({ answers: answers || [], car, reach: [], known: {} });
  const parts = (car) => (car.period ? guide.dating.shouldHaveIn(prepared, car.period)
    : guide.dating.shouldHave(prepared, session(car.number, car.answers)));
  return given.asked.map((cars) => {
    const told = guide.beside.sideBySide(prepared, cars.map(parts), given.order);
    const row = (one) => [one.mark.id, one.parts.map((part) => part && part.forms.map((form) => form.id))];
    return { best: told.best && told.best.mark.id, differ: told.differ.map(row), may: told.may.map(row),
      alike: told.alike, tells: Object.fromEntries(told.differ.map((one) => [one.mark.id, one.tells])) };
  });
})()"""


@pytest.fixture(scope="module")
def data(shelf: Any) -> dict[str, Any]:
    text = data_files(shelf)["data/behind.js"].decode()
    told: dict[str, Any] = json.loads(text.split("=", 2)[2].rstrip(";\n"))
    return told


@pytest.fixture(scope="module")
def compared(shelf: Any, node: str, data: dict[str, Any]) -> list[Any]:
    numbers = [("C1217", "C2711"), ("C1217", "C1218"), ("C1217", "D1005"), ("C1217", "C2711", "C4000")]
    asked: list[list[dict[str, Any]]] = [[{"number": one} for one in pair] for pair in numbers]
    asked.append([{"period": "launch"}, {"period": "last"}])
    market = {"mark": "market", "kind": "form"}
    asked.append([{"number": "C2880", "answers": [{**market, "forms": [one]}]} for one in ("home", "north-america")])
    given = {
        "model": json.loads(dump_model(shelf.key.model)),
        "words": dict(load_words("en").templates),
        "order": data["order"],
        "asked": asked,
    }
    return list(evaluate(node, SCRIPT, COMPARED, given))


def test_a_form_that_either_may_have_is_no_difference(compared: list[Any]) -> None:
    for told in compared:
        for mark, forms in told["differ"]:
            lists = [set(one or ()) for one in forms]
            pairs = [(one, other) for at, one in enumerate(lists) for other in lists[at + 1 :]]
            assert any(not one & other for one, other in pairs), mark
    two = dict(compared[0]["differ"])
    assert two["switches"] == [["toggle"], ["rocker"]]
    assert "dash-facing" not in two, "crackle or veneer, by the trim, on both"
    assert "demister-vents" not in two


def test_cars_of_one_day_do_not_differ(compared: list[Any]) -> None:
    assert (compared[1]["best"], compared[1]["differ"], compared[1]["may"]) == (None, [], [])
    assert compared[1]["alike"] > 25


def test_a_part_that_only_one_of_them_has_is_a_difference(compared: list[Any]) -> None:
    differ = dict(compared[2]["differ"])
    assert differ["luggage-strap"][1] is None
    assert differ["soft-top-window"][0] is None


def test_what_tells_most_is_the_giveaway_and_the_rest_is_in_walking_order(
    compared: list[Any], data: dict[str, Any]
) -> None:
    for told in compared:
        marks = [mark for mark, _ in told["differ"]]
        assert marks == sorted(marks, key=data["order"].index)
        if told["best"]:
            asked = [tells for mark, tells in told["tells"].items() if mark != "maker-plate"]
            assert told["tells"][told["best"]] >= max(asked) - 1e-9, "no verdict may rest on the plate"


def test_three_cars_and_two_periods_can_be_compared(compared: list[Any]) -> None:
    assert len(dict(compared[3]["differ"])["switches"]) == 3
    assert dict(compared[4]["differ"])["switches"] == [["toggle"], ["symbols"]]


def test_the_market_alone_can_make_two_cars_of_one_number_differ(compared: list[Any]) -> None:
    differ = dict(compared[5]["differ"])
    assert differ["belts"] == [["static"], ["reel"]]
    assert differ["front-lamps"] == [["clear"], ["amber"]]


def test_every_entry_of_the_model_has_its_statements(shelf: Any, data: dict[str, Any]) -> None:
    for mark in shelf.key.model.marks:
        for form in mark.forms:
            entries = data["behind"].get(mark.id, {}).get(form.id, [])
            assert len(entries) >= len(form.fitted), (mark.id, form.id)
            assert not form.fitted or any(entries), (mark.id, form.id)


@pytest.mark.parametrize(
    ("typed", "numbers"),
    [
        ("C1217 or C2711", ["C1217", "C2711"]),
        ("c1217, c 2711", ["C1217", "C2711"]),
        ("C1217 C2711", ["C1217", "C2711"]),
        ("C1217 oder D1005L", ["C1217", "D1005L"]),
        ("C1217 and C2711 & D1005", ["C1217", "C2711", "D1005"]),
        ("C1217 or C1217", ["C1217", "C1217"]),
        ("C1217, C1218, C1219, C1220", ["C1217", "C1218", "C1219", "C1220"]),
        ("C1217 or C2950", ["C1217", "never-built"]),
        ("C9999 or C1217", ["not-in-tables", "C1217"]),
        ("1840, Z9999 and C1217", ["short", "not-a-number", "C1217"]),
        ("C1217", None),
        ("C9999 or Z9999", None),
        ("C1217 C2950", None),
        ("C1217 or rockers", None),
        ("toggles or rockers", None),
    ],
)
def test_numbers_are_read_out_of_a_question_and_a_good_one_is_never_lost_for_a_bad(
    node: str, shelf: Any, typed: str, numbers: list[str] | None
) -> None:
    given = {"typed": typed, "table": number_table(shelf.guide.ordered_series)}
    asked = 'guide.beside.numbersIn(given.typed, given.table, ["oder"])'
    found = evaluate(node, SCRIPT, f"({asked} || []).map((one) => one.found.written || one.found.failure)", given)
    assert found == (numbers or [])
