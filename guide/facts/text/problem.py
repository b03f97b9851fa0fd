"""A problem before it has a place: what a reader of text returns instead of a value."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import dataclass

from guide.finding import Place
from guide.sentence import Sentence, Value, sentence

__all__ = ["Problem", "Trouble", "nearest", "or_list"]


@dataclass(frozen=True, slots=True)
class Problem:
    """What is wrong with a text: a finding's code, its message, and how to put it right."""

    code: str
    message: Value
    put_right: Value

    @classmethod
    def of(cls, name: str, /, **values: Value) -> Problem:
        """Return the problem whose sentences are ``name`` and ``name.put-right``, as `Finding.of` has it."""
        said = sentence(name, **values)
        return cls(name.split(".")[1], said, Sentence(f"{name}.put-right", said.values))


@dataclass(frozen=True, slots=True)
class Trouble:
    """A problem with its place, before it becomes a finding; ``related`` is a second place and its words."""

    problem: Problem
    place: Place
    related: tuple[tuple[Place, Value], ...] = ()


def nearest(word: str, known: Iterable[str]) -> str | None:
    """Return the known word most like this one, or None when none is alike."""
    names = {name.casefold(): name for name in known}
    close = difflib.get_close_matches(word.strip().casefold(), names, n=1, cutoff=0.6)
    return names[close[0]] if close else None


def or_list(words: Iterable[str]) -> str:
    """Return "a, b or c"."""
    listed = list(words)
    return " or ".join(filter(None, [", ".join(listed[:-1]), listed[-1]])) if listed else "nothing"
