"""Cars that were restored, beside ordinary ones, drawn and dated: how often the span holds, or the result warns.

Three kinds of car, none drawn by guide.dating: ordinary ones; *later parts*: of a restored car every part was replaced
with a chance of its own (three to seven in ten) by that of a car built a year or more later; *donor interior*: all that
is not seen from outside came from one other car. Beside the key stands a reader who knows the law by which these cars
were drawn, how many there are of each kind included, and reads with it (Bayes, by enumeration). What restorers do is
common practice, no source.
"""

from __future__ import annotations

from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field

import numpy as np

from guide.dating.belief.blocks import built_with, spread
from guide.dating.belief.evidence import Answer, Session
from guide.dating.belief.prepare import Prepared, prepare
from guide.dating.belief.span import shortest
from guide.dating.building.build import build_model
from guide.dating.dated import Dated
from guide.facts.types import Reach
from guide.limits.positions import series_lines
from tests.dating.number_trial import days_built
from tests.dating.simulate import Array, Simulator
from tests.dating.small_guides import small_facts

__all__ = ["KINDS", "Outcome", "try_restored"]

KINDS = {"ordinary": 0.8, "later parts": 0.1, "donor interior": 0.1}
SHARES = (0.3, 0.4, 0.5, 0.6, 0.7)
YEAR = 365.0


@dataclass(slots=True)
class Outcome:
    """What came of the cars of one kind: whether the span of nine in ten held them, the chance that the result gives of
    a restored car, whether one period had more than nine in ten, and the same of the reader who knows the law."""

    held: list[bool] = field(default_factory=list)
    restored: list[float] = field(default_factory=list)
    sure: list[bool] = field(default_factory=list)
    knowing: list[bool] = field(default_factory=list)
    knows_restored: list[float] = field(default_factory=list)


def _try(seed: int, cars: int) -> dict[tuple[str, bool], Outcome]:
    small, rng = small_facts(seed, marks=10), np.random.default_rng(seed)
    guide, simulator = small.guide, Simulator(small.guide, small.limits, seed)
    prepared = prepare(build_model(guide, small.limits))
    reader = _Reader(prepared)
    inside = [mark.id for mark in guide.marks.values() if mark.reach is not Reach.OUTSIDE]
    found = {(kind, numbered): Outcome() for kind in KINDS for numbered in (True, False)}
    world = simulator.worlds(1)
    for series, line in series_lines(guide).items():
        built = days_built(line, rng, guide.production.first)
        for number, position in enumerate(rng.choice(line.cars, size=cars * len(KINDS), replace=True)):
            kind = list(KINDS)[number % len(KINDS)]
            day = simulator._open_day(built[position])
            kind_of = simulator.draw_kind()
            fitted = dict(simulator._built(world, day, kind_of))
            for one in guide.renewed_together:
                if simulator.rng.uniform() < one.share:
                    other = simulator._built(world, simulator._day(series), kind_of)
                    fitted |= {mark: other[mark] for mark in one.marks}
            later = [value for value in built if value >= built[position] + YEAR]
            if kind == "later parts" and later:
                share = rng.uniform(0.3, 0.7)
                donor = simulator._built(world, simulator._open_day(float(rng.choice(later))), kind_of)
                fitted |= {mark: form for mark, form in donor.items() if rng.uniform() < share}
            elif kind == "donor interior":
                donor = simulator._built(world, simulator._day(series), kind_of)
                fitted |= {mark: donor[mark] for mark in inside}
            elif kind != "ordinary":
                continue  # built too late to have parts of a later car
            answers = []
            for mark in guide.marks.values():
                if rng.uniform() < 0.85:
                    form = simulator._read(mark, simulator._found(mark, fitted[mark.id]))
                    answers.append(Answer(mark.id, (form,)))
            for numbered in (True, False):
                car = line.car_at(int(position)).written if numbered else None
                dated, outcome = Dated(prepared, Session(tuple(answers), car)), found[kind, numbered]
                outcome.held.append(any(one.start <= built[position] < one.end for one in dated.figures.nine))
                outcome.restored.append(dated.state.chance_restored)
                outcome.sure.append(max(dated.figures.periods[:-1]) > 0.9)
                if not numbered:
                    weights, restored = reader.read(answers)
                    span = shortest(prepared.model.edges, weights, 0.9)
                    outcome.knowing.append(span.start <= built[position] < span.end)
                    outcome.knows_restored.append(restored)
    return found


class _Reader:
    """Reads with the very law of the simulator; only what each car was built with by when is the model's."""

    def __init__(self, prepared: Prepared) -> None:
        self.prepared = prepared
        model, bins = prepared.model, prepared.bins
        self.prior = np.array(prepared.weights).reshape(-1, bins)
        self.starts = np.array(model.edges[:-1], dtype=float)
        self.built: dict[str, Array] = {}
        for at, mark in enumerate(model.marks):
            block = prepared.blocks[prepared.block_of[at]]
            lines = [spread(prepared, block, built_with(prepared, at, (form,))) for form in range(len(mark.forms))]
            self.built[mark.id] = np.array(lines).reshape(len(lines), -1, bins)
        series = np.array([row for row, _ in prepared.rows])
        cars = np.array([one.cars for one in model.series])
        later = (self.starts[None, :] >= self.starts[:, None] + YEAR)[None] * cars[:, None, :]
        whole = later.sum(-1, keepdims=True)
        self.later = np.divide(later, whole, out=np.zeros_like(later), where=whole > 0)[series]
        self.any = (cars / cars.sum(-1, keepdims=True))[series]

    def read(self, answers: list[Answer]) -> tuple[list[float], float]:
        """Return the weight of each bin and the chance that the car was restored in either way."""
        prepared, model = self.prepared, self.prepared.model
        own: dict[str, Array] = {}
        for answer in answers:
            at = prepared.marks_by_id[answer.mark]
            form = [one.id for one in model.marks[at].forms].index(answer.forms[0])
            own[answer.mark] = np.tensordot(np.array(prepared.reports[at][form]), self.built[answer.mark], axes=1)
        ones = np.ones_like(self.prior)
        ordinary = np.prod([ones, *own.values()], axis=0)
        parts = np.zeros_like(self.prior)
        for share in SHARES:
            mixed = [(1 - share) * one[:, :, None] + share * one[:, None, :] for one in own.values()]
            both = np.prod(mixed, axis=0) if mixed else np.ones((*self.prior.shape, prepared.bins))
            parts += (both * self.later).sum(-1) / len(SHARES)
        inner = [mark for mark in own if model.marks[prepared.marks_by_id[mark]].reach != "outside"]
        donated = np.prod([ones, *(own[mark] for mark in inner)], axis=0)
        donor = np.prod([ones, *(own[mark] for mark in own if mark not in inner)], axis=0)
        donor = donor * (donated * self.any).sum(-1, keepdims=True)
        kinds = [self.prior * share * one for share, one in zip(KINDS.values(), (ordinary, parts, donor), strict=True)]
        whole = sum(kinds)
        return list(whole.sum(0) / whole.sum()), float(1 - kinds[0].sum() / whole.sum())


def try_restored(guides: int, cars: int, *, first: int = 0, processes: int = 2) -> dict[tuple[str, bool], Outcome]:
    """Return the trial of so many cars of each kind and series of random guides, seeds ``first`` and up: by kind, and
    whether numbered."""
    whole = {(kind, numbered): Outcome() for kind in KINDS for numbered in (True, False)}
    with ProcessPoolExecutor(max_workers=processes) as pool:
        for found in pool.map(_try, range(first, first + guides), [cars] * guides):
            for key, outcome in found.items():
                for name in Outcome.__slots__:
                    getattr(whole[key], name).extend(getattr(outcome, name))
    return whole
