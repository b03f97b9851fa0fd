"""What all pages for use beside a car have in common: what one may do there, the words and drawings of every answer.

Those of a car as a whole are asked for first and stand in the model and in the page; those of the parts come by area of
the car, in one file, which the first of them that is shown fetches.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any

from guide.dating.building.formerly import former_answers
from guide.facts.types import Form, Guide, Mark, Reach
from guide.pages.parts.naming import slug
from guide.pages.parts.page_data import call_of, script_of
from guide.pages.shelf import Shelf

__all__ = ["USUAL_REACH", "drawings_of", "drawn_at", "former_ids", "part_files", "pictures_of", "store_name"]

_OF_MARK, _OF_FORM = ("name", "question", "look"), ("name", "answer")  # what the model has in words
USUAL_REACH = (Reach.OUTSIDE, Reach.GLASS)  # what one may do beside any car, asked of nobody


def former_ids(guide: Guide) -> dict[str, Any]:
    """Return the present id of every mark, and of every form by its mark, that had another: old answers stay good.

    ``titles`` are the names under which notes were kept while the guide had another title.
    """
    former = former_answers(guide)
    return {
        "titles": [store_name(title) for title in guide.formerly],
        "marks": former.get("marks", {}),
        "forms": former.get("forms", {}),
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


def part_files(shelf: Shelf) -> dict[str, bytes]:
    """Return data/model.js, which of the parts holds numbers alone; their words, all in data/words.js for pages that
    tell of any part, and with their pictures in a file for each area: what is inside the element of a drawing, and of
    a photograph its address and size.
    """
    model = json.loads(shelf.key.dumped)
    words = {mark["id"]: _words_of(shelf, mark) for mark in model["marks"] if mark.get("kind", "mark") == "mark"}
    files = {"data/model.js": script_of("model", model), "data/words.js": script_of("partWords", words)}
    for at, area in enumerate(shelf.guide.areas.values()):
        marks = [shelf.guide.marks[id] for id in area.marks if id in words]
        drawn = {f"{mark.id}/{form.id}": _drawn(shelf, form) for mark in marks for form in mark.forms.values()}
        files[f"data/area{at}.js"] = call_of(
            "parts.came",
            at,
            {mark.id: words[mark.id] for mark in marks},
            {name: one for name, one in drawn.items() if one},
        )
    return files


def _words_of(shelf: Shelf, mark: dict[str, Any]) -> dict[str, Any]:
    """Take the words out of a mark of a dumped model and return them, with its page and whether forms have pictures."""
    known = shelf.guide.marks[mark["id"]]
    forms = [
        {name: form.pop(name) for name in _OF_FORM if name in form}
        | ({"drawn": True} if drawn_at(shelf, known, known.forms[form["id"]]) else {})
        for form in mark["forms"]
    ]
    said = {name: mark.pop(name) for name in _OF_MARK if name in mark}
    return said | {"page": shelf.places["mark", known.id].path, "forms": forms}


def _drawn(shelf: Shelf, form: Form) -> str | dict[str, Any]:
    if form.picture in shelf.drawings:
        return shelf.drawings[form.picture].markup
    if form.picture not in shelf.photographs:
        return ""
    light = shelf.photographs[form.picture].lightest
    return {"src": light.path, "width": light.width, "height": light.height}
