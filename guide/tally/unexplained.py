"""Cars that fit nothing the guide knows, what would make each fit, and cars alike that no specification explains.

A car with a number, or a date of its own, is one whose time and kind are known: a part *stands apart* where the works
can hardly have fitted that form then. A form that the works never fitted explains itself. A car without a number, or
with one that is in no table, is known by its looks alone, and a part stands apart as in the key
(`guide.dating.belief.apart`).

Of many parts some stand apart on any car: parts are lost one by one, and people misread. How likely a look is to find
such a form is what the guide's own law of lost and misread parts has it (`guide.dating.belief.evidence`), times
how often it stands apart on all other cars beside what that law expects there: for all parts together, as if one more
were found as expected, and of each part drawn towards that, as if two more were (indirect standardisation with shrunken
ratios; Clayton and Kaldor, Empirical Bayes estimates of age-standardized relative risks, Biometrics 43, 1987, 671-681).
Cars and parts believed untouched have ratios of their own. The chance that so many or more stand apart on a car, or
among the parts that one job renews together, is the tail of a sum of such chances (`chance_of_so_many`). A car fits
nothing where two parts or more stand apart and that chance, times the tests made (Bonferroni), is below one in a
hundred. It would fit with a re-trim, where the parts of that job are the rarest; as one of several cars alike; with
another number, where its looks make that more likely than not wrong; or with
those parts changed.

Cars are alike where the same two parts or more stand apart with the same forms. Were two such oddities found on as many
cars as they are, of all those on which both parts were looked at, but each on any of them by chance, so many cars or
more would have both with the chance of a hypergeometric count (the exact test of a table of two by two, after Fisher);
it is multiplied by the pairs of oddities that could have been found (Bonferroni), and told where it is below one in a
hundred.
"""

from __future__ import annotations

from array import array
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations, compress
from math import comb
from operator import mul
from typing import NamedTuple

from guide.dating.belief.evidence import Answer, Session
from guide.dating.belief.prepare import Prepared
from guide.dating.belief.state import ImpossibleEvidence
from guide.dating.key import Key
from guide.facts.types import CarSeen, Guide, Report
from guide.tally.built_with import BuiltWith, whole_car
from guide.tally.changeovers import Found, KnownCar

__all__ = ["Alike", "Unfit", "alike_cars", "chance_of_both", "chance_of_so_many", "unfit_cars"]

_APART = 0.5  # the chance from which a number is taken for wrong, and a part for another's by looks alone
_HARDLY = 0.02  # the share of cars of that time and kind below which the works hardly fitted a form
_LEAST_LOOKS = 3
_LEAST_ALIKE = 3  # cars
_RARE = 0.01
_PRIOR = 2.0  # parts expected to stand apart, by which the ratio of one mark is drawn towards that of all

Odd = tuple[str, str]  # mark, form
_Kind = tuple[str, bool]  # mark, whether it is surely the car's own
_Sum = tuple[int, float]  # how many looks found what stands apart, how many could be expected to


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


class _Look(NamedTuple):
    """A look at a part, the chance that it finds a form that stands apart, and whether it did."""

    report: Report
    is_sure: bool
    chance: float
    is_apart: bool


@dataclass(frozen=True, slots=True)
class _Dated:
    """A car with the looks at it: packed, for of all cars there are many."""

    known: KnownCar
    apart: tuple[Report, ...]  # those that stand apart
    _told: Sequence[Report]
    _are_sure: bytes
    _chances: array[float]
    _are_apart: bytes

    @classmethod
    def of(cls, known: KnownCar, looks: Iterable[_Look]) -> _Dated:
        told, are_sure, chances, are_apart = zip(*looks, strict=True)
        apart = tuple(compress(told, are_apart))
        return cls(known, apart, told, bytes(are_sure), array("d", chances), bytes(are_apart))

    @property
    def looks(self) -> Iterator[_Look]:
        return map(_Look, self._told, map(bool, self._are_sure), self._chances, map(bool, self._are_apart))


def unfit_cars(
    guide: Guide, key: Key, cars: Sequence[tuple[KnownCar, BuiltWith | None]]
) -> tuple[tuple[Unfit, ...], tuple[Alike, ...]]:
    """Return the cars that fit nothing, and those alike that no specification explains, rarest first.

    Each car is given with what the works can have fitted to it, where that is known.
    """
    odd = _OddLooks(guide, key)
    dated = [found for known, built in cars if (found := odd.dated(known, built)) is not None]
    alike = alike_cars(guide, [(one.known.car, one.apart) for one in dated])
    of_several = {car.id for group in alike for car in group.cars}
    unfit = []
    for one, chances in zip(dated, _chances(guide, dated), strict=True):
        rarest = min(chances, key=lambda job: chances[job], default="")
        is_rare = bool(chances) and chances[rarest] * len(dated) * (1 + len(guide.renewed_together)) < _RARE
        if is_rare and _has_wrong_number(key, one):
            unfit.append(Unfit(one.known.car, one.apart, "number"))
        elif one.known.car.id in of_several:
            unfit.append(Unfit(one.known.car, one.apart, "alike"))
        elif is_rare:
            unfit.append(Unfit(one.known.car, one.apart, "renewed" if rarest else "changed", rarest))
    key.prepared.said.clear()  # what so many cars show fills much memory, and is little asked for after this
    return tuple(unfit), alike


def _chances(guide: Guide, cars: Sequence[_Dated]) -> Iterator[dict[str, float]]:
    """Yield for each car the chance that so many of its parts stand apart, of all (under no name), and of those that a
    job renews by the job's; none where fewer than two do, or no more than are expected."""
    jobs: Mapping[str, frozenset[str]] = {
        "": frozenset(guide.marks),
        **{str(job.name): frozenset(job.marks) for job in guide.renewed_together},
    }
    of_marks, of_all = defaultdict[_Kind, _Sum](lambda: (0, 0.0)), defaultdict[bool, _Sum](lambda: (0, 0.0))
    for look in (look for one in cars for look in one.looks):
        kind = look.report.mark, look.is_sure
        of_marks[kind] = _with(of_marks[kind], look)
        of_all[look.is_sure] = _with(of_all[look.is_sure], look)
    for one in cars:
        if len(one.apart) < 2:
            yield {}
            continue
        others = dict(of_all)
        for look in one.looks:
            others[look.is_sure] = _with(others[look.is_sure], look, -1)
        whole = {sure: (found + 1.0) / (max(expected, 0.0) + 1.0) for sure, (found, expected) in others.items()}
        each = []
        for look in one.looks:
            found, expected = _with(of_marks[look.report.mark, look.is_sure], look, -1)
            factor = (found + _PRIOR * whole[look.is_sure]) / (max(expected, 0.0) + _PRIOR)
            each.append((look, factor * look.chance))
        chances = {}
        for job, marks in jobs.items():
            of_it = [(look.is_apart, chance) for look, chance in each if look.report.mark in marks]
            least, chances_of_it = sum(is_apart for is_apart, _ in of_it), [chance for _, chance in of_it]
            if least > 1 and least > sum(chances_of_it):
                chances[job] = chance_of_so_many(least, chances_of_it)
        yield chances


def _with(so_far: _Sum, look: _Look, times: int = 1) -> _Sum:
    return so_far[0] + times * look.is_apart, so_far[1] + times * look.chance


def chance_of_so_many(least: int, chances: Sequence[float]) -> float:
    """Return the chance that ``least`` or more of some things come about, each by itself with its own chance; one above
    1 counts as 1. (Barlow and Heidtmann, Computing k-out-of-n system reliability, IEEE Transactions on Reliability 33,
    1984, 322-323.)"""
    by_many = [1.0, *[0.0] * least]  # by how many; the last: so many or more
    for chance in (min(1.0, one) for one in chances):
        rising = [0.0, *(many * chance for many in by_many)]
        whole = by_many[-1]
        by_many = [many * (1.0 - chance) + more for many, more in zip(by_many, rising, strict=False)]
        by_many[-1] = whole + rising[-2]
    return by_many[-1]


class _OddLooks:
    """What was found on cars beside how likely it was to find such."""

    def __init__(self, guide: Guide, key: Key) -> None:
        self._guide, self._key, self._at = guide, key, key.prepared.marks_by_id
        self._works = {
            mark.id: tuple(at for at, form in enumerate(mark.forms) if form.factory) for mark in key.model.marks
        }
        self._forms = {mark.id: {form.id: at for at, form in enumerate(mark.forms)} for mark in key.model.marks}

    def dated(self, known: KnownCar, built: BuiltWith | None) -> _Dated | None:
        """Return what was found on a car; None of one with too few looks, or that no model allows."""
        told = [one for one in known.car.reports if one.forms and one.own is not False and one.mark in self._at]
        if len(told) < _LEAST_LOOKS:
            return None
        try:
            looks = self._by_looks(known, told) if built is None else self._by_time(known, told, built)
            return _Dated.of(known, looks)
        except (ImpossibleEvidence, ValueError):
            return None

    def _by_time(self, known: KnownCar, told: Sequence[Report], built: BuiltWith) -> Iterator[_Look]:
        for report in told:
            chances, is_sure = built.chances_of(report.mark), Found(known, report).is_sure
            odd = [form for form in self._works[report.mark] if chances[form] < _HARDLY]
            chance = _chance_of(self._key.prepared, self._at[report.mark], chances, odd, sure=is_sure)
            at = self._forms[report.mark]
            is_apart = self._is_of_works(report) and sum(chances[at[form]] for form in report.forms) < _HARDLY
            yield _Look(report, is_sure, chance, is_apart)

    def _by_looks(self, known: KnownCar, told: Sequence[Report]) -> Iterator[_Look]:
        prepared = self._key.prepared
        apart = {one.mark: one for one in self._key.dated(_session(self._key, known.car, told)).apart}
        for report in told:
            at, is_sure = self._at[report.mark], Found(known, report).is_sure
            built, said = apart[at].expected, prepared.reports[at]
            odd = [
                form
                for form in self._works[report.mark]
                if built[form] * said[form][form] < (1 - _APART) * sum(map(mul, built, said[form]))
            ]
            chance = _chance_of(prepared, at, built, odd, sure=is_sure)
            is_apart = self._is_of_works(report) and apart[at].chance > _APART
            yield _Look(report, is_sure, chance, is_apart)

    def _is_of_works(self, report: Report) -> bool:
        mark = self._guide.marks.get(report.mark)
        return mark is not None and all(form in mark.forms and mark.forms[form].dates_a_car for form in report.forms)


def _chance_of(prepared: Prepared, mark: int, built: Sequence[float], odd: Sequence[int], *, sure: bool) -> float:
    """Return the chance that a look finds one of some forms of a mark, given what the car was built with: by misreading
    alone where the part is surely the car's own."""
    one = prepared.model.marks[mark]
    if not sure:
        return sum(sum(map(mul, built, prepared.reports[mark][form])) for form in odd)
    other = one.misread / (len(one.forms) - 1 or 1)
    return sum((1.0 - one.misread) * built[form] + other * (1.0 - built[form]) for form in odd)


def _session(key: Key, car: CarSeen, told: Sequence[Report], number: str | None = None) -> Session:
    return Session((*whole_car(key, car), *(Answer.of(report.mark, report.forms) for report in told)), number)


def _has_wrong_number(key: Key, one: _Dated) -> bool:
    """Tell whether a car's looks make its number more likely than not another's."""
    number = "+".join(number.written for number in one.known.car.numbers if number.series in one.known.at)
    try:
        session = _session(key, one.known.car, [look.report for look in one.looks], number)
        return bool(number) and key.dated(session).number_wrong > _APART
    except (ImpossibleEvidence, ValueError):
        return False


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
