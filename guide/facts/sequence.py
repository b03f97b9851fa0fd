"""What is known of numbers and days: sources, number series, their runs and calendars."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from guide.facts.values import CarNumber, Scope, Trust, When
from guide.finding import Place

__all__ = ["Calendar", "CalendarEntry", "CalendarKind", "ModelYear", "OutsideCars", "Run", "Series", "Source", "Stray"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Source:
    """A paper, a register, a letter: described as a librarian would."""

    id: str
    name: str
    kind: str
    trust: Trust
    dated: When | None = None
    about: str = ""  # Markdown
    held: str = ""  # where it can be seen
    place: Place


@dataclass(frozen=True, kw_only=True, slots=True)
class Run:
    """A run of numbers in build order. ``last`` None: the end is not stated; ``built`` False: a declared gap.

    An empty ``prefix`` under a series with one counter holds every prefix of that counter.
    """

    prefix: str
    first: int
    last: int | None
    built: bool
    source: str
    dated: When | None = None
    place: Place


class CalendarKind(StrEnum):
    """The two ways a calendar speaks."""

    LAST_BY_END = "last by the end of"
    FIRST_OF = "first of"


@dataclass(frozen=True, kw_only=True, slots=True)
class CalendarEntry:
    """One line of a calendar: the last car built by the end of a time, or the first car built in it."""

    kind: CalendarKind
    time: When  # a date; its bounds are the time's first and last day
    car: CarNumber
    source: str
    place: Place


Calendar = tuple[CalendarEntry, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Stray:
    """A named car built out of order, with its own date."""

    car: CarNumber
    built: When
    source: str
    why: str = ""
    place: Place


@dataclass(frozen=True, kw_only=True, slots=True)
class OutsideCars:
    """Named cars outside the rule: pre-production, foreign assembly. They fit no position."""

    prefix: str
    first: int
    last: int
    name: str
    why: str = ""
    place: Place


@dataclass(frozen=True, kw_only=True, slots=True)
class ModelYear:
    """A row of a maker's model-year table. A model year is not a date of build and is never used as one."""

    year: str
    first: CarNumber
    last: CarNumber | None
    source: str
    place: Place


@dataclass(frozen=True, kw_only=True, slots=True)
class Series:
    """Chassis numbers with a sequence of their own.

    ``written`` holds the notations, ``#`` for a digit ("C####"); several share one counter when
    ``one_counter``. ``gives_build_order`` is False for a second kind of number on the same cars.
    ``out_of_order`` is the usual disorder of build against number, in cars.
    """

    id: str
    name: str
    body: str  # what such a car is called in a sentence: "coupé"
    written: tuple[str, ...]
    one_counter: bool = False
    gives_build_order: bool = True
    check_digit: bool = False
    suffixes: Mapping[str, Scope] = field(default_factory=dict)
    runs: tuple[Run, ...]
    calendar: Calendar = ()
    out_of_order: int = 0
    strays: tuple[Stray, ...] = ()
    outside: tuple[OutsideCars, ...] = ()
    model_years: tuple[ModelYear, ...] = ()
    asked_as: str = ""  # the answer that tells this series' cars from the others by eye
    picture: str = ""
    place: Place
