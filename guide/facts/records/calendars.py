"""The calendar of a series: which number was the last built by a time, or the first built in one."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise
from typing import Any

from guide.facts.records.fields import shape_of
from guide.facts.records.readers import date_only, text
from guide.facts.text.desk import Desk
from guide.facts.text.problem import Problem
from guide.facts.text.source import Keyed, Node
from guide.facts.types import CalendarEntry, CalendarKind, CarNumber, Run
from guide.facts.when.ranges import ENDLESS
from guide.facts.when.whens import read_car

__all__ = ["check_calendar", "read_calendar", "read_car_in"]


def read_calendar(
    node: Node | None, kind: CalendarKind, source: str, table: Mapping[str, Any], desk: Desk
) -> tuple[CalendarEntry, ...]:
    if node is None:
        return ()
    if not isinstance(node, Keyed):
        desk.say(
            "wrong-shape",
            node.place,
            f"expected a time and a car on each line, found {shape_of(node)}",
            "write lines such as `1968-05: C1866`",
        )
        return ()
    entries = []
    for key, value in node.pairs:
        time = date_only.read(key, desk)
        number = read_car_in(value, table, desk)
        if time is None or number is None:
            continue
        if time.earliest is None or time.latest is None or time.approximate:
            desk.say(
                "bad-date",
                key.place,
                f"expected a day, month or year, found {str(key)!r}",
                "write it as 1968-05 or 1968-05-24: a calendar line is exact",
            )
            continue
        entries.append(CalendarEntry(kind=kind, time=time, car=number, source=source, place=key.place))
    return tuple(entries)


def read_car_in(node: Node, table: Mapping[str, Any], desk: Desk) -> CarNumber | None:
    scalar = text.read(node, desk)
    if scalar is None:
        return None
    number = read_car(scalar, table)
    if isinstance(number, Problem):
        if desk.series_complete or number.code != "number-not-in-tables":  # it may lie in a run that is unread
            desk.problem(number, scalar.place)
        return None
    return number


def _position(number: CarNumber, runs: tuple[Run, ...]) -> int:
    """Return how many cars were built before this one in its series, by the runs alone."""
    before = 0
    for run in runs:
        last = run.last or ENDLESS
        if run.prefix in ("", number.prefix) and run.first <= number.number <= last:
            return before + number.number - run.first
        before += last - run.first + 1 if run.built else 0
    return before


def check_calendar(calendar: tuple[CalendarEntry, ...], runs: tuple[Run, ...], desk: Desk) -> None:
    """Say which lines of a calendar cannot both be true of one counter.

    Among lines of one kind a later time has a later car. The first car of a time comes after the last car
    by the end of any time before it; and of a time not after that end it is at most the next car.
    """
    placed = [(entry, _day(entry), _position(entry.car, runs)) for entry in calendar]
    for kind in CalendarKind:
        same = sorted((one for one in placed if one[0].kind is kind), key=lambda one: one[1])
        for (before, day, position), (after, next_day, next_position) in pairwise(same):
            if day < next_day and next_position <= position:
                _clash(after, before, f"does not come after {before.car.written}", desk)
    for first, start, position in placed:
        for last, end, last_position in placed:
            if (first.kind, last.kind) != (CalendarKind.FIRST_OF, CalendarKind.LAST_BY_END):
                continue
            if start > end and position <= last_position:
                _clash(first, last, f"does not come after {last.car.written}", desk)
                break
            if start <= end and position > last_position + 1:
                _clash(first, last, f"leaves cars out after {last.car.written}", desk)
                break


def _clash(entry: CalendarEntry, other: CalendarEntry, says: str, desk: Desk) -> None:
    desk.say(
        "calendar-out-of-order",
        entry.place,
        f"{entry.time.text} has {entry.car.written}, which {says} of {other.time.text}",
        "correct one of the two lines",
        ((other.place, f"{other.kind} {other.time.text}: {other.car.written}"),),
    )


def _day(entry: CalendarEntry) -> int:
    bound = entry.time.latest if entry.kind is CalendarKind.LAST_BY_END else entry.time.earliest
    assert bound
    return bound.toordinal()
