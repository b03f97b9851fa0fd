"""The record sheet: every mark within reach on one scroll, for those who note cars rather than date them."""

from __future__ import annotations

from guide.pages.parts.expected import by_area
from guide.pages.shelf import Context, Shelf, one_page

__all__ = ["PAGE"]


def _context(shelf: Shelf) -> Context:
    asked = {mark.id: mark for mark in shelf.guide.marks.values() if mark.ask}
    return {"areas": by_area(shelf.guide, asked), "reaches": tuple(shelf.model.reaches)}


PAGE = one_page("record", "pages.record.title", _context)
