"""The walk-round card on paper and on the screen: nothing parted, nothing lost, counters that add its points."""

from __future__ import annotations

import re
from itertools import pairwise
from typing import Any

import pytest

from guide.pages.kinds.walkround import ANSWER_MM, ENTRY_MM, STRIPS_MM, cards_of, data_files, lay_out
from guide.pages.kinds.walkround import _entries as entries_of
from guide.pages.kinds.walkround import _sides as sides_of


@pytest.fixture(scope="module")
def entries(shelf: Any) -> list[Any]:
    return entries_of(shelf, cards_of(shelf)[0].card.marks)


def height(entry: Any) -> float:
    return ENTRY_MM * (2 if entry.first else 1) + ANSWER_MM * len(entry.answers)


def test_every_mark_stands_on_the_card_once_and_no_strip_is_too_long(entries: list[Any]) -> None:
    strips = lay_out(entries)
    placed = [entry.mark.id for strip in strips for entry in strip]
    assert sorted(placed) == sorted(entry.mark.id for entry in entries)
    for strip, most in zip(strips, STRIPS_MM, strict=True):
        assert sum(height(entry) for entry in strip) <= most


def test_each_reach_is_told_once_where_it_begins(entries: list[Any]) -> None:
    placed = [entry for strip in lay_out(entries) for entry in strip]
    assert placed[0].first
    for before, entry in pairwise(placed):
        assert entry.first == (before.mark.reach is not entry.mark.reach)


def test_what_does_not_fit_is_not_squeezed_in(entries: list[Any]) -> None:
    assert lay_out(entries, (50.0, 50.0)) == []


def test_a_card_of_one_or_two_marks_begins_in_its_first_strip(entries: list[Any]) -> None:
    """The longest strip is not the first, so a card of few marks is laid out evenly there."""
    for few in (1, 2):
        (side,) = sides_of(lay_out(entries[:few]))
        placed = {entry.mark.id for strip in side for entry in strip}  # a short one may step before a long one
        assert placed == {entry.mark.id for entry in entries[:few]}
        assert all(side)


def test_the_style_sheet_adds_exactly_the_points(shelf: Any) -> None:
    card = cards_of(shelf)[0].card
    css = data_files(shelf)["data/card.css"].decode()
    rules = dict(re.findall(r"\.(p[\d-]+):checked \{ counter-increment: ([^;]+); \}", css))
    for mark in card.marks:
        for points in mark.points.values():
            name = "p" + "-".join(map(str, points))
            if any(points):
                added = [int(value) for value in re.findall(r"period-\d+ (\d+)", rules[name])]
                assert added == list(points)
            else:
                assert name not in rules
    start = re.search(r"counter-reset: ([^;]+);", css)
    assert start is not None
    assert [int(value) for value in re.findall(r"period-\d+ (\d+)", start[1])] == list(card.start)
