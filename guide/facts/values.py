"""What single values of a guide become: text with its place, scopes, numbers, moments, trust."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from typing import NamedTuple

from guide.finding import Place

__all__ = [
    "RESERVED_IDS",
    "CarNumber",
    "FormRef",
    "NumberFailure",
    "Reach",
    "Scope",
    "StatedAt",
    "Sureness",
    "Text",
    "Trust",
    "When",
    "WhenKind",
]

RESERVED_IDS = frozenset({"changed", "none", "cannot-tell"})


class Text(str):
    """A scalar as the editor typed it (white space trimmed), knowing where it stands.

    ``language`` names the one it is in where a guide is read in another and does not give it in that; else "".
    """

    __slots__ = ("language", "place")
    place: Place
    language: str

    def __new__(cls, value: str, place: Place, language: str = "") -> Text:
        text = super().__new__(cls, value)
        text.place = place
        text.language = language
        return text

    def __reduce__(self) -> tuple[type[Text], tuple[str, Place, str]]:
        return Text, (str(self), self.place, self.language)


@dataclass(frozen=True, slots=True)
class Scope:
    """Which cars something speaks of: for each named dimension, the values allowed.

    A dimension is a split of the guide (``hand``, ``market``...), ``series`` or ``interior``. No dimension
    named means every car. ``parts`` is sorted by dimension, its values in the guide's order.
    """

    parts: tuple[tuple[str, tuple[str, ...]], ...] = ()

    def values(self, dimension: str) -> tuple[str, ...] | None:
        """Return the values allowed for a dimension, or None when it is not named."""
        return dict(self.parts).get(dimension)

    def as_dict(self) -> dict[str, list[str]]:
        """Return the scope for output, dimension to values."""
        return {dimension: list(values) for dimension, values in self.parts}

    def without(self, dimension: str) -> Scope:
        """Return the scope with nothing said of a dimension."""
        return Scope(tuple(part for part in self.parts if part[0] != dimension))

    def holds(self, car: Mapping[str, str]) -> bool:
        """Tell whether a car with every dimension known lies in this scope."""
        return all(dimension in car and car[dimension] in values for dimension, values in self.parts)

    def meets(self, other: Scope) -> bool:
        """Tell whether some car can lie in both scopes, dimension by dimension."""
        mine = dict(self.parts)
        return all(set(mine.get(dimension, values)) & set(values) for dimension, values in other.parts)

    def within(self, other: Scope) -> bool:
        """Tell whether every car of this scope lies in the other."""
        mine = dict(self.parts)
        return all(dimension in mine and set(mine[dimension]) <= set(values) for dimension, values in other.parts)


class StatedAt(NamedTuple):
    """Where one more statement of a spell may be typed, and in which way: ``beneath`` the line, so far ``inward``;
    ``within``, right after the bracket or brace at the place; ``single``, before the one at the place, both
    then in brackets; ``begun``, within what the one before it brings; or
    ``as-list``, as what stands there is no list yet."""

    line: Place
    begins: bool  # nothing is stated yet: `stated` itself has to come first
    way: str
    inward: int = 0  # blanks


@dataclass(frozen=True, slots=True)
class FormRef:
    """A form of a mark, by ids; ``spell`` counts from 1 where a form has several."""

    mark: str
    form: str
    spell: int = 1


@dataclass(frozen=True, slots=True)
class CarNumber:
    """A chassis number in its series' notation; ``text`` as typed, ``written`` as the series writes it."""

    series: str
    prefix: str
    number: int
    suffix: str
    written: str
    text: str
    place: Place | None = field(default=None, compare=False)


class NumberFailure(StrEnum):
    """Why a number cannot be used; `facts.when.numbers` says which, `facts.when.whens` what is said of it."""

    NOT_A_NUMBER = "not-a-number"  # fits no series' notation
    REGISTRATION = "registration"  # looks like a road registration
    SHORT = "short"  # the prefix or leading noughts are missing
    NOT_IN_TABLES = "not-in-tables"  # in no stated run
    NEVER_BUILT = "never-built"  # in a run said never to have been built
    BEYOND_KNOWN = "beyond-known"  # in a run whose end is not known, past the highest number known in it
    OUTSIDE = "outside"  # a named car outside the rule (pre-production and the like)
    WRONG_CHECK_DIGIT = "wrong-check-digit"  # 17 characters, check digit of 49 CFR 565.15


class WhenKind(StrEnum):
    """The ways of saying when."""

    DATE = "date"
    CAR = "car"
    START = "start"
    END = "end"
    MODEL_YEAR = "model-year"


@dataclass(frozen=True, slots=True)
class When:
    """A stated moment: a date (somewhere from ``earliest`` to ``latest``, both inclusive), a car, or an end.

    For a date either bound may be None (open); approximation has already widened them by the stated amount.
    For a car ``cars_after`` shifts it ("about 200 cars after C1840": 200) and ``cars_slack`` is how far off
    that may be, in cars. For ``START`` and ``END`` ``of`` is a period or series id, None for production. For a model
    year ``year`` is its name; the bounds are given where it is in no table, so that it is loose.
    """

    kind: WhenKind
    text: str
    place: Place
    earliest: date | None = None
    latest: date | None = None
    approximate: bool = False
    uncertain: bool = False
    car: CarNumber | None = None
    cars_after: int = 0
    cars_slack: int = 0
    of: str | None = None
    year: str = ""

    @property
    def is_date(self) -> bool:
        """Whether it is a date, and neither a car nor an end."""
        return self.kind is WhenKind.DATE

    def days(self, first: date = date.min, last: date = date.max) -> tuple[date, date]:
        """Return the first and last day that a date can mean, ``first`` and ``last`` for a side that it leaves open.

        Which days a car or an end means only `guide.limits.moments` can tell.
        """
        return self.earliest or first, self.latest or last


class Reach(StrEnum):
    """What one may do beside a car: a set, not a ladder. Declared in walking order."""

    PHOTOGRAPHS = "photographs"
    OUTSIDE = "outside"
    GLASS = "glass"
    DOOR = "door"
    SEAT = "seat"
    BONNET = "bonnet"
    HANDS = "hands"


class Trust(StrEnum):
    """How far a source is believed, best first."""

    HIGH = "high"
    GOOD = "good"
    FAIR = "fair"
    POOR = "poor"


class Sureness(StrEnum):
    """How sure a count is."""

    GOOD = "good"
    FAIR = "fair"
    POOR = "poor"
