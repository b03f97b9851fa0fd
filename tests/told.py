"""What the program says, in English: sentences are data until somebody reads them."""

from __future__ import annotations

from guide.sentence import Value
from guide.words.say import load_words

__all__ = ["ENGLISH", "told"]

ENGLISH = load_words()


def told(value: Value) -> str:
    """Return a sentence, a phrase or a text as an English reader sees it."""
    return ENGLISH.tell(value)
