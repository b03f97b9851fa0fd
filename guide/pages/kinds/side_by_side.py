"""Cars side by side: where two or three of them differ, part by part, with the drawings and whose word it is.

The page is made in the browser for the cars asked of it; here stand the statements behind each form, every sentence
once, and the order in which one walks round a car.
"""

from __future__ import annotations

from typing import Any

from guide.dating.building.behind import reasons_of
from guide.pages.parts.beside_a_car import drawings_of
from guide.pages.parts.page_data import script_of
from guide.pages.shelf import Context, Shelf, one_page
from guide.sentence import upper_first

__all__ = ["PAGE", "data_files"]


def data_files(shelf: Shelf) -> dict[str, bytes]:
    """Return the statements behind each form, and the marks in walking order."""
    said: dict[str, int] = {}
    behind: dict[str, dict[str, list[list[int]]]] = {}
    for (mark, form), entries in reasons_of(shelf.limits).items():
        told = [[shelf.words.tell(upper_first(step.says)) for step in steps] for steps in entries]
        numbered = [list(dict.fromkeys(said.setdefault(one, len(said)) for one in steps)) for steps in told]
        behind.setdefault(mark, {})[form] = numbered
    areas = shelf.guide.areas.values()
    data: dict[str, Any] = {
        "order": [
            *(one.id for one in shelf.model.marks if one.kind == "interior"),
            *(m for a in areas for m in a.marks),
        ],
        "says": list(said),
        "behind": behind,
    }
    return {"data/behind.js": script_of("behind", data)}


def _context(shelf: Shelf) -> Context:
    return {"drawings": drawings_of(shelf.guide), "periods": list(shelf.guide.periods.values())}


PAGE = one_page("side-by-side", "pages.beside.title", _context)
