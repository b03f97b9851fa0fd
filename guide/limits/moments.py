"""Which days and which cars a stated moment means: read here and nowhere else.

Theory
------
A date means its days. A car means itself, or the car so many numbers after it, give or take the slack of an "about":
from the first to the last position that this leaves. The start or end of a series means its first or last car, the
start or end of a period or of production that day. A car beyond the ends of its series is the car at that end, and one
whose number has no position tells nothing.

As days, a car means what the calendar alone allows it (`SeriesLine.days_at`); as the end of a stretch that weights are
spread over, the day on which it falls when cars are spread evenly. Either way an "about" is read at its widest.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import NamedTuple

from guide.facts.types import CarNumber, Guide, When, WhenKind
from guide.limits.positions import SeriesLine

__all__ = ["CarMeant", "Moments"]


class CarMeant(NamedTuple):
    """A car as its place in the line, give or take ``slack``; ``typed`` is its number where one was typed."""

    line: SeriesLine
    position: int
    slack: int = 0
    typed: CarNumber | None = None

    @property
    def low(self) -> int:
        """The first position that can be meant."""
        return max(self.position - self.slack, 0)

    @property
    def high(self) -> int:
        """The last position that can be meant."""
        return min(self.position + self.slack, self.line.cars - 1)

    @property
    def days(self) -> tuple[date, date]:
        """The first and last day that the calendar alone allows it."""
        return self.line.days_at(self.position, self.slack)

    @property
    def number(self) -> CarNumber:
        """The car's number, as it was typed where it was."""
        return self.typed or self.line.car_at(self.position)


@dataclass(frozen=True, slots=True)
class Moments:
    """Reads the whens of one guide; ``lines`` are its series in order of number.

    ``further`` are those of further numbers on the same cars, as of bodies.
    """

    guide: Guide
    lines: Mapping[str, SeriesLine]
    further: Mapping[str, SeriesLine] = field(default_factory=dict)

    @property
    def every(self) -> dict[str, SeriesLine]:
        """All lines by series, whichever kind of number it is."""
        return {**self.lines, **self.further}

    def car(self, when: When, series: str = "", further: int = 0) -> CarMeant | None:
        """Return the car that a when means, or the one ``further`` numbers on; None for a time or an unplaced number.

        ``series`` is whose start or end is meant where the when names none.
        """
        of = when.of or series
        whose = when.car.series if when.car is not None else of
        line = self.lines.get(whose) or self.further.get(whose)
        if line is None or not line.cars or when.is_date or of in self.guide.periods:
            return None
        typed = None
        if when.car is None:
            position = 0 if when.kind is WhenKind.START else line.cars - 1
        else:
            named = line.position(when.car)
            if named is None:
                return None
            position = named + when.cars_after + further
            typed = when.car if position == named else None
        return CarMeant(line, min(max(position, 0), line.cars - 1), when.cars_slack, typed)

    def bounds(self, when: When, series: str = "", of: Collection[str] = ()) -> tuple[date | None, date | None]:
        """Return the first and the last day that a when can mean; None on a side that a date leaves open.

        ``of`` are the series whose production is meant where the when names none; left out, that of all.
        """
        if when.is_date:
            return when.earliest, when.latest
        meant = self.car(when, series)
        if meant is not None:
            return meant.days
        if when.kind is WhenKind.CAR:
            return None, None
        whole = self.guide.periods.get(when.of or "") or self.guide.production_of(of or ((series,) if series else ()))
        day = whole.first if when.kind is WhenKind.START else whole.last
        return day, day

    def days(self, when: When, series: str = "") -> tuple[date, date]:
        """Return the first and the last day of production that a when can mean."""
        first, last = self.bounds(when, series)
        made = self.guide.production_of((series,) if series else ())
        return first or made.first, last or made.last

    def positions(self, when: When, series: str) -> tuple[int, int]:
        """Return the first and the last position of a series that a when can mean, the first the higher for none."""
        line, meant = self.lines[series], self.car(when, series)
        if meant is not None and meant.line is line:
            return meant.low, meant.high
        low, high = self.days(when, series)
        first = next((at for at in range(line.cars) if line.latest_day(at) >= low), line.cars)
        return first, line.last_by(high)

    def end_of_stretch(self, when: When | None, *, last: bool) -> date:
        """Return the day with which a stretch begins, or ends where ``last``, cars being spread over open days.

        None is that end of production.
        """
        if when is None:
            return self.guide.production.last if last else self.guide.production.first
        meant = self.car(when)
        if meant is None:
            return self.days(when)[last]
        return meant.line.day_at(meant.high if last else meant.low)
