"""One voice: for every number of the demo all pages and the terminal name the same forms, in the same words."""

from __future__ import annotations

import json
from typing import Any

import pytest

from guide.dating.belief.evidence import Session
from guide.dating.belief.result import dates_of
from guide.dating.fitted_sentences import cars_said, fitted_said, only_said, trims_of
from guide.dating.key import Key
from guide.dating.model import dump_model
from guide.facts.types import CarNumber
from guide.facts.when.numbers import number_table, read_number
from guide.words.say import load_words
from tests.dating.asking import key_of
from tests.pages.scripts import evaluate

pytestmark = pytest.mark.long

SCRIPT = "fitting"
EVERY = 12  # cars of which the terminal is asked one; the numbers at which a form begins or ends are all asked
TOLD = """(() => {
  const prepared = guide.dating.prepare(given.model, given.words);
  return given.cars.map((car) => {
    const session = { answers: [], car, reach: [], known: {} };
    return guide.dating.shouldHave(prepared, session).map((one) => (
      [one.mark.id, one.sure, one.only, one.says, one.forms.map((form) => [form.id, form.only])]));
  });
})()"""


@pytest.fixture(scope="module")
def cars(shelf: Any) -> list[str]:
    """Every number of the demo, every third with the letter of a left-hand car."""
    lines = shelf.lines.values()
    return [line.car_at(at, "L" if at % 3 == 0 else "").written for line in lines for at in range(line.cars)]


@pytest.fixture(scope="module")
def told(shelf: Any, node: str, cars: list[str]) -> dict[str, Any]:
    """What browsers say of each of them."""
    words = dict(load_words("en").templates)
    given = {"model": json.loads(dump_model(shelf.key.model)), "words": words, "cars": cars}
    return dict(zip(cars, evaluate(node, SCRIPT, TOLD, given), strict=True))


def at_an_edge(shelf: Any) -> set[str]:
    """The numbers before and after which a claim puts a form out, and the strays."""
    entries = (one for mark in shelf.key.model.marks for form in mark.forms for one in form.fitted)
    places = {(series, at) for one in entries for series, ends in one.numbers.items() for at in ends if at is not None}
    near = {(series, at + by) for series, at in places for by in (-1, 0, 1)}
    return {shelf.lines[series].car_at(at).written for series, at in near if 0 <= at < shelf.lines[series].cars}


def test_browser_and_terminal_say_the_same_of_every_number(shelf: Any, cars: list[str], told: dict[str, Any]) -> None:
    assert len(cars) == 4870
    key, words = Key(shelf.key.model), load_words("en")
    edges = at_an_edge(shelf)
    asked = [car for at, car in enumerate(cars) if at % EVERY == 0 or car.rstrip("L") in edges]
    assert len(asked) > 450
    for car in asked:
        found = key.dated(Session((), car)).fitted
        trims = trims_of(key.model, found)
        mine = [
            [
                key.model.marks[one.mark].id,
                one.sure,
                words.tell(cars_said(key.model, one.only, trims)),
                words.tell(fitted_said(key.model, one, trims)),
                [
                    [key.model.marks[one.mark].forms[form.form].id, words.tell(only_said(key.model, form, trims))]
                    for form in one.forms
                ],
            ]
            for one in found
        ]
        assert told[car] == mine, car


def test_no_number_should_have_what_a_claim_about_numbers_puts_out(shelf: Any, told: dict[str, Any]) -> None:
    """For each form with one stretch of numbers on all cars of a series: within it, and nowhere else."""
    held = 0
    for mark in shelf.key.model.marks:
        for form in mark.forms:
            for series, line in shelf.lines.items():
                spells = [one for one in form.fitted if set(one.on.get("series", (series,))) & {series}]
                if not spells or any(series not in one.numbers for one in spells):
                    continue
                for at in range(0, line.cars, 7):
                    car = line.car_at(at, "L" if at % 3 == 0 else "").written
                    inside = any(
                        (one.numbers[series][0] is None or at >= one.numbers[series][0])
                        and (one.numbers[series][1] is None or at <= one.numbers[series][1])
                        for one in spells
                    )
                    named = [name for row in told[car] if row[0] == mark.id for name, _ in row[4]]
                    assert inside or form.id not in named, (car, mark.id, form.id)
                    held += form.id in named
    assert held > 1000


def test_the_key_dates_no_number_to_days_that_the_calendar_rules_out(shelf: Any) -> None:
    """Every seventh car, and the demo's hard cases. A stray's own day is finer than the span, and lies in it."""
    named = ["C2210L", "C1351", "C1722", "C4074", "D1855", "C1866", "C1867"]
    cars = [line.car_at(at, "") for line in shelf.lines.values() for at in range(0, line.cars, 7)]
    for car in [*cars, *(read_number(number, number_table(shelf.guide.series)) for number in named)]:
        assert isinstance(car, CarNumber)
        first, last = shelf.lines[car.series].days_of(car)
        nine = key_of(shelf.key.model).dated(Session(car=car.written)).figures.nine
        days = [day for stretch in nine for day in dates_of(key_of(shelf.key.model).prepared, stretch)]
        if first == last:
            assert days[0] <= first <= days[-1], car.written
        else:
            assert first <= days[0] <= days[-1] <= last, car.written


def test_what_is_left_open_is_said_to_be_for_some_cars_only_where_these_decide(told: dict[str, Any]) -> None:
    """Where every form is for some cars only, no two are for the same: none is ever called right beside another."""
    for car, rows in told.items():
        for mark, _, _, says, forms in rows:
            only = [cars for _, cars in forms]
            if len(forms) > 1 and all(only):
                assert len(set(only)) == len(only), (car, mark, says)
