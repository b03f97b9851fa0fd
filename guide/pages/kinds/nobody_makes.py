"""What nobody makes, those parts first that most cars want, with the doubt of every figure."""

from __future__ import annotations

from typing import Any

from guide.pages.parts.to_be_had import had_of
from guide.pages.parts.wording import count_said, survival_said
from guide.pages.shelf import Context, Shelf, one_page
from guide.sentence import Value, in_turn, number, sentence
from guide.tally.wanted import Wanted, unasked, wanted

__all__ = ["PAGE"]

_ROUND = 10  # cars: what is told from a hundred on is told to as many


def _context(shelf: Shelf) -> Context:
    found = wanted(shelf.limits, shelf.key, shelf.tally.survival if shelf.tally else {})
    left = unasked(shelf.limits)
    return {
        "rows": [_row(shelf, one) for one in found],
        "unasked": sentence("pages.wanted.unasked", n=left) if left else "",
    }


def _row(shelf: Shelf, one: Wanted) -> dict[str, Any]:
    return {
        "mark": one.mark,
        "form": one.form,
        "cars": sentence("pages.wanted.about", cars=number(_rounded(one.cars))) if one.cars is not None else "",
        "range": _range(one),
        "built": _built(shelf, one),
        "kept": survival_said(one.mark.survives_share),
        "seen": _seen(one),
        "had": had_of(shelf.guide, one.form),
    }


def _range(one: Wanted) -> Value:
    """Return the range of a figure; empty where it has none, or is as good as the figure."""
    low, high = _rounded(one.low), _rounded(one.high)
    return sentence("pages.wanted.range", low=number(low), high=number(high)) if low < high else ""


def _rounded(cars: int) -> int:
    return cars if cars < _ROUND * 10 else round(cars / _ROUND) * _ROUND


def _built(shelf: Shelf, one: Wanted) -> Value:
    if one.counts:
        return in_turn([count_said(shelf.guide, count) for count in one.counts])
    if one.built is None:
        return sentence("pages.count.unknown")
    return sentence("pages.wanted.worked_out", about=number(_rounded(one.built)))


def _seen(one: Wanted) -> Value:
    """Return what the cars seen tell of how many have lost theirs; empty for too few."""
    told = one.survival
    if told is None:
        return ""
    low, high = round(100 * (1 - told.high)), round(100 * (1 - told.low))
    return sentence("pages.wanted.lost", own=told.own, of=told.of, low=low, high=high)


PAGE = one_page(
    "nobody-makes",
    "pages.wanted.title",
    _context,
    there=lambda shelf: any(
        form.dates_a_car and form.nobody_makes for mark in shelf.guide.marks.values() for form in mark.forms.values()
    ),
)
