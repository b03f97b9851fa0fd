"""What is printed of the edition: its name, beside a fingerprint that is known once the guide is made."""

from __future__ import annotations

from guide.pages.shelf import Shelf
from guide.sentence import Sentence, sentence

__all__ = ["UNPRINTED", "edition_said"]

UNPRINTED = "unfilled"  # stands for the fingerprint until it is filled in; as long as one


def edition_said(shelf: Shelf) -> Sentence:
    """Return which edition this is, with its fingerprint."""
    return sentence("pages.shell.edition", edition=shelf.guide.edition, fingerprint=UNPRINTED)
