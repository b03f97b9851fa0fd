"""The grid of bins, and how many cars of each series were built in each.

Bins are half months, cut further at the ends of production, closures, periods and series, so that a bin lies
in one period and is open or closed as a whole; and at the days that a calendar, a dated run or a stray names, so
that weight spread evenly over a bin never leaves the days which a number certainly has. The grid never depends on
the marks.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

from guide.facts.types import Guide
from guide.limits.positions import SeriesLine

__all__ = ["Grid", "Line", "lay_grid"]

DAY = timedelta(days=1)
_UNTOLD_CARS = 1000.0  # weight of a guide that states neither numbers nor how many were made


@dataclass(frozen=True, slots=True)
class Line:
    """One number series on the grid: ``cars`` per bin, ``open_days`` counted from the origin."""

    id: str
    cars: tuple[float, ...]
    open_days: tuple[int, ...]
    numbered: SeriesLine | None  # None where the guide has no numbers


@dataclass(frozen=True, slots=True)
class Grid:
    """The bins: ``edges`` in days from ``origin``; bin t is days ``edges[t]`` up to ``edges[t + 1]``."""

    origin: date
    edges: tuple[int, ...]
    lines: tuple[Line, ...]

    @property
    def bins(self) -> int:
        """How many bins there are."""
        return len(self.edges) - 1

    def day(self, when: date) -> int:
        """Return a date as days from the origin."""
        return (when - self.origin).days


def lay_grid(guide: Guide, lines: Mapping[str, SeriesLine]) -> Grid:
    """Return the grid with every series that gives the order of build; one nameless line where none does."""
    origin, last = guide.production.first, guide.production.last
    cuts = {origin, last + DAY}
    day = origin.replace(day=1)
    while day <= last:
        cuts |= {day, day.replace(day=16)}
        day = (day.replace(day=28) + 4 * DAY).replace(day=1)
    for closure in guide.closures:
        cuts |= {closure.first, closure.last + DAY}
    for period in guide.periods.values():
        cuts |= {period.first, period.last + DAY}
    built = [line for line in lines.values() if line.cars]
    for line in built:
        cuts |= {line.day_at(0), line.day_at(line.cars - 1) + DAY, *_days_named(line)}
    edges = tuple(sorted((cut - origin).days for cut in cuts if origin <= cut <= last + DAY))
    laid = tuple(_line(line, edges, origin) for line in built)
    return Grid(origin, edges, laid or (_untold(guide, edges, origin),))


def _days_named(line: SeriesLine) -> Iterator[date]:
    """Yield the days on which something begins, or has just ended, by the calendar, dated runs and strays."""
    for entry in line.series.calendar:
        cut = line.cut_of(entry)
        if cut is not None:
            yield cut[1] + DAY
    for dated in line.dated_runs:
        yield from (dated.earliest, dated.latest + DAY)
    for first, last in line.strays.values():
        yield from (first, last + DAY)


def _line(line: SeriesLine, edges: Sequence[int], origin: date) -> Line:
    by = [0.0] + [line.cars_by(origin + timedelta(days=edge - 1)) for edge in edges[1:]]
    cars = tuple(round(max(after - before, 0.0), 3) for before, after in pairwise(by))
    return Line(line.series.id, cars, tuple((day - origin).days for day in line.open_days), line)


def _untold(guide: Guide, edges: Sequence[int], origin: date) -> Line:
    closed = {
        (closure.first - origin).days + days
        for closure in guide.closures
        if not closure.series
        for days in range((closure.last - closure.first).days + 1)
    }
    open_days = tuple(day for day in range(edges[-1]) if day not in closed)
    made = float(guide.production.made or _UNTOLD_CARS)
    cars = tuple(
        round(made * sum(1 for day in open_days if start <= day < end) / len(open_days), 3)
        for start, end in pairwise(edges)
    )
    return Line("", cars, open_days, None)
