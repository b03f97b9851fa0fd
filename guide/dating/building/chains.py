"""From spells and their limits to the chance of each form in each bin.

    G_k(t) = s . U(t; limits of the first of spell k+1)  +  (1 - s) . U(t; limits of the last of spell k)

with U the marginal of changeovers drawn uniformly *in order* over open days, no last before the first that it
overlaps, and s the later spell's share where both were fitted; as a guard G_{k+1} := min(G_k, G_{k+1}). Then
P(spell k | t) = G_{k-1} - G_k, with G_0 = 1 and G_K = 0, which adds up to one. All of it averaged over the open
days of a bin.

The marginals are exact on a grid of days, by a forward and a backward pass over the ordered draws (two draws on
one day are in order half the time). Without the order a short spell between two alike would vanish. That no last
comes before its first is allowed for pair by pair: exact for one changeover, close where several overlap.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise
from math import ceil, floor
from operator import mul

__all__ = ["DayLimits", "changed_by", "close_lasts", "ordered_marginals"]

_POINT = 1e-6  # days: limits nearer than this are one moment


@dataclass(frozen=True, slots=True)
class DayLimits:
    """Limits as real days from the origin."""

    earliest: float
    latest: float

    def meet(self, other: DayLimits) -> DayLimits:
        """Return what both allow, or these limits where the two exclude each other."""
        both = DayLimits(max(self.earliest, other.earliest), min(self.latest, other.latest))
        return both if both.earliest <= both.latest else self


def close_lasts(
    firsts: Sequence[DayLimits], lasts: Sequence[DayLimits], stated: Sequence[bool], overlap: float
) -> list[DayLimits]:
    """Return the lasts for dating, given the first of the spell after each.

    One that nothing closes ends at that first plus ``overlap`` days. No last comes before that first can have
    come: until then every car had the old form. The order of the lasts stays possible.
    """
    closed: list[DayLimits] = []
    latest_start = float("-inf")
    for first, last, is_stated in zip(firsts, lasts, stated, strict=True):
        earliest = max(last.earliest, first.earliest)
        latest_start = max(latest_start, earliest)
        latest = last.latest if is_stated else min(last.latest, first.latest + overlap)
        closed.append(DayLimits(earliest, max(latest, latest_start)))
    return closed


@dataclass(frozen=True, slots=True)
class _Draw:
    """One changeover on the open days: ``weights`` per open day, and how much of a day follows it there."""

    weights: list[float]
    after: list[float]


def _draw(bounds: DayLimits, open_days: Sequence[int]) -> _Draw:
    weights, after = [0.0] * len(open_days), [0.0] * len(open_days)
    low, high = bounds.earliest, bounds.latest
    if high - low < _POINT:
        low = high = bounds.earliest
    near = range(bisect_left(open_days, floor(low)), bisect_right(open_days, ceil(high)))
    for at in near:
        day = open_days[at]
        start, end = max(low, day), min(high, day + 1)
        if end > start or (low == high and day <= low < day + 1):
            weights[at] = max(end - start, 0.0) or 1.0
            after[at] = 1.0 - ((start + end) / 2.0 - day)
    if not any(weights):  # all of it lies in a closure: the changeover came with the reopening
        at = next((at for at, day in enumerate(open_days) if day >= low), len(open_days) - 1)
        weights[at], after[at] = 1.0, 1.0 if open_days[at] >= low else 0.0
    return _Draw(weights, after)


def ordered_marginals(bounds: Sequence[DayLimits], open_days: Sequence[int]) -> list[list[float]]:
    """Return, per changeover and open day, the chance that it had come, averaged over that day.

    The changeovers are uniform over open days within their bounds, given that they come in order. Where no
    order is possible each stands for itself.
    """
    return _in_order([_draw(one, open_days) for one in bounds])


def _in_order(draws: Sequence[_Draw]) -> list[list[float]]:
    size = len(draws[0].weights) if draws else 0
    forward: list[list[float]] = []
    reached = [1.0] * size
    for draw in draws:
        line = list(map(mul, draw.weights, reached))
        forward.append(line)
        reached = _half_before(line)
    backward: list[list[float]] = [[1.0] * size]
    for draw in reversed(draws[1:]):
        line = list(map(mul, draw.weights, backward[0]))
        backward.insert(0, _half_before(line[::-1])[::-1])
    result = []
    for draw, ahead, behind in zip(draws, forward, backward, strict=True):
        masses = list(map(mul, ahead, behind))
        if sum(masses) <= 0.0:
            masses = draw.weights
        whole = sum(masses)
        before = accumulate(masses, initial=0.0)
        result.append(
            [(past + mass * after) / whole for past, mass, after in zip(before, masses, draw.after, strict=False)]
        )
    return result


def _half_before(line: Sequence[float]) -> list[float]:
    """Return what lies on earlier days and half of what lies on each day itself."""
    return [before + here / 2.0 for before, here in zip(accumulate(line, initial=0.0), line, strict=False)]


def _first_not_after_last(first: _Draw, last: _Draw) -> tuple[_Draw, _Draw]:
    """Return a first and the last it follows, each weighted by the chance that they come in that order."""
    by_then = list(map(mul, last.weights, _half_before(first.weights)))
    still = list(map(mul, first.weights, _half_before(last.weights[::-1])[::-1]))
    if sum(by_then) <= 0.0 or sum(still) <= 0.0:
        return first, last
    return _Draw(still, first.after), _Draw(by_then, last.after)


def changed_by(
    firsts: Sequence[DayLimits],
    lasts: Sequence[DayLimits],
    later_shares: Sequence[float],
    open_days: Sequence[int],
    bins: Sequence[Sequence[int]],
) -> list[list[float]]:
    """Return ``G[k][bin]`` for the changeovers of a chain; ``bins`` lists the indexes of each bin's open days."""
    pairs = [
        _first_not_after_last(_draw(first, open_days), _draw(last, open_days))
        for first, last in zip(firsts, lasts, strict=True)
    ]
    arrived = _in_order([first for first, _ in pairs])
    gone = _in_order([last for _, last in pairs])
    rows = []
    for new, old, share in zip(arrived, gone, later_shares, strict=True):
        by_day = [share * here + (1.0 - share) * there for here, there in zip(new, old, strict=True)]
        rows.append([sum(map(by_day.__getitem__, days)) / len(days) if days else float("nan") for days in bins])
    for earlier, later in pairwise(rows):  # the guard
        later[:] = map(min, later, earlier)
    return rows
