"""The next look: what it can be expected to tell about the period, for the effort it takes.

The gain of a look is the entropy of the period now less what is expected after it, in bits, where entropy
counts as nought wherever one would stop. Effort is the mark's own, plus that of getting so close where nothing
was looked at from there yet: what has been paid for is free. Where the gains of two looks per effort are equal
the one that comes first on the walk round the car is taken.

Source of the gain: Quinlan 1986 (information gain); tests/published/test_gain.py checks it on his table.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass
from functools import partial
from operator import mul

from guide.dating.belief.blocks import block_likelihood, expand, of_mixes
from guide.dating.belief.evidence import Vectors
from guide.dating.belief.prepare import Prepared
from guide.dating.belief.span import may_fit, shortest
from guide.dating.belief.state import State, over_time

__all__ = [
    "EQUAL",
    "Look",
    "after_report",
    "choose",
    "effort_of",
    "entropy",
    "expected_length",
    "is_enough",
    "looks",
    "paid_reaches",
    "period_chances",
    "would_stop",
]

EQUAL = 1e-9  # scores nearer than this are equal


@dataclass(frozen=True, slots=True)
class Look:
    """A look that could be next: its gain in bits, its effort, whether it is within reach, and for each answer
    the chance of each period with it (not normalised)."""

    mark: int
    reach: str
    gain_bits: float
    effort: float
    within: bool
    joint: tuple[tuple[float, ...], ...]


def entropy(chances: Sequence[float]) -> float:
    """Return the entropy in bits of chances that need not add up to one. Source: Shannon 1948."""
    total = sum(chances)
    return -sum(c / total * math.log2(c / total) for c in chances if c > 0.0) if total > 0.0 else 0.0


def period_chances(prepared: Prepared, line: Sequence[float], weights: Sequence[float]) -> list[float]:
    """Return the chance of each period, and last that of lying in none, from the weight of each bin.

    From those of each cell, ``weights``, where some series have periods of their own.
    """
    chances, bins = [0.0] * (len(prepared.model.periods) + 1), prepared.bins
    lines = [(0, line)]
    if any(period.series for period in prepared.model.periods):
        lines = [(s, weights[row * bins : (row + 1) * bins]) for row, (s, _) in enumerate(prepared.rows)]
    for series, each in lines:
        for period, weight in zip(prepared.period_of[series], each, strict=True):
            chances[period] += weight
    return chances


def would_stop(state: State, periods: Sequence[float], line: Sequence[float]) -> str | None:
    """Return why one would stop here (``period`` or ``fine-enough``), or None."""
    stop, widest = state.prepared.model.stop, state.prepared.model.telling.widest
    if max(periods[:-1], default=0.0) >= stop.period * sum(periods):
        return "period"
    edges, weights = state.by_days(line)
    if not may_fit(edges, weights, widest, stop.fine_days):
        return None
    whole = shortest(edges, weights, widest)
    return "fine-enough" if whole.end - whole.start <= stop.fine_days else None


def is_enough(
    state: State, periods: Sequence[float], line_of: Callable[[], Sequence[float]], densest: float = math.inf
) -> bool:
    """Tell whether one would stop. ``line_of`` gives the weight of each bin, asked for only where some run of periods
    that a span just fine enough can touch holds nine in ten, and ``densest``, more than any such span holds, is so
    much too."""
    prepared = state.prepared
    total, stop = sum(periods), prepared.model.stop
    if max(periods[:-1], default=0.0) >= stop.period * total:
        return True
    least = prepared.model.telling.widest * total
    if densest < least or not any(sum([periods[period] for period in run]) >= least for run in prepared.fine_runs):
        return False
    return would_stop(state, periods, line_of()) is not None


def looks(state: State) -> list[Look]:
    """Return every mark that has not been looked at, may be asked, is not hidden, and that the number does not tell, in
    the guide's order."""
    prepared = state.prepared
    known = {mark for mark, _ in state.answers} | state.hidden | state.told_by_number
    periods = period_chances(prepared, state.line, state.weights)
    paid = paid_reaches(state)
    now, stopped = entropy(periods), would_stop(state, periods, state.line) is not None
    found = []
    for mark, one in enumerate(prepared.model.marks):
        if mark in known or not one.ask:
            continue
        joint = _answers(state, mark)
        gain = now - _expected(state, mark, joint, stopped=stopped)
        within, reach = _reach(state, mark)
        found.append(Look(mark, reach, max(gain, 0.0), effort_of(state, mark, reach, paid), within, tuple(joint)))
    return found


def after_report(state: State, mark: int, form: int) -> list[float]:
    """Return the likelihood per piece of a mark's block with one more answer."""
    said = state.prepared.reports[mark][form]
    block = state.prepared.blocks[state.prepared.block_of[mark]]
    return block_likelihood(state.prepared, block, {**state.vectors, mark: Vectors.of_report(said)})


def _answers(state: State, mark: int) -> list[tuple[float, ...]]:
    """Return, for each form answered, the weight of each period with it."""
    prepared, at = state.prepared, state.prepared.block_of[mark]
    block, weights, joint = prepared.blocks[at], state.asking(at).masses(at), []
    for form, said in enumerate(prepared.reports[mark]):
        if block.lone:
            line: Iterable[float] = map(of_mixes(prepared, mark, said).__getitem__, block.profiles)
        else:
            line = after_report(state, mark, form)
        sums = [0.0] * (len(prepared.model.periods) + 1)
        for period, weight in zip(block.periods, map(mul, weights, line), strict=True):
            sums[period] += weight
        joint.append(tuple(sums))
    return joint


def _expected(state: State, mark: int, joint: list[tuple[float, ...]], *, stopped: bool) -> float:
    """Return the entropy expected after the look, nought wherever one would stop.

    Whole where one would stop already: then every look leads to where one would, one that tells nothing too.
    """
    whole = sum(sum(sums) for sums in joint)
    value = 0.0
    for form, sums in enumerate(joint):
        total = sum(sums)
        if total <= 0.0:
            continue
        # an answer multiplies no weight by more than its greatest chance
        densest = state.densest * whole * max(state.prepared.reports[mark][form])
        if stopped or not is_enough(state, sums, partial(_time_after, state, mark, form), densest):
            value += total / whole * entropy(sums)
    return value


def _time_after(state: State, mark: int, form: int) -> list[float]:
    """Return the weight of each bin with one more answer."""
    at = state.prepared.block_of[mark]
    cells = expand(state.prepared.blocks[at], after_report(state, mark, form))
    return over_time(state.prepared, list(map(mul, state.asking(at).gathered(at), cells)))


def _reach(state: State, mark: int) -> tuple[bool, str]:
    """Return whether one may look, and how: by the mark's own reach, or on photographs."""
    one, allowed = state.prepared.model.marks[mark], state.session.reach
    if not allowed or one.reach in allowed:
        return True, one.reach
    if "photographs" in allowed and one.photographs:
        return True, "photographs"
    return False, one.reach


def paid_reaches(state: State) -> frozenset[str]:
    """Return the reaches from which something was looked at, so that getting there is paid for."""
    return frozenset(_reach(state, mark)[1] for mark, _ in state.answers)


def effort_of(state: State, mark: int, reach: str, paid: Collection[str]) -> float:
    """Return the effort of a look: its own, and that of its reach unless that is paid for."""
    model = state.prepared.model
    return model.marks[mark].effort + (0.0 if reach in paid else model.reaches.get(reach, 0.0))


def choose(candidates: Sequence[Look], least_bits: float) -> Look | None:
    """Return the look with the most gain per effort among those worth at least ``least_bits``."""
    best: Look | None = None
    for look in candidates:
        if look.gain_bits < least_bits:
            continue
        if best is None or look.gain_bits / look.effort > best.gain_bits / best.effort + EQUAL:
            best = look
    return best


def expected_length(state: State, look: Look) -> float:
    """Return how long, in days, the span of nine in ten can be expected to be after a look."""
    prepared = state.prepared
    total, length = 0.0, 0.0
    for form in range(len(prepared.reports[look.mark])):
        line = _time_after(state, look.mark, form)
        weight = sum(line)
        if weight > 0.0:
            whole = shortest(*state.by_days(line), prepared.model.telling.widest)
            total += weight
            length += weight * (whole.end - whole.start)
    return length / total
