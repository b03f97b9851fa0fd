"""The record sheet: every mark that can be reached, on one scroll, for those who note cars rather than date them."""

from __future__ import annotations

from collections.abc import Iterable

from guide.pages.key import USUAL_REACH
from guide.pages.shelf import Address, Context, Page, Shelf

__all__ = ["PAGE"]


def _addresses(shelf: Shelf) -> Iterable[Address]:
    yield Address("record", "", "record.html", shelf.say("pages.record.title"))


def _context(shelf: Shelf, address: Address) -> Context:
    guide = shelf.guide
    areas = tuple(
        (area, tuple(guide.marks[mark] for mark in area.marks if mark in guide.marks and guide.marks[mark].ask))
        for area in guide.areas.values()
    )
    return {
        "areas": tuple((area, marks) for area, marks in areas if marks),
        "reaches": tuple(shelf.model.reaches), "usual": USUAL_REACH,
    }


PAGE = Page("record", _addresses, _context, "record.html")
