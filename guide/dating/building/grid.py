"""The grid of bins, and how many cars of each series were built in each.

Bins are half months, cut further at the ends of production, closures, periods and series, so that a bin lies
in one period and is open or closed as a whole; and at the days that a calendar, a dated run or car or a stray names,
by which the build was so far. The grid never depends on the marks.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

from guide.facts.types import Guide
from guide.limits.positions import SeriesLine
from guide.limits.spread import days_closed

__all__ = ["Grid", "GridLine", "cars_in", "lay_grid"]

DAY = timedelta(days=1)
_UNTOLD_CARS = 1000.0  # weight of a guide that states neither numbers nor how many were made


@dataclass(frozen=True, slots=True)
class GridLine:
    """One number series on the grid: ``cars`` per bin, ``open_days`` counted from the origin, and which of those lie
    in each bin."""

    id: str
    cars: tuple[float, ...]
    open_days: tuple[int, ...]
    open_in: tuple[range, ...]
    numbered: SeriesLine | None  # None where the guide has no numbers


@dataclass(frozen=True, slots=True)
class Grid:
    """The bins: ``edges`` in days from ``origin``; bin t is days ``edges[t]`` up to ``edges[t + 1]``."""

    origin: date
    edges: tuple[int, ...]
    lines: tuple[GridLine, ...]

    @property
    def bins(self) -> int:
        """How many bins there are."""
        return len(self.edges) - 1

    def day(self, when: date) -> int:
        """Return a date as days from the origin."""
        return (when - self.origin).days


def lay_grid(guide: Guide, lines: Mapping[str, SeriesLine], further: Mapping[str, SeriesLine] | None = None) -> Grid:
    """Return the grid with every series that gives the order of build; one nameless line where none does.

    ``further`` are the series of further numbers: what they name cuts bins too.
    """
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
    for line in (*built, *(line for line in (further or {}).values() if line.cars)):
        cuts |= {line.day_at(0), line.day_at(line.cars - 1) + DAY, *line.days_named()}
    grid = Grid(origin, tuple(sorted((cut - origin).days for cut in cuts if origin <= cut <= last + DAY)), ())
    return Grid(origin, grid.edges, tuple(_numbered(line, grid) for line in built) or (_untold(guide, grid),))


def cars_in(line: SeriesLine, grid: Grid) -> tuple[float, ...]:
    """Return how many cars of a series were built in each bin, spread over open days."""
    by = [0.0] + [line.cars_by(grid.origin + timedelta(days=edge - 1)) for edge in grid.edges[1:]]
    return tuple(round(max(after - before, 0.0), 3) for before, after in pairwise(by))


def _numbered(line: SeriesLine, grid: Grid) -> GridLine:
    open_days = tuple(grid.day(day) for day in line.open_days)
    return GridLine(line.series.id, cars_in(line, grid), open_days, _by_bin(open_days, grid), line)


def _untold(guide: Guide, grid: Grid) -> GridLine:
    closed = {grid.day(day) for day in days_closed(closure for closure in guide.closures if not closure.series)}
    open_days = tuple(day for day in range(grid.edges[-1]) if day not in closed)
    open_in = _by_bin(open_days, grid)
    made = float(guide.production.made or _UNTOLD_CARS)
    cars = tuple(round(made * len(days) / len(open_days), 3) for days in open_in)
    return GridLine("", cars, open_days, open_in, None)


def _by_bin(open_days: tuple[int, ...], grid: Grid) -> tuple[range, ...]:
    ends = [bisect_left(open_days, edge) for edge in grid.edges]
    return tuple(range(first, end) for first, end in pairwise(ends))
