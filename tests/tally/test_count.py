"""The tally: counts by period, suggestions that matter, numbers claimed twice. Cars are laid over the starter."""

from __future__ import annotations

import pathlib
from typing import Any

import pytest

from guide.facts.read import read_guide
from guide.limits.derive import derive_limits
from guide.tally.count import Tally, derive_tally
from guide.tally.estimate import wilson
from tests.starting import started

CARS = """\
car,untouched,source,remarks,roof-lamp,door-handle,another car
S100,yes,register,,round,lever
S200,yes,register,,round,lever
S580,yes,register,,round,
S900,no,register,,square,knob
S900,no,register,another car with this number,square,knob,yes
S1100,yes,register,,round+square,cannot-tell
S1150,yes,register,,changed,lever
S5000,no,register,in no table,round,lever
"""


def tally_of(tmp_path: pathlib.Path, cars: str) -> Tally:
    guide = read_guide(started(tmp_path, {"cars-seen/field.csv": cars})).guide
    assert guide is not None
    return derive_tally(derive_limits(guide))


@pytest.fixture
def tally(tmp_path: pathlib.Path) -> Tally:
    return tally_of(tmp_path, CARS)


def test_only_cars_that_lie_in_one_period_are_counted_for_it(tally: Tally) -> None:
    assert tally.cars == 8
    # S580 lies within 20 numbers of the turn of 1961, but surely before it; S5000 is in no table.
    assert tally.placed == 7
    counts = {(c.form, c.period): (c.found, c.of) for c in tally.marks["roof-lamp"].counts}
    assert counts == {
        ("round", "early"): (3, 3),
        ("round", "late"): (0, 2),
        ("square", "early"): (0, 3),
        ("square", "late"): (2, 2),
    }


def test_each_count_carries_its_interval(tally: Tally) -> None:
    for count in tally.marks["roof-lamp"].counts:
        assert (count.low, count.high) == wilson(count.found, count.of)


def test_changed_and_both_are_looks_but_no_form(tally: Tally) -> None:
    lamp = tally.marks["roof-lamp"]
    assert lamp.changed == 1
    assert lamp.looked_at == 8
    assert tally.marks["door-handle"].looked_at == 6


def test_one_car_alone_suggests_nothing(tally: Tally) -> None:
    """S1150 has a lever among knobs: it may be misread, and its word moves no limit."""
    assert tally.suggestions == ()


def test_a_part_that_is_not_the_car_s_own_counts_for_no_period(tmp_path: pathlib.Path) -> None:
    cars = "car,roof-lamp\nS100,round\nS101,square not own\nS102,square own\n"
    counts = {(c.form, c.period): (c.found, c.of) for c in tally_of(tmp_path, cars).marks["roof-lamp"].counts}
    assert (counts["square", "early"], counts["round", "early"]) == ((1, 2), (1, 2))


def test_a_number_claimed_twice_is_shown(tally: Tally) -> None:
    assert tally.claimed_twice == {"S900": 2}


def test_the_demo_shows_both_cars_that_claim_one_number(limits: Any) -> None:
    assert list(derive_tally(limits).claimed_twice) == ["C2477"]


def asked(tally: Tally) -> list[str]:
    """Return the marks of which the changeovers were worked out."""
    return [mark for mark, told in tally.marks.items() if any(name.startswith("changeovers") for name in vars(told))]


def test_how_often_a_part_was_looked_at_asks_for_no_changeover(tally: Tally) -> None:
    assert tally.marks["roof-lamp"].looked_at
    assert tally.marks["roof-lamp"].counts
    assert asked(tally) == []


def test_the_first_part_that_is_worth_a_look_makes_the_page(tally: Tally) -> None:
    assert tally.is_any_worth_looking
    so_far = asked(tally)
    worth = {mark for one in tally.look_for for mark in one.marks}
    first = next(at for at, mark in enumerate(tally.marks) if mark in worth)
    assert so_far == list(tally.marks)[: first + 1] != list(tally.marks)


def test_no_page_where_no_car_is_worth_a_look(tmp_path: pathlib.Path) -> None:
    tally = tally_of(tmp_path, "car,untouched,source,roof-lamp\nS100,yes,register,cannot-tell\n")
    assert not tally.is_any_worth_looking
    assert tally.look_for == ()
