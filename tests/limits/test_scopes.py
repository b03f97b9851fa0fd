"""Which cars a statement speaks for, on a guide with two series, hands and markets."""

from __future__ import annotations

import pytest

from guide.facts.types import Guide, Interior, Scope, Span
from guide.limits.scopes import Dimensions, intersect
from tests.limits import sketch
from tests.limits.sketch import HERE, car, on, run, series

EVERY_CAR = Scope()


def scope(**parts: str) -> Scope:
    """A scope, values parted by blanks."""
    return Scope(tuple((name, tuple(values.split())) for name, values in sorted(parts.items())))


def interior(name: str, *where: Scope) -> Interior:
    spans = tuple(Span(scope=one, first=on("1960-01"), last=on("1961-12"), place=HERE) for one in where)
    return Interior(id=name, name=name, colour="", material="", spans=spans, place=HERE)


@pytest.fixture
def dimensions() -> Dimensions:
    left = {"L": scope(hand="left")}
    guide: Guide = sketch.guide(
        [],
        [
            series([run(1001, 1100)], suffixes=left),
            series([run(501, 600, prefix="D")], id="d", suffixes=left, written=("D###",)),
        ],
        splits={
            "hand": sketch.split("hand", {"right": {}, "left": {}}),
            "market": sketch.split(
                "market", {"home": {"hand": "right"}, "abroad": {"hand": "left"}, "america": {"hand": "left"}}
            ),
        },
        interiors={"vinyl": interior("vinyl", scope()), "cloth": interior("cloth", scope(series="c"))},
    )
    return Dimensions(guide)


def test_a_market_settles_the_hand_and_a_hand_narrows_the_markets(dimensions: Dimensions) -> None:
    assert dimensions.close(scope(market="home")) == scope(hand="right", market="home")
    assert dimensions.close(scope(hand="left")) == scope(hand="left", market="abroad america")
    assert dimensions.close(scope(hand="left", market="home")) is None


def test_an_interior_settles_its_series(dimensions: Dimensions) -> None:
    assert dimensions.close(scope(interior="cloth")) == scope(interior="cloth", series="c")
    assert dimensions.close(scope(series="d")) == scope(interior="vinyl", series="d")


def test_scopes_meet_dimension_by_dimension() -> None:
    assert intersect(scope(hand="left"), scope(market="abroad")) == scope(hand="left", market="abroad")
    assert intersect(scope(hand="left right"), scope(hand="right")) == scope(hand="right")
    assert intersect(scope(hand="left"), scope(hand="right")) is None


def shown(dimensions: Dimensions, *named: Scope, within: Scope = EVERY_CAR, by_series: bool = False) -> list[Scope]:
    return [cell.scope for cell in dimensions.cells(within, named, by_series=by_series)]


def test_a_mark_that_names_nothing_has_one_cell(dimensions: Dimensions) -> None:
    assert shown(dimensions, scope()) == [scope()]
    assert shown(dimensions, scope(), by_series=True) == [scope(series="c"), scope(series="d")]
    assert shown(dimensions, scope(), within=scope(series="c"), by_series=True) == [scope()]


def test_values_always_named_together_stay_together(dimensions: Dimensions) -> None:
    assert shown(dimensions, scope(market="america")) == [scope(market="home abroad"), scope(market="america")]


def test_impossible_combinations_are_no_cells(dimensions: Dimensions) -> None:
    assert shown(dimensions, scope(hand="right"), scope(market="home"), scope(market="america")) == [
        scope(hand="right", market="home"),
        scope(hand="left", market="abroad"),
        scope(hand="left", market="america"),
    ]


def test_a_car_tells_its_series_and_what_its_suffix_says(dimensions: Dimensions) -> None:
    assert dimensions.of_car(car(1001)) == scope(series="c")
    assert dimensions.of_car(car(1001, suffix="L")) == scope(hand="left", series="c")


def test_a_claim_about_all_cars_speaks_for_every_cell_and_a_car_only_for_a_cell_it_surely_belongs_to(
    dimensions: Dimensions,
) -> None:
    right, left = dimensions.cells(Scope(), [scope(hand="right")], by_series=False)
    every, sure = dimensions.close(scope()), dimensions.close(scope(hand="left", series="c"))
    unsure = dimensions.close(scope(series="c"))
    assert every is not None
    assert sure is not None
    assert unsure is not None
    assert dimensions.speaks_for(every, right)
    assert dimensions.speaks_for(every, left)
    assert not dimensions.speaks_for(sure, right)
    assert dimensions.belongs_to(sure, left)
    assert not dimensions.belongs_to(sure, right)
    assert not dimensions.belongs_to(unsure, left)
    assert not dimensions.belongs_to(unsure, right)
