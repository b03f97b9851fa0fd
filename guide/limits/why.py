"""What a tie of the network rests on, kept until somebody asks for the sentence."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from guide.facts.types import FormRef
from guide.finding import Place, StepKind
from guide.sentence import Value

__all__ = ["Said", "Why"]

Said = Value | FormRef
"""What a slot of a reason may hold; how a form is named hangs on what the talk is of (`steps`)."""


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
