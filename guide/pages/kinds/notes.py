"""Today's cars: the notes kept on this device, to open, correct, remove, and hand in."""

from __future__ import annotations

from collections.abc import Iterable

from guide.pages.shelf import Address, Context, Page, Shelf

__all__ = ["PAGE"]


def _addresses(shelf: Shelf) -> Iterable[Address]:
    yield Address("notes", "", "notes.html", shelf.say("pages.notes.title"))


def _context(_: Shelf, __: Address) -> Context:
    return {}


PAGE = Page("notes", _addresses, _context, "notes.html")
