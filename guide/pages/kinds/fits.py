"""Does it fit its number? Expected and found, part by part, for one chassis number or a list of them."""

from __future__ import annotations

from guide.pages.parts.beside_a_car import drawings_of
from guide.pages.shelf import one_page

__all__ = ["PAGE"]

PAGE = one_page(
    "fits",
    "pages.fits.title",
    lambda shelf: {"drawings": drawings_of(shelf.guide)},
    there=lambda shelf: shelf.guide.ordered_series,
)
