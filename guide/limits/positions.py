"""Numbers as positions on the line, and positions as days.

Theory
------
A *position* is the count of numbers really built in a series before this one: gaps are left out, so the
car after C2900 is C3001. Each line of the calendar cuts the positions in two: "the last by the end of M is
N" says that N stood finished by then and that the next car did not; "the first of M is N" says the same of
the car before N, and that N was finished within M. Between two cuts nothing is known but the order, and even
that is loose: a car may stand up to ``out_of_order`` cars from its place. A run that is dated as a whole has its
first car no earlier and its last no later than that. A closure that falls on a cut
divides the cars for certain, so the disorder never carries a car across it; a named stray has a date of its
own instead.

For pictures and weights cars are spread evenly over the open days between two lines of the calendar; for
limits never.

Invariants: ``_until`` and ``_since`` are sorted by position; ``_latest`` and ``_earliest`` run along them as
the tightest day so far, so a calendar that contradicts itself gives early latest days but never a crash.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence
from datetime import date, timedelta
from itertools import accumulate, pairwise
from typing import NamedTuple

from guide.facts.types import CalendarEntry, CalendarKind, CarNumber, Closure, Guide, Production, Run, Series
from guide.facts.when.numbers import last_number_of, plain_number, write_number

__all__ = ["DatedRun", "SeriesLine", "days_closed", "series_lines"]

DAY = timedelta(days=1)


class DatedRun(NamedTuple):
    """A run whose time a paper gives: its first and last position, its earliest and latest day."""

    run: Run
    first: int
    last: int
    earliest: date
    latest: date


class Bound(NamedTuple):
    """What a line of the calendar says of a position: the latest (``upper``) or earliest day of its nominal time."""

    position: int
    day: date  # an open one
    upper: bool


class SeriesLine:
    """The cars of one series in order of number, with the days that the calendar allows each."""

    def __init__(self, series: Series, production: Production, closures: Sequence[Closure]) -> None:
        self.series = series
        self.production = production
        self.closures = tuple(c for c in closures if not c.series or series.id in c.series)
        self._closed = days_closed(self.closures)
        span = (production.last - production.first).days + 1
        every = (production.first + timedelta(days=days) for days in range(span))
        self.open_days: tuple[date, ...] = tuple(day for day in every if day not in self._closed)
        """The days of production on which this series could be built, in order."""
        named = [entry.car for entry in series.calendar] + [stray.car for stray in series.strays]
        self.runs: list[tuple[Run, int, int, int]] = []
        """The runs that were built, in order: each with its first and last number, and the position of its first."""
        self.cars: int = 0
        """How many cars the runs hold, gaps left out."""
        for run in series.runs:
            if run.built:
                last = last_number_of(run, named)
                self.runs.append((run, run.first, last, self.cars))
                self.cars += max(0, last - run.first + 1)
        self.dated_runs: tuple[DatedRun, ...] = tuple(self._dated_runs())
        """The runs that are dated as a whole, in order."""
        self.entries: tuple[CalendarEntry | DatedRun, ...] = (*series.calendar, *self.dated_runs)
        """All that says when its cars were built."""
        self._read_calendar()
        self._read_strays()

    # Positions

    def position(self, number: CarNumber) -> int | None:
        """Return how many cars stand before this one in the series; None in a gap or beyond every run."""
        if number.series != self.series.id:
            return None
        for run, first, last, start in self.runs:
            if run.prefix in ("", number.prefix) and first <= number.number <= last:
                return start + number.number - first
        return None

    def car_at(self, position: int, suffix: str = "") -> CarNumber:
        """Return the number at a position, as the series writes it; positions beyond the ends are clamped.

        Raises ValueError for a series with no car built.
        """
        if not self.cars:
            raise ValueError(f"no car was built in the series {self.series.id}")
        position = min(max(position, 0), self.cars - 1)
        held = (row for row in reversed(self.runs) if row[3] <= position and row[2] >= row[1])
        run, first, _, start = next(held)
        number = first + position - start
        return write_number(self.series, run.prefix or self._prefix_for(number), number, suffix)

    def _prefix_for(self, number: int) -> str:
        """Return the prefix of the first notation with room for a number, for runs that name no prefix."""
        for written in self.series.written:
            if len(str(number)) <= written.count("#"):
                return _plain_prefix(written)
        return _plain_prefix(self.series.written[-1])

    # Days of one car

    def days_of(self, car: CarNumber) -> tuple[date, date]:
        """Return the earliest and the latest day on which a car can have been built.

        A stray has its own date. Raises ValueError for a number that has no position.
        """
        position = self.position(car)
        if position is None:
            raise ValueError(f"{car.written} has no position in the series {self.series.id}")
        return self.days_at(position)

    def days_at(self, position: int, slack: int = 0) -> tuple[date, date]:
        """Return the earliest and latest day of the car at a position, give or take ``slack`` more cars."""
        if position in self.strays and not slack:
            return self.strays[position]
        low, high = self.reach_of(position, slack)
        return self.earliest_day(low), self.latest_day(high)

    def reach_of(self, position: int, slack: int = 0) -> tuple[int, int]:
        """Return the first and last position whose nominal time can be this car's, never across a closure."""
        low, high = self.block_of(position)
        far = self.series.out_of_order + slack
        if slack:
            low, high = self.block_of(position - slack)[0], self.block_of(position + slack)[1]
        return max(low, position - far), min(high, position + far)

    def block_of(self, position: int) -> tuple[int, int]:
        """Return the first and last position between the two closures that certainly enclose a position."""
        position = min(max(position, 0), max(self.cars - 1, 0))
        index = bisect_left(self.cuts, position)
        low = self.cuts[index - 1] + 1 if index else 0
        high = self.cuts[index] if index < len(self.cuts) else self.cars - 1
        return low, high

    def nominal_days(self, position: int) -> tuple[date, date]:
        """Return the earliest and latest day of a position's nominal time, tolerance left out."""
        return self.earliest_day(position), self.latest_day(position)

    def earliest_day(self, position: int) -> date:
        """Return the earliest day of a position's nominal time, tolerance left out."""
        index = bisect_right(self._since_positions, position)
        return self._earliest[index - 1] if index else self.production.first

    def latest_day(self, position: int) -> date:
        """Return the latest day of a position's nominal time, tolerance left out."""
        index = bisect_left(self._until_positions, position)
        return self._latest[index] if index < len(self._latest) else self.production.last

    def last_by(self, day: date) -> int:
        """Return the last position that can have been finished in order by the end of a day."""
        index = bisect_right(self._earliest, day)
        return self._since_positions[index] - 1 if index < len(self._earliest) else self.cars - 1

    def day_before_closure(self, day: date) -> date:
        """Return the day itself, or the last open day before the closure it falls in."""
        while day in self._closed and day > self.production.first:
            day -= DAY
        return day

    def day_after_closure(self, day: date) -> date:
        """Return the day itself, or the first open day after the closure it falls in."""
        while day in self._closed and day < self.production.last:
            day += DAY
        return day

    # Cars by a day

    def cars_by(self, day: date) -> float:
        """Return how many cars of the series were built by the end of a day, spread evenly over open days."""
        opened = bisect_right(self.open_days, day)
        index = bisect_right(self._knot_days, opened) - 1
        if index + 1 >= len(self._knot_days):
            return float(self._knot_cars[-1])
        before, after = self._knot_days[index], self._knot_days[index + 1]
        low, high = self._knot_cars[index], self._knot_cars[index + 1]
        return low + (high - low) * (opened - before) / (after - before)

    def open_days_before(self, position: float) -> float:
        """Return how many open days, with a fraction, had passed when so many cars were finished."""
        index = min(max(bisect_right(self._knot_cars, position) - 1, 0), len(self._knot_cars) - 2)
        low, high = self._knot_cars[index], self._knot_cars[index + 1]
        before, after = self._knot_days[index], self._knot_days[index + 1]
        share = (position - low) / (high - low) if high > low else 0.0
        return before + (after - before) * min(max(share, 0.0), 1.0)

    def day_at(self, position: float) -> date:
        """Return the day on which the car at a position was built, cars being spread over open days."""
        if not self.open_days:
            return self.production.first
        return self.open_days[min(int(self.open_days_before(position)), self._last_open)]

    # Making it

    def _read_calendar(self) -> None:
        cuts: set[int] = set()
        knots: list[tuple[int, int]] = [(0, 0), (len(self.open_days), self.cars)]
        for last, day in (cut for entry in self.series.calendar if (cut := self.cut_of(entry)) is not None):
            knots.append((bisect_right(self.open_days, day), last + 1))
            if 0 <= last < self.cars - 1 and any(c.first - DAY <= day <= c.last for c in self.closures):
                cuts.add(last)
        knots += self._knots_of_runs()
        self.cuts: list[int] = sorted(cuts)
        bounds = [bound for entry in self.entries for bound in self.bounds_of(entry)]
        until = sorted((position, day) for position, day, upper in bounds if upper)
        since = sorted([(0, self.production.first), *((at, day) for at, day, upper in bounds if not upper)])
        self._until_positions = [position for position, _ in until]
        self._latest = list(accumulate((day for _, day in reversed(until)), min))[::-1]
        self._since_positions = [position for position, _ in since]
        self._earliest = list(accumulate((day for _, day in since), max))
        self._set_knots(sorted(knots))

    def bounds_of(self, entry: CalendarEntry | DatedRun) -> Iterator[Bound]:
        """Yield what a line of the calendar, or a run that is dated as a whole, says of positions by itself."""
        if isinstance(entry, DatedRun):
            yield Bound(entry.last, self.day_before_closure(entry.latest), upper=True)
            yield Bound(entry.first, self.day_after_closure(entry.earliest), upper=False)
            return
        cut = self.cut_of(entry)
        if cut is None:
            return
        last, day = cut
        if last >= 0:
            yield Bound(last, self.day_before_closure(day), upper=True)
        if last + 1 < self.cars:
            yield Bound(last + 1, self.day_after_closure(day + DAY), upper=False)
            if entry.kind is CalendarKind.FIRST_OF:
                yield Bound(last + 1, self.day_before_closure(entry.time.days()[1]), upper=True)

    def _dated_runs(self) -> Iterator[DatedRun]:
        """Yield the runs with a time of their own; one that lies outside production has the whole of it."""
        began, ended = self.production.first, self.production.last
        for run, first, last, start in self.runs:
            if run.dated is not None and last >= first:
                yield DatedRun(run, start, start + last - first, *run.dated.days(began, ended))

    def _knots_of_runs(self) -> Iterator[tuple[int, int]]:
        """Yield how many cars were finished when a dated run began and ended; where two overlap, half way."""
        for before, after in pairwise([None, *self.dated_runs, None]):
            touch = before is not None and after is not None and before.last + 1 == after.first
            if before is not None and after is not None and touch and after.earliest <= before.latest:
                middle = after.earliest + (before.latest - after.earliest) / 2
                yield bisect_right(self.open_days, middle), after.first
                continue
            if before is not None:
                yield bisect_right(self.open_days, before.latest), before.last + 1
            if after is not None:
                yield bisect_left(self.open_days, after.earliest), after.first

    def cut_of(self, entry: CalendarEntry) -> tuple[int, date] | None:
        """Return the last position finished and the day at whose end that was so; None for a car of no position.

        "First of M is N" cuts before N, at the end of the day before M.
        """
        position = self.position(entry.car)
        if position is None:
            return None
        return (position if entry.kind is CalendarKind.LAST_BY_END else position - 1), entry.end

    def _set_knots(self, knots: list[tuple[int, int]]) -> None:
        self._knot_days: list[int] = []  # open days passed, rising
        self._knot_cars: list[int] = []  # cars finished by then, never falling
        for days, cars in knots:
            cars = max(cars, self._knot_cars[-1]) if self._knot_cars else cars
            if self._knot_days and self._knot_days[-1] == days:
                self._knot_cars[-1] = cars
            else:
                self._knot_days.append(days)
                self._knot_cars.append(cars)
        if len(self._knot_days) == 1:  # a production without one open day
            self._knot_days.append(self._knot_days[0] + 1)
            self._knot_cars.append(self._knot_cars[0])
        whole = bisect_left(self._knot_cars, self.cars)
        finished = self._knot_days[min(whole, len(self._knot_days) - 1)]
        self._last_open = max(0, min(finished, len(self.open_days)) - 1)

    def _read_strays(self) -> None:
        self.strays: dict[int, tuple[date, date]] = {}
        """Position to earliest and latest day, for the named strays."""
        for stray in self.series.strays:
            position = self.position(stray.car)
            if position is not None:
                self.strays[position] = stray.built.days(self.production.first, self.production.last)
        begins, ends = self.earliest_day(0), self.latest_day(self.cars - 1)
        self.strays_stay_inside: bool = all(begins <= low and high <= ends for low, high in self.strays.values())
        """Whether no stray was built before the first or after the last number of the series."""


def _plain_prefix(written: str) -> str:
    return plain_number(written.split("#", 1)[0])


def days_closed(closures: Iterable[Closure]) -> set[date]:
    """Return the days on which the works stood still, by some closures."""
    return {
        closure.first + timedelta(days=days)
        for closure in closures
        for days in range((closure.last - closure.first).days + 1)
    }


def series_lines(guide: Guide) -> dict[str, SeriesLine]:
    """Return a line for each series whose numbers give the order of build, in declared order."""
    return {series.id: SeriesLine(series, guide.production, guide.closures) for series in guide.ordered_series.values()}
