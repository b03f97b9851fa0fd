"""The key: the page, and its data scripts (the model, and what only pages need).

The model stands in data/model.js and holds everything that is computed with, of the parts numbers alone; data/key.js
holds sentences, links, former ids and what the parts are called; what else is said of a part comes with its area
(`guide.pages.parts.beside_a_car`). All are scripts, because a page opened from a disk may load a script beside it and
nothing else.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from guide.dating.belief.papers import PAPERS, RESTORED
from guide.pages.parts.beside_a_car import USUAL_REACH, drawings_of, former_ids, part_files, store_name
from guide.pages.parts.page_data import script_of
from guide.pages.shelf import Context, Shelf, one_page

__all__ = ["PAGE", "data_files", "key_data"]

_SPOKEN = (
    "words.",
    "facts.heard.when",
    "dating.",
    "pages.shell.caution",
    "pages.shell.edition",
    "pages.key.",
    "pages.notes.",
    "pages.fits.title",
    "pages.reach.",
    "pages.number.",
    "pages.send.",
    "pages.sheet.print",
)
_SPOKEN_ELSEWHERE = (  # on pages that tell of any part, and not by the key but where something is pasted
    "facts.heard.",
    "pages.record.",
    "pages.fits.",
    "pages.mark.expect.",
    "pages.beside.",
    "pages.forms.",
    "pages.apart.",
)


def data_files(shelf: Shelf) -> dict[str, bytes]:
    """Return the model, data/key.js, and what is said and drawn of the parts."""
    files = {"data/key.js": script_of("key", key_data(shelf)), **part_files(shelf)}
    files["data/words.js"] += script_of("moreWords", shelf.words.chosen(_SPOKEN_ELSEWHERE))
    return files


def key_data(shelf: Shelf, *, alone: bool = False) -> Mapping[str, Any]:
    """Return what data/key.js holds; ``alone``: in the single file, where the key has no other page to lead to."""
    guide = shelf.guide
    marks = dict[str, str]()  # those of parts come with their words
    trims = {id: address.path for (kind, id), address in shelf.places.items() if kind == "interior"}
    if ("interiors", "") in shelf.places:
        marks["interior"] = shelf.places["interiors", ""].path
    return {
        "title": guide.title,
        "car": guide.car,
        "store": store_name(guide.title),
        "first": guide.production.first.isoformat(),
        "last": guide.production.last.isoformat(),
        "usual": list(USUAL_REACH),
        "formerly": former_ids(guide),
        "parts": {} if alone else {one.id: {"name": one.name} for one in shelf.model.marks if one.kind == "mark"},
        "swatches": {"interior": {one.id: one.swatch for one in guide.interiors.values() if one.swatch}},
        "links": {
            **{
                name: "" if alone or (name, "") not in shelf.places else f"{name}.html"
                for name in ("key", "notes", "fits", "sheets", "car", "editions")
            },
            "marks": {} if alone else marks,
            "forms": {"interior": {} if alone else trims},
        },
        "words": shelf.words.chosen((*_SPOKEN, "facts.heard.") if alone else _SPOKEN),
        **_wanted(shelf),
    }


def _wanted(shelf: Shelf) -> dict[str, Any]:
    """Return what the notes ask of cars that are looked for, where the guide wishes it."""
    if not shelf.guide.wanted_looks or shelf.tally is None:
        return {}
    looked_for = [
        {"series": one.series, "first": one.first, "last": one.last, "marks": list(one.marks)}
        for one in shelf.tally.look_for
    ]
    return {"wanted": looked_for}


def _context(shelf: Shelf) -> Context:
    years = any(one.model_years for one in shelf.model.series)
    return {
        "reaches": tuple(shelf.model.reaches),
        "usual": USUAL_REACH,
        "further": list(dict.fromkeys(one.kind for one in shelf.guide.further_numbers.values())),
        "known": [
            kind for kind in (*PAPERS, RESTORED) if kind != "model-year" or years
        ],  # a year in no table says nothing
        "dated_parts": [mark for mark in shelf.guide.marks.values() if mark.date_on_it],
        "drawings": drawings_of(shelf.guide),
    }


PAGE = one_page("key", "pages.key.title", _context)
