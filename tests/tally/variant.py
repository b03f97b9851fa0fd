"""An undocumented variant among invented cars: several alike in two parts, as no specification has them."""

from __future__ import annotations

import random
from collections.abc import Collection
from datetime import timedelta
from itertools import combinations, product
from typing import TYPE_CHECKING

from guide.facts.types import CarSeen
from guide.limits.types import LimitsResult, day_of
from guide.tally.count import Tally

if TYPE_CHECKING:
    from tests.tally.season import InventedCar

__all__ = ["Named", "named_together", "plant_variant"]

_FAR = timedelta(90)  # from the form's own time

Named = tuple[frozenset[str], float]  # the numbers of cars named together, and the chance that they came about


def plant_variant(
    limits: LimitsResult, cars: Collection[InventedCar], marks: Collection[str], chance: random.Random, many: int = 8
) -> frozenset[str]:
    """Give ``many`` neighbouring cars two of ``marks`` as they were fitted at quite another time only; return which."""
    guide, origin = limits.moments.guide, limits.moments.guide.production.first
    job = {mark: at for at, one in enumerate(guide.renewed_together) for mark in one.marks}

    def is_strange(car: InventedCar, mark: str, form: str) -> bool:
        spells = [one for one in limits.spells if (one.mark, one.form) == (mark, form)]
        built = limits.lines[car.series].day_at(car.position)
        return mark in car.parts and all(
            built < day_of(one.first.earliest, origin) - _FAR or built > day_of(one.last.latest, origin) + _FAR
            for one in spells
        )

    strange = {
        (mark, form): [car for car in cars if is_strange(car, mark, form)]
        for mark in sorted(marks)
        for form, told in guide.marks[mark].forms.items()
        if told.dates_a_car and any((one.mark, one.form) == (mark, form) for one in limits.spells)
    }
    pairs = [
        (one, other)
        for one, other in combinations(strange, 2)
        if one[0] != other[0] and (one[0] not in job or job.get(one[0]) != job.get(other[0]))
    ]
    chance.shuffle(pairs)
    for (one, other), series in product(pairs, guide.series):
        both = [car for car in strange[one] if car.series == series and car in strange[other]]
        both.sort(key=lambda car: car.position)
        if len(both) >= many:
            at = chance.randrange(len(both) - many + 1)
            for car in both[at : at + many]:
                car.parts |= {mark: (form, True) for mark, form in (one, other)}
            return frozenset(car.number for car in both[at : at + many])
    raise AssertionError("no such cars in this season")


def named_together(tally: Tally) -> tuple[Named, ...]:
    """Return the groups of cars that the tally names as alike by no specification."""

    def number(car: CarSeen) -> str:
        return next((one.written for one in car.numbers), car.number_text)

    return tuple((frozenset(map(number, group.cars)), group.chance) for group in tally.alike)
