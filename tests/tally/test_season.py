"""A whole season of invented cars goes in without a hand, and what is suggested of it, pasted, is right.

`python -m tests.tally.season 1 2 3 4 5 6` prints the figures of six seasons of 200 cars.
"""

from __future__ import annotations

import random

import pytest

from guide.limits.types import LimitsResult
from tests.tally.season import FEWER, Outcome, draw_truth, play, wrong_limits

pytestmark = pytest.mark.long


def holds(one: Outcome) -> None:
    """Nothing stops the guide; cars are counted once, but for numbers read wrongly; every paste is right."""
    assert one.errors == 0
    assert one.set_aside > 20
    assert abs(one.cars - one.there) <= 0.04 * one.there
    assert one.wrong == ()
    assert one.unexplained == () or one.planted
    for mark, share in one.survivals.items():
        assert abs(share - FEWER[mark]) < 0.2, "only where the truth is otherwise, and towards it"


def test_a_season_goes_in_and_what_is_pasted_is_right() -> None:
    one = play(2, 90)
    holds(one)
    assert one.pasted >= 3
    assert one.narrower >= 3


def test_an_undocumented_variant_is_named_together_with_its_chance() -> None:
    one = play(3, variant=True)
    ((cars, chance),) = one.unexplained
    assert cars <= one.planted
    assert len(cars) >= 4
    assert 0 < chance < 0.01


@pytest.mark.proof
@pytest.mark.parametrize("seed", range(1, 7))
def test_a_season_of_two_hundred_cars_narrows_what_is_open_and_is_wrong_nowhere(seed: int) -> None:
    one = play(seed)
    holds(one)
    assert one.pasted >= 10
    assert one.narrower >= 20


def test_a_limit_that_is_wrong_is_noticed(limits: LimitsResult) -> None:
    truth = draw_truth(limits, random.Random(1))
    assert list(wrong_limits(limits, truth)) == []
    for key, place in truth.lasts.items():
        truth.lasts[key] = max(0, place - 900)
    assert list(wrong_limits(limits, truth)) != []
