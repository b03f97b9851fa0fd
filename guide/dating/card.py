"""The walk-round card: the key on paper. Whole-number points per answer and period, added down the columns.

The points of an answer are its log likelihoods per period, less the least of them, scaled so that the sharpest
answer on the card is worth `MOST_POINTS`, and rounded. The points to start with are those of how many cars
each period has. The column with the most points is the period; a swapped part costs it only a few.

The marks are chosen one by one, each the one that makes the card surest of the true period over drawn cars (so
two marks of one changeover are not both taken for what one tells). How often the card is right, and how often
it agrees with the key, is then tried on other drawn cars and printed with it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from guide.dating.belief.evidence import Answer, Session
from guide.dating.belief.look import over_time, period_chances
from guide.dating.belief.prepare import Prepared, prepare
from guide.dating.belief.sample import Drawn, Sampler
from guide.dating.belief.state import believe
from guide.dating.model import Model
from guide.dating.tell_apart import form_shares

__all__ = ["Card", "CardAnswer", "CardMark", "make_card"]

MOST_POINTS = 9
_MOST_FORMS = 4  # an entry with more answers does not fit on paper
_TO_CHOOSE, _TO_TRY = 300, 500
Table = list[list[list[int]]]  # [mark][form][period]


@dataclass(frozen=True, slots=True)
class CardAnswer:
    """One answer and its points per period."""

    form: str
    points: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class CardMark:
    """One entry of the card."""

    mark: str
    answers: tuple[CardAnswer, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Card:
    """The card, its marks in walking order. Periods are the model's, in order.

    ``right`` is the share of ``cars`` drawn cars whose period the card names, ``key_right`` that of the key with
    the same answers, ``agree`` the share for which both name the same period.
    """

    start: tuple[int, ...]
    marks: tuple[CardMark, ...]
    cars: int
    right: float
    key_right: float
    agree: float


def make_card(model: Model, *, marks: int = 16, seed: int = 1) -> Card:
    """Return the card for a model; the same model and seed give the same card."""
    prepared = prepare(model)
    logs = _log_chances(prepared)
    usable = [
        at for at, one in enumerate(model.marks) if one.ask and one.kind == "mark" and 1 < len(one.forms) <= _MOST_FORMS
    ]
    sharpest = max((max(row) - min(row) for at in usable for row in logs[at]), default=1.0)
    scale = MOST_POINTS / sharpest if sharpest > 0.0 else 0.0
    points: Table = [[[round(scale * (value - min(row))) for value in row] for row in mark] for mark in logs]
    sizes = period_chances(prepared, over_time(prepared, prepared.weights))[:-1]
    least = min((size for size in sizes if size > 0.0), default=1.0)
    start = [round(scale * math.log(size / least)) if size > 0.0 else 0 for size in sizes]
    sampler = Sampler(prepared, seed)
    chosen = _choose(prepared, points, start, usable, [sampler.draw() for _ in range(_TO_CHOOSE)], scale, marks)
    trial = [sampler.draw() for _ in range(_TO_TRY)]
    right, key_right, agree = _try(prepared, points, start, chosen, trial)
    return Card(
        start=tuple(start),
        marks=tuple(
            CardMark(
                model.marks[at].id,
                tuple(CardAnswer(form.id, tuple(points[at][f])) for f, form in enumerate(model.marks[at].forms)),
            )
            for at in chosen
        ),
        cars=len(trial),
        right=right,
        key_right=key_right,
        agree=agree,
    )


def _log_chances(prepared: Prepared) -> list[list[list[float]]]:
    """Return ``logs[mark][form reported][period]``: the log of the chance of that report from such a car."""
    periods = len(prepared.model.periods)
    weights = [
        [w if prepared.period_of[cell % prepared.bins] == at else 0.0 for cell, w in enumerate(prepared.weights)]
        for at in range(periods)
    ]
    logs = []
    for mark in range(len(prepared.model.marks)):
        shares = [form_shares(prepared, line, mark) for line in weights]
        logs.append(
            [
                [math.log(max(sum(a * b for a, b in zip(said, row, strict=True)), 1e-12)) for row in shares]
                for said in prepared.reports[mark]
            ]
        )
    return logs


def _choose(
    prepared: Prepared,
    points: Table,
    start: Sequence[int],
    usable: Sequence[int],
    cars: Sequence[Drawn],
    scale: float,
    count: int,
) -> list[int]:
    totals = [list(start) for _ in cars]
    truth = [prepared.period_of[car.cell % prepared.bins] for car in cars]
    left = list(usable)
    chosen: list[int] = []
    unit = 1.0 / scale if scale > 0.0 else 0.0
    while left and len(chosen) < count:
        scores = []
        for mark in left:
            score = 0.0
            for total, car, true in zip(totals, cars, truth, strict=True):
                if true < len(total):
                    after = [(a + b) * unit for a, b in zip(total, points[mark][car.reported[mark]], strict=True)]
                    most = max(after)
                    score += after[true] - most - math.log(sum(math.exp(value - most) for value in after))
            scores.append(round(score, 6))
        best = left.pop(scores.index(max(scores)))
        chosen.append(best)
        for total, car in zip(totals, cars, strict=True):
            for at, value in enumerate(points[best][car.reported[best]]):
                total[at] += value
    return sorted(chosen)


def _try(
    prepared: Prepared, points: Table, start: Sequence[int], chosen: Sequence[int], cars: Sequence[Drawn]
) -> tuple[float, float, float]:
    marks = prepared.model.marks
    right = key_right = agree = 0
    for car in cars:
        true = prepared.period_of[car.cell % prepared.bins]
        total = list(start)
        for mark in chosen:
            total = [a + b for a, b in zip(total, points[mark][car.reported[mark]], strict=True)]
        by_card = total.index(max(total))
        answers = tuple(Answer(marks[mark].id, (marks[mark].forms[car.reported[mark]].id,)) for mark in chosen)
        state = believe(prepared, Session(answers))
        chances = period_chances(prepared, over_time(prepared, state.weights))[:-1]
        by_key = chances.index(max(chances))
        right += by_card == true
        key_right += by_key == true
        agree += by_card == by_key
    return right / len(cars), key_right / len(cars), agree / len(cars)
