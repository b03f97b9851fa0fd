"""What of the facts can be computed with: all but where a thing stands and what is written about it in Markdown.

Where two guides are alike in this, whatever is worked out from one without looking at places and texts is right for
the other. Most saves change words and no dates.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass
from datetime import date
from enum import Enum
from functools import cache
from hashlib import sha256
from itertools import islice
from operator import attrgetter
from types import NoneType
from typing import Any

from guide.facts.reads import MARKDOWN, NOTED, NotedField
from guide.facts.values import StatedAt
from guide.finding import Place

__all__ = ["Outline", "bones", "digest_of", "outline_of"]

_LONG = 50  # things in a row
_PLAIN = int | float | date | Enum | type  # besides texts, what says the same in print whenever it is the same


_TEXT, _APART, _ROW, _RECORD, _MAPPING, _LEAF = range(6)


@cache
def _sort_of(kind: type) -> int:
    """Return as what a thing of a class is taken."""
    if issubclass(kind, str | NoneType):
        return _TEXT
    if issubclass(kind, Place | StatedAt):
        return _APART
    if issubclass(kind, tuple | list):
        return _ROW
    return _RECORD if is_dataclass(kind) else _MAPPING if issubclass(kind, Mapping) else _LEAF


@cache
def _fields(kind: type) -> tuple[tuple[str, Callable[[Any], Any], bool], ...]:
    """Return the fields of a class of records: its name, what reads it without a note, whether it may hold Markdown."""
    own = vars(kind)
    return tuple(
        (
            one.name,
            found.unnoted if isinstance(found := own.get(one.name), NotedField) else attrgetter(one.name),
            one.name in MARKDOWN,
        )
        for one in fields(kind)
    )


def bones(
    thing: Any,
    text: Callable[[Any, str, Any], object] = lambda _record, _name, _value: None,
    leaf: Callable[[Any], Any] = lambda thing: thing,
    noted: Callable[[Any, str, Any], object] | None = None,
    many: Callable[[Iterator[Any]], Any] = tuple,
) -> Any:
    """Return facts, or what was worked out from them, as plain tuples to be compared, places and Markdown left out.

    ``text`` is called for every field that may hold Markdown, in order: with its record, its name and what it holds;
    ``leaf`` says what stands for a thing that is no text and holds no other. Where ``noted`` is given, the other fields
    whose readings are noted are left out too, and it is called for each; ``many`` says what stands for a long row. No
    reading here is noted.
    """
    kind: Any = type(thing)
    sort = _sort_of(kind)
    if sort == _RECORD:
        found: list[Any] = [kind]
        apart = () if noted is None else NOTED.get(kind, ())
        for name, read, written in _fields(kind):
            value = read(thing)
            if noted is not None and name in apart:
                noted(thing, name, value)
                continue
            if written:
                text(thing, name, value)
            of: Any = type(value)
            held = _sort_of(of)
            if held == _TEXT:
                found.append(None if written else value)
            elif held == _APART:
                found.append(None)
            else:
                found.append(bones(value, text, leaf, noted, many))
        return tuple(found)
    if sort == _ROW:
        if len(thing) > _LONG:
            return many(bones(one, text, leaf, noted, many) for one in thing)
        return tuple([bones(one, text, leaf, noted, many) for one in thing])
    if sort == _MAPPING:
        return tuple([(key, bones(value, text, leaf, noted, many)) for key, value in thing.items()])
    return leaf(thing) if sort == _LEAF else thing if sort == _TEXT else None


@dataclass(frozen=True, slots=True)
class Outline:
    """A guide in brief: digests of its bones, and of these without what is noted when it is read; digests of each text
    and each such thing, and which of these a field of a record holds."""

    digest: str
    frame: str
    parts: tuple[str, ...]
    numbers: Mapping[tuple[int, str], int]  # by the record's identity, and the field

    def extended(self, frame: str, parts: Iterable[tuple[Any, Iterable[str], str]]) -> Outline:
        """Return it with what was worked out from it: a record, fields whose readings are noted, and a digest of what
        they hold; ``frame`` is a digest of the rest."""
        numbers, digests = dict(self.numbers), list(self.parts)
        for record, names, digest in parts:
            numbers |= dict.fromkeys(((id(record), name) for name in names), len(digests))
            digests.append(digest)
        return Outline(self.digest, f"{self.frame} {frame}", tuple(digests), numbers)


def outline_of(guide: Any) -> Outline:
    """Return a guide in brief. Raises TypeError for what is not known to print the same whenever it is the same."""
    parts: list[str] = []
    stated: list[str] = []
    numbers: dict[tuple[int, str], int] = {}

    def text(record: Any, name: str, value: Any) -> None:
        numbers.setdefault((id(record), name), len(parts))
        parts.append(sha256(value.encode()).hexdigest() if isinstance(value, str) else "")

    def noted(record: Any, name: str, value: Any) -> None:
        numbers[id(record), name] = len(parts)
        stated.append(digest_of(value))
        parts.append(stated[-1])

    frame = digest_of(guide, text, noted)
    return Outline(sha256(" ".join((frame, *stated)).encode()).hexdigest(), frame, tuple(parts), numbers)


def digest_of(thing: Any, *told: Any) -> str:
    """Return a digest of the bones of a thing, ``told`` as `bones` has it. Raises TypeError as `outline_of`."""
    text, noted = told or (lambda *_: None, None)
    return _digest(bones(thing, text, _printable, noted, _digest_each))


def _digest(found: Any) -> str:
    return sha256(repr(found).encode()).hexdigest()


def _digest_each(found: Iterator[Any]) -> str:
    """Return what stands for a long row, of which no more than a piece stands in memory."""
    digest = sha256()
    while piece := tuple(islice(found, _LONG)):
        digest.update(_digest(piece).encode())
    return digest.hexdigest()


def _printable(thing: Any) -> Any:
    """Return what prints the same whenever a thing is the same. Raises TypeError where none is known."""
    if isinstance(thing, frozenset | set):
        return sorted(map(repr, thing))
    if isinstance(thing, re.Pattern):
        return thing.pattern, thing.flags
    if isinstance(thing, _PLAIN):
        return thing
    raise TypeError(type(thing))
