"""An area of the car with its marks in walking order, and the page that lists all areas with their marks."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from guide.facts.types import Area, Mark
from guide.pages.parts.naming import safe_name
from guide.pages.parts.spells import summary_of
from guide.pages.shelf import Address, Context, Page, Shelf, one_page

__all__ = ["INDEX", "PAGE"]


def _addresses(shelf: Shelf) -> Iterable[Address]:
    for area in shelf.guide.areas.values():
        yield Address("area", area.id, f"areas/{safe_name(area.id, '.html')}", area.name)


def _context(shelf: Shelf, address: Address) -> Context:
    area = shelf.guide.areas[address.id]
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


PAGE = Page("area", _addresses, _context, "area.html")
INDEX = one_page("marks", "pages.marks.title", _index_context)
