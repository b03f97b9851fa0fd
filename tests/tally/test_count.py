"""The tally: counts by period, suggestions that matter, numbers claimed twice. Cars are laid over the starter."""

from __future__ import annotations

import pathlib
import shutil
from typing import Any

import pytest

from guide.command.start import STARTER
from guide.facts.read import read_guide
from guide.limits.derive import derive_limits
from guide.tally.count import Tally, derive_tally
from guide.tally.estimate import wilson

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


@pytest.fixture
def tally(tmp_path: pathlib.Path) -> Tally:
    content = tmp_path / "content"
    shutil.copytree(STARTER, content)
    (content / "cars-seen").mkdir()
    (content / "cars-seen" / "field.csv").write_text(CARS, encoding="utf-8")
    guide = read_guide(content).guide
    assert guide is not None
    return derive_tally(derive_limits(guide))


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


def test_a_car_that_would_move_a_limit_is_suggested(tally: Tally) -> None:
    found = {(s.mark, s.form, s.later_than_known): s for s in tally.suggestions}
    lever = found["door-handle", "lever", True]
    assert (lever.car.number_text, lever.car.source) == ("S1150", "register")
    assert lever.days > 300
    assert ("roof-lamp", "round", True) not in found  # S598 is stated as the last: S580 adds nothing


def test_a_number_claimed_twice_is_shown(tally: Tally) -> None:
    assert tally.claimed_twice == {"S900": 2}


def test_the_demo_shows_both_cars_that_claim_one_number(limits: Any) -> None:
    assert list(derive_tally(limits).claimed_twice) == ["C2477"]
