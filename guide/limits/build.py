"""The network of one guide: its points, and the rules that hold whatever anybody states.

Theory
------
For each series a hidden nominal order ``T(p)``: the car at position q stood finished at least ``q - p`` ticks
after the car at p. A car of the series was finished between ``T(p - k)`` and ``T(p + k)``, k being the usual
disorder, and never on the other side of a closure that certainly divides the two (`positions`). The disorder
of neighbours is not chained: each car hangs from the nominal order alone. A stray has its own date.

Each spell has, in each cell of its mark, a first and a last: ``first <= last``. Where the editor declares the
order of spells: firsts in order, lasts in order, and the first of the next at most the longest closure of the
series and `handover_days` after the last of this; where papers give both, one unit of the coarser paper more (a
month, for papers by month), for a paper is no more precise than that. An "about" has been widened by more than its
unit already. Every point lies within production, and within its series where it has one.

Only points that something refers to are made; the order of numbers is then tied between neighbours only, so
the network grows with the number of statements and not with the number of cars.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from datetime import date, timedelta
from itertools import accumulate, pairwise
from typing import NamedTuple

from guide.constants import value_of
from guide.facts.types import CarNumber, FormRef, Mark, StatementKind, When
from guide.finding import TICKS_PER_DAY, StepKind
from guide.limits.entries import DatedAt
from guide.limits.moments import CarMeant, Moments
from guide.limits.network import Network, Tie
from guide.limits.positions import SeriesLine
from guide.limits.rulings import ReadStatement
from guide.limits.scopes import Cell, Dimensions
from guide.limits.types import Said, Why, ticks_of
from guide.limits.wording import when_said
from guide.sentence import Value, day

__all__ = ["ORIGIN", "SOON_AFTER", "Builder", "Ends", "SpellKey"]

DAY = timedelta(days=1)
ORIGIN = 0
SOON_AFTER = "limits.soon-after"  # the rule that no gap lies between two forms
_ENDS = (StatementKind.FIRST, StatementKind.LAST)


class SpellKey(NamedTuple):
    """A spell in one cell of its mark."""

    mark: str
    form: str
    spell: int
    cell: int


class Ends(NamedTuple):
    """The points of a spell's first and last car, in one cell."""

    first: int
    last: int


class Builder:
    """Points and rules of a guide. Rules are gathered first and inserted together by `insert_rules`."""

    def __init__(self, moments: Moments, standing: Mapping[str, tuple[ReadStatement, ...]]) -> None:
        self.moments, self.guide, self.lines = moments, moments.guide, moments.every
        guide, lines = self.guide, self.lines
        self.origin_day = guide.production.first
        self.dimensions = Dimensions(guide)
        self.network = Network()
        self.network.add_point(0)
        self.cars: dict[int, CarMeant] = {}
        """What each point that is one car's own moment, not a nominal time, stands for."""
        self.cells: dict[str, tuple[Cell, ...]] = {}
        self.ends: dict[SpellKey, Ends] = {}
        self.spell_of: dict[int, tuple[SpellKey, str]] = {}
        """What each point that is a first or a last is the end of, and which end: "first" or "last"."""
        self.spoken_for: dict[tuple[object, ...], tuple[int, ...]] = {}
        """The cells, by index, for which statements speak, by all that these depend on (`guide.limits.claims`)."""
        self.rules: list[Tie] = []
        self.nominals: dict[str, dict[int, int]] = {series: {} for series in lines}
        """By series, the point of each position that is in use."""
        self._nominals: dict[int, tuple[str, int]] = {}  # the series and position of each such point
        self._openings: dict[str, list[int]] = {}  # by series, the first tick of each open day
        self._handover_days = int(value_of("handover_days", guide.overrides))
        self._longest: dict[tuple[str, ...], int] = {}
        self._car_points: dict[tuple[str, int, int], int] = {}
        self._said = {mark: tuple(reading.statement for reading in read) for mark, read in standing.items()}
        for mark in guide.marks.values():
            self._add_mark(mark)

    # Days and ticks

    def start_of(self, day: date) -> int:
        """Return the first tick of a day."""
        return ticks_of(day, self.origin_day)

    def end_of(self, day: date) -> int:
        """Return the last tick of a day."""
        return ticks_of(day + DAY, self.origin_day) - 1

    # Points

    def nominal(self, series: str, position: int) -> int:
        """Return the point of the nominal time of a position of a series, made when it is new."""
        points = self.nominals[series]
        point = points.get(position)
        if point is None:
            point = points[position] = self.network.add_point(self._guess(series, position))
            self._nominals[point] = (series, position)
        return point

    def name_of(self, point: int) -> CarNumber | None:
        """Return the car that a point stands for, None for a point that stands for no car."""
        if point in self.cars:
            return self.cars[point].number
        nominal = self._nominals.get(point)
        return None if nominal is None else self.lines[nominal[0]].car_at(nominal[1])

    def days_of(self, point: int) -> tuple[date, date] | None:
        """Return the days that the calendar alone allows a car's or series end's point, None for any other."""
        if point in self.cars:
            return self.cars[point].days
        nominal = self._nominals.get(point)
        return None if nominal is None else self.lines[nominal[0]].nominal_days(nominal[1])

    def _guess(self, series: str, position: int) -> int:
        """Return about when a car was built: cars spread over open days, in ticks."""
        line = self.lines[series]
        if series not in self._openings:
            self._openings[series] = [self.start_of(day) for day in line.open_days]
        passed, openings = line.open_days_before(position + 0.5), self._openings[series]
        whole = min(int(passed), len(openings) - 1)
        return openings[whole] + int((passed - whole) * (TICKS_PER_DAY - 1)) if openings else 0

    def dated_car(self, line: SeriesLine, dated: DatedAt) -> tuple[Tie, ...]:
        """Return what a paper that dates a car in its turn ties together: the car to its days, and to its place."""
        point = self._point_of(CarMeant(line, dated.position, typed=dated.car.car))
        said = {"car": dated.car.car.written, "when": when_said(self.guide, dated.car.built, taken_as=True)}
        why = Why(StepKind.CALENDAR, dated.car.place, dated.car.source, "limits.dated-car", said)
        until, since = self.end_of(dated.latest), self.start_of(dated.earliest)
        return (
            *self._in_turn(point, self.cars[point]),
            Tie(ORIGIN, point, until, why),
            Tie(point, ORIGIN, -since, why),
        )

    def car(self, when: When, further: int = 0) -> int | None:
        """Return the point of the car that a when means, or of the one ``further`` numbers on.

        The same car named twice is one point; a number without a position has none.
        """
        meant = self.moments.car(when, further=further)
        return None if meant is None else self._point_of(meant)

    def model_year(self, when: When, series: str, further: int = 0) -> tuple[int, int] | None:
        """Return the points of the first and the last car that a model year means by a table of numbers, or None.

        The last one is the one ``further`` numbers on.
        """
        cars = self.moments.cars_of_model_year(when, series)
        if cars is None:
            return None
        first, last = cars
        end = min(last.position + further, last.line.cars - 1)
        return self._point_of(first), self._point_of(last._replace(position=end))

    def _point_of(self, meant: CarMeant) -> int:
        line, position, series = meant.line, meant.position, meant.line.series.id
        key = (series, position, meant.slack)
        if key in self._car_points:
            return self._car_points[key]
        point = self._car_points[key] = self.network.add_point()
        self.cars[point] = meant
        if position in line.strays and not meant.slack:
            self._tie_stray(point, meant)
            return point
        after, before = self._in_turn(point, meant)
        potential = self.network.potential
        potential[point] = (potential[after.head] + potential[before.tail]) // 2
        self.rules += after, before
        return point

    def _in_turn(self, point: int, meant: CarMeant) -> tuple[Tie, Tie]:
        """Return the ties that keep a car within the usual disorder of its place."""
        series = meant.line.series.id
        low, high = meant.line.reach_of(meant.position, meant.slack)
        return Tie(point, self.nominal(series, low), 0), Tie(self.nominal(series, high), point, 0)

    def _tie_stray(self, point: int, meant: CarMeant) -> None:
        line = meant.line
        first, last = line.strays[meant.position]
        stray = next(one for one in line.series.strays if line.position(one.car) == meant.position)
        said: dict[str, Said] = {"car": meant.number.written}
        if stray.built is not None:
            said["when"] = when_said(self.guide, stray.built, taken_as=True)
        way = "limits.stray" if stray.built is not None else "limits.stray-undated"
        why = Why(StepKind.CALENDAR, stray.place, stray.source, way, said)
        self.network.potential[point] = self.start_of(first)
        self.rules += Tie(ORIGIN, point, self.end_of(last), why), Tie(point, ORIGIN, -self.start_of(first), why)

    # Marks

    def _add_mark(self, mark: Mark) -> None:
        dated = {form.id for form in mark.forms.values() if form.dates_a_car}
        said = [statement for statement in self._said[mark.id] if statement.form in dated]
        named, known = [statement.scope for statement in said], self.moments.lines
        for form in mark.forms.values():
            named += [form.scope, *(spell.scope for spell in form.spells)] if form.id in dated else []
        by_cars = any(
            one.kind in _ENDS and one.when is not None and self.moments.is_by_number(one.when, known) for one in said
        )
        self.cells[mark.id] = self.dimensions.cells(mark.scope, named, by_series=by_cars)
        for index, cell in enumerate(self.cells[mark.id]):
            self._add_cell(mark, index, cell)

    def _add_cell(self, mark: Mark, index: int, cell: Cell) -> None:
        for form in mark.forms.values():
            for spell in form.spells if form.dates_a_car else ():
                if self.dimensions.close(cell.closed, form.scope, spell.scope) is not None:
                    self._add_spell(SpellKey(mark.id, form.id, spell.number, index), cell)
        kept = [
            (ref, self.ends[key])
            for ref in mark.order
            if not mark.forms[ref.form].is_option
            if (key := SpellKey(mark.id, ref.form, ref.spell, index)) in self.ends
        ]
        for (earlier, before), (later, after) in pairwise(kept):
            self._tie_order(mark, cell, earlier, before, later, after)

    def _add_spell(self, key: SpellKey, cell: Cell) -> None:
        ends = self.ends[key] = Ends(self.network.add_point(), self.network.add_point())
        self.spell_of |= {ends.first: (key, "first"), ends.last: (key, "last")}
        self.rules.append(Tie(ends.last, ends.first, 0))
        line = self.only_line(cell)
        elsewhere = self.dimensions.may_be_assembled(cell.closed)
        if line is not None and line.strays_stay_inside and not elsewhere:
            self.rules.append(Tie(ends.first, self.nominal(line.series.id, 0), 0))
            self.rules.append(Tie(self.nominal(line.series.id, line.cars - 1), ends.last, 0))
        else:
            self.rules += self.within_production(ends.first, ends.last, cell.series)

    def only_line(self, cell: Cell) -> SeriesLine | None:
        """Return the line of the one series that a cell's cars belong to, None where there are several."""
        if len(cell.series) != 1:
            return None
        line = self.lines.get(cell.series[0])
        return line if line is not None and line.cars else None

    def within_production(self, first: int, last: int, series: Collection[str]) -> tuple[Tie, Tie]:
        """Return the ties that keep two points from the first to the last day on which some series were built."""
        own = [one for one in self.guide.productions if not one.series or set(one.series) & set(series)]
        starts = min(own or self.guide.productions, key=lambda one: one.first)
        stops = max(own or self.guide.productions, key=lambda one: one.last)
        began, ended = (
            Why(StepKind.RULE, made.place, made.source_of(end), *self._end_said(way, on, given))
            for way, end, made, on, given in (
                ("began", "first", starts, starts.first, starts.first_as),
                ("ended", "last", stops, stops.last, stops.last_as),
            )
        )
        return Tie(first, ORIGIN, -self.start_of(starts.first), began), Tie(
            ORIGIN, last, self.end_of(stops.last), ended
        )

    def _end_said(self, way: str, on: date, given: When | None) -> tuple[str, dict[str, Value]]:
        """Return the id of how production began or ended, with its values: on a day, or as papers have it."""
        if given is None:
            return f"limits.production-{way}", {"day": day(on)}
        return f"limits.production-{way}-as", {"when": when_said(self.guide, given, taken_as=True)}

    def _tie_order(self, mark: Mark, cell: Cell, earlier: FormRef, before: Ends, later: FormRef, after: Ends) -> None:
        names: dict[str, FormRef] = {"earlier": earlier, "later": later}
        came = Why(StepKind.ORDER, mark.place, "", "limits.came-after", names)
        went = Why(StepKind.ORDER, mark.place, "", "limits.went-before", names)
        self.rules.append(Tie(after.first, before.first, 0, came))
        self.rules.append(Tie(after.last, before.last, 0, went))
        days = self.longest_closure(cell) + self._handover_days + self._paper_unit(cell, earlier, later)
        soon = Why(StepKind.RULE, mark.place, "", SOON_AFTER, {**names, "days": days})
        self.rules.append(Tie(before.last, after.first, days * TICKS_PER_DAY, soon))

    def _paper_unit(self, cell: Cell, earlier: FormRef, later: FormRef) -> int:
        """Return the days of one unit of the coarser paper that dates a change; 0 unless both its ends are dated.

        Of several papers on one end the most precise counts, for its bound is the one that decides.
        """
        came = {later, *(ref for one in self.guide.changed_together if later in one.forms for ref in one.forms)}
        last = self._units(cell, StatementKind.LAST, {earlier})
        first = self._units(cell, StatementKind.FIRST, came)
        return max(min(last), min(first)) if last and first else 0

    def _units(self, cell: Cell, kind: StatementKind, refs: Collection[FormRef]) -> list[int]:
        """Return how long each time is, in days, that a paper gives for a first or last of some forms in a cell."""
        return [
            0
            if when.approximate or when.earliest is None or when.latest is None
            else (when.latest - when.earliest).days + 1
            for mark in dict.fromkeys(ref.mark for ref in refs)
            for said in self._said[mark]
            if said.kind is kind and FormRef(mark, said.form, said.spell) in refs and (when := said.when) is not None
            if self.dimensions.close(cell.closed, said.scope) is not None
        ]

    def longest_closure(self, cell: Cell) -> int:
        """Return the length in days of the longest closure of the series a cell's cars belong to, the time between the
        last car of one model and the first of the next among them."""
        if cell.series not in self._longest:
            lines = [self.lines[series] for series in cell.series if series in self.lines]
            days = [(one.last - one.first).days + 1 for line in lines for one in line.closures]
            made = sorted({(line.production.first, line.production.last) for line in lines})
            ends = accumulate((last for _, last in made), max)
            between = ((then - last).days - 1 for last, (then, _) in zip(ends, made[1:], strict=False))
            self._longest[cell.series] = max((*days, *between), default=0)
        return self._longest[cell.series]
