"""An area of the car with its marks in walking order, and the page that lists all areas with their marks."""

from __future__ import annotations

from typing import Any

from guide.facts.types import Area, Mark
from guide.pages.parts.spells import summary_of
from guide.pages.shelf import Context, Shelf, one_page, page_each

__all__ = ["INDEX", "PAGE"]


def _context(shelf: Shelf, area: Area) -> Context:
    return {
        "area": area,
        "rows": [{**row, "summary": summary_of(shelf, row["mark"])} for row in _rows(shelf, area)],
        "others": [other for other in shelf.guide.areas.values() if other.id != area.id],
    }


def _rows(shelf: Shelf, area: Area) -> list[dict[str, Any]]:
    return [_row(shelf, shelf.guide.marks[mark]) for mark in area.marks if mark in shelf.guide.marks]


def _row(shelf: Shelf, mark: Mark) -> dict[str, Any]:
    reach = shelf.say(f"pages.reach.how.{mark.reach}")
    return {
        "mark": mark,
        "reach": reach[:1].upper() + reach[1:],
        "picture": next((form.picture for form in mark.forms.values()), ""),
    }


def _index_context(shelf: Shelf) -> Context:
    return {"areas": [{"area": area, "rows": _rows(shelf, area)} for area in shelf.guide.areas.values()]}


PAGE = page_each("area", lambda guide: guide.areas, _context)
INDEX = one_page("marks", "pages.marks.title", _index_context)
