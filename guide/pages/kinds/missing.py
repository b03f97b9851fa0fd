"""What a host shows where there is no page: the search. Only a guide that knows its own address has it.

It is asked for from any depth, so its links begin at the address's own path.
"""

from __future__ import annotations

from collections.abc import Iterable

from guide.pages.shelf import Address, Page, Shelf

__all__ = ["PAGE"]


def _addresses(shelf: Shelf) -> Iterable[Address]:
    if shelf.guide.address:
        yield Address("missing", "", "404.html", shelf.say("pages.missing.title"))


PAGE = Page("missing", _addresses, lambda _shelf, _address: {}, "missing.html")
