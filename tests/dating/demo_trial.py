"""The demo guide tried on cars drawn from its own model: reported, never asserted. How many looks a car takes, too."""

from __future__ import annotations

from dataclasses import dataclass

from guide.dating.belief.evidence import Answer, Session
from guide.dating.belief.prepare import prepare
from guide.dating.belief.result import conclude_figures
from guide.dating.belief.sample import Sampler
from guide.dating.belief.state import believe
from guide.dating.model import Model
from tests.dating.asking import next_look

__all__ = ["DemoTrial", "try_model"]


@dataclass(frozen=True, slots=True)
class DemoTrial:
    """Shares of cars whose spans held and whose period was named, and the mean number of looks."""

    held_nine: float
    held_half: float
    right: float
    looks: float


def try_model(model: Model, cars: int, seed: int, *, reach: tuple[str, ...] = ()) -> DemoTrial:
    """Return what came of letting the key ask about drawn cars until it stops."""
    prepared = prepare(model)
    sampler = Sampler(prepared, seed)
    nine = half = right = looks = 0
    for _ in range(cars):
        car = sampler.draw()
        answers: tuple[Answer, ...] = ()
        while (asked := next_look(model, Session(answers, reach=reach))) is not None:
            mark = prepared.marks_by_id[asked]
            answers = (*answers, Answer(asked, (model.marks[mark].forms[car.reported[mark]].id,)))
        concluded = conclude_figures(believe(prepared, Session(answers)))
        t = car.cell % prepared.bins
        day = model.edges[t] + sampler.chance.random() * (model.edges[t + 1] - model.edges[t])
        held = [any(s.start <= day < s.end for of, s in concluded.spans if of == level) for level in (0.9, 0.5)]
        chances = concluded.periods[:-1]
        nine, half = nine + held[0], half + held[1]
        right += chances.index(max(chances)) == prepared.period_of[0][t]
        looks += len(answers)
    return DemoTrial(nine / cars, half / cars, right / cars, looks / cars)
