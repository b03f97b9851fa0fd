"""All about one car: a letter, a list for restorers or a paragraph to quote, made in the browser."""

from __future__ import annotations

from guide.pages.parts.letter_facts import letter_facts
from guide.pages.parts.page_data import script_of
from guide.pages.shelf import Shelf, one_page

__all__ = ["PAGE", "data_files"]

_SPOKEN = ("pages.letter.", "pages.sheet.caution", "pages.sheet.only", "pages.sheets.for_car", "pages.shell.")
_LED_TO = ("sources", "how-we-know", "care")  # the pages that say whose word a line is


def data_files(shelf: Shelf) -> dict[str, bytes]:
    """Return what letters need besides the model, and where their lines lead."""
    pages = {kind: shelf.places[kind, ""].path for kind in _LED_TO if (kind, "") in shelf.places}
    data = {
        "facts": letter_facts(shelf.guide, shelf.limits, shelf.words),
        "pages": pages,
        "words": shelf.words.chosen(_SPOKEN),
    }
    return {"data/letter.js": script_of("letterData", data)}


PAGE = one_page("car", "pages.letter.title")
