"""A problem before it has a place: what a reader of text returns instead of a value."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import dataclass

from guide.sentence import Sentence, Value, sentence

__all__ = ["Problem", "nearest", "or_list"]


@dataclass(frozen=True, slots=True)
class Problem:
    """What is wrong with a text: a finding's code, its message, and how to put it right."""

    code: str
    message: Value
    put_right: Value

    @classmethod
    def of(cls, name: str, /, *, put_right: Sentence | None = None, **values: Value) -> Problem:
        """Return the problem whose sentences are ``name`` and ``name.put-right``, as `Finding.of` has it.

        ``put_right`` stands in place of the second, where the way out does not hang on what is wrong alone.
        """
        said = sentence(name, **values)
        return cls(name.split(".")[1], said, put_right or Sentence(f"{name}.put-right", said.values))


def nearest(word: str, known: Iterable[str]) -> str | None:
    """Return the known word most like this one, or None when none is alike."""
    names = {name.casefold(): name for name in known}
    close = difflib.get_close_matches(word.strip().casefold(), names, n=1, cutoff=0.6)
    return names[close[0]] if close else None


def or_list(words: Iterable[str]) -> str:
    """Return "a, b or c"."""
    listed = list(words)
    return " or ".join(filter(None, [", ".join(listed[:-1]), listed[-1]])) if listed else "nothing"
