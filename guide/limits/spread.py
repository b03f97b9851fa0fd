"""Cars of one series spread over its open days: how many were finished by a day, and on which day one was built.

Linear between what is known, its *knots*: common practice, no source. Cars that papers date are knots too; where they
are out of order among themselves, as they may be within the usual disorder, the mean of them is one (isotonic
regression by pooling adjacent violators: Ayer and others, Annals of Mathematical Statistics 26, 1955; from memory).
For pictures and weights; for limits never.
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence
from datetime import date, timedelta

from guide.facts.types import Closure

__all__ = ["Spread", "days_closed", "in_order"]


def in_order(points: Iterable[tuple[float, float]]) -> Iterator[tuple[float, float]]:
    """Yield days passed and position of dated cars, rising in both: those out of order are one point, their mean."""
    pools: list[tuple[float, float, int]] = []  # sums of days passed and of positions, and of how many cars
    for passed, position in sorted(points, key=lambda point: point[1]):
        cars = 1
        while pools and pools[-1][0] / pools[-1][2] >= passed / cars:
            days_before, places_before, count = pools.pop()
            passed, position, cars = passed + days_before, position + places_before, cars + count
        pools.append((passed, position, cars))
    for passed, position, cars in pools:
        yield passed / cars, position / cars


class Spread:
    """How a series' cars lie on its open days. A knot is how many open days had passed when how many were finished."""

    def __init__(self, open_days: Sequence[date], cars: int, knots: Iterable[tuple[float, float]]) -> None:
        self.open_days = open_days
        self._knot_days: list[float] = []  # open days passed, rising
        self._knot_cars: list[float] = []  # cars finished by then, never falling
        for days, finished in sorted(knots):
            finished = max(finished, self._knot_cars[-1]) if self._knot_cars else finished
            if self._knot_days and self._knot_days[-1] == days:
                self._knot_cars[-1] = finished
            else:
                self._knot_days.append(days)
                self._knot_cars.append(finished)
        if len(self._knot_days) == 1:  # a production without one open day
            self._knot_days.append(self._knot_days[0] + 1)
            self._knot_cars.append(self._knot_cars[0])
        whole = bisect_left(self._knot_cars, cars)
        passed = math.ceil(self._knot_days[min(whole, len(self._knot_days) - 1)])
        self._last_open = max(0, min(passed, len(open_days)) - 1)

    @property
    def knots(self) -> list[tuple[float, float]]:
        """How many open days had passed when how many cars were finished: the days rise, the cars never fall."""
        return list(zip(self._knot_days, self._knot_cars, strict=True))

    def cars_by(self, day: date) -> float:
        """Return how many cars were built by the end of a day."""
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

    def day_at(self, position: float) -> date | None:
        """Return the day on which the car at a position was built; None where there is no open day."""
        if not self.open_days:
            return None
        return self.open_days[min(int(self.open_days_before(position)), self._last_open)]


def days_closed(closures: Iterable[Closure]) -> set[date]:
    """Return the days on which the works stood still, by some closures."""
    return {
        closure.first + timedelta(days=days)
        for closure in closures
        for days in range((closure.last - closure.first).days + 1)
    }
