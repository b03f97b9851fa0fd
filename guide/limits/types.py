"""What all statements that stand allow each spell's first and last to be, and why."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from enum import StrEnum
from typing import Any, NamedTuple

from guide.facts.reads import note_fields, remembered
from guide.facts.types import CarNumber, CarSeen, FormRef, Report, Scope, Statement
from guide.finding import TICKS_PER_DAY, Finding, Place, Related, Step, StepKind
from guide.limits.moments import Moments
from guide.limits.positions import SeriesLine
from guide.sentence import Sentence, Value

__all__ = [
    "Axis",
    "Clash",
    "Contradiction",
    "DatedSpell",
    "Edge",
    "EdgeCar",
    "Limits",
    "LimitsResult",
    "Misfit",
    "NumberLimits",
    "Said",
    "SpellNumbers",
    "Standing",
    "Why",
    "day_of",
    "ticks_of",
]


def ticks_of(day: date, origin: date) -> int:
    """Return the ticks (2**20 to the day) from the start of production to the start of ``day``."""
    return (day - origin).days * TICKS_PER_DAY


def day_of(ticks: int, origin: date) -> date:
    """Return the day that a moment falls on; printed dates round down."""
    return origin + timedelta(days=ticks // TICKS_PER_DAY)


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


@dataclass(frozen=True, slots=True)
class Limits:
    """The earliest and latest that something can have been, in ticks from the start of production.

    The steps of each chain add up to its edge.
    """

    earliest: int
    latest: int
    because_earliest: tuple[Step, ...]
    because_latest: tuple[Step, ...]


@dataclass(frozen=True, slots=True)
class NumberLimits:
    """A spell's first or last in one series, by number: the positions from ``low`` to ``high`` that it can be.

    None is a side on which no number is known. ``says`` is the car as it was stated, empty where none was;
    ``seen`` the car seen that comes nearest to it, empty for none.
    """

    low: int | None = None
    high: int | None = None
    says: Value = ""
    seen: Value = ""


@dataclass(frozen=True, slots=True)
class SpellNumbers:
    """What is known by number of a spell's first and of its last, in one series."""

    first: NumberLimits = NumberLimits()
    last: NumberLimits = NumberLimits()


class EdgeCar(NamedTuple):
    """A car about an edge: one that was stated or seen there, or worked back from the day."""

    number: CarNumber
    stated: bool


@dataclass(frozen=True, slots=True)
class Edge:
    """One end of limits, made printable: the day it falls on, the cars about that day, and the chain.

    No day, where only a number is known.
    """

    day: date | None
    cars: tuple[EdgeCar, ...]
    because: tuple[Step, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class DatedSpell:
    """A spell in one scope with the limits of its first and its last car."""

    mark: str
    form: str
    spell: int  # from 1, within the form
    scope: Scope
    first: Limits
    last: Limits
    last_is_stated: bool  # False: no statement closes it, only the end of production or the next form
    numbers: Mapping[str, SpellNumbers] = field(default_factory=dict)  # by series, where a number is stated or seen
    from_the_first_car: bool = False  # no car of these was built before its first

    def by_number(self, end: str, series: str) -> NumberLimits:
        """Return what is known by number of its "first" or "last" in a series."""
        known = self.numbers.get(series, SpellNumbers())
        return known.first if end == "first" else known.last


class Standing(StrEnum):
    """How the statement that a clash disputes stands until it is ruled on; ends the id of what is said of it."""

    CLASH = "clash"  # by days it cannot be true beside the rest: set aside, it counts for nothing
    MIXED = "mixed"  # by number it cannot, by days all of it can: it stands
    MIXED_NUMBER_ONLY = "mixed_number_only"  # by number it cannot, and for days the rest speaks of no kind of car


@dataclass(frozen=True, kw_only=True, slots=True)
class Clash:
    """Statements that cannot all stand, with the one set aside (by reliability, or by a ruling)."""

    mark: str
    set_aside: int  # index into the mark's statements
    against: tuple[int, ...]  # the others of this mark in the chain
    chain: tuple[Step, ...]
    more: tuple[Related, ...] = ()  # every other car stated as seen that bears on it, beside those of the chain
    short_by_days: int
    standing: Standing
    ruled: int | None  # index into the mark's rulings
    equal_reliability: bool
    finding: Finding | None  # None when a ruling silences it


class Axis(StrEnum):
    """What a claim is about: numbers or days."""

    NUMBER = "number"
    DAY = "day"


class Misfit(NamedTuple):
    """A car seen that a claim does not allow: by how many cars or days, and to what it would bring the limit."""

    car: CarSeen
    report: Report
    beyond: int
    limit: CarNumber | date

    @property
    def sort_key(self) -> tuple[int, str, int]:
        """The one that is furthest beyond comes first, then in order of the tables."""
        return -self.beyond, self.report.place.file, self.report.place.line


@dataclass(frozen=True, slots=True)
class Contradiction:
    """A first or last and all cars seen that it does not allow, the furthest beyond first."""

    mark: str
    index: int  # into the mark's statements
    statement: Statement  # as it is read
    axis: Axis
    misfits: tuple[Misfit, ...]

    def among(self, *, untouched: bool) -> tuple[Misfit, ...]:
        """Return the cars that are believed untouched, or those that are not said to be."""
        return tuple(misfit for misfit in self.misfits if misfit.car.untouched is untouched)


@dataclass(frozen=True, kw_only=True, slots=True)
class LimitsResult:
    """Everything the limits stage knows; ``spells`` in order of mark, the mark's own order, scope."""

    moments: Moments = field(compare=False)
    spells: tuple[DatedSpell, ...]
    clashes: tuple[Clash, ...]
    contradicted: tuple[Contradiction, ...] = ()  # by cars seen, in order of mark and statement
    helps: Callable[[], Mapping[str, Sentence]] = field(compare=False, repr=False)
    findings: tuple[Finding, ...]
    corroborated: dict[tuple[str, int], Value]  # (mark, statement index): how it is borne out
    unused: dict[tuple[str, int], str] = field(default_factory=dict)
    """(mark, statement index): the kind of finding that says why it is used for no car, "echo" for one left out."""

    known: dict[Any, Any] = field(init=False, repr=False, compare=False, default_factory=dict)
    """What is worked out from these limits and asked for again, by who works it out."""

    @property
    def helpful(self) -> Mapping[str, Sentence]:
        """By mark, what would narrow its limits most; worked out when it is first asked for."""
        return remembered(self.known, "helpful", self.helps)

    @property
    def lines(self) -> Mapping[str, SeriesLine]:
        """By series, those whose numbers give the order of build."""
        return self.moments.lines


note_fields(DatedSpell, ("first", "last", "last_is_stated", "numbers", "from_the_first_car"))
note_fields(LimitsResult, ("clashes", "contradicted", "findings", "corroborated", "unused"))
