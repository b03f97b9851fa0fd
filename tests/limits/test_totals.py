"""Totals that do not add up, and periods, interiors and options outside their limits."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from guide.facts.types import (
    Count,
    CountKind,
    FittedAs,
    Fitting,
    Form,
    Guide,
    Interior,
    Scope,
    Span,
    Spell,
    Sureness,
    When,
    WhenKind,
)
from guide.limits.derive import derive_limits
from tests.limits import sketch
from tests.limits.sketch import HERE, car, mark, of, on, period, place, run, say, series
from tests.limits.test_limits_of_small_guides import works
from tests.told import told

START, END = When(WhenKind.START, "start", HERE), When(WhenKind.END, "end", HERE)


def made_of(line: Any = None, made: int | None = 2400, marks: tuple[Any, ...] = (), **more: Any) -> Guide:
    return sketch.guide(marks, [line or works()], sketch.production("1960-01-01", "1961-12-31", made), **more)


def codes(guide: Guide) -> list[str]:
    return [finding.code for finding in derive_limits(guide).findings]


def count(about: int, kind: CountKind = CountKind.BUILT, line: int = 1) -> Count:
    return Count(kind=kind, about=about, sure=Sureness.FAIR, place=place(line))


def interior(first: When = START, last: When = END, *counts: Count, name: str = "cloth") -> Interior:
    return Interior(
        id=name,
        name=name,
        colour="",
        material="",
        counts=counts,
        place=HERE,
        spans=(Span(scope=Scope(), first=first, last=last, place=HERE),),
    )


def interiors(*those: Interior) -> dict[str, Interior]:
    return {one.id: one for one in those}


def test_a_guide_that_adds_up_has_nothing_to_say() -> None:
    halves = {
        "early": period("early", "1960-01-01", "1960-12-31", cars=1200, numbers={"c": (car(1001), car(2200))}),
        "late": period("late", "1961-01-01", "1961-12-31", cars=1200, numbers={"c": (car(2201), car(3400))}),
    }
    cloth = interiors(interior(START, on("1960-06"), count(600), count(50, CountKind.SURVIVING)))
    assert codes(made_of(periods=halves, interiors=cloth)) == []


@pytest.mark.parametrize(
    ("made", "expected"),
    [(2400, []), (2399, ["range-too-wide"]), (2401, ["total-differs"]), (None, []), (2000, ["range-too-wide"])],
)
def test_the_series_hold_the_whole_output(made: int | None, expected: list[str]) -> None:
    assert codes(made_of(made=made)) == expected


def test_a_run_whose_end_is_not_stated_may_hold_fewer_but_not_more() -> None:
    open_ended = series([run(1001, None)], works().calendar)
    assert codes(made_of(open_ended, 3000)) == []
    assert codes(made_of(open_ended, 2000)) == ["total-differs"]


@pytest.mark.parametrize(
    ("first", "last", "cars", "expected"),
    [
        (1001, 2200, 1200, []),
        (1001, 2200, 1199, ["period-cars-differ"]),
        (1001, 2300, 1300, ["period-outside-limits"]),
        (1001, 2203, 1203, []),  # within the usual disorder
    ],
)
def test_a_period_agrees_with_its_numbers(first: int, last: int, cars: int, expected: list[str]) -> None:
    year = period("early", "1960-01-01", "1960-12-31", cars=cars, numbers={"c": (car(first), car(last))})
    found = codes(made_of(periods={"early": year}))
    assert [code for code in found if code != "periods-differ"] == expected


def test_periods_add_up_to_the_output() -> None:
    assert codes(made_of(periods={"all": period("all", "1960-01-01", "1961-12-31", cars=2300)})) == ["periods-differ"]


@pytest.mark.parametrize(
    ("those", "expected"),
    [
        ([interior(START, on("1960-06"), count(700))], ["count-too-high"]),
        ([interior(of(car(1201)), of(car(1300)), count(101))], []),  # given as about
        ([interior(of(car(1201)), of(car(1300)), count(103))], ["count-too-high"]),
        ([interior(START, END, count(100), count(101, CountKind.SURVIVING))], ["more-survive-than-built"]),
        ([interior(START, END, count(2000)), interior(START, END, count(500), name="hide")], ["counts-exceed-output"]),
        ([interior(on("1961-03"), on("1960-03"))], ["span-inverted"]),
        ([interior(START, END, count(3000, CountKind.ORDERED))], []),  # ordered is another count
    ],
)
def test_interiors_are_counted_within_their_time(those: list[Interior], expected: list[str]) -> None:
    assert codes(made_of(interiors=interiors(*those))) == expected


@pytest.mark.parametrize(("number", "expected"), [(1450, []), (2450, ["interior-outside-limits"])])
def test_a_statement_about_an_interior_falls_in_its_time(number: int, expected: list[str]) -> None:
    cloth = interiors(interior(START, on("1960-06")), interior(name="vinyl"))
    seen = say("seen", of(car(number)), form="a", scope=Scope((("interior", ("cloth",)),)))
    assert codes(made_of(marks=(mark([seen]),), interiors=cloth)) == expected


@pytest.mark.parametrize("kind", [FittedAs.OPTION, FittedAs.FACTORY])
@pytest.mark.parametrize(
    ("number", "expected"), [(1450, []), (1150, ["option-outside-limits"]), (2450, ["option-outside-limits"])]
)
def test_a_form_is_seen_only_while_the_works_fitted_or_offered_it(
    number: int, expected: list[str], kind: FittedAs
) -> None:
    offered = Fitting(kind=kind, first=on("1960-03"), last=on("1960-09"), place=place(44))
    wood = Form(
        id="a",
        name="Wood",
        answer="Wood",
        picture="",
        fitted_as=(offered,),
        place=HERE,
        spells=(Spell(form="a", number=1, place=HERE),),
    )
    guide = made_of(marks=(mark([say("seen", of(car(number)), form="a")], forms=[wood]),))
    result = derive_limits(guide)
    assert [one.code for one in result.findings] == expected
    assert all(one.place.line == 44 for one in result.findings)
    said = {1150: "by 29 February 1960", 2450: "no earlier than 1 March 1961"}
    assert all(told(one.message).endswith(said[number]) for one in result.findings)


def test_when_something_was_to_be_had_is_no_statement() -> None:
    """Limits are the same with and without: an offer says nothing of when a car was built with it."""
    offered = Fitting(kind=FittedAs.OPTION, first=on("1960-03"), last=on("1960-09"), source="bulletin", place=HERE)
    forms = [
        Form(
            id="a",
            name="Wood",
            answer="Wood",
            picture="",
            fitted_as=(fitted,),
            place=HERE,
            spells=(Spell(form="a", number=1, place=HERE),),
        )
        for fitted in (offered, replace(offered, first=None, last=None))
    ]
    with_days, without = (derive_limits(made_of(marks=(mark([], forms=[one]),))).spells for one in forms)
    assert with_days == without


def test_forms_are_counted_within_the_output() -> None:
    forms = [
        Form(
            id=name,
            name=name,
            answer=name,
            picture="",
            fitted_as=(Fitting(kind=FittedAs.FACTORY, place=HERE),),
            spells=(Spell(form=name, number=1, place=HERE),),
            counts=(count(1300),),
            place=HERE,
        )
        for name in "ab"
    ]
    assert codes(made_of(marks=(mark([], forms=forms),))) == ["counts-exceed-output"]
