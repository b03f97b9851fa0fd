"""What the checks may look at: everything that the stages before them know, and which pictures there are."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from guide.dating.key import Key
from guide.facts.types import Guide, Text
from guide.finding import Finding, Place
from guide.limits.types import LimitsResult

__all__ = ["Check", "Known", "place_of"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Known:
    """A guide as read, dated and modelled; ``pictures`` are the file names in its pictures folder."""

    guide: Guide
    limits: LimitsResult
    key: Key
    pictures: frozenset[str]


Check = Callable[[Known], Iterable[Finding]]


def place_of(value: str, otherwise: Place) -> Place:
    """Return where a text stands when it is known, else the place of what holds it."""
    return value.place if isinstance(value, Text) else otherwise
