"""The record sheet: every mark within reach on one scroll, for those who note cars rather than date them."""

from __future__ import annotations

from guide.pages.shelf import Context, Shelf, one_page

__all__ = ["PAGE"]


def _context(shelf: Shelf) -> Context:
    guide = shelf.guide
    asked = {mark.id: mark for mark in guide.marks.values() if mark.ask}
    areas = tuple((area, tuple(asked[mark] for mark in area.marks if mark in asked)) for area in guide.areas.values())
    return {"areas": tuple((area, marks) for area, marks in areas if marks), "reaches": tuple(shelf.model.reaches)}


PAGE = one_page("record", "pages.record.title", _context)
