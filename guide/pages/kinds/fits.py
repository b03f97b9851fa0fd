"""Does it fit its number? Expected and found, part by part, for one chassis number or a list of them.

What a number should have comes from the model; beside it stand the claims about numbers themselves, as
`guide.limits.bounds` has them.
"""

from __future__ import annotations

from markupsafe import Markup

from guide.limits.bounds import bounds_by_number
from guide.pages.parts.beside_a_car import drawings_of
from guide.pages.parts.page_data import json_for_page
from guide.pages.shelf import Context, Shelf, one_page

__all__ = ["PAGE"]


def _context(shelf: Shelf) -> Context:
    return {"drawings": drawings_of(shelf.guide), "by_number": Markup(json_for_page(bounds_by_number(shelf.limits)))}


PAGE = one_page("fits", "pages.fits.title", _context)
