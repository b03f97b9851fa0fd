"""The best possible policy of looks, by dynamic programming over everything that can have been answered.

A state is what was answered of each mark (nothing, or one of its forms). It ends where one would stop, or where
everything was looked at. The best policy has the least expected effort until then; the engine's own choice is
followed from the same start and costed the same way, its stop for want of gain switched off.
"""

from __future__ import annotations

import random
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from guide.dating.belief.evidence import Answer, Session
from guide.dating.model import Model
from tests.dating.asking import next_look
from tests.dating.tiny_models import plain_mark, plain_model

__all__ = ["Costs", "policy_costs", "policy_guide"]

Array = NDArray[np.float64]
FORMS, MARKS, SLOTS = 3, 8, 24


@dataclass(frozen=True, slots=True)
class Costs:
    """Expected effort of the best policy and of the engine's."""

    best: float
    engine: float


def policy_guide(seed: int, *, marks: int = MARKS, reaches: bool = False) -> Model:
    """Return a random guide of 24 slots and marks of three forms each, four periods, parts lost and misread."""
    chance = random.Random(seed)
    cuts = sorted(chance.sample(range(4, SLOTS - 3), 3))
    made, groups = [], []
    for at in range(marks):
        first, second = sorted(chance.uniform(1, SLOTS - 1) for _ in range(2))
        widths = chance.choice([0.5, 1, 2, 4]), chance.choice([0.5, 1, 2, 4])
        mixes: dict[tuple[float, ...], int] = {}
        run: list[int] = []
        for t in range(SLOTS):
            one = min(max((t + 0.5 - first) / widths[0] + 0.5, 0.0), 1.0)
            two = min(max((t + 0.5 - second) / widths[1] + 0.5, 0.0), one)
            mix = mixes.setdefault((1 - one, one - two, two), len(mixes))
            if not run or run[-1] != mix:
                run += [t, mix]
        reach = chance.choice(["outside", "outside", "glass", "door"]) if reaches else "outside"
        made.append(
            plain_mark(
                f"m{at}",
                FORMS,
                [list(mix) for mix in mixes],
                reach=reach,
                misread=0.02,
                survives=chance.choice([0.8, 0.9, 0.95]),
            )
        )
        groups.append({"marks": [at], "runs": [run], "variants": [[0]], "of": [[0]]})
    return plain_model([chance.uniform(0.5, 1.5) for _ in range(SLOTS)], [*cuts, SLOTS], made, groups)


class _States:
    """Every state of a guide with its chance, whether it ends, and the effort of each look from it."""

    def __init__(self, model: Model) -> None:
        self.marks = len(model.marks)
        weights = np.array(model.series[0].cars) / sum(model.series[0].cars)
        joint = weights[None, :]
        for mark, group in zip(model.marks, model.groups, strict=True):
            said = np.concatenate([np.ones((1, SLOTS)), _said(mark, group)])
            joint = (joint[:, None, :] * said[None]).reshape(-1, SLOTS)
        periods = np.stack([joint[:, p.first : p.end].sum(1) for p in model.periods], axis=1)
        self.total = periods.sum(1)
        stop = periods.max(1) >= model.stop.period * self.total
        self.digits = np.array(np.unravel_index(np.arange(len(joint)), (FORMS + 1,) * self.marks)).T
        self.place = (FORMS + 1) ** np.arange(self.marks - 1, -1, -1)
        open_marks = (self.digits == 0).sum(1)
        self.levels = [np.where(open_marks == n)[0] for n in range(self.marks + 1)]
        self.ends = stop | (open_marks == 0)
        reach = np.array([list(model.reaches).index(mark.reach) for mark in model.marks])
        paid = np.stack([((self.digits > 0) & (reach == at)).any(1) for at in range(len(model.reaches))], axis=1)
        entry = np.array(list(model.reaches.values()))
        self.effort = 1.0 + np.where(paid[:, reach], 0.0, entry[reach][None, :])

    def after(self, states: NDArray[np.int64], mark: int, form: int) -> NDArray[np.int64]:
        moved: NDArray[np.int64] = states + (form + 1) * self.place[mark]
        return moved


def _said(mark, group) -> Array:  # type: ignore[no-untyped-def]
    """Return P(reported | slot), per form."""
    run = group.runs[0]
    line = [max((b, v) for b, v in zip(run[::2], run[1::2], strict=True) if b <= t)[1] for t in range(SLOTS)]
    mixes = [np.eye(FORMS)[mix] if isinstance(mix, int) else mix for mix in mark.mixes]
    built = np.array([mixes[v] for v in line]).T
    found = mark.survives * built + (1 - mark.survives) / FORMS
    reported: Array = (1 - mark.misread) * found + mark.misread / (FORMS - 1) * (1 - found)
    return reported


def policy_costs(model: Model) -> Costs:
    """Return what the best policy and the engine's own choice of looks cost from the start."""
    states = _States(model)
    best = np.zeros(len(states.total))
    for level in range(1, states.marks + 1):
        cost = np.full((len(states.levels[level]), states.marks), np.inf)
        for mark in range(states.marks):
            at = states.digits[states.levels[level], mark] == 0
            here = states.levels[level][at]
            cost[at, mark] = states.effort[here, mark] + sum(
                states.total[states.after(here, mark, form)] / states.total[here] * best[states.after(here, mark, form)]
                for form in range(FORMS)
            )
        best[states.levels[level]] = np.where(states.ends[states.levels[level]], 0.0, cost.min(1))
    return Costs(float(best[0]), _engine(model, states, 0))


def _engine(model: Model, states: _States, state: int) -> float:
    if states.ends[state]:
        return 0.0
    digits = states.digits[state]
    answers = tuple(
        Answer(mark.id, (mark.forms[digit - 1].id,)) for mark, digit in zip(model.marks, digits, strict=True) if digit
    )
    chosen = next_look(model, Session(answers))
    assert chosen is not None, "the engine stopped where an answer could still matter"
    mark = next(at for at, one in enumerate(model.marks) if one.id == chosen)
    cost = float(states.effort[state, mark])
    for form in range(FORMS):
        after = state + (form + 1) * int(states.place[mark])
        cost += float(states.total[after] / states.total[state]) * _engine(model, states, after)
    return cost
