"""Cars that fit nothing the guide knows, what would make each fit, and cars alike that no specification explains.

A car with a number, or a date of its own, is one whose time and kind are known: a part *stands apart* where the works
can hardly have fitted that form then. A form that the works never fitted explains itself. A car without a number, or
with one that is in no table, is known by its looks alone, and a part stands apart as in the key
(`guide.dating.belief.apart`).
A car fits nothing where two parts or more stand apart. It would fit with another number, where its looks make that
more likely than not wrong; with a re-trim, where parts that one job renews together stand apart; as one of several
cars alike; or with those parts changed.

Cars are alike where the same two parts or more stand apart with the same forms. Were two such oddities found on as many
cars as they are, of all those on which both parts were looked at, but each on any of them by chance, so many cars or
more would have both with the chance of a hypergeometric count (the exact test of a table of two by two, after Fisher);
it is multiplied by the pairs of oddities that could have been found (Bonferroni), and told where it is below one in a
hundred.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from math import comb

from guide.dating.belief.evidence import Answer, Session
from guide.dating.belief.state import ImpossibleEvidence
from guide.dating.key import Key
from guide.facts.types import CarSeen, Guide, Report
from guide.tally.built_with import BuiltWith, whole_car
from guide.tally.changeovers import KnownCar

__all__ = ["Alike", "Unfit", "alike_cars", "chance_of_both", "unfit_cars"]

_APART = 0.5  # the chance from which a number is taken for wrong, and a part for another's by looks alone
_HARDLY = 0.02  # the share of cars of that time and kind below which the works hardly fitted a form
_LEAST_LOOKS = 3
_LEAST_ALIKE = 3  # cars
_RARE = 0.01

Odd = tuple[str, str]  # mark, form


@dataclass(frozen=True, slots=True)
class Unfit:
    """A car that fits nothing: the parts that stand apart, and what would make it fit.

    ``way`` is ``number``, ``renewed`` (``renewed`` names the job), ``alike`` or ``changed``.
    """

    car: CarSeen
    apart: tuple[Report, ...]
    way: str
    renewed: str = ""


@dataclass(frozen=True, slots=True)
class Alike:
    """Cars with the same oddities, and the chance that so many came about one by one."""

    cars: tuple[CarSeen, ...]
    forms: Mapping[str, str]
    chance: float


@dataclass(frozen=True, slots=True)
class _Dated:
    known: KnownCar
    apart: tuple[Report, ...]
    number_wrong: float


def unfit_cars(
    guide: Guide, key: Key, cars: Sequence[tuple[KnownCar, BuiltWith | None]]
) -> tuple[tuple[Unfit, ...], tuple[Alike, ...]]:
    """Return the cars that fit nothing, and those alike that no specification explains, rarest first.

    Each car is given with what the works can have fitted to it, where that is known.
    """
    dated = [found for known, built in cars if (found := _date(guide, key, known, built)) is not None]
    key.prepared.said.clear()  # what so many cars show fills much memory, and is little asked for after this
    alike = alike_cars(guide, [(one.known.car, one.apart) for one in dated])
    of_several = {car.id for group in alike for car in group.cars}
    jobs = {mark: job for job in guide.renewed_together for mark in job.marks}
    unfit = []
    for one in (one for one in dated if len(one.apart) > 1):
        own_jobs = [jobs[report.mark] for report in one.apart if report.mark in jobs]
        job = next((job for job in own_jobs if own_jobs.count(job) > 1), None)
        if one.number_wrong > _APART:
            unfit.append(Unfit(one.known.car, one.apart, "number"))
        elif one.known.car.id in of_several:
            unfit.append(Unfit(one.known.car, one.apart, "alike"))
        elif job is not None:
            unfit.append(Unfit(one.known.car, one.apart, "renewed", str(job.name)))
        else:
            unfit.append(Unfit(one.known.car, one.apart, "changed"))
    return tuple(unfit), alike


def _date(guide: Guide, key: Key, known: KnownCar, built: BuiltWith | None) -> _Dated | None:
    """Return the parts of a car that stand apart; None of one with too few looks, or that no model allows."""
    ids, car = {mark.id: at for at, mark in enumerate(key.model.marks)}, known.car
    told = [one for one in car.reports if one.forms and one.own is not False and one.mark in ids]
    if len(told) < _LEAST_LOOKS:
        return None
    looks = (*whole_car(key, car), *(Answer.of(report.mark, report.forms) for report in told))
    works = [report for report in told if _is_of_works(guide, report)]
    try:
        if built is None:
            by_looks = {one.mark for one in key.dated(Session(looks)).apart if one.chance > _APART}
            return _Dated(known, tuple(one for one in works if ids[one.mark] in by_looks), 0.0)
        apart = tuple(
            report for report in works if sum(built.chances[report.mark][form] for form in report.forms) < _HARDLY
        )
        number = "+".join(one.written for one in car.numbers if one.series in known.at)
        wrong = key.dated(Session(looks, number)).number_wrong if number and len(apart) > 1 else 0.0
        return _Dated(known, apart, wrong)
    except (ImpossibleEvidence, ValueError):
        return None


def _is_of_works(guide: Guide, report: Report) -> bool:
    forms = guide.marks[report.mark].forms if report.mark in guide.marks else {}
    return all(form in forms and forms[form].dates_a_car for form in report.forms)


def alike_cars(guide: Guide, cars: Sequence[tuple[CarSeen, Sequence[Report]]]) -> tuple[Alike, ...]:
    """Return groups of cars, each given with its parts that stand apart, that are alike beyond chance."""
    job = {mark: at for at, one in enumerate(guide.renewed_together) for mark in one.marks}
    having: defaultdict[Odd, set[int]] = defaultdict(set)
    looked: defaultdict[str, set[int]] = defaultdict(set)
    for at, (car, apart) in enumerate(cars):
        for report in car.reports:
            looked[report.mark] |= {at} if report.kind == "form" else set()
        for report in apart:
            having[report.mark, report.forms[0]].add(at)
    odd = [one for one in having if len(having[one]) >= _LEAST_ALIKE]
    pairs = [
        (one, other)
        for one, other in combinations(odd, 2)
        if one[0] != other[0] and (one[0] not in job or job.get(one[0]) != job.get(other[0]))
    ]
    found: dict[frozenset[int], tuple[dict[str, str], float]] = {}
    for one, other in pairs:
        both = having[one] & having[other]
        if len(both) < _LEAST_ALIKE:
            continue
        at_both = looked[one[0]] & looked[other[0]]
        tail = chance_of_both(len(both), len(having[one] & at_both), len(having[other] & at_both), len(at_both))
        chance = min(1.0, len(pairs) * tail)
        forms, rarest = found.get(frozenset(both), ({}, 1.0))
        found[frozenset(both)] = forms | dict((one, other)), min(rarest, chance)
    groups = [
        Alike(tuple(cars[at][0] for at in sorted(both)), forms, chance)
        for both, (forms, chance) in found.items()
        if chance < _RARE and not any(both < other and found[other][1] < _RARE for other in found)
    ]
    return tuple(sorted(groups, key=lambda group: (group.chance, -len(group.cars), group.cars[0].id)))


def chance_of_both(least: int, one: int, other: int, of: int) -> float:
    """Return the chance that ``least`` or more ``of`` all have both, where ``one`` and ``other`` many have either."""
    ways = (comb(one, n) * comb(of - one, other - n) for n in range(least, min(one, other) + 1))
    return sum(ways) / comb(of, other)
