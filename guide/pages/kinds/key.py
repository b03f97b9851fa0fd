"""The key: the page, its drawings, and its two data scripts (the model, and what only pages need).

The model stands in data/model.js and holds everything that is computed with; data/key.js holds words, links
and former ids. Both set a property of one global object, because a page opened from a disk may load a script
beside it and nothing else.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from guide.dating.belief.papers import PAPERS
from guide.facts.types import Guide, Reach
from guide.pages.parts.naming import slug
from guide.pages.shelf import Context, Shelf, one_page

__all__ = ["PAGE", "USUAL_REACH", "data_files", "drawings_of", "json_for_page", "key_data", "script_of"]

USUAL_REACH = (Reach.OUTSIDE, Reach.GLASS)  # what one may do beside any car, asked of nobody
_SPOKEN = (
    "words.",
    "dating.",
    "pages.shell.caution",
    "pages.key.",
    "pages.notes.",
    "pages.record.",
    "pages.fits.",
    "pages.reach.",
    "pages.number.",
)


def json_for_page(value: Any) -> str:
    """Return JSON that is safe inside a script element of a page."""
    text = json.dumps(value, ensure_ascii=False, separators=(",", ":"))
    for sign, escape in (("<", "\\u003c"), ("\u2028", "\\u2028"), ("\u2029", "\\u2029")):
        text = text.replace(sign, escape)
    return text


def script_of(name: str, value: Any) -> bytes:
    """Return a classic script that sets ``guide.NAME``; safe inside a page as well, as a script element."""
    text = json_for_page(value)
    return f"(globalThis.guide=globalThis.guide||{{}}).{name}={text};\n".encode()


def data_files(shelf: Shelf) -> dict[str, bytes]:
    """Return data/model.js and data/key.js."""
    return {
        "data/model.js": script_of("model", json.loads(shelf.key.dumped)),
        "data/key.js": script_of("key", key_data(shelf)),
    }


def drawings_of(guide: Guide) -> tuple[tuple[str, str, str], ...]:
    """Return mark, form and picture file for every form that has a picture, in the guide's order.

    The number series stand there as forms of the model's mark ``body``, the interiors as those of ``interior``.
    """
    series = tuple(("body", one.id, one.picture) for one in guide.ordered_series.values() if one.picture)
    trims = tuple(("interior", one.id, one.picture) for one in guide.interiors.values() if one.picture)
    return (
        series
        + trims
        + tuple(
            (mark.id, form.id, form.picture)
            for mark in guide.marks.values()
            for form in mark.forms.values()
            if form.picture
        )
    )


def key_data(shelf: Shelf, *, alone: bool = False) -> Mapping[str, Any]:
    """Return what data/key.js holds; ``alone``: in the single file, where the key has no other page to lead to."""
    guide = shelf.guide
    marks = {id: address.path for (kind, id), address in shelf.places.items() if kind == "mark"}
    return {
        "title": guide.title,
        "car": guide.car,
        "store": f"running-change:{slug(guide.title)}:cars",
        "first": guide.production.first.isoformat(),
        "last": guide.production.last.isoformat(),
        "usual": list(USUAL_REACH),
        "formerly": {
            "marks": {old: mark.id for mark in guide.marks.values() for old in mark.formerly},
            "forms": {
                mark.id: former
                for mark in guide.marks.values()
                if (former := {old: form.id for form in mark.forms.values() for old in form.formerly})
            },
        },
        "only": {  # marks that only some series have
            mark.id: list(series)
            for mark in guide.marks.values()
            if (series := mark.scope.values("series")) is not None
        },
        "links": {
            **{name: "" if alone else f"{name}.html" for name in ("key", "notes", "fits")},
            "marks": {} if alone else marks,
        },
        "words": shelf.words.chosen(_SPOKEN),
    }


def _context(shelf: Shelf) -> Context:
    first = shelf.guide.production.first
    return {
        "reaches": tuple(shelf.model.reaches),
        "usual": USUAL_REACH,
        "known": PAPERS,
        "drawings": drawings_of(shelf.guide),
        "example_month": f"{first.year + 1}-03",
    }


PAGE = one_page("key", "pages.key.title", _context)
