"""Dating tried on drawn cars of many random guides: how often spans hold, and whether stated chances come true.

None of these cars was restored. Spans are those that the key gives, which reckons with restored cars too; the chances
that are held to brute-force Bayes are worked out as the cars were drawn, with no car restored. What restored cars are
told stands in restored_trial.py.
"""

from __future__ import annotations

import random
from collections.abc import Iterable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field

import numpy as np

from guide.dating.belief.apart import stands_apart
from guide.dating.belief.evidence import Answer, Session
from guide.dating.belief.look import period_chances
from guide.dating.belief.prepare import prepare
from guide.dating.belief.result import Concluded
from guide.dating.belief.state import believe
from guide.dating.building.build import build_model
from tests.dating.asking import never_restored
from tests.dating.brute import Brute, true_period
from tests.dating.simulate import Simulator
from tests.dating.small_guides import small_facts

__all__ = ["Trial", "bins_of_ten", "precision_and_recall", "try_guides"]

LOOKED_AT = 0.75  # the share of marks that somebody looks at


@dataclass(slots=True)
class Trial:
    """What came of a number of cars, one entry a car (``stated_*``: pairs of a stated chance and what was true)."""

    held_nine: list[bool] = field(default_factory=list)
    weight_nine: list[float] = field(default_factory=list)
    held_half: list[bool] = field(default_factory=list)
    weight_half: list[float] = field(default_factory=list)
    loss: list[float] = field(default_factory=list)
    loss_brute: list[float] = field(default_factory=list)
    stated_period: list[tuple[float, bool]] = field(default_factory=list)
    stated_apart: list[tuple[float, bool]] = field(default_factory=list)

    def add(self, other: Trial) -> None:
        """Take in another trial's cars."""
        for name in self.__slots__:
            getattr(self, name).extend(getattr(other, name))


def try_guide(seed: int, cars: int, worlds: int) -> Trial:
    """Return the trial of one random guide: a world drawn once, its cars, half of them with parts judged."""
    small = small_facts(seed)
    simulator, chance = Simulator(small.guide, small.limits, seed), random.Random(seed)
    model = build_model(small.guide, small.limits)
    prepared, as_drawn = prepare(model), prepare(never_restored(model))
    drawn = simulator.draw_cars(cars)
    brute = Brute(simulator, worlds) if worlds else None
    trial = Trial()
    for number, car in enumerate(drawn):
        marks = [mark for mark in small.guide.marks if chance.random() < LOOKED_AT] or list(small.guide.marks)[:1]
        session = Session(tuple(Answer(mark, (car.reported[mark],)) for mark in marks))
        concluded = Concluded(believe(prepared, session))
        levels = ((0.9, trial.held_nine, trial.weight_nine), (0.5, trial.held_half, trial.weight_half))
        for level, held, weight in levels:
            parts = [stretch for of, stretch in concluded.spans if of == level]
            held.append(any(part.start <= car.day < part.end for part in parts))
            weight.append(sum(part.weight for part in parts))
        state = believe(as_drawn, session)
        periods = period_chances(as_drawn, state.line, state.weights)
        true = true_period(simulator, car)
        trial.loss.append(-float(np.log(periods[true])))
        trial.stated_period += [(chance_of, at == true) for at, chance_of in enumerate(periods[:-1])]
        if brute is not None:
            reports = {mark: car.reported[mark] for mark in marks}
            trial.loss_brute.append(-float(np.log(brute.periods(reports)[true])))
        if number % 2 == 0:
            for one in stands_apart(state):
                mark = prepared.model.marks[one.mark].id
                trial.stated_apart.append((one.chance, car.built[mark] != car.reported[mark]))
    return trial


def try_guides(guides: int, cars: int, worlds: int, *, processes: int = 2) -> Trial:
    """Return the trial of many guides, seeds 0 and up, worked on side by side."""
    whole = Trial()
    with ProcessPoolExecutor(max_workers=processes) as pool:
        for trial in pool.map(try_guide, range(guides), [cars] * guides, [worlds] * guides, chunksize=5):
            whole.add(trial)
    return whole


def precision_and_recall(said: Iterable[tuple[bool, bool]]) -> tuple[float, float]:
    """Return, of pairs of what was said and what was true: the share true of what was said, and said of what was true.

    Source of the measures: van Rijsbergen 1979, *Information Retrieval*.
    """
    table = np.array(list(said), dtype=bool)
    both = np.sum(table[:, 0] & table[:, 1])
    return float(both / table[:, 0].sum()), float(both / table[:, 1].sum())


def bins_of_ten(stated: list[tuple[float, bool]]) -> list[tuple[int, float, float]]:
    """Return, for stated chances from nought to one in ten bins: how many, the mean stated, the share true."""
    table = np.array(stated, dtype=float)
    rows = []
    for at in range(10):
        inside = (table[:, 0] * 10).astype(int).clip(0, 9) == at
        if inside.any():
            rows.append((int(inside.sum()), float(table[inside, 0].mean()), float(table[inside, 1].mean())))
    return rows
