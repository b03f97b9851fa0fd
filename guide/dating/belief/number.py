"""A chassis number as evidence of the date, and the numbers that a span of days would carry.

A car at position ``p`` of a series with a disorder of ``k`` cars was built in the place of one of the cars
``p - k`` to ``p + k``, each as likely, but never on the other side of a closure; a named stray has its own
days. Between two lines of the calendar the build was not quite even either, which widens ``k`` by a stated share
of the cars between them, most midway; it stays between those lines, which say by when so many cars were built. So
no number is dated to days that `guide.limits` rules out for it. With a small chance the number was misread or
restamped and is then any number at all.
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate

from guide.dating.belief.prepare import Prepared
from guide.dating.belief.span import weight_by
from guide.dating.model import ModelSeries
from guide.facts.when.numbers import read_table_number

__all__ = [
    "Numbered",
    "chance_of_own_number",
    "chance_of_wrong_number",
    "factor_of_number",
    "numbers_in",
    "read_car",
    "write_at",
]

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
    at = next((i for i, one in enumerate(prepared.model.series) if one.id == read["series"]), None)
    if at is None:
        return "not-in-tables"
    position = _position(prepared.model.series[at], read["prefix"], read["number"])
    return Numbered(at, read["written"], read["suffix"], position)


def _position(series: ModelSeries, prefix: str, number: int) -> int | None:
    ends = accumulate(cars for _, _, cars in series.runs)
    for (run_prefix, first, cars), end in zip(series.runs, ends, strict=True):
        if run_prefix in ("", prefix) and first <= number < first + cars:
            return end - cars + number - first
    return None


def factor_of_number(prepared: Prepared, car: Numbered) -> list[float]:
    """Return the likelihood of a number for every cell."""
    model, bins = prepared.model, prepared.bins
    wrong = _wrong(prepared)
    if car.position is None:
        return [1.0 if s == car.series else wrong for s, _ in prepared.rows for _ in range(bins)]
    line = _chances(prepared, car.series, car.position, car.written.removesuffix(car.suffix))
    settled = model.series[car.series].suffixes.get(car.suffix, {})
    cells: list[float] = []
    for s, c in prepared.rows:
        splits = model.specifications[c].splits
        fits = s == car.series and all(
            splits.get(split) in values for split, values in settled.items() if split in splits
        )
        right = 1.0 - model.chances.number_wrong
        cells += [wrong + right * chance for chance in line] if fits else [wrong] * bins
    return cells


def chance_of_wrong_number(prepared: Prepared, car: Numbered, weights: Sequence[float]) -> float:
    """Return the chance that a number is not the car's own, given what is believed of the car, its number included."""
    wrong, factors = _wrong(prepared), factor_of_number(prepared, car)
    return sum(w * wrong / f for w, f in zip(weights, factors, strict=True) if w > 0.0)


def chance_of_own_number(prepared: Prepared, car: Numbered) -> list[float]:
    """Return for every cell the chance that a car of it which carries this number carries its own."""
    wrong = _wrong(prepared)
    return [1.0 - wrong / factor for factor in factor_of_number(prepared, car)]


def _wrong(prepared: Prepared) -> float:
    """Return the chance of a number that is not the car's own, any of them as likely."""
    return prepared.model.chances.number_wrong / sum(before[-1] for before in prepared.before)


def _chances(prepared: Prepared, series: int, position: int, plain: str) -> list[float]:
    """Return, per bin, the chance that a car built then carries this number."""
    one, before, edges = prepared.model.series[series], prepared.before[series], prepared.model.edges
    stray = one.strays.get(plain)
    if stray is not None:
        days = [max(0, min(edges[t + 1], stray[1] + 1) - max(edges[t], stray[0])) for t in range(prepared.bins)]
        whole = sum(days)
        return [share / whole / cars if cars > 0 else 0.0 for share, cars in zip(days, one.cars, strict=True)]
    low, high = _places(one, position, prepared.model.chances.uneven)
    for t, cars in enumerate(one.cars):
        if cars <= 0.0 and before[0] < before[t] < before[-1]:
            if before[t] <= position + 0.5:
                low = max(low, before[t])
            else:
                high = min(high, before[t])
    width = min(high, before[-1]) - max(low, 0.0)
    return [
        max(0.0, min(before[t + 1], high) - max(before[t], low)) / cars / width if cars > 0 else 0.0
        for t, cars in enumerate(one.cars)
    ]


def _places(series: ModelSeries, position: int, uneven: float) -> tuple[float, float]:
    """Return from where to where in an even build the car may stand, closures left out of account."""
    knots, beyond = series.knots, _ahead_or_behind(series.knots, position, uneven)
    low, high = position - series.tolerance_cars, position + 1 + series.tolerance_cars
    behind, ahead = bisect_right(knots, low) - 1, bisect_left(knots, high)
    return (
        low - beyond if behind < 0 else max(low - beyond, knots[behind]),
        high + beyond if ahead == len(knots) else min(high + beyond, knots[ahead]),
    )


def _ahead_or_behind(knots: Sequence[int], position: int, uneven: float) -> float:
    """Return by how many cars the build may run ahead of an even one, or behind: nought at a knot, most midway."""
    at = bisect_right(knots, position)
    if not 0 < at < len(knots):
        return 0.0
    cars = knots[at] - knots[at - 1]
    part = (position + 0.5 - knots[at - 1]) / cars
    return uneven * cars * 4.0 * part * (1.0 - part)


def numbers_in(prepared: Prepared, series: int, start: float, end: float) -> tuple[str, str] | None:
    """Return the first and last number that a car of the series built in these days would carry.

    As for `factor_of_number`, no car is thought to stand on the other side of a closure. None where no number is known
    that such a car would carry.
    """
    one, before, edges = prepared.model.series[series], prepared.before[series], prepared.model.edges
    if not one.runs:
        return None
    earliest = math.floor(weight_by(edges, before, start) + _ROUNDED)
    latest = math.ceil(weight_by(edges, before, end) - _ROUNDED) - 1
    count = sum(cars for _, _, cars in one.runs)
    shut = [round(before[t]) for t, cars in enumerate(one.cars) if cars <= 0.0 and before[0] < before[t] < before[-1]]
    first = max([earliest - one.tolerance_cars, *(cars for cars in shut if cars <= earliest)])
    last = min([latest + one.tolerance_cars, *(cars - 1 for cars in shut if cars > latest)])
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
