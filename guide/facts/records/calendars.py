"""The calendar of a series: which number was the last built by a time, or the first built in one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from itertools import pairwise
from typing import TYPE_CHECKING, Any, ClassVar

from guide.facts.records.fields import Field, key, open_record, raw, record
from guide.facts.records.readers import date_only, source_id, text
from guide.facts.text.desk import Desk
from guide.facts.text.problem import Problem
from guide.facts.text.source import Keyed, Node
from guide.facts.values import CarNumber, When
from guide.facts.when.numbers import ENDLESS
from guide.facts.when.whens import read_car
from guide.finding import Place
from guide.sentence import sentence

if TYPE_CHECKING:
    from guide.facts.records.runs import Run

__all__ = [
    "Calendar",
    "CalendarEntry",
    "CalendarKind",
    "CalendarLine",
    "check_calendar",
    "read_calendar",
    "read_car_in",
]


class CalendarKind(StrEnum):
    """The two ways a calendar speaks."""

    LAST_BY_END = "last-by-end"
    FIRST_OF = "first-of"


@record("calendar-line")
class CalendarLine:
    """One line of a calendar where there is more to say of it than its car."""

    CAR: ClassVar = Field("car", raw("car"), needed=True)
    source: str = key(source_id, default="")
    printed: str = key(text, default="")
    place: Place


@dataclass(frozen=True, kw_only=True, slots=True)
class CalendarEntry:
    """One line of a calendar: the last car built by the end of a time, or the first car built in it."""

    kind: CalendarKind
    time: When  # a date; its bounds are the time's first and last day
    car: CarNumber
    source: str
    printed: str = ""  # what the paper prints, word for word, where that is impossible
    place: Place

    @property
    def end(self) -> date:
        """The day by whose end its car, or for the first of a time the car before it, was the last one built."""
        first, last = self.time.days()
        return last if self.kind is CalendarKind.LAST_BY_END else first - timedelta(days=1)


Calendar = tuple[CalendarEntry, ...]
_GENERATION = 40  # years: no series was built for so long


def read_calendar(node: Node | None, kind: CalendarKind, source: str, table: Mapping[str, Any], desk: Desk) -> Calendar:
    """Return the lines of one kind, each with a car that the table of numbers knows."""
    entries = []
    for typed, value in desk.pairs_of(node, "facts.wrong-shape.calendar"):
        time = date_only.read(typed, desk)
        line = open_record(CalendarLine, value, desk) if isinstance(value, Keyed) else None
        made = None if line is None else line.make()
        if isinstance(value, Keyed) and made is None:
            continue
        car = value if line is None else line.find(CalendarLine.CAR)
        number = None if car is None else read_car_in(car, table, desk)
        if time is None or number is None:
            continue
        if time.earliest is None or time.latest is None or time.approximate:
            desk.refuse("facts.bad-date.calendar", typed)
        else:
            whose, printed = (source, "") if made is None else (made.source or source, made.printed)
            entries.append(
                CalendarEntry(kind=kind, time=time, car=number, source=whose, printed=printed, place=typed.place)
            )
    return tuple(entries)


def read_car_in(node: Node, table: Mapping[str, Any], desk: Desk) -> CarNumber | None:
    """Return the car that a number names in a table of numbers, or None and a finding."""
    scalar = text.read(node, desk)
    number = None if scalar is None else read_car(scalar, table)
    if not isinstance(number, Problem):
        return number
    if desk.series_complete or number.code != "number-not-in-tables":  # it may lie in a run that is unread
        desk.problem(number, node.place)
    return None


def _position(number: CarNumber, runs: tuple[Run, ...]) -> int:
    """Return how many cars were built before this one in its series, by the runs alone."""
    before = 0
    for run in runs:
        last = run.last or ENDLESS
        if run.prefix in ("", number.prefix) and run.first <= number.number <= last:
            return before + number.number - run.first
        before += last - run.first + 1 if run.built else 0
    return before


def check_calendar(calendar: Calendar, runs: tuple[Run, ...], desk: Desk) -> None:
    """Say which lines of a calendar cannot both be true of one counter.

    Among lines of one kind a later time has a later car. The first car of a time comes after the last car
    by the end of any time before it; and of a time not after that end it is at most the next car. A line that lies
    generations from all others is told by itself, and nothing is held against it.
    """
    strange = _years_apart(calendar, desk)
    placed = [(entry, _day(entry), _position(entry.car, runs)) for entry in calendar if entry not in strange]
    for kind in CalendarKind:
        same = sorted((one for one in placed if one[0].kind is kind), key=lambda one: one[1])
        for (before, day, position), (after, next_day, next_position) in pairwise(same):
            if day < next_day and next_position <= position:
                _clash(after, before, "facts.calendar-out-of-order", desk)
    for first, start, position in placed:
        for last, end, last_position in placed:
            if (first.kind, last.kind) != (CalendarKind.FIRST_OF, CalendarKind.LAST_BY_END):
                continue
            if start > end and position <= last_position:
                _clash(first, last, "facts.calendar-out-of-order", desk)
                break
            if start <= end and position > last_position + 1:
                _clash(first, last, "facts.calendar-out-of-order.leaves-out", desk)
                break


def _years_apart(calendar: Calendar, desk: Desk) -> list[CalendarEntry]:
    """Return the lines whose year is no year of the others', each told, with the century that was meant."""
    years = sorted(entry.end.year for entry in calendar)
    if len(years) < 3:
        return []
    middle = years[len(years) // 2]
    strange = [entry for entry in calendar if abs(entry.end.year - middle) > _GENERATION]
    others = [entry for entry in calendar if entry not in strange]
    began, ended = min(one.end.year for one in others), max(one.end.year for one in others)
    for entry in strange:
        year = entry.end.year
        meant = next((year + by for by in (100, -100) if abs(year + by - middle) <= _GENERATION), None)
        better = entry.time.text.replace(str(year), str(meant)) if meant else entry.time.text
        way = "year" if better == entry.time.text else "century"
        desk.find(
            f"facts.calendar-out-of-order.{way}",
            entry.place,
            time=entry.time.text,
            better=better,
            began=str(began),
            ended=str(ended),
        )
    return strange


def _clash(entry: CalendarEntry, other: CalendarEntry, says: str, desk: Desk) -> None:
    there = sentence(f"facts.related.{other.kind}", time=other.time.text, car=other.car.written)
    time, car = entry.time.text, entry.car.written
    other_time, other_car = other.time.text, other.car.written
    desk.find(says, entry.place, [(other.place, there)], time=time, car=car, other_time=other_time, other_car=other_car)


def _day(entry: CalendarEntry) -> int:
    first, last = entry.time.days()
    return (last if entry.kind is CalendarKind.LAST_BY_END else first).toordinal()
