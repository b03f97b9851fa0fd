"""What a tie of the network rests on, kept as data until somebody asks for the sentence."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from guide.facts.types import CarNumber, FormRef, Scope, When
from guide.finding import Place, StepKind

__all__ = ["Said", "Why"]

Said = str | int | date | When | FormRef | Scope | tuple[CarNumber, ...]
"""What a slot of a sentence may be filled with; `says` puts it into words."""


@dataclass(frozen=True, slots=True)
class Why:
    """The reason for a tie: ``text`` is the id of a sentence in the words, ``slots`` what fills it.

    ``more`` are reasons that add days of their own to the tie, with their ticks: a closure after a stated
    month's first day. A tie without a Why goes without saying: cars in order of number, first before last.
    """

    kind: StepKind
    place: Place
    source: str
    text: str
    slots: Mapping[str, Said] = field(default_factory=dict)
    more: tuple[tuple[int, Why], ...] = ()
