"""From a number to days and forms: the tables hold what the limits say, for every car, in both languages."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from guide.dating.belief.evidence import Session
from guide.facts.types import CarNumber
from guide.facts.when.numbers import number_table, read_number
from guide.pages.parts.cars import car_table, form_rows
from tests.dating.asking import conclude
from tests.pages.scripts import evaluate

SCRIPT = "cars"
DAYS = """given.numbers.map((number) => {
  const read = guide.numbers.read(number, given.table.numbers);
  return [read.written, guide.cars.daysOf(given.table, read), guide.cars.knownOf(given.table, read)];
})"""


def known_of(shelf: Any, car: CarNumber) -> dict[str, str]:
    """Return what a number tells of its car besides when it was built: its series, and what its suffix says."""
    settled = shelf.guide.series[car.series].suffixes.get(car.suffix)
    told = {name: values[0] for name, values in settled.parts if len(values) == 1} if settled else {}
    return {"series": car.series, **told}


def holds(row: Mapping[str, Any], car: Mapping[str, Any]) -> bool:
    """Tell whether a row leaves room for a car's place among the numbers of its series."""
    first, last = row["numbers"].get(car["series"], (None, None))
    at = car.get("place")
    return at is None or ((first is None or at >= first) and (last is None or at <= last))


def expected_forms(rows: Iterable[Mapping[str, Any]], car: Mapping[str, Any], first: str, last: str) -> list[str]:
    """Return the forms that a car built between two days may have had; ``car`` is what is known of it."""
    found = [
        row["form"]
        for row in rows
        if row["from"] <= last
        and row["to"] >= first
        and holds(row, car)
        and all(car.get(name) is None or car[name] in values for name, values in row["scope"].items())
    ]
    return list(dict.fromkeys(found))


def test_every_car_has_the_days_that_the_calendar_allows_it_in_both_languages(shelf: Any, node: str) -> None:
    table = car_table(shelf)
    cars = [line.car_at(at, "L" if at % 3 == 0 else "") for line in shelf.lines.values() for at in range(line.cars)]
    assert len(cars) == 4870
    told = evaluate(node, SCRIPT, DAYS, {"table": table, "numbers": [car.written for car in cars]})
    expected = [
        [car.written, [day.isoformat() for day in shelf.lines[car.series].days_of(car)], known_of(shelf, car)]
        for car in cars
    ]
    assert told == expected


def test_the_key_dates_no_number_to_days_that_the_calendar_rules_out(shelf: Any) -> None:
    """What the search says of a number holds in the key as well; every seventh car, and the demo's hard cases.

    A stray's own day is finer than the key's half months, so it lies in the span instead.
    """
    named = ["C2210L", "C1351", "C1722", "C4074", "D1855", "C1866", "C1867"]
    cars = [line.car_at(at, "") for line in shelf.lines.values() for at in range(0, line.cars, 7)]
    for car in [*cars, *(read_number(number, number_table(shelf.guide.series)) for number in named)]:
        assert isinstance(car, CarNumber)
        first, last = (day.isoformat() for day in shelf.lines[car.series].days_of(car))
        spans = conclude(shelf.model, Session(car=car.written))["result"]["spans"]
        days = [day for span in spans if span["level"] == 0.9 for day in (span["from"], span["to"])]
        if first == last:
            assert days[0] <= first <= days[-1], car.written
        else:
            assert first <= days[0] <= days[-1] <= last, car.written


def test_a_number_in_no_table_has_no_days(shelf: Any, node: str) -> None:
    table = car_table(shelf)
    reads = evaluate(
        node,
        SCRIPT,
        "given.numbers.map((number) => guide.numbers.read(number, given.table.numbers).failure)",
        {"table": table, "numbers": ["C2933", "C4315", "CX4", "ABC 123D", "1840"]},
    )
    assert reads == ["not-in-tables", "not-in-tables", "outside", "registration", "short"]


def forms_of(shelf: Any, number: str, mark: str) -> list[str]:
    car = read_number(number, number_table(shelf.guide.series))
    assert isinstance(car, CarNumber)
    first, last = (day.isoformat() for day in shelf.lines[car.series].days_of(car))
    line = shelf.lines[car.series]
    at = line.position(car)
    known = known_of(shelf, car) | ({} if at in line.strays else {"place": at})
    return expected_forms(form_rows(shelf, shelf.guide.marks[mark]), known, first, last)


def test_the_forms_expected_of_known_cars(shelf: Any) -> None:
    """Worked by hand from the demo's statements."""
    assert forms_of(shelf, "C1100", "switches") == ["toggle"]
    assert forms_of(shelf, "C1822", "switches") == ["toggle", "rocker"]
    assert forms_of(shelf, "C2210L", "switches") == ["toggle", "rocker"]
    assert forms_of(shelf, "C2500", "switches") == ["rocker"]
    assert forms_of(shelf, "C3900", "switches") == ["symbols"]
    assert "rocker" in forms_of(shelf, "C1702", "switches")
    assert forms_of(shelf, "C1900L", "outside-mirror") == ["door-bright"]
    assert forms_of(shelf, "D834", "tail-lamps") == ["round"]
    assert forms_of(shelf, "C3046", "washer-bottle") == ["bag"]


def test_a_number_is_held_against_what_is_stated_by_number(shelf: Any) -> None:
    """C2040 is stated as the last with etched plates and C2041 as the first with printed ones; days do not tell them
    apart, for cars were finished up to twenty out of order."""
    assert [forms_of(shelf, car, "maker-plate") for car in ("C2040", "C2041")] == [["etched"], ["printed"]]
    assert forms_of(shelf, "C3260", "door-handles") == ["button", "lift"], "between the first new and the last old"


def test_expected_forms_agree_in_both_languages(shelf: Any, node: str) -> None:
    jobs = []
    for mark in shelf.guide.marks.values():
        rows = form_rows(shelf, mark)
        for series, line in shelf.lines.items():
            for at in range(0, line.cars, 97):
                days = [day.isoformat() for day in line.days_at(at)]
                for car in ({"series": series}, {"series": series, "hand": "left"}, {"series": series, "place": at}):
                    jobs.append([rows, car, *days])
    told = evaluate(node, SCRIPT, "given.map((job) => guide.cars.expectedForms(...job))", jobs)
    assert told == [expected_forms(*job) for job in jobs]
    assert len(told) > 500
