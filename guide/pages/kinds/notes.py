"""Today's cars: the notes kept on this device, to open, correct, remove, and hand in."""

from __future__ import annotations

from guide.pages.shelf import one_page

__all__ = ["PAGE"]


PAGE = one_page("notes", "pages.notes.title")
