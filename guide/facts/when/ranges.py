"""Ranges of chassis numbers, such as ``C1001..C2900``."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from guide.facts.text.desk import Desk
from guide.facts.text.problem import Problem
from guide.facts.values import CarNumber, Text
from guide.facts.when.numbers import plain_number, unbounded_table
from guide.facts.when.whens import read_car

if TYPE_CHECKING:
    from guide.facts.types import Series

__all__ = ["ENDLESS", "read_built_range", "read_plain_range", "read_range"]

ENDLESS = 10**12  # stands for the end of a run that is not stated
_RANGE = re.compile(r"\s*(?:\.\.+|…| to )\s*")


def read_range(scalar: Text, series: Series, desk: Desk) -> tuple[CarNumber, CarNumber | None] | None:
    """Return first and last number of a range such as ``C1001..C2900``; None for a last that is not given."""
    parts = _RANGE.split(scalar)
    table = unbounded_table(series, ENDLESS)
    ends: list[CarNumber | None] = []
    for part in parts[:2]:
        if not part:
            ends.append(None)
            continue
        number = read_car(Text(part.strip(), scalar.place), table)
        if isinstance(number, Problem):
            dashed = [read_car(Text(end, scalar.place), table) for end in re.split(r"\s*[-–—]\s*", part)]
            if len(dashed) == 2 and all(isinstance(end, CarNumber) for end in dashed):
                number = Problem(
                    "bad-range",
                    f"expected two numbers with .. between, found {str(scalar)!r}",
                    f"write {'..'.join(end.text for end in dashed if isinstance(end, CarNumber))}",
                )
            desk.problem(number, scalar.place)
            return None
        ends.append(number)
    if len(parts) > 2 or not ends or ends[0] is None:
        desk.say(
            "bad-range",
            scalar.place,
            f"expected two numbers with .. between, found {str(scalar)!r}",
            "write it as C1001..C2900",
        )
        return None
    first, last = ends[0], ends[-1]
    if last is not None and last.prefix != first.prefix and not series.one_counter:
        desk.say(
            "bad-range",
            scalar.place,
            f"{str(scalar)!r} begins with one prefix and ends with another",
            "write a run for each prefix, or say `one counter: yes`",
        )
        return None
    if last is not None and last.number < first.number:
        desk.say(
            "inverted-range", scalar.place, f"{str(scalar)!r} ends before it begins", f"write {last.text}..{first.text}"
        )
        return None
    return first, last


def read_built_range(scalar: Text, desk: Desk) -> tuple[CarNumber, CarNumber] | None:
    """Return the ends of a range whose numbers were really built, of whichever series."""
    ends: list[CarNumber] = []
    for part in _RANGE.split(scalar):
        number = read_car(Text(part.strip(), scalar.place), desk.table)
        if isinstance(number, Problem):
            desk.problem(number, scalar.place)
            return None
        ends.append(number)
    first, last = ends[0], ends[-1]
    if len(ends) != 2 or first.series != last.series:
        desk.say(
            "bad-range",
            scalar.place,
            f"expected two numbers of one series with .. between, found {str(scalar)!r}",
            "write it as C1001..C1328",
        )
        return None
    if first.prefix == last.prefix and last.number < first.number:
        desk.say(
            "inverted-range", scalar.place, f"{str(scalar)!r} ends before it begins", f"write {last.text}..{first.text}"
        )
        return None
    return first, last


def read_plain_range(scalar: Text, desk: Desk) -> tuple[str, int, int] | None:
    """Return prefix, first and last number of a range in no series' notation, such as ``CX1..CX6``."""
    ends = [re.fullmatch(r"(.*?)([0-9]+)", plain_number(part)) for part in _RANGE.split(scalar)]
    first, last = ends[0], ends[-1]
    if len(ends) > 2 or first is None or last is None or first[1] != last[1]:
        desk.say(
            "bad-range",
            scalar.place,
            f"expected two numbers with .. between, found {str(scalar)!r}",
            "write it as CX1..CX6",
        )
        return None
    if int(first[2]) > int(last[2]):
        desk.say("inverted-range", scalar.place, f"{str(scalar)!r} ends before it begins", "exchange the numbers")
        return None
    return first[1], int(first[2]), int(last[2])
