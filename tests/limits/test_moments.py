"""One reading of a stated moment: every stage that asks which days or cars it means is told the same."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import Any, NamedTuple

import pytest

from guide.checks.cover import check_every_time_has_a_form
from guide.checks.known import Known
from guide.checks.placed import check_statements_within_production
from guide.dating.building.behind import behind_forms
from guide.dating.building.build import build_model
from guide.dating.building.grid import lay_grid
from guide.dating.building.shares import combinations, share_out
from guide.facts.types import (
    CarNumber,
    CarSeen,
    Count,
    CountKind,
    FittedAs,
    Fitting,
    Guide,
    Interior,
    Mark,
    Scope,
    Series,
    ShareRow,
    Span,
    Sureness,
    When,
    WhenKind,
)
from guide.limits.derive import derive_limits
from guide.limits.moments import Moments
from guide.limits.positions import series_lines
from guide.limits.types import day_of
from guide.tally.count import derive_tally
from guide.words.say import load_words
from tests.dating.asking import key_of
from tests.limits import sketch
from tests.limits.sketch import HERE, by_end, car, day, first_of, form, mark, of, on, run, say, series


def _works() -> list[Series]:
    """A hundred closed cars a month, and from June on a hundred open ones beside them."""
    months = [f"1960-{month:02}" for month in range(1, 13)]
    closed = [by_end(on(month), car(1100 + 100 * at)) for at, month in enumerate(months)]
    opened = [first_of(on("1960-06"), _open(1001))]
    opened += [by_end(on(month), _open(1100 + 100 * at)) for at, month in enumerate(months[5:])]
    return [
        series([run(1001, 2200)], closed, out_of_order=0),
        series(
            [run(1001, 1700, prefix="D")],
            opened,
            id="d",
            name="Open car",
            written=("D####",),
            body="open",
            out_of_order=0,
        ),
    ]


def _open(number: int) -> CarNumber:
    return car(number, "d", prefix="D")


def _end(kind: WhenKind, of: str) -> When:
    return When(kind, f"{kind} of {of}", HERE, of=of)


def _guide(marks: tuple[Mark, ...] = (), **more: Any) -> Guide:
    early, late = sketch.period("early", "1960-01-01", "1960-09-09"), sketch.period("late", "1960-09-10", "1960-12-31")
    made = sketch.production("1960-01-01", "1960-12-31")
    return sketch.guide(marks or [mark(())], _works(), made, periods={"early": early, "late": late}, **more)


class Meant(NamedTuple):
    """What a when means, worked out by hand: its series, its days, its positions there, a stretch that is it alone."""

    when: When
    series: str
    days: tuple[str, str]
    positions: tuple[int, int]
    stretch: tuple[str, str]
    by_number: bool


# Cars are spread evenly over a month: the 90th of January is built on its 28th day (0.89 of 31), the tenth of
# February on its third (0.09 of 29), the fifth of July on its second (0.04 of 31).
CASES = {
    "about C1100": Meant(
        of(car(1100), slack=10), "c", ("1960-01-01", "1960-02-29"), (89, 109), ("1960-01-28", "1960-02-03"), True
    ),
    "10 cars after C1595": Meant(
        of(car(1595), after=10), "c", ("1960-07-01", "1960-07-31"), (604, 604), ("1960-07-02", "1960-07-02"), True
    ),
    "start of open": Meant(
        _end(WhenKind.START, "d"), "d", ("1960-06-01", "1960-06-30"), (0, 0), ("1960-06-01", "1960-06-01"), True
    ),
    "end of open": Meant(
        _end(WhenKind.END, "d"), "d", ("1960-12-01", "1960-12-31"), (699, 699), ("1960-12-31", "1960-12-31"), True
    ),
    "start of late": Meant(
        _end(WhenKind.START, "late"), "c", ("1960-09-10", "1960-09-10"), (800, 899), ("1960-09-10", "1960-09-10"), False
    ),
    "March": Meant(on("1960-03"), "c", ("1960-03-01", "1960-03-31"), (200, 299), ("1960-03-01", "1960-03-31"), False),
    "September": Meant(
        on("1960-09"), "c", ("1960-09-01", "1960-09-30"), (800, 899), ("1960-09-01", "1960-09-30"), False
    ),
}
START, END = When(WhenKind.START, "start", HERE), When(WhenKind.END, "end", HERE)
EVERY = pytest.mark.parametrize("meant", CASES.values(), ids=CASES)


def _interior(name: str, first: When, last: When, **more: Any) -> Interior:
    return Interior(
        id=name, name=name.capitalize(), colour="", material="", place=HERE, spans=(_span(first, last),), **more
    )


def _span(first: When, last: When) -> Span:
    return Span(scope=Scope(), first=first, last=last, place=HERE)


def _of(dimension: str, value: str) -> Scope:
    return Scope(((dimension, (value,)),))


@EVERY
def test_the_days_and_the_cars_of_a_when_are_those_worked_out_by_hand(meant: Meant) -> None:
    guide = _guide()
    moments = Moments(guide, series_lines(guide))
    assert tuple(one.isoformat() for one in moments.days(meant.when)) == meant.days
    assert moments.positions(meant.when, meant.series) == meant.positions
    ends = (moments.end_of_stretch(meant.when, last=False), moments.end_of_stretch(meant.when, last=True))
    assert tuple(one.isoformat() for one in ends) == meant.stretch


@EVERY
def test_limits_hold_a_first_within_those_days(meant: Meant) -> None:
    guide = _guide((mark([say("first", meant.when, form="b")], ("a", "b"), [form("a"), form("b")]),))
    spells = [one for one in derive_limits(guide).spells if one.form == "b"]
    spell = next(one for one in spells if meant.series in (one.scope.values("series") or ("c", "d")))
    ends = (day_of(spell.first.earliest, guide.production.first), day_of(spell.first.latest, guide.production.first))
    assert tuple(one.isoformat() for one in ends) == meant.days


@EVERY
def test_totals_count_the_cars_up_to_the_last_of_them(meant: Meant) -> None:
    count = Count(kind=CountKind.BUILT, about=5000, sure=Sureness.FAIR, place=HERE)
    span = replace(_span(START, meant.when), scope=_of("series", meant.series))
    guide = _guide(interiors={"i": replace(_interior("i", START, END), spans=(span,), counts=(count,))})
    (found,) = [one for one in derive_limits(guide).findings if one.code == "count-too-high"]
    assert f"at most {meant.positions[1] + 1} cars with I," in load_words().tell(found.message)


@EVERY
def test_coverage_wants_a_form_from_the_last_of_those_days_on(meant: Meant, model: Any) -> None:
    """What has an interior from a time on is sure to have it from the last day which that can mean."""
    interiors = {"i": _interior("i", meant.when, END), "j": _interior("j", START, END)}
    said = mark(
        [say("last", on("1960-01-01"), scope=_of("interior", "i"))], (), [form("a", scope=_of("interior", "i"))]
    )
    guide = _guide((said,), interiors=interiors)
    known = Known(guide=guide, limits=derive_limits(guide), key=key_of(model), pictures=frozenset())
    found = [load_words().tell(one.message) for one in check_every_time_has_a_form(known)]
    assert any(f"found none from {meant.days[1]} to 1960-12-31 (I)" in one for one in found), found


@EVERY
def test_the_grid_lays_a_share_from_the_first_day_of_the_stretch_to_its_last(meant: Meant) -> None:
    """The bins of the closed cars hold each day once, so a share of all cars adds up to the days of the stretch."""
    row = ShareRow(split="hand", value="left", share=1.0, first=meant.when, last=meant.when, place=HERE)
    none = replace(row, share=0.0, first=None, last=None)
    guide = _guide(splits={"hand": sketch.split("hand", {"right": {}, "left": {}})}, shares=(none, row))
    moments = Moments(guide, series_lines(guide))
    grid = lay_grid(guide, moments.lines)
    left = [at for at, one in enumerate(combinations(guide)) if dict(one.splits)["hand"] == "left"]
    shares = share_out(moments, grid, combinations(guide))[0]
    widths = [after - before for before, after in pairwise(grid.edges)]
    days = sum(width * sum(share[at] for at in left) for width, share in zip(widths, shares, strict=True))
    first, last = (day(one) for one in meant.stretch)
    assert round(days, 6) == (last - first).days + 1


@EVERY
def test_fits_puts_a_form_out_before_the_first_of_those_cars_where_they_are_told_by_number(meant: Meant) -> None:
    guide = _guide((mark([say("first", meant.when, form="b")], ("a", "b"), [form("a"), form("b")]),))
    limits = derive_limits(guide)
    told = {form: [one.numbers for one in entries] for (_, form), entries in behind_forms(limits).items()}
    stated = {meant.series: (meant.positions[0], None)} if meant.by_number else {}
    assert all(one == stated for one in told["b"] if one)
    assert bool(stated) == any(told["b"])
    assert not any(told["a"])


@pytest.mark.parametrize(
    ("name", "placed"), [("10 cars after C1595", 1), ("March", 1), ("September", 0)]
)  # September parts the periods
def test_the_tally_counts_a_car_for_the_period_that_holds_all_of_those_days(name: str, placed: int) -> None:
    meant = CASES[name]
    number = car(1605) if meant.when.kind is WhenKind.CAR else None
    built = meant.when if number is None else None
    seen = CarSeen(id="one", car=number, number_text="", failure=None, built=built, place=HERE)
    guide = _guide(cars_seen=(seen,))
    assert derive_tally(derive_limits(guide)).placed == placed


@EVERY
def test_the_key_has_what_was_fitted_later_from_the_year_of_the_first_of_those_days(meant: Meant) -> None:
    later = replace(form("b"), fitted_as=(Fitting(kind=FittedAs.DEALER, first=meant.when, place=HERE),))
    guide = _guide((mark((), ("a",), [form("a"), later]),))
    found = build_model(guide, derive_limits(guide)).marks
    (since,) = [one.since for mark in found for one in mark.forms if one.id == "b"]
    assert since == day(meant.days[0]).year


@pytest.mark.parametrize(
    ("when", "outside"),
    [
        (on("1959-12"), True),
        (replace(on("1959-12"), latest=day("1960-01-31")), False),
        (replace(on("1960-12"), latest=None), False),
        (on("1961-01"), True),
    ],
)
def test_a_date_none_of_whose_days_lies_in_production_is_outside_it(when: When, outside: bool, model: Any) -> None:
    guide = _guide((mark([say("seen", when, form="a")]),))
    known = Known(guide=guide, limits=derive_limits(guide), key=key_of(model), pictures=frozenset())
    assert [one.code for one in check_statements_within_production(known)] == ["outside-production"] * outside
