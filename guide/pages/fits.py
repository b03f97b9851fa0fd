"""Does it fit its number? Expected and found, part by part, for one chassis number or a list of them."""

from __future__ import annotations

from collections.abc import Iterable

from guide.pages.key import drawings_of
from guide.pages.shelf import Address, Context, Page, Shelf

__all__ = ["PAGE"]


def _addresses(shelf: Shelf) -> Iterable[Address]:
    yield Address("fits", "", "fits.html", shelf.say("pages.fits.title"))


def _context(shelf: Shelf, _: Address) -> Context:
    return {"drawings": drawings_of(shelf.guide)}


PAGE = Page("fits", _addresses, _context, "fits.html")
