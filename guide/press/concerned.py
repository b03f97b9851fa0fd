"""Which page of a guide a finding concerns, and what on that page it speaks of: for the preview, and nothing else."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from guide.facts.text.folder import ABOUT, ABOUT_IN
from guide.facts.types import Mark
from guide.finding import Finding, Place
from guide.pages.shelf import Shelf

__all__ = ["pages_concerned"]

# The page that shows what a file says, where no record of it has a page of its own.
_PAGES: Mapping[str, str] = {
    "guide.yml": "how-we-know",
    "numbers": "how-we-know",
    "sources.yml": "sources",
    "words.yml": "words",
    ABOUT: "about",
    "areas.yml": "marks",
    "periods.yml": "periods",
    "interiors.yml": "interiors",
    "care": "care",
    "cars-seen": "tally",
}


def pages_concerned(shelf: Shelf, finding: Finding) -> dict[str, str]:
    """Return the pages that a finding concerns, by output name, the first the one to open; beside each is said what on
    it is spoken of: ``row 3`` of the statements, counted from 0, or nothing for the page as a whole."""
    found: dict[str, str] = {}
    for place in (finding.place, *(related.place for related in finding.related)):
        kind, identity, beside = _spoken_of(shelf, place)
        address = shelf.places.get((kind, identity)) or shelf.places.get((_PAGES.get(_top(place), ""), ""))
        if address is not None and not found.get(address.path):
            found[address.path] = beside if kind else ""
    return found


def _top(place: Place) -> str:
    """Return the file or folder of the facts that a place stands in; every language's about.md is one."""
    return ABOUT if ABOUT_IN.fullmatch(place.file) else place.file.split("/")[0]


def _spoken_of(shelf: Shelf, place: Place) -> tuple[str, str, str]:
    guide, top = shelf.guide, _top(place)
    if top in ("marks", "statements.csv", "pictures"):
        for mark in guide.marks.values():
            row = _row(mark, place)
            pictures = {f"pictures/{form.picture}" for form in mark.forms.values()}
            if place.file == f"marks/{mark.id}.yml" or place.file in pictures or (row and top == "statements.csv"):
                return "mark", mark.id, row
    records: Mapping[str, tuple[str, Iterable[Any]]] = {
        "periods.yml": ("period", guide.periods.values()),
        "interiors.yml": ("interior", guide.interiors.values()),
        "areas.yml": ("area", guide.areas.values()),
    }
    kind, some = records.get(place.file, ("", ()))
    above = [one for one in some if one.place.line <= place.line]
    return (kind, max(above, key=lambda one: one.place.line).id, "") if above else ("", "", "")


def _row(mark: Mark, place: Place) -> str:
    """Return in which row of a mark's page a statement of a line stands: by form, then as they are stated."""
    order = list(mark.forms)
    shown = sorted(mark.statements, key=lambda statement: order.index(statement.form))
    at = (n for n, one in enumerate(shown) if (one.place.file, one.place.line) == (place.file, place.line))
    number = next(at, None)
    return "" if number is None else f"row {number}"
