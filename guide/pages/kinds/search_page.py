"""The page that shows what was found; its work is done by search.js over data/search.js."""

from __future__ import annotations

from guide.pages.parts.index_entries import index_data
from guide.pages.parts.page_data import script_of
from guide.pages.shelf import Address, Shelf, one_page

__all__ = ["PAGE", "data_files"]


def data_files(shelf: Shelf) -> dict[str, bytes]:
    """Return the index as a script."""
    data = {**index_data(shelf), "words": shelf.words.chosen(("pages.search.", "pages.number.", "words."))}
    return {"data/search.js": script_of("searchData", data)}


def _opening(shelf: Shelf) -> list[tuple[str, list[Address]]]:
    """Return where one may go who has no word to look up: places on the car, parts, periods, trims, the whole."""
    rows = (
        ("places", ("area",), True),
        ("parts", ("marks", "timeline", "apart", "part-numbers", "nobody-makes"), False),
        ("times", ("period",), True),
        ("trims", ("interior",), True),
        ("names", ("a-to-z", "words", "sources"), False),
    )
    found = []
    for heading, kinds, of_each in rows:
        there = [one for (kind, identity), one in shelf.places.items() if kind in kinds and bool(identity) == of_each]
        found.append((shelf.say(f"pages.search.open.{heading}"), there))
    return [(heading, there) for heading, there in found if there]


PAGE = one_page("search", "pages.search.title", lambda shelf: {"opening": _opening(shelf)})
