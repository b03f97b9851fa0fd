"""One step of look-ahead: of the most promising looks, the one after which the least is left to do.

For each of the few looks with the most gain per effort, and each answer to it: nothing is left where one would
stop; otherwise the cheapest of another look plus what that is expected to leave unknown. A bit left unknown is
reckoned at somewhat more effort than the best look now takes per bit, its way included, for looks tell less and less;
however much that is: where no look tells much it is dear, and a walk to one that does is worth it. The look with the
least effort all told is taken.

Where every look worth asking is weighed, the two best are weighed a step deeper: with the two best looks after each
answer to them. Where only some are, that would take what these few tell for all there is to come (tried everywhere, it
cost the demo's cars 8.8 efforts instead of 6.4), so there it is left.

Here, and only here, marks are taken as independent given series and bin: it decides which look comes first,
never what an answer means. How many looks are weighed falls with the size of the guide, so that a step stays
quick on an old phone; small guides weigh them all. Measured against the best possible policy by
tests/dating/test_proof.py, and exact on three published tables without noise.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from operator import mul

from guide.dating.belief.blocks import expand
from guide.dating.belief.look import EQUAL, Look, after_report, effort_of, entropy, is_enough, paid_reaches
from guide.dating.belief.prepare import Prepared
from guide.dating.belief.state import State, gather, over_time

__all__ = ["choose_ahead"]

_WORK = 12_000  # looks weighed squared, times series and bins
_DEEPER = 2  # looks, and looks after each answer to them, of which it is weighed what comes after
_DEARER = 1.25  # times what a bit is reckoned at: what is left after two looks is told by the worst of them
_LEAST_EFFORT = 1.0  # that a bit is reckoned at


@dataclass(frozen=True, slots=True, eq=False)
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
    rate = order[0].gain_bits / order[0].effort
    bit = max(_LEAST_EFFORT, state.prepared.model.stop.bit_effort / rate) if rate > EQUAL else _LEAST_EFFORT
    paid = paid_reaches(state)

    def whole(one: _Weighed, bit: float, *, deeper: bool = False) -> float:
        return one.look.effort + sum(_left(state, few, (one,), joint, bit, paid, deeper=deeper) for joint in one.joint)

    best = _least([(whole(one, bit), one) for one in few])
    if len(few) == len(candidates):
        best = _least([(whole(one, bit * _DEARER, deeper=True), one) for one in best])
    return best[0].look


def _least(costs: Sequence[tuple[float, _Weighed]]) -> list[_Weighed]:
    """Return the few looks that cost least, the first of those that cost alike before the others."""
    return [one for _, one in sorted(costs, key=lambda pair: (round(pair[0] * 1e7), pair[1].look.mark))[:_DEEPER]]


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
    done: tuple[_Weighed, ...],
    joint: Sequence[float],
    bit: float,
    paid: frozenset[str],
    *,
    deeper: bool,
) -> float:
    """Return the effort still to be spent after an answer, times the chance of the answer.

    ``deeper``: with the second look told by what is left after each answer to it, and not by the bits it leaves.
    """
    prepared = state.prepared
    periods = _periods(prepared, joint)
    total = sum(periods)
    if total <= 0.0 or is_enough(state, periods, lambda: over_time(prepared, joint)):
        return 0.0
    unknown = entropy(periods)
    reached = paid | {one.look.reach for one in done}
    second: list[tuple[float, _Weighed]] = []
    for other in few:
        if other in done:
            continue
        after = 0.0
        for given in other.given:
            sums = _periods(prepared, list(map(mul, joint, given)))
            share = sum(sums)
            if share > 0.0 and max(sums[:-1]) < prepared.model.stop.period * share:
                after += share / total * entropy(sums)
        effort = effort_of(state, other.look.mark, other.look.reach, reached)
        second.append((effort + bit * min(after, unknown), other))
    if not deeper:
        return total * min([bit * unknown, *(cost for cost, _ in second)])
    left = bit * unknown
    for other in _least(second):
        effort = effort_of(state, other.look.mark, other.look.reach, reached)
        after = sum(
            _left(state, few, (*done, other), list(map(mul, joint, given)), bit, paid, deeper=False)
            for given in other.given
        )
        left = min(left, effort + after / total)
    return total * left


def _periods(prepared: Prepared, places: Sequence[float]) -> list[float]:
    """Return the weight of each period, and last that of none, from the weight of each place."""
    sums = [0.0] * (len(prepared.model.periods) + 1)
    for series, start in enumerate(range(0, len(places), prepared.bins)):
        for first, end, period in prepared.stretches[series]:
            sums[period] += sum(places[start + first : start + end])
    return sums
