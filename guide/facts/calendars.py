"""The calendar of a series: which number was the last built by a time, or the first built in one."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise
from typing import Any

from guide.facts.desk import Desk
from guide.facts.fields import shape_of
from guide.facts.problem import Problem
from guide.facts.ranges import ENDLESS
from guide.facts.readers import date_only, text
from guide.facts.source import Keyed, Node
from guide.facts.types import CalendarEntry, CalendarKind, CarNumber, Run
from guide.facts.whens import read_car

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
        desk.problem(number, scalar.place)
        return None
    return number


def _rank(number: CarNumber, runs: tuple[Run, ...]) -> tuple[int, int]:
    for index, run in enumerate(runs):
        if run.prefix in ("", number.prefix) and run.first <= number.number <= (run.last or ENDLESS):
            return index, number.number
    return len(runs), number.number


def check_calendar(calendar: tuple[CalendarEntry, ...], runs: tuple[Run, ...], desk: Desk) -> None:
    """Say where a later time has a lower number: such lines cannot both be true of one counter."""
    for kind in CalendarKind:
        entries = sorted(
            (entry for entry in calendar if entry.kind is kind), key=lambda entry: _time_key(entry, kind)
        )
        for before, after in pairwise(entries):
            if _rank(after.car, runs) <= _rank(before.car, runs) and _time_key(before, kind) < _time_key(
                after, kind
            ):
                desk.say(
                    "calendar-out-of-order",
                    after.place,
                    f"{after.time.text} has {after.car.written}, which does not come after "
                    f"{before.car.written} of {before.time.text}",
                    "correct one of the two lines",
                    ((before.place, f"{before.time.text}: {before.car.written}"),),
                )


def _time_key(entry: CalendarEntry, kind: CalendarKind) -> int:
    bound = entry.time.latest if kind is CalendarKind.LAST_BY_END else entry.time.earliest
    assert bound
    return bound.toordinal()
