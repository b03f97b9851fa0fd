"""Cars dated by a guide that is wrong, and by two simple readers: what is lost when facts are off, and what is gained.

The cars are drawn as the facts truly are (tests/dating/simulate.py). Four times the guide that dates them is right, and
what is known of a car besides its looks differs: the market it was built for, its hand (the side of the wheel), both or
neither. Three times neither is known and the guide is wrong: *statements wrong by months*, one mark in five has all its
changeovers stated one to six months early or late; *survival one word off*, every mark survives as the next word above
or below says; both. Common practice, no source.

Beside the key stand two readers of the same guide. *Marks one by one*: each mark weighs by itself, as if nothing but
the day bound it to the others (naive Bayes). *Changeovers looked up*: the days on which the most forms that were found
can have been fitted, as one finds them in a table of changeovers; all days alike.
"""

from __future__ import annotations

import dataclasses
import random
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field

import numpy as np

from guide.constants import CONSTANTS
from guide.dating.belief.blocks import built_with, spread
from guide.dating.belief.evidence import Answer, Session
from guide.dating.belief.prepare import Prepared, prepare
from guide.dating.belief.result import Concluded
from guide.dating.belief.span import shortest
from guide.dating.belief.state import believe
from guide.dating.building.build import build_model
from guide.finding import TICKS_PER_DAY
from guide.limits.types import DatedSpell, Limits
from tests.dating.brute import true_period
from tests.dating.simulate import Array, Car, Simulator
from tests.dating.small_guides import Small, small_facts

__all__ = ["GUIDES_THAT_DIFFER", "READERS", "Right", "try_wrong_guides"]

GUIDES_THAT_DIFFER = (
    "market and hand known",
    "market unknown",
    "hand unknown",
    "market and hand unknown",
    "statements wrong by months",
    "survival one word off",
    "both wrong",
)
KNOWN = {"market and hand known": ("market", "hand"), "market unknown": ("hand",), "hand unknown": ("market",)}
READERS = ("the key", "marks one by one", "changeovers looked up")
WRONG, LEAST_DAYS, MOST_DAYS = 0.2, 30, 180
LOOKED_AT = 0.75
WORDS = [CONSTANTS[f"survives_{word}"].value for word in ("few", "half", "most", "nearly_all")]
CAN_BE = 0.01  # a form less usual than this is in no table of changeovers


@dataclass(slots=True)
class Right:
    """What a reader said of a number of cars: whether 90 % spans held them, their days, whether the period is right."""

    held: list[bool] = field(default_factory=list)
    days: list[float] = field(default_factory=list)
    period: list[bool] = field(default_factory=list)


def _misstated(small: Small, chance: random.Random) -> Small:
    """Return a guide one mark in five of which has its changeovers stated months off."""
    days = small.guide.production.last.toordinal() - small.guide.production.first.toordinal() + 1
    off = {
        mark: chance.choice([-1, 1]) * chance.randint(LEAST_DAYS, MOST_DAYS) if chance.random() < WRONG else 0
        for mark in small.guide.marks
    }

    def moved(limits: Limits, by: int) -> Limits:
        ends = (limits.earliest, limits.latest)
        if not by or set(ends) <= {0, days * TICKS_PER_DAY}:
            return limits  # the first car's form began with the first car, whoever errs
        early, late = (min(max(end + by * TICKS_PER_DAY, TICKS_PER_DAY), (days - 1) * TICKS_PER_DAY) for end in ends)
        return dataclasses.replace(limits, earliest=early, latest=late)

    def stated(spell: DatedSpell) -> DatedSpell:
        by = off[spell.mark]
        return dataclasses.replace(spell, first=moved(spell.first, by), last=moved(spell.last, by))

    return Small(small.guide, dataclasses.replace(small.limits, spells=tuple(map(stated, small.limits.spells))))


def _survival_off(small: Small, chance: random.Random) -> Small:
    """Return a guide in which every mark survives as the word above or below says."""
    marks = {}
    for name, mark in small.guide.marks.items():
        own = min(range(len(WORDS)), key=lambda at: abs(WORDS[at] - mark.survives_share))
        other = min(max(own + chance.choice([-1, 1]), 0), len(WORDS) - 1)
        marks[name] = dataclasses.replace(mark, survives_share=WORDS[other if other != own else own - 1])
    guide = dataclasses.replace(small.guide, marks=marks)
    moments = dataclasses.replace(small.limits.moments, guide=guide)
    return Small(guide, dataclasses.replace(small.limits, moments=moments))


class _Rivals:
    """The two simple readers of one guide."""

    def __init__(self, prepared: Prepared) -> None:
        self.prepared = prepared
        bins = prepared.bins
        self.cars = np.array(prepared.weights).reshape(-1, bins).sum(0)
        self.built: dict[str, Array] = {}  # [form, bin]: the share of the cars of a bin that were built with a form
        for at, mark in enumerate(prepared.model.marks):
            block = prepared.blocks[prepared.block_of[at]]
            lines = [spread(prepared, block, built_with(prepared, at, (form,))) for form in range(len(mark.forms))]
            held = np.array(lines) * np.array(prepared.weights)
            held = held.reshape(len(lines), -1, bins).sum(1)
            self.built[mark.id] = np.divide(held, self.cars, out=np.zeros_like(held), where=self.cars > 0)

    def one_by_one(self, answers: Sequence[Answer]) -> Array:
        line = self.cars.copy()
        for at, form in self._found(answers):
            line *= np.array(self.prepared.reports[at][form]) @ self.built[self.prepared.model.marks[at].id]
        return np.asarray(line / line.sum())

    def looked_up(self, answers: Sequence[Answer]) -> Array:
        agree = sum(self.built[self.prepared.model.marks[at].id][form] > CAN_BE for at, form in self._found(answers))
        line = np.where((agree == np.max(agree)) & (self.cars > 0), np.diff(self.prepared.model.edges), 0)
        return np.asarray(line / line.sum())

    def _found(self, answers: Sequence[Answer]) -> list[tuple[int, int]]:
        places = [self.prepared.marks_by_id[one.mark] for one in answers]
        forms = [[form.id for form in self.prepared.model.marks[at].forms] for at in places]
        return [(at, of.index(one.forms[0])) for at, of, one in zip(places, forms, answers, strict=True)]


def _try(seed: int, cars: int) -> dict[tuple[str, str], Right]:
    small, chance = small_facts(seed, hands=True), random.Random(seed)
    simulator = Simulator(small.guide, small.limits, seed)
    misstated, survival = _misstated(small, chance), _survival_off(small, chance)
    own = prepare(build_model(small.guide, small.limits))
    wrong = (misstated, survival, _survival_off(misstated, chance))
    models = dict.fromkeys(GUIDES_THAT_DIFFER, own) | {
        name: prepare(build_model(one.guide, one.limits))
        for name, one in zip(GUIDES_THAT_DIFFER[-len(wrong) :], wrong, strict=True)
    }
    rivals = {name: _Rivals(prepared) for name, prepared in models.items()}
    found = {(name, reader): Right() for name in GUIDES_THAT_DIFFER for reader in READERS}
    for car in simulator.draw_cars(cars):
        marks = [mark for mark in small.guide.marks if chance.random() < LOOKED_AT] or list(small.guide.marks)[:1]
        looks = [Answer(mark, (car.reported[mark],)) for mark in marks]
        for name, prepared in models.items():
            answers = [*looks, *(Answer(split, (car.kind[split],)) for split in KNOWN.get(name, ()))]
            _note(found, name, prepared, rivals[name], answers, car, true_period(simulator, car))
    return found


def _note(
    found: dict[tuple[str, str], Right],
    name: str,
    prepared: Prepared,
    rivals: _Rivals,
    answers: Sequence[Answer],
    car: Car,
    true: int,
) -> None:
    figures = Concluded(believe(prepared, Session(tuple(answers))))
    nine = [(one.start, one.end) for one in figures.nine]
    said = [(nine, list(figures.periods[:-1]))]
    for line in (rivals.one_by_one(answers), rivals.looked_up(answers)):
        whole = shortest(prepared.model.edges, list(line), prepared.model.telling.widest)
        periods = [float(line[one.first : one.end].sum()) for one in prepared.model.periods]
        said.append(([(whole.start, whole.end)], periods))
    for reader, (spans, periods) in zip(READERS, said, strict=True):
        one = found[name, reader]
        one.held.append(any(start <= car.day < end for start, end in spans))
        one.days.append(sum(end - start for start, end in spans))
        one.period.append(max(range(len(periods)), key=periods.__getitem__) == true)


def try_wrong_guides(guides: int, cars: int, *, processes: int = 2) -> dict[tuple[str, str], Right]:
    """Return the trial of so many cars of each random guide: by how the guide differs from the facts, and by reader."""
    whole = {(name, reader): Right() for name in GUIDES_THAT_DIFFER for reader in READERS}
    with ProcessPoolExecutor(max_workers=processes) as pool:
        for found in pool.map(_try, range(guides), [cars] * guides):
            for key, one in found.items():
                for name in Right.__slots__:
                    getattr(whole[key], name).extend(getattr(one, name))
    return whole
