"""Which days and which cars a stated moment means: read here and nowhere else.

Theory
------
A date means its days, a model year the cars or the days that a table gives it, or else a stated span. A car means
itself, or the car so many numbers after it, give or take the slack of an "about": from the first to the last position
that this leaves. The start or end of a series means its first or last car, the start or end of a period or of
production that day. A car beyond the ends of its series is the car at that end, and one whose number has no position
tells nothing.

As days, a car means what the calendar alone allows it (`SeriesLine.days_at`); as the end of a stretch that weights are
spread over, the day on which it falls when cars are spread evenly. Either way an "about" is read at its widest.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import NamedTuple

from guide.facts.types import CarNumber, Guide, When, WhenKind
from guide.facts.when.whens import usual_model_year
from guide.limits.model_years import cars_of_model_year
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
        whole = when.is_date or when.kind is WhenKind.MODEL_YEAR or of in self.guide.periods
        if line is None or not line.cars or whole:
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

    def cars_of_model_year(self, when: When, series: str) -> tuple[CarMeant, CarMeant] | None:
        """Return the first and last car of a series that a when means by the maker's table of model years.

        None for any other when, and where no table goes by that series' numbers.
        """
        line = self.lines.get(series)
        found = cars_of_model_year(line, when.year) if line is not None and when.kind is WhenKind.MODEL_YEAR else None
        return None if line is None or found is None else (CarMeant(line, found[0]), CarMeant(line, found[1]))

    def is_by_number(self, when: When, series: Collection[str]) -> bool:
        """Tell whether a when goes by the numbers of some of these series."""
        if when.car is not None:
            return when.car.series in series
        return any(self.cars_of_model_year(when, one) is not None for one in series)

    def _days_of_model_year(self, year: str, series: Collection[str]) -> tuple[date, date]:
        """Return the first and last day of a model year, of some series or, where none is given, of any.

        By the series' own table, or that of the guide. A year that no table names is taken for a stated span about its
        first of January: visibly loose.
        """
        lines = [line for name, line in self.lines.items() if not series or name in series]
        spans = [self._span_of_model_year(year, line) for line in lines] or [self._span_of_model_year(year, None)]
        return min(first for first, _ in spans), max(last for _, last in spans)

    def _span_of_model_year(self, year: str, line: SeriesLine | None) -> tuple[date, date]:
        cars = None if line is None else cars_of_model_year(line, year)
        if line is not None and cars is not None:
            return line.days_at(cars[0])[0], line.days_at(cars[1])[1]
        rows = (*(() if line is None else line.series.model_years), *self.guide.model_years)
        named = next((row for row in rows if row.year == year and row.begins is not None), None)
        if named is not None and named.begins is not None:
            return named.begins, named.ends or self.guide.production.last
        if not year[:4].isdigit():
            return self.guide.production.first, self.guide.production.last
        return usual_model_year(year, self.guide.overrides)

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
        if when.kind is WhenKind.MODEL_YEAR:
            return self._days_of_model_year(when.year, of or ((series,) if series else ()))
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
        cars = self.cars_of_model_year(when, series)
        if cars is not None:
            return cars[0].position, cars[1].position
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
