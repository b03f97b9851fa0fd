"""Cars to look for at the next show, on one sheet: the numbers whose next car would narrow the limits most."""

from __future__ import annotations

from guide.pages.shelf import Context, Shelf, one_page
from guide.sentence import duration
from guide.tally.report import range_said

__all__ = ["PAGE"]


def _context(shelf: Shelf) -> Context:
    marks, series = shelf.guide.marks, shelf.guide.series
    return {
        "rows": [
            {
                "series": series[one.series].name,
                "numbers": range_said(shelf.tally, one),
                "marks": [marks[mark] for mark in one.marks],
                "by": duration(one.days),
            }
            for one in shelf.tally.look_for
        ]
    }


PAGE = one_page(
    "look-for",
    "pages.look_for.title",
    _context,
    there=lambda shelf: shelf.tally and shelf.tally.cars and shelf.tally.is_any_worth_looking,
)
