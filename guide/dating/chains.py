"""From spells and their limits to the chance of each form in each bin.

    G_k(t) = s . U(t; limits of the first of spell k+1)  +  (1 - s) . U(t; limits of the last of spell k)

with U the marginal of changeovers drawn uniformly *in order* over open days, and s the later spell's share
where both were fitted; as a guard G_{k+1} := min(G_k, G_{k+1}). Then P(spell k | t) = G_{k-1} - G_k, with
G_0 = 1 and G_K = 0, which adds up to one. All of it averaged over the open days of a bin.

The marginals are exact on a grid of days, by a forward and a backward pass over the ordered draws (two draws on
one day are in order half the time). Without the order a short spell between two alike would vanish.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate

__all__ = ["Bounds", "changed_by", "close_lasts", "guarded", "ordered_marginals"]

_POINT = 1e-6        # days: limits nearer than this are one moment


@dataclass(frozen=True, slots=True)
class Bounds:
    """Limits as real days from the origin."""

    earliest: float
    latest: float

    def meet(self, other: Bounds) -> Bounds:
        """Return what both allow, or these limits where the two exclude each other."""
        both = Bounds(max(self.earliest, other.earliest), min(self.latest, other.latest))
        return both if both.earliest <= both.latest else self


def close_lasts(firsts: Sequence[Bounds], lasts: Sequence[Bounds], stated: Sequence[bool], overlap: float) -> list[Bounds]:
    """Return the lasts for dating: one that nothing closes ends at the next first plus ``overlap`` days.

    ``firsts[k]`` is the first of the spell after that of ``lasts[k]``. The order of the lasts stays possible.
    """
    closed: list[Bounds] = []
    latest_start = float("-inf")
    for first, last, is_stated in zip(firsts, lasts, stated, strict=True):
        latest_start = max(latest_start, last.earliest)
        latest = last.latest if is_stated else min(last.latest, first.latest + overlap)
        closed.append(Bounds(last.earliest, max(latest, latest_start)))
    return closed


@dataclass(frozen=True, slots=True)
class _Draw:
    """One changeover on the open days: ``weights`` per open day, and how much of a day follows it there."""

    weights: list[float]
    after: list[float]


def _draw(bounds: Bounds, open_days: Sequence[int]) -> _Draw:
    weights, after = [0.0] * len(open_days), [0.0] * len(open_days)
    low, high = bounds.earliest, bounds.latest
    if high - low < _POINT:
        low = high = bounds.earliest
    for at, day in enumerate(open_days):
        start, end = max(low, day), min(high, day + 1)
        if end > start or (low == high and day <= low < day + 1):
            weights[at] = max(end - start, 0.0) or 1.0
            after[at] = 1.0 - ((start + end) / 2.0 - day)
    if not any(weights):             # all of it lies in a closure: the changeover came with the reopening
        at = next((at for at, day in enumerate(open_days) if day >= low), len(open_days) - 1)
        weights[at], after[at] = 1.0, 1.0 if open_days[at] >= low else 0.0
    return _Draw(weights, after)


def ordered_marginals(bounds: Sequence[Bounds], open_days: Sequence[int]) -> list[list[float]]:
    """Return, per changeover and open day, the chance that it had come, averaged over that day.

    The changeovers are uniform over open days within their bounds, given that they come in order. Where no
    order is possible each stands for itself.
    """
    draws = [_draw(one, open_days) for one in bounds]
    size = len(open_days)
    forward: list[list[float]] = []
    reached = [1.0] * size
    for draw in draws:
        line = [w * r for w, r in zip(draw.weights, reached, strict=True)]
        forward.append(line)
        sums = list(accumulate(line, initial=0.0))
        reached = [before + here / 2.0 for before, here in zip(sums, line, strict=False)]
    backward: list[list[float]] = [[1.0] * size]
    for draw in reversed(draws[1:]):
        line = [w * b for w, b in zip(draw.weights, backward[0], strict=True)]
        sums = list(accumulate(reversed(line), initial=0.0))[:size][::-1]
        backward.insert(0, [later + here / 2.0 for later, here in zip(sums, line, strict=True)])
    result = []
    for draw, ahead, behind in zip(draws, forward, backward, strict=False):
        masses = [a * b for a, b in zip(ahead, behind, strict=True)]
        if sum(masses) <= 0.0:
            masses = draw.weights
        whole = sum(masses)
        before = accumulate(masses, initial=0.0)
        result.append([
            (past + mass * after) / whole for past, mass, after in zip(before, masses, draw.after, strict=False)
        ])
    return result


def changed_by(
    firsts: Sequence[Bounds], lasts: Sequence[Bounds], later_shares: Sequence[float],
    open_days: Sequence[int], bins: Sequence[Sequence[int]],
) -> list[list[float]]:
    """Return ``G[k][bin]`` for the changeovers of a chain; ``bins`` lists the indexes of each bin's open days."""
    arrived = ordered_marginals(firsts, open_days)
    gone = ordered_marginals(lasts, open_days)
    rows = []
    for new, old, share in zip(arrived, gone, later_shares, strict=True):
        rows.append([
            sum(share * new[d] + (1.0 - share) * old[d] for d in days) / len(days) if days else float("nan")
            for days in bins
        ])
    return guarded(rows)


def guarded(rows: list[list[float]]) -> list[list[float]]:
    """Return the rows with each held under the one before, bin by bin."""
    for later, earlier in zip(rows[1:], rows, strict=False):
        for at, value in enumerate(earlier):
            later[at] = min(later[at], value)
    return rows
