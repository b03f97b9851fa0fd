"""The demo guide's shelf, made once for the tests of the pages."""

from __future__ import annotations

import functools
import pathlib
from typing import Any

from guide.pages.shelf import Drawing, Shelf
from guide.press.drawings import read_drawing
from guide.press.make import make_shelf
from tests.dating.asking import key_of

CONTENT = pathlib.Path(__file__).resolve().parents[2] / "content"


@functools.cache
def _drawings() -> dict[str, Drawing]:
    drawings = {}
    for path in sorted((CONTENT / "pictures").glob("*.svg")):
        drawing, _ = read_drawing(path, path.name)
        if drawing is not None:
            drawings[path.name] = drawing
    return drawings


def shelf_of(guide: Any, limits: Any, model: Any, tally: Any = None) -> Shelf:
    """Return the shelf of a guide that has been worked out."""
    return make_shelf(guide, limits, key_of(model), tally, _drawings(), {})
