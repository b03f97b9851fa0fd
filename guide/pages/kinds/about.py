"""About the guide: what it is and is not, whose it is, and on what terms it may be used."""

from __future__ import annotations

from collections.abc import Iterable

from guide.pages.parts.wording import licence_said
from guide.pages.shelf import Address, Context, Page, Shelf

__all__ = ["PAGE"]


def _addresses(shelf: Shelf) -> Iterable[Address]:
    yield Address("about", "", "about.html", shelf.say("pages.about.title"))


def _context(shelf: Shelf, _address: Address) -> Context:
    guide = shelf.guide
    forms = sum(len(mark.forms) for mark in guide.marks.values())
    statements = sum(len(mark.statements) for mark in guide.marks.values())
    return {
        "record": guide,
        "licence": licence_said(guide.licence),
        "counted": shelf.say(
            "pages.about.counted",
            marks=len(guide.marks),
            forms=forms,
            statements=statements,
            sources=len(guide.sources),
        ),
    }


PAGE = Page("about", _addresses, _context, "about.html")
