"""Untouched cars held against when what they show was to be had: the way they miss by least is the one that is told."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from guide.facts.types import CarSeen, FittedAs, Fitting
from guide.limits.derive import derive_limits
from guide.limits.offered import untimely_cars
from tests.limits.sketch import HERE, car, on, say, stray
from tests.limits.test_held import seen
from tests.limits.test_limits_of_small_guides import guide_of, works


def way(kind: FittedAs, first: str | None = None, last: str | None = None) -> Fitting:
    return Fitting(kind=kind, first=on(first) if first else None, last=on(last) if last else None, place=HERE)


OPTION = way(FittedAs.OPTION, "1960-04", "1960-06")
COPY = way(FittedAs.REPRODUCTION, "1985-01")


def told(ways: tuple[Fitting, ...], *cars: CarSeen, **more: Any) -> list[tuple[str, list[tuple[str, int]]]]:
    """What cars show out of its time, of a form "a" that was to be had in these ways; 100 cars were built a month."""
    line = more.pop("line", None) or works(30)
    made = guide_of(more.pop("statements", []), ("a", "b"), line=line, cars_seen=cars)
    own = made.marks["m"]
    forms = {**own.forms, "a": replace(own.forms["a"], fitted_as=ways)}
    found = untimely_cars(derive_limits(replace(made, marks={**made.marks, "m": replace(own, forms=forms)})))
    return [(one.way, [(shown.car.id, shown.beyond) for shown in one.cars]) for one in found]


def test_what_came_later_and_what_was_given_up_is_told_by_the_days_of_the_number() -> None:
    """C1100 is of February at the latest, C1280 can be of April, C1900 is of September at the earliest."""
    cars = (seen(1100), seen(1280), seen(1500), seen(1900))
    ((first, early), (last, late)) = told((OPTION,), *cars)
    assert (first, [name for name, _ in early], last, [name for name, _ in late]) == (
        *("first", ["car-1100"]),
        *("last", ["car-1900"]),
    )


def test_a_car_with_a_part_not_its_own_or_that_is_not_untouched_says_nothing() -> None:
    assert told((OPTION,), seen(1100, own=False), replace(seen(1900), untouched=False)) == []


def test_a_stray_is_held_by_no_number_and_one_that_a_first_contradicts_is_told_once() -> None:
    line = replace(works(30), strays=(stray(car(1100), on("1960-05-10")),))
    assert told((OPTION,), seen(1100, built="1960-05-10"), line=line) == []
    stated = [say("first", on("1960-04"), form="a")]
    assert told((OPTION,), seen(1100), statements=stated) == []


def test_a_copy_explains_no_untouched_car_and_the_option_is_named_before_it() -> None:
    assert told((COPY, OPTION), seen(1500)) == []
    assert [one for one, _ in told((COPY, OPTION), seen(1100))] == ["first"]
    assert told((way(FittedAs.REPRODUCTION),), seen(1500)) == [("never", [("car-1500", 0)])]
    assert told((way(FittedAs.DEALER),), seen(1500)) == []
