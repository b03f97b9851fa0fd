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
    firsts: Sequence[DayLimits],
    lasts: Sequence[DayLimits],
    stated: Sequence[bool],
    overlap: float,
    seen_until: Sequence[float],
) -> list[DayLimits]:
    """Return the lasts for dating, given the first of the spell after each.

    One that nothing closes ends at that first plus ``overlap`` days, or with the last day on which the latest car known
    to have it can have been built (``seen_until``): else that very car could hardly have had it. No last comes before
    that first can have come: until then every car had the old form. The order of the lasts stays possible.
    """
    closed: list[DayLimits] = []
    latest_start = float("-inf")
    for first, last, is_stated, seen in zip(firsts, lasts, stated, seen_until, strict=True):
        earliest = max(last.earliest, first.earliest)
        latest_start = max(latest_start, earliest)
        latest = last.latest if is_stated else min(last.latest, max(first.latest + overlap, seen))
        closed.append(DayLimits(earliest, max(latest, latest_start)))
    return closed


@dataclass(frozen=True, slots=True)
class _Draw:
    """One changeover on the open days that it can have come on, from ``start``: ``weights`` per open day, and how much
    of a day follows it there. On all other days it has no weight."""

    start: int
    weights: list[float]
    after: list[float]

    @property
    def end(self) -> int:
        return self.start + len(self.weights)

    def weighed(self, others: list[float]) -> _Draw:
        """Return it with its weights multiplied."""
        return _Draw(self.start, list(map(mul, self.weights, others)), self.after)


def _draw(bounds: DayLimits, open_days: Sequence[int]) -> _Draw:
    low, high = bounds.earliest, bounds.latest
    if high - low < _POINT:
        low = high = bounds.earliest
    near = range(bisect_left(open_days, floor(low)), bisect_right(open_days, ceil(high)))
    weights, after = [0.0] * len(near), [0.0] * len(near)
    for at, day in enumerate(open_days[near.start : near.stop]):
        start, end = max(low, day), min(high, day + 1)
        if end > start or (low == high and day <= low < day + 1):
            weights[at] = max(end - start, 0.0) or 1.0
            after[at] = 1.0 - ((start + end) / 2.0 - day)
    if not any(weights):  # all of it lies in a closure: the changeover came with the reopening
        at = next((at for at, day in enumerate(open_days) if day >= low), len(open_days) - 1)
        return _Draw(at, [1.0], [1.0 if open_days[at] >= low else 0.0])
    return _Draw(near.start, weights, after)


@dataclass(frozen=True, slots=True)
class _Come:
    """The chance that a changeover had come, on the open days from ``start``; nought before, ``then`` after them."""

    start: int
    chances: list[float]
    then: float

    @property
    def end(self) -> int:
        return self.start + len(self.chances)

    def on(self, first: int, end: int) -> list[float]:
        """Return the chance on each of some open days, in order."""
        return _laid(first, end, 0.0, self.start, self.chances, self.then)


def _laid(first: int, end: int, before: float, start: int, values: list[float], after: float) -> list[float]:
    """Return values from ``first`` to ``end``: those given from ``start``, others before and after these."""
    stop = start + len(values)
    inside = values[max(first - start, 0) : max(end - start, 0)]
    return [before] * (min(end, start) - first) + inside + [after] * (end - max(first, stop))


def ordered_marginals(bounds: Sequence[DayLimits], open_days: Sequence[int]) -> list[list[float]]:
    """Return, per changeover and open day, the chance that it had come, averaged over that day.

    The changeovers are uniform over open days within their bounds, given that they come in order. Where no
    order is possible each stands for itself.
    """
    return [one.on(0, len(open_days)) for one in _in_order([_draw(one, open_days) for one in bounds])]


def _in_order(draws: Sequence[_Draw]) -> list[_Come]:
    ahead, behind = list(draws), list(draws)  # each weighed by those before it, and by those after it
    for at in range(1, len(draws)):
        ahead[at] = draws[at].weighed(_half_before(ahead[at - 1], draws[at]))
    for at in range(len(draws) - 2, -1, -1):
        behind[at] = draws[at].weighed(_half_after(behind[at + 1], draws[at]))
    result = []
    for at, draw in enumerate(draws):
        by_those_after = _half_after(behind[at + 1], draw) if at + 1 < len(draws) else [1.0] * len(draw.weights)
        masses = list(map(mul, ahead[at].weights, by_those_after))
        if sum(masses) <= 0.0:
            masses = draw.weights
        whole = sum(masses)
        before = list(accumulate(masses, initial=0.0))
        came = [(past + mass * after) / whole for past, mass, after in zip(before, masses, draw.after, strict=False)]
        result.append(_Come(draw.start, came, before[-1] / whole))
    return result


def _half_before(draw: _Draw, there: _Draw) -> list[float]:
    """Return what lies on earlier days and half of what lies on each day itself, on the days of another draw."""
    before = list(accumulate(draw.weights, initial=0.0))
    halves = [past + here / 2.0 for past, here in zip(before, draw.weights, strict=False)]
    return _laid(there.start, there.end, 0.0, draw.start, halves, before[-1])


def _half_after(draw: _Draw, there: _Draw) -> list[float]:
    """Return what lies on later days and half of what lies on each day itself, on the days of another draw."""
    after = list(accumulate(reversed(draw.weights), initial=0.0))
    halves = [to_come + here / 2.0 for to_come, here in zip(after, reversed(draw.weights), strict=False)]
    return _laid(there.start, there.end, after[-1], draw.start, halves[::-1], 0.0)


def _first_not_after_last(first: _Draw, last: _Draw) -> tuple[_Draw, _Draw]:
    """Return a first and the last it follows, each weighted by the chance that they come in that order."""
    by_then, still = last.weighed(_half_before(first, last)), first.weighed(_half_after(last, first))
    if sum(by_then.weights) <= 0.0 or sum(still.weights) <= 0.0:
        return first, last
    return still, by_then


def changed_by(
    firsts: Sequence[DayLimits],
    lasts: Sequence[DayLimits],
    later_shares: Sequence[float],
    open_days: Sequence[int],
    bins: Sequence[Sequence[int]],
) -> list[list[float]]:
    """Return ``G[k][bin]`` for the changeovers of a chain; ``bins`` lists the indexes of each bin's open days, which
    follow one another."""
    pairs = [
        _first_not_after_last(_draw(first, open_days), _draw(last, open_days))
        for first, last in zip(firsts, lasts, strict=True)
    ]
    arrived = _in_order([first for first, _ in pairs])
    gone = _in_order([last for _, last in pairs])
    rows = [_averaged(new, old, share, bins) for new, old, share in zip(arrived, gone, later_shares, strict=True)]
    for earlier, later in pairwise(rows):  # the guard
        later[:] = map(min, later, earlier)
    return rows


def _averaged(new: _Come, old: _Come, share: float, bins: Sequence[Sequence[int]]) -> list[float]:
    """Return the chance of a changeover in each bin: between that of its first and that of its last, by a share."""
    start, end = min(new.start, old.start), max(new.end, old.end)
    by_day = [share * a + (1.0 - share) * b for a, b in zip(new.on(start, end), old.on(start, end), strict=True)]
    then = share * new.then + (1.0 - share) * old.then
    row = []
    for days in bins:
        if not days:
            row.append(float("nan"))
        elif days[-1] < start:
            row.append(0.0)
        else:
            row.append(sum(_laid(days[0], days[-1] + 1, 0.0, start, by_day, then)) / len(days))
    return row
