"""What all pages for use beside a car have in common: what one may do there, and the drawings of every answer.

Those of a car as a whole are asked for first and stand in the page; those of the parts are fetched with the first of
their area that is shown.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from guide.facts.types import Form, Guide, Mark, Reach
from guide.pages.parts.naming import slug
from guide.pages.parts.page_data import script_of
from guide.pages.shelf import Shelf

__all__ = [
    "USUAL_REACH",
    "drawing_files",
    "drawings_of",
    "drawn_at",
    "former_ids",
    "pictures_of",
    "store_name",
    "where_drawn",
]

USUAL_REACH = (Reach.OUTSIDE, Reach.GLASS)  # what one may do beside any car, asked of nobody


def former_ids(guide: Guide) -> dict[str, Any]:
    """Return the present id of every mark, and of every form by its mark, that had another: old answers stay good.

    ``titles`` are the names under which notes were kept while the guide had another title.
    """
    whole = {
        name: {old: one.id for one in records.values() for old in one.formerly}
        for name, records in (("body", guide.series), ("interior", guide.interiors))
    }
    return {
        "titles": [store_name(title) for title in guide.formerly],
        "marks": {old: mark.id for mark in guide.marks.values() for old in mark.formerly},
        "forms": {
            mark.id: former
            for mark in guide.marks.values()
            if (former := {old: form.id for form in mark.forms.values() for old in form.formerly})
        }
        | {name: former for name, former in whole.items() if former},
    }


def store_name(title: str) -> str:
    """Return the name under which a browser keeps the notes of cars of a guide with this title."""
    return f"running-change:{slug(title)}:cars"


def drawings_of(guide: Guide) -> tuple[tuple[str, str, str], ...]:
    """Return mark, form and picture file for whatever a car is as a whole that has a picture, in the guide's order.

    The number series stand there as forms of the model's mark ``body``, the values of a
    split as those of the split, the interiors as those of ``interior``.
    """
    series = (("body", one.id, one.picture) for one in guide.ordered_series.values())
    sides = ((split.id, one.id, one.picture) for split in guide.splits.values() for one in split.values.values())
    trims = (("interior", one.id, one.picture) for one in guide.interiors.values())
    return tuple(one for one in (*series, *sides, *trims) if one[2])


def pictures_of(marks: Iterable[Mark]) -> tuple[tuple[str, str, str], ...]:
    """Return mark, form and picture file for every form of some marks that has a picture."""
    return tuple((mark.id, form.id, form.picture) for mark in marks for form in mark.forms.values() if form.picture)


def drawn_at(shelf: Shelf, mark: Mark, form: Form) -> str:
    """Return where scripts find the picture of a form, ``AREA/MARK/FORM``; nothing where it has none."""
    if form.picture not in shelf.drawings and form.picture not in shelf.photographs:
        return ""
    return f"{list(shelf.guide.areas).index(mark.area)}/{mark.id}/{form.id}"


def where_drawn(shelf: Shelf) -> dict[str, Any]:
    """Return in which file every part's pictures are, and the forms ``MARK/FORM`` of such parts that have none."""
    at = {mark.id: [drawn_at(shelf, mark, form) for form in mark.forms.values()] for mark in shelf.guide.marks.values()}
    found = {mark: int(next(filter(None, each)).partition("/")[0]) for mark, each in at.items() if any(each)}
    bare = [
        f"{id}/{form}" for id in found for form, one in zip(shelf.guide.marks[id].forms, at[id], strict=True) if not one
    ]
    return {"of": found, "without": bare}


def drawing_files(shelf: Shelf) -> dict[str, bytes]:
    """Return the pictures of all forms, a script for each area of the car that has any: what is inside the element of
    a drawing, and of a photograph its address and size."""
    found: dict[str, dict[str, Any]] = {}
    for mark in shelf.guide.marks.values():
        for form in mark.forms.values():
            area, _, name = drawn_at(shelf, mark, form).partition("/")
            if area and form.picture in shelf.drawings:
                found.setdefault(area, {})[name] = shelf.drawings[form.picture].markup
            elif area:
                light = shelf.photographs[form.picture].lightest
                size = {"width": light.width, "height": light.height}
                found.setdefault(area, {})[name] = {"src": light.path, **size}
    return {f"data/drawings{area}.js": script_of(f"drawings{area}", each) for area, each in found.items()}
