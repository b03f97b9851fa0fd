"""Pictures that say whose they are: photographs and further drawings of a form, a mark, or anything else that is shown.

A photograph called as a drawing of a form would be, ``<mark>-<form>.jpg``, is found by itself.
"""

from __future__ import annotations

from collections.abc import Container

from guide.facts.records.fields import key, record
from guide.facts.records.readers import said, text
from guide.finding import Place

__all__ = ["Picture", "is_photograph", "own_photograph"]

_PHOTOGRAPHS = (".jpg", ".jpeg", ".png", ".webp")
_DRAWING = ".svg"


@record("picture")
class Picture:
    """One file in pictures/, with what is said of it."""

    file: str = key(text)
    describes: str = key(said, default="")  # in words, for those who cannot see it
    caption: str = key(said, default="")
    credit: str = key(said, default="")  # whose it is
    licence: str = key(said, default="")  # an SPDX identifier, or words; empty: the guide's own
    year: str = key(text, default="")  # when it was taken
    place: Place


def is_photograph(file: str) -> bool:
    """Tell whether a file is no drawing, by its name."""
    return bool(file) and not file.lower().endswith(_DRAWING)


def own_photograph(mark: str, form: str, there: Container[str]) -> str:
    """Return the file of a form's own photograph, where there is one of its name; else nothing."""
    return next((f"{mark}-{form}{ending}" for ending in _PHOTOGRAPHS if f"{mark}-{form}{ending}" in there), "")
