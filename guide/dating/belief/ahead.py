"""One step of look-ahead: of the most promising looks, the one after which the least is left to do.

For each of the few looks with the most gain per effort, and each answer to it: nothing is left where one would
stop; otherwise the cheapest of another look plus what that is expected to leave unknown. A bit left unknown is
reckoned at somewhat more effort than the best look now takes per bit, for looks tell less and less. The look
with the least effort all told is taken.

Here, and only here, marks are taken as independent given series and bin: it decides which look comes first,
never what an answer means. How many looks are weighed falls with the size of the guide, so that a step stays
quick on an old phone; small guides weigh them all. Measured against the best possible policy by
tests/dating/test_proof.py, and exact on three published tables without noise.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from operator import add, mul

from guide.dating.belief.blocks import expand
from guide.dating.belief.look import EQUAL, Look, after_report, effort_of, entropy, would_stop
from guide.dating.belief.prepare import Prepared
from guide.dating.belief.state import State

__all__ = ["choose_ahead", "weighed"]

_WORK = 12_000  # looks weighed squared, times series and bins
_LEAST_EFFORT, _MOST_EFFORT = 1.0, 4.0  # between which a bit is reckoned


@dataclass(frozen=True, slots=True)
class _Tables:
    """The looks that are weighed. ``joint[i][answer]`` is P(place, answer) and ``given[i][answer]`` is
    P(answer | place), by place: series and bin laid end to end, in stretches of one period."""

    joint: list[list[list[float]]]
    given: list[list[list[float]]]
    stretches: list[tuple[int, int, int]]  # first place, end, period


def weighed(prepared: Prepared) -> int:
    """Return how many looks are weighed against each other."""
    places = prepared.bins * len(prepared.model.series)
    return min(16, max(3, math.isqrt(_WORK // places)))


def choose_ahead(state: State, candidates: Sequence[Look]) -> Look | None:
    """Return the look to ask for next among those worth asking; None where there is none."""
    if len(candidates) < 2:
        return candidates[0] if candidates else None
    order = sorted(candidates, key=lambda look: (-round(look.gain_bits / look.effort * 1e7), look.mark))
    few = sorted(order[: weighed(state.prepared)], key=lambda look: look.mark)
    tables = _tables(state, few)
    rate = order[0].gain_bits / order[0].effort
    bit = (
        _MOST_EFFORT
        if rate <= 0.0
        else min(_MOST_EFFORT, max(_LEAST_EFFORT, state.prepared.model.stop.bit_effort / rate))
    )
    best: tuple[float, Look] | None = None
    for at, look in enumerate(few):
        left = sum(_left(state, few, tables, at, joint, bit) for joint in tables.joint[at])
        if best is None or look.effort + left < best[0] - EQUAL:
            best = (look.effort + left, look)
    assert best is not None
    return best[1]


def _tables(state: State, few: Sequence[Look]) -> _Tables:
    prepared = state.prepared
    joint, given = [], []
    for look in few:
        answers = [_by_place(state, look.mark, form) for form in range(len(prepared.reports[look.mark]))]
        place = [sum(column) for column in zip(*answers, strict=True)]
        whole = sum(place)
        given.append([[a / b if b > 0.0 else 0.0 for a, b in zip(line, place, strict=True)] for line in answers])
        joint.append([[value / whole for value in line] for line in answers])
    return _Tables(joint, given, _stretches(prepared))


def _stretches(prepared: Prepared) -> list[tuple[int, int, int]]:
    found = []
    of = prepared.period_of
    cuts = [0, *(t for t in range(1, prepared.bins) if of[t] != of[t - 1]), prepared.bins]
    for series in range(len(prepared.model.series)):
        for first, end in pairwise(cuts):
            found.append((series * prepared.bins + first, series * prepared.bins + end, of[first]))
    return found


def _by_place(state: State, mark: int, form: int) -> list[float]:
    """Return the weight of an answer by series and bin, up to a constant of the mark's block."""
    prepared = state.prepared
    at = prepared.block_of[mark]
    block, bins = prepared.blocks[at], prepared.bins
    cells = list(map(mul, state.gathered(at), expand(block, after_report(state, mark, form))))
    lines: list[list[float] | None] = [None] * len(prepared.model.series)
    for row, series in enumerate(block.series_of):
        here, so_far = cells[row * bins : (row + 1) * bins], lines[series]
        lines[series] = here if so_far is None else list(map(add, so_far, here))
    return [value for one in lines for value in (one if one is not None else [0.0] * bins)]


def _left(state: State, few: Sequence[Look], tables: _Tables, at: int, joint: Sequence[float], bit: float) -> float:
    """Return the effort still to be spent after an answer, times the chance of the answer."""
    prepared = state.prepared
    periods = _periods(prepared, tables, joint)
    total = sum(periods)
    if total <= 0.0 or _stop(prepared, periods, joint):
        return 0.0
    unknown = entropy(periods)
    left = bit * unknown
    for other, look in enumerate(few):
        if other == at:
            continue
        after = 0.0
        for given in tables.given[other]:
            sums = _periods(prepared, tables, list(map(mul, joint, given)))
            share = sum(sums)
            if share > 0.0 and max(sums[:-1]) < prepared.model.stop.period * share:
                after += share / total * entropy(sums)
        effort = effort_of(state, look.mark, look.reach, {few[at].reach})
        left = min(left, effort + bit * min(after, unknown))
    return total * left


def _periods(prepared: Prepared, tables: _Tables, joint: Sequence[float]) -> list[float]:
    sums = [0.0] * (len(prepared.model.periods) + 1)
    for first, end, period in tables.stretches:
        sums[period] += sum(joint[first:end])
    return sums


def _stop(prepared: Prepared, periods: Sequence[float], joint: Sequence[float]) -> bool:
    total = sum(periods)
    if max(periods[:-1]) >= prepared.model.stop.period * total:
        return True
    if not any(sum(periods[p] for p in run) >= prepared.model.telling.widest * total for run in prepared.fine_runs):
        return False
    line = [0.0] * prepared.bins
    for at, value in enumerate(joint):
        line[at % prepared.bins] += value
    return would_stop(prepared, periods, line) is not None
