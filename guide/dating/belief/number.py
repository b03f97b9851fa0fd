"""A chassis number as evidence of the date, day by day, and the numbers that a span of days would carry.

A car at position ``p`` of a series with a disorder of ``k`` cars was built in the place of one of the cars ``p - k`` to
``p + k``, those nearest the likeliest, but never on the other side of a closure of which a paper says where it lies
among the numbers. Between two knots, days by which papers say how many cars were built, the pace was not quite even:
a place at the part ``q`` of the cars between them lies at the part ``x`` of the open days with the density of
Beta(1 + lots q, 1 + lots (1 - q)), as if the cars had come in so many lots on days drawn by chance (order statistics
of uniform draws: David & Nagaraja 2003, Order Statistics, 2.2). A share ``pace_unknown`` of the cars came at no such
pace. So every day that `guide.limits` allows a number has some weight, and no other day has any.

With a small chance the number was misread or restamped and is then any number at all.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from dataclasses import dataclass
from itertools import accumulate, pairwise
from operator import mul

from guide.dating.belief.prepare import Prepared
from guide.dating.belief.span import weight_by
from guide.dating.model import ModelSeries
from guide.facts.when.numbers import read_table_number

__all__ = [
    "Numbered",
    "chance_by_day",
    "days_allowed",
    "days_of_number",
    "fits_row",
    "numbers_in",
    "read_car",
    "read_cars",
    "write_at",
    "wrong_number",
]

_REMEMBERED = 2000  # numbers: the cars seen of a large guide are asked of again and again
_ROUNDED = 0.05  # cars: more than the thousandths add up to in which the model writes the cars of each slot


@dataclass(frozen=True, slots=True)
class Numbered:
    """A chassis number that was read. ``position`` is None when its series says nothing of the build order."""

    series: int
    written: str
    suffix: str
    position: int | None


def read_car(prepared: Prepared, text: str) -> Numbered | str:
    """Return the number that a text means, or the failure (a `NumberFailure` value)."""
    read = read_table_number(text, prepared.model.numbers)
    if "failure" in read:
        return str(read["failure"])
    at = next((i for i, one in enumerate(prepared.numbered) if one.id == read["series"]), None)
    if at is None:
        return "not-in-tables"
    position = _position(prepared.numbered[at], read["prefix"], read["number"])
    return Numbered(at, read["written"], read["suffix"], position)


def read_cars(prepared: Prepared, text: str) -> tuple[Numbered | str | None, tuple[Numbered, ...]]:
    """Return what the numbers of one car mean, several being joined by ``+``: its chassis number, or the failure of the
    first that cannot be used where there is none, and its further numbers."""
    read = [read_car(prepared, part) for part in text.split("+")]
    own = [one for one in read if isinstance(one, str) or one.series < len(prepared.model.series)]
    further = tuple(one for one in read if isinstance(one, Numbered) and one.series >= len(prepared.model.series))
    return next((one for one in own if isinstance(one, Numbered)), next(iter(own), None)), further


def _position(series: ModelSeries, prefix: str, number: int) -> int | None:
    ends = accumulate(cars for _, _, cars in series.runs)
    for (run_prefix, first, cars), end in zip(series.runs, ends, strict=True):
        if run_prefix in ("", prefix) and first <= number < first + cars:
            return end - cars + number - first
    return None


def days_of_number(prepared: Prepared, car: Numbered, *, paced: bool = True) -> tuple[list[float], list[float]]:
    """Return the likelihood of a number, day by day from the origin: of a car whose series and ending it fits, and of
    any other, which is that of a number that is not the car's own. Not ``paced``: of what the papers alone say."""
    span, wrong = prepared.model.edges[-1], wrong_number(prepared)
    chances, cars = chance_by_day(prepared, car, paced=paced), prepared.cars_a_day[car.series]
    if chances is None:
        return [1.0] * span, [wrong] * span
    right = 1.0 - prepared.model.chances.number_wrong
    first, days = chances
    made = cars[first : first + len(days)]
    fits = [wrong + (right * chance / made if made else 0.0) for chance, made in zip(days, made, strict=True)]
    return [*[wrong] * first, *fits, *[wrong] * (span - first - len(fits))], [wrong] * span


def fits_row(prepared: Prepared, car: Numbered, row: int) -> bool:
    """Tell whether a number's series and what its ending settles are those of a row; a further number is on cars of
    any series."""
    series, specification = prepared.rows[row]
    splits = prepared.model.specifications[specification].splits
    settled = prepared.numbered[car.series].suffixes.get(car.suffix, {}) if car.position is not None else {}
    return (series == car.series or car.series >= len(prepared.model.series)) and all(
        splits.get(name) in values for name, values in settled.items() if name in splits
    )


def chance_by_day(prepared: Prepared, car: Numbered, *, paced: bool = True) -> tuple[int, list[float]] | None:
    """Return the chance that the car of a number, if it is its own, was built on each day from a first one on, and on
    no other; None: it says nothing. Remembered."""
    key = car, paced
    if key not in prepared.by_number:
        if len(prepared.by_number) > _REMEMBERED:
            prepared.by_number.clear()
        prepared.by_number[key] = _by_day(prepared, car, paced=paced)
    return prepared.by_number[key]


def _by_day(prepared: Prepared, car: Numbered, *, paced: bool) -> tuple[int, list[float]] | None:
    if car.position is None:
        return None
    one, made = prepared.numbered[car.series], prepared.cars_a_day[car.series]
    stray = one.strays.get(car.written.removesuffix(car.suffix))
    low, high = _reach(one, car.position)
    first, last = stray or _allowed(one, low, high, len(made) - 1)
    days = slice(max(first, 0), last + 1)
    allowed = [1.0 if cars else 0.0 for cars in made[days]]
    whole = sum(allowed)
    if not whole:
        return None
    even = allowed
    if paced and not stray:
        even = list(map(mul, allowed, _paced(prepared, car.series, car.position, low, high)[days]))
    known = sum(even)
    unknown = prepared.model.chances.pace_unknown if known else 1.0
    share = (1.0 - unknown) / (known or 1.0)
    return days.start, [share * chance + unknown * day / whole for chance, day in zip(even, allowed, strict=True)]


def days_allowed(prepared: Prepared, car: Numbered) -> tuple[int, int] | None:
    """Return the first and last day that the papers allow the car of a number, by their numbers alone."""
    if car.position is None:
        return None
    one = prepared.model.series[car.series]
    stray = one.strays.get(car.written.removesuffix(car.suffix))
    return stray or _allowed(one, *_reach(one, car.position), prepared.model.edges[-1] - 1)


def _reach(series: ModelSeries, position: int) -> tuple[int, int]:
    """Return the first and last place in which a car can have been built, on its side of closures that papers place."""
    after = bisect_right(series.cuts, position)
    low = max(position - series.tolerance_cars, series.cuts[after - 1] if after else 0)
    most = series.cuts[after] if after < len(series.cuts) else sum(cars for _, _, cars in series.runs)
    return low, min(position + series.tolerance_cars, most - 1)


def _allowed(series: ModelSeries, low: int, high: int, last: int) -> tuple[int, int]:
    """Return the first and last day that the papers allow the places from ``low`` to ``high``."""
    since = max((day for at, day in series.since if at <= low), default=0)
    return since, min((day for at, day in series.until if at >= high), default=last)


def _paced(prepared: Prepared, series: int, position: int, low: int, high: int) -> list[float]:
    """Return the chance of each day by a pace that was nearly even between two knots."""
    one, made = prepared.numbered[series], prepared.cars_a_day[series]
    beyond = one.tolerance_cars + 1
    found = [0.0] * len(made)
    for (finished, began), (then, ended) in pairwise(one.knots):
        if high + 0.5 < finished or then <= low + 0.5:
            continue
        places = [place for place in range(low, high + 1) if finished <= place + 0.5 < then]
        days = [day for day in range(int(began), math.ceil(ended)) if made[day]] if places else []
        if not days:
            continue
        cars = then - finished
        lots = _lots(prepared.model.chances.uneven, cars)
        open_part = [min(day + 1, ended) - max(day, began) for day in days]
        middles = [
            start + part / 2.0 for start, part in zip(accumulate(open_part, initial=0.0), open_part, strict=False)
        ]
        passed = [math.log(middle / sum(open_part)) for middle in middles]
        left = [math.log(1.0 - middle / sum(open_part)) for middle in middles]
        for place in places:
            q = (place + 0.5 - finished) / cars
            top = q * math.log(q) + (1.0 - q) * math.log(1.0 - q) if 0.0 < q < 1.0 else 0.0
            logs = zip(open_part, passed, left, strict=True)
            line = [part * math.exp(lots * (q * a + (1.0 - q) * b - top)) for part, a, b in logs]
            share = (beyond - abs(place - position)) / sum(line)
            for day, value in zip(days, line, strict=True):
                found[day] += share * value
    return found


def _lots(uneven: float, cars: float) -> float:
    """Return how many lots leave the build so far ahead or behind midway, each so likely; no more than the cars allow.

    Midway Beta(1 + lots / 2, 1 + lots / 2) has the variance 1 / (4 (lots + 3)), an even chance within ``uneven`` on
    either side a third of its square.
    """
    return min(max(0.75 / uneven**2 - 3.0, 0.0) if uneven else math.inf, max(cars - 1.0, 0.0))


def wrong_number(prepared: Prepared) -> float:
    """Return the chance of a number that is not the car's own, any of them as likely."""
    return prepared.model.chances.number_wrong / sum(before[-1] for before in prepared.before)


def numbers_in(prepared: Prepared, series: int, start: float, end: float) -> tuple[str, str] | None:
    """Return the first and last number that a car of the series built in these days would carry.

    No car stands on the other side of a closure whose place among the numbers is known. None where no number is
    known that such a car would carry.
    """
    one, before, edges = prepared.model.series[series], prepared.before[series], prepared.model.edges
    if not one.runs:
        return None
    earliest = math.floor(weight_by(edges, before, start) + _ROUNDED)
    latest = math.ceil(weight_by(edges, before, end) - _ROUNDED) - 1
    count = sum(cars for _, _, cars in one.runs)
    first = max([earliest - one.tolerance_cars, *(cars for cars in one.cuts if cars <= earliest)])
    last = min([latest + one.tolerance_cars, *(cars - 1 for cars in one.cuts if cars > latest)])
    if first >= count:
        return None
    return (
        write_at(prepared, series, min(max(first, 0), count - 1)),
        write_at(prepared, series, min(max(last, 0), count - 1)),
    )


def write_at(prepared: Prepared, series: int, position: int) -> str:
    """Return the number at a position of a series as that writes it, a letter not known as ``?``."""
    one = prepared.model.series[series]
    ends = accumulate(cars for _, _, cars in one.runs)
    (prefix, first, cars), end = next(run for run in zip(one.runs, ends, strict=True) if position < run[1])
    digits = str(first + cars + position - end)
    row = next(row for row in prepared.model.numbers["series"] if row["id"] == one.id)
    notation = next(one for one in row["notations"] if prefix in ("", one["prefix"]) and len(digits) <= one["digits"])
    padded = list(digits.zfill(notation["digits"]))
    return "".join(padded.pop(0) if sign == "#" else sign for sign in notation["written"])
