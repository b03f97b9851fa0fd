"""Care notes: what goes wrong with a part, why, how to prevent and mend it, and where to stop and ask."""

from __future__ import annotations

from guide.pages.shelf import Context, Shelf, one_page

__all__ = ["PAGE"]


def _context(shelf: Shelf) -> Context:
    marks = shelf.guide.marks
    return {
        "notes": [
            {"note": note, "marks": [marks[mark] for mark in note.marks if mark in marks]}
            for note in shelf.guide.care.values()
        ]
    }


PAGE = one_page("care", "pages.care.title", _context, there=lambda shelf: shelf.guide.care)
