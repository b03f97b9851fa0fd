"""Looking ahead: of the most promising looks, the one after which the least is left to do.

For each of the few looks with the most gain per effort, and each answer to it: nothing is left where one would stop;
otherwise the cheapest of another look, followed once more in the same way after each of its answers, plus what that is
expected to leave unknown. A bit left unknown is reckoned at what it would take from the best place to look from: the
effort of getting there, unless that is paid for, and then somewhat more per bit than the best look there takes now, for
looks tell less and less. The look with the least effort all told is taken.

Here, and only here, marks are taken as independent given series and bin: it decides which look comes first,
never what an answer means. How many looks are weighed falls with the size of the guide, so that a step stays
quick on an old phone; small guides weigh them all. Measured against the best possible policy by
tests/dating/test_proof.py, and exact on three published tables without noise.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from operator import mul

from guide.dating.belief.blocks import expand
from guide.dating.belief.look import EQUAL, Look, after_report, effort_of, entropy, is_enough, paid_reaches
from guide.dating.belief.prepare import Prepared
from guide.dating.belief.state import State, gather, over_time

__all__ = ["choose_ahead"]

_WORK = 12_000  # looks weighed squared, times series and bins
_LEAST_EFFORT = 1.0  # that a bit is reckoned at


@dataclass(frozen=True, slots=True)
class _Weighed:
    """A look that is weighed. ``joint[answer]`` is P(place, answer) and ``given[answer]`` P(answer | place), by place:
    series and bin laid end to end."""

    look: Look
    joint: list[list[float]]
    given: list[list[float]]


def choose_ahead(state: State, candidates: Sequence[Look]) -> Look | None:
    """Return the look to ask for next among those worth asking; None where there is none."""
    if len(candidates) < 2:
        return candidates[0] if candidates else None
    order = sorted(candidates, key=lambda look: (-round(look.gain_bits / look.effort * 1e7), look.mark))
    places = state.prepared.bins * len(state.prepared.model.series)
    count = min(16, max(3, math.isqrt(_WORK // places)))
    few = [_weigh(state, look) for look in sorted(order[:count], key=lambda look: look.mark)]
    prices = _prices(state, [one.look for one in few])
    paid = paid_reaches(state)
    best: tuple[float, Look] | None = None
    for at, one in enumerate(few):
        reaches = paid | {one.look.reach}
        after = sum(_left(state, few, prices, joint, (at,), reaches, deeper=True) for joint in one.joint)
        if best is None or one.look.effort + after < best[0] - EQUAL:
            best = (one.look.effort + after, one.look)
    assert best is not None
    return best[1]


def _prices(state: State, few: Sequence[Look]) -> dict[str, float]:
    """Return by reach the effort that a bit is reckoned at once one is there; only reaches where something is told."""
    model = state.prepared.model
    rates: dict[str, float] = {}
    for look in few:
        rates[look.reach] = max(rates.get(look.reach, 0.0), look.gain_bits / model.marks[look.mark].effort)
    return {reach: max(_LEAST_EFFORT, model.stop.bit_effort / rate) for reach, rate in rates.items() if rate > EQUAL}


def _weigh(state: State, look: Look) -> _Weighed:
    answers = [_by_place(state, look.mark, form) for form in range(len(state.prepared.reports[look.mark]))]
    place = [sum(column) for column in zip(*answers, strict=True)]
    whole = sum(place)
    return _Weighed(
        look,
        joint=[[value / whole for value in line] for line in answers],
        given=[[a / b if b > 0.0 else 0.0 for a, b in zip(line, place, strict=True)] for line in answers],
    )


def _by_place(state: State, mark: int, form: int) -> list[float]:
    """Return the weight of an answer by series and bin, up to a constant of the mark's block."""
    prepared = state.prepared
    at = prepared.block_of[mark]
    block = prepared.blocks[at]
    cells = list(map(mul, state.asking(at).gathered(at), expand(block, after_report(state, mark, form))))
    return gather(prepared, cells, block.series_of, len(prepared.model.series))


def _left(
    state: State,
    few: Sequence[_Weighed],
    prices: Mapping[str, float],
    joint: Sequence[float],
    done: tuple[int, ...],
    paid: frozenset[str],
    *,
    deeper: bool,
) -> float:
    """Return the effort still to be spent after an answer, times the chance of the answer.

    ``done`` are the looks taken until then, ``paid`` the reaches; ``deeper``: the best look next is followed too.
    """
    prepared = state.prepared
    periods = _periods(prepared, joint)
    total = sum(periods)
    if total <= 0.0 or is_enough(state, periods, lambda: over_time(prepared, joint)):
        return 0.0
    left = total * _reckoned(state, prices, entropy(periods), paid)
    follow: tuple[float, int, list[list[float]]] | None = None
    for at, other in enumerate(few):
        if at in done:
            continue
        effort = total * effort_of(state, other.look.mark, other.look.reach, paid)
        reaches, after = paid | {other.look.reach}, [list(map(mul, joint, given)) for given in other.given]
        unknown = 0.0
        for line in after:
            sums = _periods(prepared, line)
            share = sum(sums)
            if share > 0.0 and max(sums[:-1]) < prepared.model.stop.period * share:
                unknown += share * _reckoned(state, prices, entropy(sums), reaches)
        if effort + unknown < left - EQUAL:
            left, follow = effort + unknown, (effort, at, after)
    if follow is None or not deeper:
        return left
    effort, at, after = follow
    reaches = paid | {few[at].look.reach}
    return min(
        left, effort + sum(_left(state, few, prices, line, (*done, at), reaches, deeper=False) for line in after)
    )


def _reckoned(state: State, prices: Mapping[str, float], bits: float, paid: frozenset[str]) -> float:
    """Return the effort that so many bits left unknown are reckoned at."""
    entries = state.prepared.model.reaches
    efforts = ((0.0 if reach in paid else entries.get(reach, 0.0)) + bits * price for reach, price in prices.items())
    return min(efforts, default=bits * _LEAST_EFFORT) if bits > 0.0 else 0.0


def _periods(prepared: Prepared, places: Sequence[float]) -> list[float]:
    """Return the weight of each period, and last that of none, from the weight of each place."""
    sums = [0.0] * (len(prepared.model.periods) + 1)
    for series, start in enumerate(range(0, len(places), prepared.bins)):
        for first, end, period in prepared.stretches[series]:
            sums[period] += sum(places[start + first : start + end])
    return sums
