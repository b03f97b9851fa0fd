"""Spells to shares: ordered changeovers, the overlap rule, and what one moment does to several marks."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from guide.dating.building.chains import DayLimits, changed_by, close_lasts, ordered_marginals

DAYS = list(range(200))
EVERY = [[day] for day in DAYS]
WHOLE = DayLimits(0.0, 200.0)
NEVER = float("-inf")  # no car is known by number to have the old form


def test_two_changeovers_in_order_follow_the_order_statistics_of_uniforms() -> None:
    """Of two uniforms the smaller is below x with chance 1 - (1 - x)^2, the larger with x^2."""
    smaller, larger = ordered_marginals([WHOLE, WHOLE], DAYS)
    for day in (20, 99, 160):
        x = (day + 0.5) / 200
        assert smaller[day] == pytest.approx(1 - (1 - x) ** 2, abs=1e-4)
        assert larger[day] == pytest.approx(x * x, abs=1e-4)


def test_the_middle_of_three_follows_the_order_statistics_too() -> None:
    """P(second of three <= x) = 3 x^2 - 2 x^3."""
    middle = ordered_marginals([WHOLE] * 3, DAYS)[1]
    for day in (50, 99, 150):
        x = (day + 0.5) / 200
        assert middle[day] == pytest.approx(3 * x**2 - 2 * x**3, abs=1e-4)


def test_a_first_and_the_last_it_overlaps_keep_their_order() -> None:
    """Drawn from the same limits, the earlier is the first and the later the last: half of each is even again."""
    row = changed_by([WHOLE], [WHOLE], [0.5], DAYS, EVERY)[0]
    assert row == pytest.approx([(day + 0.5) / 200 for day in DAYS], abs=1e-4)
    first_only = changed_by([WHOLE], [WHOLE], [1.0], DAYS, EVERY)[0]
    assert first_only[100] == pytest.approx(1 - (1 - 100.5 / 200) ** 2, abs=1e-4)


def test_a_moment_known_to_the_day_comes_at_its_start() -> None:
    assert ordered_marginals([DayLimits(20.0, 20.0)], DAYS)[0][19:22] == [0.0, 1.0, 1.0]


def test_a_changeover_within_a_closure_comes_with_the_reopening() -> None:
    days = [day for day in DAYS if not 50 <= day < 80]
    come = dict(zip(days, ordered_marginals([DayLimits(55.0, 70.0)], days)[0], strict=True))
    assert (come[49], come[80]) == (0.0, 1.0)


def test_open_days_share_a_changeover_evenly_whatever_lies_between() -> None:
    days = [day for day in DAYS if not 50 <= day < 150]
    come = dict(zip(days, ordered_marginals([WHOLE], days)[0], strict=True))
    assert come[49] == pytest.approx(0.495)
    assert come[150] == pytest.approx(0.505)


def test_a_short_spell_between_two_alike_does_not_vanish() -> None:
    """The second spell has its share although both changeovers have the same limits."""
    rows = changed_by([WHOLE, WHOLE], [WHOLE, WHOLE], [0.5, 0.5], DAYS, EVERY)
    assert max(one - two for one, two in zip(*rows, strict=True)) > 0.35


def test_a_last_that_nothing_closes_ends_soon_after_the_next_form_came() -> None:
    closed = close_lasts([DayLimits(40, 50)], [DayLimits(30, 190)], [False], 60, [NEVER])
    assert closed == [DayLimits(40, 110)]
    assert close_lasts([DayLimits(40, 50)], [DayLimits(30, 190)], [True], 60, [NEVER]) == [DayLimits(40, 190)]


def test_a_last_lets_the_latest_car_known_to_have_it_have_been_built_on_any_of_its_days() -> None:
    """A car of November or December that had the old form had it, though others had long had the new one."""
    assert close_lasts([DayLimits(40, 50)], [DayLimits(150, 190)], [False], 60, [180]) == [DayLimits(150, 180)]
    assert close_lasts([DayLimits(40, 50)], [DayLimits(150, 190)], [False], 60, [200]) == [DayLimits(150, 190)]
    assert close_lasts([DayLimits(40, 50)], [DayLimits(30, 190)], [False], 60, [80]) == [DayLimits(40, 110)]
    assert close_lasts([DayLimits(40, 50)], [DayLimits(150, 170)], [True], 60, [180]) == [DayLimits(150, 170)]


def test_a_last_seen_long_after_keeps_its_day() -> None:
    assert close_lasts([DayLimits(40, 50)], [DayLimits(150, 190)], [False], 60, [NEVER]) == [DayLimits(150, 150)]


def test_no_car_had_the_new_form_before_its_first() -> None:
    """Limits may put the last old car before a closure and the first new one after it: nothing came in between."""
    first, last = DayLimits(100.0, 100.0), DayLimits(20.0, 99.0)
    row = changed_by([first], close_lasts([first], [last], [True], 60, [NEVER]), [0.5], DAYS, EVERY)[0]
    assert row[:100] == [0.0] * 100
    assert row[100:] == [1.0] * 100


bounds = st.tuples(st.floats(0, 199), st.floats(0, 199)).map(lambda ends: DayLimits(min(ends), max(ends)))


@settings(deadline=None, max_examples=60)
@given(st.lists(bounds, min_size=1, max_size=4), st.floats(0, 1))
def test_spells_always_share_each_day_out_whole(firsts: list[DayLimits], share: float) -> None:
    """P(spell k) = G_{k-1} - G_k is never negative and adds up to one, whatever the limits."""
    lasts = close_lasts(firsts, firsts, [True] * len(firsts), 60, [NEVER] * len(firsts))
    rows = changed_by(firsts, lasts, [share] * len(firsts), DAYS, EVERY)
    for day in DAYS:
        passed = [1.0, *(row[day] for row in rows), 0.0]
        shares = [a - b for a, b in pairwise(passed)]
        assert min(shares) >= -1e-12
        assert sum(shares) == pytest.approx(1.0)
        assert -1e-12 <= min(passed) <= max(passed) <= 1 + 1e-12
