"""The record sheet: every mark within reach on one scroll, for those who note cars rather than date them."""

from __future__ import annotations

from typing import Any

from guide.pages.parts.beside_a_car import drawings_of
from guide.pages.parts.expected import by_area
from guide.pages.shelf import Context, Shelf, one_page

__all__ = ["PAGE"]

_DRAWN = 20  # marks of which two sheets of paper hold every drawing; of more, words, and the screen fetches drawings


def _context(shelf: Shelf) -> Context:
    asked = {mark.id: mark for mark in shelf.guide.marks.values() if mark.ask}
    whole = _whole(shelf)
    return {
        "areas": by_area(shelf.guide, asked),
        "reaches": tuple(shelf.model.reaches),
        "whole": whole,
        "drawn": len(asked) + len(whole) <= _DRAWN,
    }


def _whole(shelf: Shelf) -> list[dict[str, Any]]:
    """Return what a car is as a whole, its body, side, market and trim: each with its answers as (id, words, picture,
    colour)."""
    pictures = {(mark, form): picture for mark, form, picture in drawings_of(shelf.guide)}
    trims = shelf.guide.interiors
    return [
        {
            "mark": mark,
            "forms": [
                (
                    form.id,
                    form.answer,
                    "" if mark.kind == "interior" else pictures.get((mark.id, form.id), ""),
                    trims[form.id].swatch if mark.kind == "interior" else "",
                )
                for form in mark.forms
            ],
        }
        for mark in shelf.model.marks
        if mark.kind != "mark"
    ]


PAGE = one_page("record", "pages.record.title", _context)
