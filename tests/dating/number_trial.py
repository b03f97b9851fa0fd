"""Cars of which only the number is known, drawn at an uneven pace and out of order: how often their spans hold.

Nothing of guide.dating draws them. Between two lines of the calendar the output of each week is drawn (gamma, a third
of its mean as standard deviation) and leans evenly up or down by up to three tenths; so where a closure that no line
places lies among the numbers is drawn too. Each car leaves its place by up to the usual disorder, on its own side of
a closure that a line does place. Common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from itertools import pairwise

import numpy as np

from guide.dating.belief.evidence import Session
from guide.dating.belief.prepare import prepare
from guide.dating.belief.result import Concluded
from guide.dating.belief.span import days_between
from guide.dating.belief.state import believe
from guide.dating.building.build import build_model
from guide.limits.positions import SeriesLine, series_lines
from tests.dating.simulate import Array
from tests.dating.small_guides import small_facts

__all__ = ["NumberTrial", "days_built", "try_numbers"]

WEEK, SPREAD, LEAN = 6, 1 / 3, 0.3


@dataclass(slots=True)
class NumberTrial:
    """What came of a number of cars: whether each span held the day built, and how many days it has as it is told."""

    held: dict[float, list[bool]] = field(default_factory=dict)
    days: dict[float, list[int]] = field(default_factory=dict)


def days_built(line: SeriesLine, rng: np.random.Generator, first: date) -> Array:
    """Return the day on which the car at each position was built, real numbers from ``first`` on."""
    knots = [(round(cars), round(passed)) for passed, cars in line.knots]  # these guides date no single car
    moments = []
    for (finished, began), (then, ended) in pairwise(knots):
        if then > finished and ended > began:
            days = ended - began
            output = np.repeat(rng.gamma(SPREAD**-2, SPREAD**2, size=days // WEEK + 1), WEEK)[:days]
            output *= 1 + rng.uniform(-LEAN, LEAN) * (2 * (np.arange(days) + 0.5) / days - 1)
            passed = np.concatenate([[0.0], output.cumsum() / output.sum()])
            places = (np.arange(then - finished) + 0.5) / (then - finished)
            moments.append(began + np.interp(places, passed, np.arange(days + 1)))
    in_order, built = np.concatenate(moments), np.zeros(line.cars)
    disorder = line.series.out_of_order
    for start, end in pairwise([0, *(cut + 1 for cut in line.cuts), line.cars]):
        order = start + np.argsort(np.arange(start, end) + rng.uniform(-disorder, disorder, end - start), kind="stable")
        built[order] = in_order[start:end]
    opened = np.array([(day - first).days for day in line.open_days])
    whole = np.minimum(built.astype(int), len(opened) - 1)
    return np.asarray(opened[whole] + built - built.astype(int), dtype=np.float64)


def try_numbers(guides: int, cars: int) -> NumberTrial:
    """Return the trial of so many cars of each series of random guides, seeds 0 and up."""
    trial = NumberTrial()
    for seed in range(guides):
        small, rng = small_facts(seed), np.random.default_rng(seed)
        prepared = prepare(build_model(small.guide, small.limits))
        for line in series_lines(small.guide).values():
            built = days_built(line, rng, small.guide.production.first)
            for at in rng.choice(line.cars, size=min(cars, line.cars), replace=False):
                car = line.car_at(int(at)).written
                figures = Concluded(believe(prepared, Session(car=car)))
                for level in prepared.model.telling.spans:
                    parts = figures.at(level)
                    trial.held.setdefault(level, []).append(any(one.start <= built[at] < one.end for one in parts))
                    told = [days_between(one) for one in parts]
                    trial.days.setdefault(level, []).append(sum(last - day + 1 for day, last in told))
    return trial
