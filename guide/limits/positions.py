"""Numbers as positions on the line, and positions as days.

Theory
------
A *position* is the count of numbers really built in a series before this one: gaps are left out, so the
car after C2900 is C3001. Each line of the calendar cuts the positions in two: "the last by the end of M is
N" says that N stood finished by then and that the next car did not; "the first of M is N" says the same of
the car before N, and that N was finished within M. Between two cuts nothing is known but the order, and even
that is loose: a car may stand up to ``out_of_order`` cars from its place. A run that is dated as a whole has its
first car no earlier and its last no later than that. A car that a paper dates was built on that day; so the nominal
time of the car ``out_of_order`` places before it is no later, and that of the one so many after it no earlier. One
that contradicts the calendar so is left out (`guide.limits.calendar` tells it). A closure that falls on a cut
divides the cars for certain, so the disorder never carries a car across it; a named stray has a date of its
own instead. A stray said to be built before or after production, or while the works were shut, is taken at the nearest
day of production on which they were open: that it is so is found by `guide.limits.built`.

For pictures and weights cars are spread evenly over the open days between two lines of the calendar, a dated car
being such a line at the middle of its days (`guide.limits.spread`). For limits never.

Invariants: ``_until`` and ``_since`` are sorted by position; ``_latest`` and ``_earliest`` run along them as
the tightest day so far, so a calendar that contradicts itself gives early latest days but never a crash.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence
from datetime import date, timedelta
from itertools import accumulate, pairwise

from guide.facts.types import CalendarEntry, CalendarKind, CarNumber, Closure, Guide, Production, Run, Series, When
from guide.facts.when.numbers import cars_named, last_number_of, plain_number, write_number
from guide.limits.entries import Bound, DatedAt, DatedRun, Entry
from guide.limits.spread import Spread, days_closed, in_order

__all__ = ["SeriesLine", "series_lines"]

DAY = timedelta(days=1)


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
        named = cars_named(series)
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
        self._cut_at_closures()
        self.entries: tuple[Entry, ...] = (*series.calendar, *self.dated_runs, *self._dated_cars())
        """All that says when its cars were built."""
        self.anchors: tuple[DatedAt, ...] = ()
        """Those of the cars dated by a paper that can have been built then, by the calendar and those before them."""
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

    @property
    def is_dated(self) -> bool:
        """Whether anything says when its cars were built; without that a number tells no day, nor a day a number."""
        return bool(self.entries)

    def days_of(self, car: CarNumber) -> tuple[date, date]:
        """Return the earliest and the latest day on which a car can have been built.

        A stray has its own date, as has one that a paper dates. Raises ValueError for a number that has no position.
        """
        position = self.position(car)
        if position is None:
            raise ValueError(f"{car.written} has no position in the series {self.series.id}")
        return self.days_at(position)

    def days_at(self, position: int, slack: int = 0) -> tuple[date, date]:
        """Return the earliest and latest day of the car at a position, give or take ``slack`` more cars."""
        if position in self.own_days and not slack:
            return self.own_days[position]
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
        return self._spread.cars_by(day)

    def open_days_before(self, position: float) -> float:
        """Return how many open days, with a fraction, had passed when so many cars were finished."""
        return self._spread.open_days_before(position)

    def day_at(self, position: float) -> date:
        """Return the day on which the car at a position was built, cars being spread over open days."""
        return self._spread.day_at(position) or self.production.first

    def days_named(self) -> Iterator[date]:
        """Yield the days on which something begins or has just ended: the calendar's, those of dated runs and cars."""
        for cut in map(self.cut_of, self.series.calendar):
            if cut is not None:
                yield cut[1] + DAY
        for dated in self.dated_runs:
            yield from (dated.earliest, dated.latest + DAY)
        for first, last in self.own_days.values():
            yield from (first, last + DAY)

    @property
    def knots(self) -> Sequence[tuple[float, float]]:
        """How many open days had passed when how many cars were finished, as papers have it."""
        return self._spread.knots

    @property
    def bounds(self) -> Iterator[Bound]:
        """Yield what all papers say together: from a position on no car was built before a day, up to one none after.

        The days rise with the positions; those that say no more than their neighbours are left out.
        """
        days: set[date] = set()
        for position, day in zip(self._since_positions, self._earliest, strict=True):
            if day not in days:
                yield Bound(position, day, upper=False)
            days.add(day)
        until = dict(zip(self._latest, self._until_positions, strict=True))
        yield from (Bound(position, day, upper=True) for day, position in until.items())
        if not until or max(until.values()) < self.cars - 1:
            yield Bound(self.cars - 1, self.production.last, upper=True)

    # Making it

    def _cut_at_closures(self) -> None:
        cuts = (cut for entry in self.series.calendar if (cut := self.cut_of(entry)) is not None)
        self.cuts: list[int] = sorted(
            {
                last
                for last, day in cuts
                if 0 <= last < self.cars - 1 and any(c.first - DAY <= day <= c.last for c in self.closures)
            }
        )

    def _read_calendar(self) -> None:
        bounds: list[Bound] = []
        for entry in self.entries:
            said = tuple(self.bounds_of(entry))
            if isinstance(entry, DatedAt):
                if any(one.contradicts(other) for one in said for other in (*bounds, *said)):
                    continue
                self.anchors += (entry,)
            bounds += said
        self._set_bounds(bounds)
        knots: list[tuple[float, float]] = [(0, 0)]
        for last, day in (cut for entry in self.series.calendar if (cut := self.cut_of(entry)) is not None):
            knots.append((bisect_right(self.open_days, day), last + 1))
        knots += [*self._knots_of_runs(), *self._knots_of_anchors()]
        knots.append((len(self.open_days), self._cars_at_end(knots)))
        self._spread = Spread(self.open_days, self.cars, knots)
        if self.anchors:
            self._spread = Spread(self.open_days, self.cars, [*knots, *self._knots_within_bounds()])

    def _cars_at_end(self, knots: Iterable[tuple[float, float]]) -> float:
        """Return how many cars weights take for built by the end of production.

        Past the last number known in a run whose end is not, as many each day as until then.
        """
        days, cars = max(knots)
        if not days or not self.runs or self.runs[-1][0].last is not None:
            return self.cars
        return max(self.cars, cars * len(self.open_days) / days)

    def _set_bounds(self, bounds: Sequence[Bound]) -> None:
        until = sorted((position, day) for position, day, upper in bounds if upper)
        since = sorted([(0, self.production.first), *((at, day) for at, day, upper in bounds if not upper)])
        self._until_positions = [position for position, _ in until]
        self._latest = list(accumulate((day for _, day in reversed(until)), min))[::-1]
        self._since_positions = [position for position, _ in since]
        self._earliest = list(accumulate((day for _, day in since), max))

    def bounds_of(self, entry: Entry) -> Iterator[Bound]:
        """Yield what a line of the calendar, a dated run or a dated car says of positions by itself."""
        if isinstance(entry, DatedAt):
            yield Bound(entry.low, entry.latest, upper=True)
            yield Bound(entry.high, entry.earliest, upper=False)
            return
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

    def _dated_cars(self) -> Iterator[DatedAt]:
        """Yield the cars in their turn that papers date to days on which they can have been built at all."""
        strays = {self.position(stray.car) for stray in self.series.strays}
        for car in self.series.dated_cars:
            position, days = self.position(car.car), self.open_days_of(car.built)
            if position is not None and position not in strays and days is not None:
                yield DatedAt(car, position, *self.reach_of(position), *days)

    def open_days_of(self, when: When) -> tuple[date, date] | None:
        """Return the first and last day of production that a date leaves, closures at its ends left out.

        None where it leaves none: all of it before or after production, or while the works stood shut.
        """
        first, last = when.days(self.production.first, self.production.last)
        left = bisect_left(self.open_days, first), bisect_right(self.open_days, last)
        return None if left[0] >= left[1] else (self.open_days[left[0]], self.open_days[left[1] - 1])

    def _knots_of_anchors(self) -> Iterator[tuple[float, float]]:
        """Yield the dated cars as lines of the calendar: in order, and on days that the calendar allows."""
        opened = self.open_days
        for days, at in in_order(
            ((bisect_left(opened, one.earliest) + bisect_right(opened, one.latest)) / 2, one.position + 0.5)
            for one in self.anchors
        ):
            low = bisect_left(opened, self.earliest_day(int(at))) + 0.5
            high = bisect_right(opened, self.latest_day(int(at))) - 0.5
            yield min(max(days, low), high), at

    def _knots_within_bounds(self) -> Iterator[tuple[float, float]]:
        """Yield what keeps the spread within the days left to each place, which a dated car bounds beside its own."""
        places = (*((at, at) for at in self._since_positions), *((at, at + 1) for at in self._until_positions))
        for position, cars in places:
            low = bisect_left(self.open_days, self.earliest_day(position))
            high = bisect_right(self.open_days, self.latest_day(position))
            yield min(max(self._spread.open_days_before(cars), low), high), cars

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

    def _read_strays(self) -> None:
        self.strays: dict[int, tuple[date, date]] = {}
        """Position to earliest and latest day, for the named strays."""
        for stray in self.series.strays:
            position = self.position(stray.car)
            if position is not None:
                self.strays[position] = self._days_of_stray(stray.built)
        self.own_days: dict[int, tuple[date, date]] = {
            **{one.position: (one.earliest, one.latest) for one in self.anchors},
            **self.strays,
        }
        """Position to earliest and latest day, for the cars with a date of their own: strays, and the dated cars."""
        begins, ends = self.earliest_day(0), self.latest_day(self.cars - 1)
        self.strays_stay_inside: bool = all(begins <= low and high <= ends for low, high in self.strays.values())
        """Whether no stray was built before the first or after the last number of the series."""

    def _days_of_stray(self, built: When | None) -> tuple[date, date]:
        began, ended = self.production.first, self.production.last
        first, last = (began, ended) if built is None else built.days(began, ended)
        first, last = min(max(first, began), ended), max(min(last, ended), began)
        if bisect_left(self.open_days, first) < bisect_right(self.open_days, last):
            return first, last
        return self.day_before_closure(first), self.day_after_closure(last)


def _plain_prefix(written: str) -> str:
    return plain_number(written.split("#", 1)[0])


def series_lines(guide: Guide, every: Iterable[Series] | None = None) -> dict[str, SeriesLine]:
    """Return a line for each series whose numbers give the order of build, in declared order.

    Of those by which cars are known, or of ``every`` series given.
    """
    given = guide.ordered_series.values() if every is None else every
    return {
        one.id: SeriesLine(one, guide.production_of((one.id,)), guide.closures)
        for one in given
        if one.gives_build_order
    }
