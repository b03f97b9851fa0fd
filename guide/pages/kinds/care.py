"""Care notes: what goes wrong with a part, why, how to prevent and mend it, and where to stop and ask."""

from __future__ import annotations

from collections.abc import Iterable

from guide.pages.shelf import Address, Context, Page, Shelf

__all__ = ["PAGE"]


def _addresses(shelf: Shelf) -> Iterable[Address]:
    if shelf.guide.care:
        yield Address("care", "", "care.html", shelf.say("pages.care.title"))


def _context(shelf: Shelf, _address: Address) -> Context:
    marks = shelf.guide.marks
    return {
        "notes": [
            {"note": note, "marks": [marks[mark] for mark in note.marks if mark in marks]}
            for note in shelf.guide.care.values()
        ]
    }


PAGE = Page("care", _addresses, _context, "care.html")
