"""Cars seen held against firsts and lasts, each on the claim's own axis; figures counted by hand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from guide.facts.types import CarSeen, Report, Ruling, Scope, Statement
from guide.limits.derive import derive_limits
from tests.limits import sketch
from tests.limits.sketch import HERE, car, form, of, on, say, stray
from tests.limits.test_limits_of_small_guides import guide_of, works


def seen(
    number: int | None = None,
    has: str = "a",
    built: str | None = None,
    splits: Mapping[str, str] | None = None,
    own: bool | None = None,
    suffix: str = "",
) -> CarSeen:
    return CarSeen(
        id=f"car-{number}",
        car=None if number is None else car(number, suffix=suffix),
        number_text="",
        failure=None,
        built=None if built is None else on(built),
        splits=splits or {},
        reports=(Report(mark="m", forms=(has,), kind="form", own=own, place=HERE),),
        untouched=True,
        place=HERE,
    )


def against(statements: list[Statement], *cars: CarSeen, **more: Any) -> list[tuple[int, str, list[tuple[str, int]]]]:
    """Each claim contradicted, by its index, its axis, and the cars that do so with how far they lie beyond."""
    line = more.pop("line", None) or works(30)
    result = derive_limits(guide_of(statements, ("a", "b"), line=line, cars_seen=cars, **more))
    return [
        (one.index, str(one.axis), [(misfit.car.id, misfit.beyond) for misfit in one.misfits])
        for one in result.contradicted
    ]


def test_a_claim_by_number_is_held_against_numbers_exactly_and_one_by_day_against_days() -> None:
    """C1251 is within the usual disorder of C1250, and beyond it all the same; by days only C1400 is beyond March."""
    cars = (seen(1251), seen(1400), seen(1250), seen(1100))
    assert against([say("last", of(car(1250)))], *cars) == [(0, "number", [("car-1400", 150), ("car-1251", 1)])]
    # 1960-03 ends with C1300; C1400 less 30 stands in April at the earliest, C1251 can be of March
    assert against([say("last", on("1960-03"))], *cars) == [(0, "day", [("car-1400", 1)])]


def test_a_car_with_a_date_of_its_own_is_held_by_it_and_says_nothing_by_number() -> None:
    dated = seen(built="1960-05-04")
    assert against([say("last", on("1960-04"))], dated) == [(0, "day", [("car-None", 4)])]
    assert against([say("last", of(car(1250)))], dated) == []
    assert against([say("first", on("1960-06"), form="b")], seen(1900, "b", "1960-05-30")) == [
        (0, "day", [("car-1900", 2)])
    ]


def test_what_a_claim_allows_for_is_allowed() -> None:
    assert against([say("last", of(car(1250)), old_stock_cars=10)], seen(1260)) == []
    assert against([say("first", of(car(1250), slack=10), form="b")], seen(1240, "b")) == []
    assert against([say("last", on("1960-03"), old_stock_cars=130)], seen(1400)) == []


def test_a_part_not_the_cars_own_and_a_named_stray_contradict_nothing() -> None:
    last = say("last", of(car(1250)))
    assert against([last], seen(1400, own=False)) == []
    assert against([last], seen(1400), line=works(30, strays=(stray(car(1400), on("1960-02-10")),))) == []


def test_a_car_speaks_only_of_cars_that_it_certainly_is_of() -> None:
    hands = {"hand": sketch.split("hand", {"left": {}, "right": {}})}
    last = say("last", of(car(1250)), scope=Scope((("hand", ("right",)),)))
    line = works(30, suffixes={"L": Scope((("hand", ("left",)),))})
    right, left, unknown = seen(1251, splits={"hand": "right"}), seen(1252, suffix="L"), seen(1253)
    assert against([last], right, left, unknown, splits=hands, line=line) == [(0, "number", [("car-1251", 1)])]


def test_a_form_that_returned_is_missed_by_the_nearer_of_its_spells_only() -> None:
    forms = [form("a", spells=2), form("b")]
    said = [say("last", of(car(1250))), say("first", of(car(2000)), spell=2), say("first", of(car(1251)), form="b")]
    more: dict[str, Any] = {"mark_more": {"forms": forms}}
    assert against(said, seen(1300), seen(1200), seen(2100), **more) == [(0, "number", [("car-1300", 50)])]
    assert against(said, seen(1990), **more) == [(1, "number", [("car-1990", 10)])]
    ever = [say("last", of(car(1250)), superlative=True), said[1]]
    assert against(ever, seen(2100), **more) == [(0, "number", [("car-2100", 850)])]


def test_a_statement_is_held_as_a_ruling_reads_it() -> None:
    read = Ruling(
        statement=0, sets_aside=False, read_when=of(car(1260)), why="", on=sketch.day("2026-01-01"), place=HERE
    )
    aside = replace(read, sets_aside=True)
    last = [say("last", of(car(1250)))]
    for ruling, beyond in ((read, [(0, "number", [("car-1300", 40)])]), (aside, [])):
        assert against(last, seen(1300), mark_more={"rulings": (ruling,)}) == beyond
