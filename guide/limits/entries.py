"""What says when cars of a series were built, and what each such line bounds: `guide.limits.positions` says how."""

from __future__ import annotations

from datetime import date
from typing import NamedTuple

from guide.facts.types import CalendarEntry, DatedCar, Run
from guide.finding import Place

__all__ = ["Bound", "DatedAt", "DatedRun", "Entry"]


class DatedRun(NamedTuple):
    """A run whose time a paper gives: its first and last position, its earliest and latest day."""

    run: Run
    first: int
    last: int
    earliest: date
    latest: date

    @property
    def place(self) -> Place:
        """Where it is stated."""
        return self.run.place


class DatedAt(NamedTuple):
    """A car in its turn that a paper dates: its position, those its disorder may give it, and its days."""

    car: DatedCar
    position: int
    low: int
    high: int
    earliest: date
    latest: date

    @property
    def place(self) -> Place:
        """Where it is stated."""
        return self.car.place


Entry = CalendarEntry | DatedRun | DatedAt
"""Something that says when cars of a series were built."""


class Bound(NamedTuple):
    """What a line of the calendar says of a position: the latest (``upper``) or earliest day of its nominal time."""

    position: int
    day: date  # an open one
    upper: bool

    def contradicts(self, other: Bound) -> bool:
        """Tell whether both cannot be true of numbers in order."""
        if self.upper == other.upper:
            return False
        upper, lower = (self, other) if self.upper else (other, self)
        return lower.position <= upper.position and lower.day > upper.day
