"""Ranges of chassis numbers, such as ``C1001..C2900``."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from guide.facts.text.desk import Desk
from guide.facts.text.problem import Problem
from guide.facts.values import CarNumber, Text
from guide.facts.when.numbers import ENDLESS, plain_number, unbounded_table
from guide.facts.when.whens import read_car

if TYPE_CHECKING:
    from guide.facts.types import Series

__all__ = ["read_built_range", "read_end", "read_plain_range", "read_range"]

_RANGE = re.compile(r"\s*(?:\.\.+|…| to )\s*")


def read_range(scalar: Text, series: Series, desk: Desk) -> tuple[CarNumber, CarNumber | None] | None:
    """Return first and last number of a range such as ``C1001..C2900``; None for a last that is not given."""
    ends = _cars(scalar, unbounded_table(series, ENDLESS), desk)
    if ends is None:
        return None
    first, last = ends[0], ends[-1]
    if len(ends) > 2 or first is None:
        name = "facts.bad-range"
    elif last is not None and last.prefix != first.prefix and not series.one_counter:
        name = "facts.bad-range.two-prefixes"
    elif last is not None and last.number < first.number:
        name = "facts.inverted-range.swap"
    else:
        return first, last
    desk.refuse(name, scalar, better=f"{last.text if last else ''}..{first.text if first else ''}")
    return None


def read_end(scalar: Text, series: Series, desk: Desk) -> CarNumber | None:
    """Return one end of a run, such as ``C1001``, which no run holds yet; None with a finding for what is no number."""
    number = read_car(scalar, unbounded_table(series, ENDLESS))
    if isinstance(number, Problem):
        desk.problem(number, scalar.place)
        return None
    return number


def read_built_range(scalar: Text, desk: Desk) -> tuple[CarNumber, CarNumber] | None:
    """Return the ends of a range whose numbers were really built, of whichever series."""
    ends = _cars(scalar, desk.number_table, desk)
    if ends is None:
        return None
    first, last = ends[0], ends[-1]
    if len(ends) != 2 or first is None or last is None or first.series != last.series:
        desk.refuse("facts.bad-range.one-series", scalar)
        return None
    if first.prefix == last.prefix and last.number < first.number:
        better = f"{last.text}..{first.text}"
        desk.refuse("facts.inverted-range.swap", scalar, better=better)
        return None
    desk.cars_named += (first, last)
    return first, last


def read_plain_range(scalar: Text, desk: Desk) -> tuple[str, int, int] | None:
    """Return prefix, first and last number of a range in no series' notation, such as ``CX1..CX6``."""
    ends = [re.fullmatch(r"(.*?)([0-9]{1,18})", plain_number(part)) for part in _RANGE.split(scalar)]
    first, last = ends[0], ends[-1]
    if len(ends) > 2 or first is None or last is None or first[1] != last[1]:
        name = "facts.bad-range.outside"
    elif int(first[2]) > int(last[2]):
        name = "facts.inverted-range.numbers"
    else:
        return first[1], int(first[2]), int(last[2])
    desk.refuse(name, scalar)
    return None


def _cars(scalar: Text, table: Mapping[str, Any], desk: Desk) -> list[CarNumber | None] | None:
    """Return the ends of a range, None for one left open; None with a finding where one cannot be read."""
    ends: list[CarNumber | None] = []
    for part in _RANGE.split(scalar):
        number = read_car(Text(part, scalar.place), table) if part else None
        if isinstance(number, Problem):
            dashed = [read_car(Text(end, scalar.place), table) for end in re.split(r"\s*[-–—]\s*", part)]
            cars = [end.text for end in dashed if isinstance(end, CarNumber)]
            if len(cars) == len(dashed) == 2:
                number = Problem.of("facts.bad-range.dash", found=repr(scalar), better="..".join(cars))
            desk.problem(number, scalar.place)
            return None
        ends.append(number)
    return ends
