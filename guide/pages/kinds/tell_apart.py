"""Telling two apart: for every two periods and every two interiors, the marks that do it, best first.

Every pair has a page of its own, so choosing needs no scripts: the page of all pairs is a grid of links. Two
forms of one mark are told apart by `tell_forms_apart`, and chosen on the same page.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from guide.dating.key import Cars
from guide.pages.parts.expected import by_area
from guide.pages.parts.models import car_models
from guide.pages.parts.naming import safe_name
from guide.pages.parts.pairs import pairs_of, pairs_of_things
from guide.pages.parts.told_apart import rows_apart, split_drawn
from guide.pages.shelf import Address, Context, Page, Shelf

__all__ = ["INDEX", "PAGE"]

DRAWN = 10  # marks shown with both drawings; further ones get a line
LEAST_BITS = 0.02  # a look that tells less is not named


def _addresses(shelf: Shelf) -> Iterable[Address]:
    for kind, one, other in pairs_of_things(shelf):
        name = safe_name(f"{one.id}-or-{other.id}", ".html")
        title = shelf.say(f"pages.apart.{kind}", one=one.name, other=shelf.words.lower_first(other.name))
        yield Address("apart", f"{one.id}/{other.id}", f"apart/{name}", title)


def _context(shelf: Shelf, address: Address) -> Context:
    kind, one, other = next(pair for pair in pairs_of_things(shelf) if f"{pair[1].id}/{pair[2].id}" == address.id)
    cars, others = (Cars(**{kind: thing.id}) for thing in (one, other))
    rows = rows_apart(shelf, cars, others, LEAST_BITS)
    return {
        "kind": kind,
        "one": one,
        "other": other,
        **split_drawn(rows, DRAWN),
        "one_words": _title(shelf, kind, one),
        "other_words": _title(shelf, kind, other),
        "lead": shelf.say("pages.apart.lead" if rows else "pages.apart.nothing"),
    }


def _title(shelf: Shelf, kind: str, what: Any) -> str:
    return shelf.say("pages.period.heading", period=what.name) if kind == "period" else str(what.name)


def _index_addresses(shelf: Shelf) -> Iterable[Address]:
    if next(pairs_of_things(shelf), None) or any(pairs_of(mark) for mark in shelf.guide.marks.values()):
        yield Address("apart", "", "apart.html", shelf.say("pages.apart.title"))


def _index_context(shelf: Shelf, _address: Address) -> Context:
    guide = shelf.guide
    models = car_models(shelf)
    of = "pages.apart.of_period" if len(models) == 1 else "pages.apart.of_period_of"
    grids: list[tuple[str, str, list[Any]]] = [
        (
            "period" if not at else f"period-{at + 1}",
            shelf.say(of, model=shelf.words.tell(model.name)),
            list(model.periods),
        )
        for at, model in enumerate(models)
    ]
    grids.append(("interior", shelf.say("pages.apart.of_interior"), list(guide.interiors.values())))
    marks = {mark.id: (mark, pairs_of(mark)) for mark in guide.marks.values() if pairs_of(mark)}
    return {
        "grids": [
            {"kind": kind, "heading": heading, "things": things} for kind, heading, things in grids if len(things) > 1
        ],
        "areas": by_area(guide, marks),
    }


PAGE = Page("apart", _addresses, _context, "apart.html")
INDEX = Page("apart", _index_addresses, _index_context, "apart-all.html")
