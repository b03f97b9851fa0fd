"""About the guide: what it is and is not, whose it is, and on what terms it may be used."""

from __future__ import annotations

from guide.limits.rulings import unheard_echoes
from guide.pages.parts.pictures import credits_listed
from guide.pages.parts.wording import licence_said
from guide.pages.shelf import Context, Shelf, one_page
from guide.sentence import day

__all__ = ["PAGE"]


def _context(shelf: Shelf) -> Context:
    guide = shelf.guide
    forms = sum(len(mark.forms) for mark in guide.marks.values())
    statements = sum(len(mark.statements) for mark in guide.marks.values()) - len(unheard_echoes(guide))
    return {
        "record": guide,
        "credits": credits_listed(shelf),
        "published": "" if guide.published.date is None else day(guide.published.date),
        "licence": licence_said(guide.licence),
        "counted": shelf.say(
            "pages.about.counted",
            marks=len(guide.marks),
            forms=forms,
            statements=statements,
            sources=sum(not one.issue_of for one in guide.sources.values()),
        ),
    }


PAGE = one_page("about", "pages.about.title", _context)
