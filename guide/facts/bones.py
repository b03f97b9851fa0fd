"""What of the facts can be computed with: all but where a thing stands and what is written about it in Markdown.

Where two guides are alike in this, whatever is worked out from one without looking at places and texts is right for
the other. Most saves change words and no dates.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields, is_dataclass
from datetime import date
from enum import Enum
from functools import cache
from hashlib import sha256
from typing import Any

from guide.facts.values import StatedAt
from guide.finding import Place

__all__ = ["MARKDOWN", "Outline", "bones", "outline_of"]

MARKDOWN = frozenset(
    {"about", "taken_for", "wear", "to_be_had", "caution", "tell", "means", "cause", "prevention", "repair", "cautions"}
)
_PLAIN = int | float | date | Enum | type  # besides texts, what says the same in print whenever it is the same


@cache
def _names(kind: type) -> tuple[str, ...]:
    return tuple(field.name for field in fields(kind))


def bones(
    thing: Any,
    text: Callable[[Any, str, Any], object] = lambda _record, _name, _value: None,
    leaf: Callable[[Any], Any] = lambda thing: thing,
) -> Any:
    """Return facts, or what was worked out from them, as plain tuples to be compared, places and Markdown left out.

    ``text`` is called for every field that may hold Markdown, in order: with its record, its name and what it holds;
    ``leaf`` says what stands for a thing that is no text and holds no other.
    """
    if isinstance(thing, str) or thing is None:
        return thing
    if isinstance(thing, Place | StatedAt):
        return None
    if isinstance(thing, tuple | list):
        return tuple([bones(one, text, leaf) for one in thing])
    if isinstance(thing, Mapping):
        return tuple([(key, bones(value, text, leaf)) for key, value in thing.items()])
    if is_dataclass(thing) and not isinstance(thing, type):
        found: list[Any] = [type(thing)]
        for name in _names(type(thing)):
            value = getattr(thing, name)
            if name in MARKDOWN:
                text(thing, name, value)
            found.append(None if name in MARKDOWN and isinstance(value, str) else bones(value, text, leaf))
        return tuple(found)
    return leaf(thing)


@dataclass(frozen=True, slots=True)
class Outline:
    """A guide in brief: a digest of its bones, a digest of each of its texts, and which of these a field of a record
    holds."""

    digest: str
    texts: tuple[str, ...]
    numbers: Mapping[tuple[int, str], int]  # by the record's identity, and the field


def outline_of(guide: Any) -> Outline:
    """Return a guide in brief. Raises TypeError for what is not known to print the same whenever it is the same."""
    texts: list[str] = []
    numbers: dict[tuple[int, str], int] = {}

    def text(record: Any, name: str, value: Any) -> None:
        numbers.setdefault((id(record), name), len(texts))
        texts.append(sha256(value.encode()).hexdigest() if isinstance(value, str) else "")

    found = bones(guide, text, _printable)
    return Outline(sha256(repr(found).encode()).hexdigest(), tuple(texts), numbers)


def _printable(thing: Any) -> Any:
    """Return what prints the same whenever a thing is the same. Raises TypeError where none is known."""
    if isinstance(thing, frozenset | set):
        return sorted(map(repr, thing))
    if isinstance(thing, re.Pattern):
        return thing.pattern, thing.flags
    if isinstance(thing, _PLAIN):
        return thing
    raise TypeError(type(thing))
