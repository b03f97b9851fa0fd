"""The start page: a contents page of ruled lines, the frontispiece, and under them what else the guide holds."""

from __future__ import annotations

from collections.abc import Iterable

from guide.pages.parts.frontispiece import plates_shown
from guide.pages.shelf import Address, Context, Page, Shelf

__all__ = ["PAGE"]

# The rest of the guide, in the order of a book's contents; a page that this guide does not have is left out.
_REST = (
    "record",
    "fits",
    "car",
    "notes",
    "timeline",
    "marks",
    "areas",
    "periods",
    "interiors",
    "apart",
    "care",
    "part-numbers",
    "nobody-makes",
    "tally",
    "sources",
    "how-we-know",
    "words",
    "a-to-z",
    "downloads",
    "about",
)


def _addresses(shelf: Shelf) -> Iterable[Address]:
    yield Address("start", "", "index.html", shelf.guide.title)


def _context(shelf: Shelf, _: Address) -> Context:
    return {"rest": tuple(kind for kind in _REST if (kind, "") in shelf.places), "plates": plates_shown(shelf)}


PAGE = Page("start", _addresses, _context, "start.html")
