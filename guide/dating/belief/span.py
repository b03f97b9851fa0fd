"""The shortest span of days that holds a given share of the weight, and a hole in it.

Weight lies evenly inside each bin. The shortest interval holding an exact share then has one end on a bin's
edge, so trying every edge as its first and as its last end finds it; of equals the earliest is taken.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate

__all__ = [
    "Stretch",
    "days_between",
    "may_fit",
    "pieces_of",
    "shortest",
    "shortest_within",
    "weight_between",
    "weight_by",
]

_CLOSE = 1e-7  # days: two spans nearer than this in length are equals


@dataclass(frozen=True, slots=True)
class Stretch:
    """From day ``start`` up to day ``end`` (real numbers of days from the origin), holding ``weight``."""

    start: float
    end: float
    weight: float


def shortest(edges: Sequence[float], weights: Sequence[float], level: float) -> Stretch:
    """Return the shortest stretch that holds ``level`` of the total of ``weights``.

    ``edges`` are days, one more than ``weights``. The stretch's weight is a share of the total.
    """
    running = list(accumulate(weights, initial=0.0))
    total = running[-1]
    want = level * total
    best: tuple[float, float] | None = None
    for at in range(len(weights)):
        if weights[at] <= 0.0:
            continue
        candidates = []
        if running[at] + want <= total * (1 + 1e-12):
            candidates.append((float(edges[at]), _day_of(edges, running, min(running[at] + want, total))))
        if running[at + 1] - want >= -total * 1e-12:
            candidates.append((_day_of_start(edges, running, running[at + 1] - want), float(edges[at + 1])))
        for start, end in candidates:
            if best is None or _better((start, end), best):
                best = (start, end)
    assert best is not None, "no weight at all"
    return Stretch(best[0], best[1], level)


def shortest_within(edges: Sequence[int], weights: Sequence[float], level: float, outer: Stretch) -> Stretch:
    """Return the shortest stretch inside ``outer`` that holds ``level`` of the total of ``weights``.

    ``outer`` must hold more than that. So drawn, half of the cars never stick out of nine in ten of them, which
    the shortest stretches of all would where the densest days lie at the edge of a thinner, longer run.
    """
    bins = [at for at in range(len(weights)) if edges[at + 1] > outer.start + _CLOSE and edges[at] < outer.end - _CLOSE]
    ends = [outer.start, *(float(edges[at]) for at in bins[1:]), outer.end]
    inside = [
        weights[at] * (ends[place + 1] - ends[place]) / (edges[at + 1] - edges[at]) for place, at in enumerate(bins)
    ]
    found = shortest(ends, inside, min(level * sum(weights) / sum(inside), 1.0))
    return Stretch(found.start, found.end, level)


def may_fit(edges: Sequence[int], weights: Sequence[float], level: float, days: float) -> bool:
    """Return whether a stretch of ``days`` might hold ``level`` (over a half) of the total; False is certain.

    Such a stretch holds the median day, so it lies within ``days`` of it on either side.
    """
    running = list(accumulate(weights, initial=0.0))
    median = _day_of(edges, running, running[-1] / 2.0)
    near = weight_between(edges, running, median - days - 1.0, median + days + 1.0)
    return near >= level * running[-1] * (1.0 - 1e-9)


def _better(one: tuple[float, float], other: tuple[float, float]) -> bool:
    shorter = (one[1] - one[0]) - (other[1] - other[0])
    if abs(shorter) > _CLOSE:
        return shorter < 0
    return one[0] < other[0] - _CLOSE


def _day_of(edges: Sequence[float], running: Sequence[float], weight: float) -> float:
    """Return the first day by which ``weight`` has been gathered."""
    return _day_in(edges, running, min(max(bisect_left(running, weight), 1), len(edges) - 1) - 1, weight, 1.0)


def _day_of_start(edges: Sequence[float], running: Sequence[float], weight: float) -> float:
    """Return the last day before which no more than ``weight`` has been gathered."""
    at = min(max(bisect_right(running, max(weight, 0.0)) - 1, 0), len(edges) - 2)
    return _day_in(edges, running, at, weight, 0.0)


def _day_in(edges: Sequence[float], running: Sequence[float], at: int, weight: float, empty: float) -> float:
    """Return the day of a bin by which ``weight`` has been gathered; of one without weight the part ``empty``."""
    below, above = running[at], running[at + 1]
    part = (weight - below) / (above - below) if above > below else empty
    return edges[at] + min(max(part, 0.0), 1.0) * (edges[at + 1] - edges[at])


def weight_between(edges: Sequence[int], running: Sequence[float], start: float, end: float) -> float:
    """Return the weight gathered between two days."""
    return weight_by(edges, running, end) - weight_by(edges, running, start)


def weight_by(edges: Sequence[int], running: Sequence[float], day: float) -> float:
    """Return the weight gathered by a day; none before the first edge, all of it after the last."""
    if day <= edges[0]:
        return 0.0
    at = min(bisect_right(edges, day) - 1, len(edges) - 2)
    part = min((day - edges[at]) / (edges[at + 1] - edges[at]), 1.0)
    return running[at] + part * (running[at + 1] - running[at])


def pieces_of(
    edges: Sequence[int], weights: Sequence[float], whole: Stretch, *, hole_share: float, hole_weight: float
) -> list[Stretch]:
    """Return the stretch, or the two parts either side of its hole; one where the other, with the hole, holds less than
    a hole may: a splinter is no date.

    A hole is a run of bins longer than ``hole_share`` of the stretch that holds less than ``hole_weight`` of
    the total, neither of its ends in a bin denser than such a hole may be; the longest counts, of equals the
    earliest.
    """
    running = list(accumulate(weights, initial=0.0))
    total = running[-1]
    length = whole.end - whole.start
    sparse = hole_weight * total / (hole_share * length)
    best: tuple[int, int] | None = None
    inside = [at for at, day in enumerate(edges) if whole.start + _CLOSE < day < whole.end - _CLOSE]
    for first in inside:
        if weights[first] > sparse * (edges[first + 1] - edges[first]):
            continue
        last = min(bisect_left(running, running[first] + hole_weight * total) - 1, inside[-1])
        while last > first and weights[last - 1] > sparse * (edges[last] - edges[last - 1]):
            last -= 1
        found = edges[last] - edges[first]
        if found > length * hole_share and (best is None or found > edges[best[1]] - edges[best[0]]):
            best = (first, last)
    if best is None:
        return [whole]
    halves = ((whole.start, float(edges[best[0]])), (float(edges[best[1]]), whole.end))
    parts = [Stretch(start, end, weight_between(edges, running, start, end) / total) for start, end in halves]
    return next(([part] for part in parts if whole.weight - part.weight < hole_weight), parts)


def days_between(stretch: Stretch) -> tuple[int, int]:
    """Return the first and last whole day (inclusive) that a stretch touches."""
    first = int(stretch.start + 1e-6)
    last = -int(-(stretch.end - 1e-6) // 1) - 1
    return first, max(first, last)
