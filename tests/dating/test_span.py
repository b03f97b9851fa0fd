"""The shortest span and its hole, against every span that could be."""

from __future__ import annotations

from itertools import accumulate

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from guide.dating.belief.span import (
    Stretch,
    days_between,
    may_fit,
    pieces_of,
    shortest,
    shortest_within,
    weight_between,
)


def test_even_weight_gives_the_earliest_of_equals() -> None:
    found = shortest([0, 10, 20, 30], [1, 1, 1], 0.5)
    assert (found.start, found.weight) == (0.0, 0.5)
    assert found.end == pytest.approx(15.0)


def test_the_span_sits_where_cars_are_densest() -> None:
    found = shortest([0, 10, 20, 30], [1, 8, 1], 0.85)
    assert [found.start, found.end] == pytest.approx([5.0, 20.0])


def test_days_are_inclusive() -> None:
    assert days_between(Stretch(0.0, 28.889, 0.9)) == (0, 28)
    assert days_between(Stretch(10.0, 20.0, 0.9)) == (10, 19)
    assert days_between(Stretch(10.0 - 1e-9, 20.0 + 1e-9, 0.9)) == (10, 19)


def test_a_hole_over_a_third_holding_next_to_nothing_parts_the_span() -> None:
    edges, weights = [0, 10, 60, 70], [0.5, 0.005, 0.495]
    whole = shortest(edges, weights, 0.9)
    parts = pieces_of(edges, weights, whole, hole_share=1 / 3, hole_weight=0.02)
    assert (parts[0].start, parts[0].end) == (whole.start, 10.0)
    assert (parts[1].start, parts[1].end) == (60.0, whole.end)
    assert sum(part.weight for part in parts) == pytest.approx(0.9 - 0.005)


def test_a_small_hole_or_a_full_one_parts_nothing() -> None:
    for edges, weights in (([0, 10, 12, 22], [0.5, 0, 0.5]), ([0, 10, 60, 70], [0.45, 0.1, 0.45])):
        whole = shortest(edges, weights, 0.9)
        assert pieces_of(edges, weights, whole, hole_share=1 / 3, hole_weight=0.02) == [whole]


tables = st.lists(st.tuples(st.integers(1, 30), st.floats(0, 1)), min_size=1, max_size=12).filter(
    lambda rows: sum(weight for _, weight in rows) > 0.01
)


def test_half_is_looked_for_inside_nine_in_ten() -> None:
    """The densest half lies on days 0 to 10, the shortest nine in ten begins later and ends later."""
    edges, weights = [0, 10, 11, 31, 32], [0.5, 0.0, 0.45, 0.05]
    outer = Stretch(1.0, 32.0, 0.95)
    alone = shortest(edges, weights, 0.5)
    assert (alone.start, alone.weight) == (0.0, 0.5)
    assert alone.end == pytest.approx(10.0)
    found = shortest_within(edges, weights, 0.5, outer)
    assert [found.start, found.end] == pytest.approx([1.0, 11 + 20 * 0.05 / 0.45])
    assert found.weight == 0.5


def test_a_splinter_beyond_a_hole_is_no_second_date() -> None:
    """One part in a thousand on a day by itself, months before the rest: that day is not told."""
    edges, weights = [0, 1, 60, 75, 90, 120], [0.001, 0.0, 0.5, 0.399, 0.1]
    whole = Stretch(0.0, 90.0, 0.9)
    (part,) = pieces_of(edges, weights, whole, hole_share=1 / 3, hole_weight=0.02)
    assert (part.start, part.end, part.weight) == pytest.approx((60.0, 90.0, 0.899))


@settings(deadline=None, max_examples=80)
@given(tables)
def test_half_lies_inside_nine_in_ten_and_is_never_shorter_than_anywhere(rows: list[tuple[int, float]]) -> None:
    edges = list(accumulate((days for days, _ in rows), initial=0))
    weights = [weight for _, weight in rows]
    running = list(accumulate(weights, initial=0.0))
    outer = shortest(edges, weights, 0.9)
    free, found = shortest(edges, weights, 0.5), shortest_within(edges, weights, 0.5, outer)
    assert outer.start - 1e-9 <= found.start < found.end <= outer.end + 1e-9
    assert weight_between(edges, running, found.start, found.end) == pytest.approx(0.5 * running[-1], abs=1e-6)
    length = found.end - found.start
    assert length >= free.end - free.start - 1e-6
    if outer.start <= free.start and free.end <= outer.end:
        assert length == pytest.approx(free.end - free.start, abs=1e-5)


@settings(deadline=None, max_examples=80)
@given(tables, st.sampled_from([0.5, 0.9]))
def test_no_span_on_a_fine_grid_is_shorter(rows: list[tuple[int, float]], level: float) -> None:
    edges = list(accumulate((days for days, _ in rows), initial=0))
    weights = [weight for _, weight in rows]
    running = list(accumulate(weights, initial=0.0))
    found = shortest(edges, weights, level)
    assert weight_between(edges, running, found.start, found.end) == pytest.approx(level * running[-1], abs=1e-9)
    grid = [edges[-1] * at / 200 for at in range(201)]
    for start in grid:
        for end in grid:
            if end - start < found.end - found.start - 1e-6:
                assert weight_between(edges, running, start, end) < level * running[-1] + 1e-9
            else:
                break
    assert may_fit(edges, weights, level, found.end - found.start) or level == 0.5
