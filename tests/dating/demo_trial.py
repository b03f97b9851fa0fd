"""The demo guide tried on cars drawn from its own model: reported, never asserted. How many looks a car takes, too."""

from __future__ import annotations

from dataclasses import dataclass, field

from guide.dating.apart_sentences import NOT_APART, verdicts
from guide.dating.belief.evidence import Answer, Session
from guide.dating.belief.prepare import prepare
from guide.dating.belief.result import Concluded
from guide.dating.belief.sample import Sampler
from guide.dating.belief.state import believe
from guide.dating.model import Model
from tests.dating.asking import key_of, next_look

__all__ = ["ApartTrial", "DemoTrial", "try_apart", "try_model"]


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
        concluded = Concluded(believe(prepared, Session(answers)))
        t = car.cell % prepared.bins
        day = model.edges[t] + sampler.chance.random() * (model.edges[t + 1] - model.edges[t])
        held = [any(s.start <= day < s.end for of, s in concluded.spans if of == level) for level in (0.9, 0.5)]
        chances = concluded.periods[:-1]
        nine, half = nine + held[0], half + held[1]
        right += chances.index(max(chances)) == prepared.period_of[0][t]
        looks += len(answers)
    return DemoTrial(nine / cars, half / cars, right / cars, looks / cars)


@dataclass(slots=True)
class ApartTrial:
    """Of every part that was looked at, whether it was said to stand apart and whether it was built otherwise: by the
    verdict, and by the chance alone, of which the verdict excepts what a factory option explains."""

    told: list[tuple[bool, bool]] = field(default_factory=list)
    likely: list[tuple[bool, bool]] = field(default_factory=list)


def try_apart(model: Model, cars: int, seed: int) -> ApartTrial:
    """Return what stands apart on drawn cars of which the body and nearly every part that such a car has is known."""
    key, trial = key_of(model), ApartTrial()
    sampler = Sampler(key.prepared, seed)
    for _ in range(cars):
        car = sampler.draw()
        series, specification = key.prepared.rows[car.cell // key.prepared.bins]
        answers = [
            Answer(one.id, (one.forms[car.reported[mark]].id,))
            for mark, one in enumerate(model.marks)
            if (one.kind == "mark" and sampler.chance.random() < 0.85) or one.kind == "body"
            if not one.had_by or specification in one.had_by[series]
        ]
        for one, verdict in verdicts(key.dated(Session(tuple(answers)))):
            if model.marks[one.mark].kind == "mark":
                otherwise = car.built[one.mark] != car.reported[one.mark]
                trial.told.append((verdict not in NOT_APART, otherwise))
                trial.likely.append((one.chance >= model.telling.apart, otherwise))
    return trial
