"""What the program says, in English: sentences are data until somebody reads them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from guide.sentence import Value
from guide.words.say import load_words

__all__ = ["ENGLISH", "all_told", "told"]

ENGLISH = load_words()


def told(value: Value) -> str:
    """Return a sentence, a phrase or a text as an English reader sees it."""
    return ENGLISH.tell(value)


def all_told(thing: Any) -> Any:
    """Return what a page's template is given, every sentence in it told."""
    if isinstance(thing, Mapping):
        return {key: all_told(value) for key, value in thing.items()}
    if isinstance(thing, list | tuple) and not hasattr(thing, "_fields"):
        return type(thing)(all_told(one) for one in thing)
    return ENGLISH.shown(thing)
