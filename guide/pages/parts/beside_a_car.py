"""What all pages for use beside a car have in common: what one may do there, and the drawings of every answer."""

from __future__ import annotations

from typing import Any

from guide.facts.types import Guide, Reach
from guide.pages.parts.naming import slug

__all__ = ["USUAL_REACH", "drawings_of", "former_ids", "store_name"]

USUAL_REACH = (Reach.OUTSIDE, Reach.GLASS)  # what one may do beside any car, asked of nobody


def former_ids(guide: Guide) -> dict[str, Any]:
    """Return the present id of every mark, and of every form by its mark, that had another: old answers stay good.

    ``titles`` are the names under which notes were kept while the guide had another title.
    """
    trims = {old: one.id for one in guide.interiors.values() for old in one.formerly}
    return {
        "titles": [store_name(title) for title in guide.formerly],
        "marks": {old: mark.id for mark in guide.marks.values() for old in mark.formerly},
        "forms": {
            mark.id: former
            for mark in guide.marks.values()
            if (former := {old: form.id for form in mark.forms.values() for old in form.formerly})
        }
        | ({"interior": trims} if trims else {}),
    }


def store_name(title: str) -> str:
    """Return the name under which a browser keeps the notes of cars of a guide with this title."""
    return f"running-change:{slug(title)}:cars"


def drawings_of(guide: Guide) -> tuple[tuple[str, str, str], ...]:
    """Return mark, form and picture file for every form that has a picture, in the guide's order.

    The number series stand there as forms of the model's mark ``body``, the values of a
    split as those of the split, the interiors as those of ``interior``.
    """
    series = tuple(("body", one.id, one.picture) for one in guide.ordered_series.values() if one.picture)
    sides = tuple(
        (split.id, one.id, one.picture)
        for split in guide.splits.values()
        for one in split.values.values()
        if one.picture
    )
    trims = tuple(("interior", one.id, one.picture) for one in guide.interiors.values() if one.picture)
    return (
        series
        + sides
        + trims
        + tuple(
            (mark.id, form.id, form.picture)
            for mark in guide.marks.values()
            for form in mark.forms.values()
            if form.picture
        )
    )
