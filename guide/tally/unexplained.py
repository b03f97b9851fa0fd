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
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations, compress
from math import comb
from operator import mul

from guide.dating.belief.evidence import Answer, Session
from guide.dating.belief.prepare import Prepared
from guide.dating.belief.state import ImpossibleEvidence
from guide.dating.key import Key
from guide.facts.types import CarSeen, Guide, Report
from guide.tally.built_with import BuiltWith, whole_car
from guide.tally.changeovers import KnownCar

__all__ = ["Alike", "Unfit", "alike_cars", "chance_of_both", "chance_of_so_many", "unfit_cars"]

_APART = 0.5  # the chance from which a number is taken for wrong, and a part for another's by looks alone
_HARDLY = 0.02  # the share of cars of that time and kind below which the works hardly fitted a form
_LEAST_LOOKS = 3
_LEAST_ALIKE = 3  # cars
_RARE = 0.01
_PRIOR = 2.0  # parts expected to stand apart, by which the ratio of one mark is drawn towards that of all

Odd = tuple[str, str]  # mark, form
_Look = tuple[int, float, bool]
"""A look at a part: its kind, twice the number of its mark and one more where it is surely the car's own; the chance
that it finds a form that stands apart; and whether it did."""


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
    """A car with the looks at it: packed, for of all cars there are many."""

    known: KnownCar
    told: Sequence[Report]
    apart: tuple[Report, ...]  # those that stand apart
    _kinds: array[int]
    _chances: array[float]
    _are_apart: bytes

    @classmethod
    def of(cls, known: KnownCar, told: Sequence[Report], looks: Sequence[_Look]) -> _Dated:
        are_apart = bytes([is_apart for _, _, is_apart in looks])
        chances = array("d", [chance for _, chance, _ in looks])
        return cls(
            known,
            told,
            tuple(compress(told, are_apart)),
            array("l", [kind for kind, _, _ in looks]),
            chances,
            are_apart,
        )

    @property
    def looks(self) -> Iterator[tuple[int, float, int]]:
        """Kind, chance, and whether what was found stands apart."""
        return zip(self._kinds, self._chances, self._are_apart, strict=True)


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
    rare = _RARE / (1 + len(guide.renewed_together)) / max(len(dated), 1)
    for one, chances in zip(dated, _chances(guide, key, dated, rare), strict=True):
        rarest = min(chances, key=lambda job: chances[job], default="")
        is_rare = bool(chances) and chances[rarest] < rare
        if is_rare and _has_wrong_number(key, one):
            unfit.append(Unfit(one.known.car, one.apart, "number"))
        elif one.known.car.id in of_several:
            unfit.append(Unfit(one.known.car, one.apart, "alike"))
        elif is_rare:
            unfit.append(Unfit(one.known.car, one.apart, "renewed" if rarest else "changed", rarest))
    key.prepared.said.clear()  # what so many cars show fills much memory, and is little asked for after this
    return tuple(unfit), alike


def _chances(guide: Guide, key: Key, cars: Sequence[_Dated], rare: float) -> Iterator[dict[str, float]]:
    """Yield for each car the chance that so many of its parts stand apart, of all (under no name), and of those that a
    job renews by the job's; none where fewer than two do, or no more than are expected. Of what is not ``rare`` no more
    is told than that."""
    numbers = key.prepared.marks_by_id
    jobs = {str(job.name): {numbers[mark] for mark in job.marks if mark in numbers} for job in guide.renewed_together}
    found, expected = [0] * (2 * len(numbers)), [0.0] * (2 * len(numbers))
    for one in cars:
        for kind, chance, is_apart in one.looks:
            found[kind] += is_apart
            expected[kind] += chance
    of_all = [(sum(found[sure::2]), sum(expected[sure::2])) for sure in (False, True)]
    for one in cars:
        if len(one.apart) < 2:
            yield {}
            continue
        looks, whole = list(one.looks), list[float]()
        for sure, (many, likely) in enumerate(of_all):  # on all other cars
            others = many - sum(is_apart for kind, _, is_apart in looks if kind % 2 == sure)
            whole.append(
                (others + 1.0) / (max(likely - sum(one for kind, one, _ in looks if kind % 2 == sure), 0.0) + 1.0)
            )
        each = [
            (found[kind] - is_apart + _PRIOR * whole[kind % 2]) / (max(expected[kind] - chance, 0.0) + _PRIOR) * chance
            for kind, chance, is_apart in looks
        ]
        odd = [kind // 2 for kind, _, is_apart in looks if is_apart]
        chances = {}
        for job, marks in {"": set(odd), **jobs}.items():
            least = sum(mark in marks for mark in odd)
            if least > 1:
                of_it = [one for one, (kind, _, _) in zip(each, looks, strict=True) if not job or kind // 2 in marks]
                if least > sum(of_it):
                    chances[job] = chance_of_so_many(least, of_it, rare)
        yield chances


def chance_of_so_many(least: int, chances: Sequence[float], rare: float = 1.0) -> float:
    """Return the chance that ``least`` or more of some things come about, each by itself with its own chance; one above
    1 counts as 1. Where that is no less than ``rare``, anything from there up to it may be returned. (Barlow and
    Heidtmann, Computing k-out-of-n system reliability, IEEE Transactions on Reliability 33, 1984, 322-323.)"""
    by_many = [1.0, *[0.0] * least]  # by how many; the last: so many or more
    for chance in sorted((min(1.0, one) for one in chances), reverse=True):  # the sooner it is not rare
        rising = [0.0, *(many * chance for many in by_many)]
        whole = by_many[-1]
        by_many = [many * (1.0 - chance) + more for many, more in zip(by_many, rising, strict=False)]
        by_many[-1] = whole + rising[-2]
        if rare <= by_many[-1] < 1.0:
            break
    return by_many[-1]


class _OddLooks:
    """What was found on cars beside how likely it was to find such."""

    def __init__(self, guide: Guide, key: Key) -> None:
        self._guide, self._key, self._at = guide, key, key.prepared.marks_by_id
        self._works = [[at for at, form in enumerate(mark.forms) if form.factory] for mark in key.model.marks]
        self._found: dict[tuple[str, tuple[str, ...]], tuple[int, list[int]]] = {}
        self._said: dict[tuple[int, ...], list[float]] = {}

    def dated(self, known: KnownCar, built: BuiltWith | None) -> _Dated | None:
        """Return what was found on a car; None of one with too few looks, or that no model allows."""
        told = [one for one in known.car.reports if one.forms and one.own is not False and one.mark in self._at]
        if len(told) < _LEAST_LOOKS:
            return None
        try:
            looks = self._by_looks(known, told) if built is None else self._by_time(known, told, built)
            return _Dated.of(known, told, looks)
        except (ImpossibleEvidence, ValueError):
            return None

    def _by_time(self, known: KnownCar, told: Sequence[Report], built: BuiltWith) -> list[_Look]:
        looks = []
        for report in told:
            at, forms = self._forms_of(report)
            chances = built.chances_of(report.mark)
            odd = [form for form in self._works[at] if chances[form] < _HARDLY]
            is_apart = bool(forms) and sum([chances[form] for form in forms]) < _HARDLY
            looks.append(self._look(2 * at + known.is_sure_of(report), chances, odd, is_apart=is_apart))
        return looks

    def _by_looks(self, known: KnownCar, told: Sequence[Report]) -> list[_Look]:
        prepared, looks = self._key.prepared, []
        apart = {one.mark: one for one in self._key.dated(_session(self._key, known.car, told)).apart}
        for report in told:
            at, forms = self._forms_of(report)
            built, said = apart[at].expected, prepared.reports[at]
            odd = [
                form
                for form in self._works[at]
                if built[form] * said[form][form] < (1 - _APART) * sum(map(mul, built, said[form]))
            ]
            is_apart = bool(forms) and apart[at].chance > _APART
            looks.append(self._look(2 * at + known.is_sure_of(report), built, odd, is_apart=is_apart))
        return looks

    def _forms_of(self, report: Report) -> tuple[int, list[int]]:
        """Return the number of a report's mark, and those of its forms; none where one is not of the works."""
        key = report.mark, report.forms
        if key not in self._found:
            at, mark = self._at[report.mark], self._guide.marks.get(report.mark)
            numbers = {form.id: number for number, form in enumerate(self._key.model.marks[at].forms)}
            of_works = mark is not None and all(
                form in mark.forms and mark.forms[form].dates_a_car for form in report.forms
            )
            self._found[key] = at, [numbers[form] for form in report.forms] if of_works else []
        return self._found[key]

    def _look(self, kind: int, built: Sequence[float], odd: Sequence[int], *, is_apart: bool) -> _Look:
        """Return a look of a kind, given what the car was built with, and which forms stand apart on it."""
        key = kind, *odd
        if key not in self._said:
            self._said[key] = _chances_of(self._key.prepared, *divmod(kind, 2), odd)
        return kind, sum(map(mul, built, self._said[key])), is_apart


def _chances_of(prepared: Prepared, mark: int, sure: int, odd: Sequence[int]) -> list[float]:
    """Return for each form of a mark built the chance that a look finds one of some forms: by misreading alone where
    the part is surely the car's own."""
    one, forms = prepared.model.marks[mark], range(len(prepared.model.marks[mark].forms))
    if not sure:
        return [sum(prepared.reports[mark][form][built] for form in odd) for built in forms]
    other = one.misread / (len(forms) - 1 or 1)
    return [sum(1.0 - one.misread if form == built else other for form in odd) for built in forms]


def _session(key: Key, car: CarSeen, told: Sequence[Report], number: str | None = None) -> Session:
    return Session((*whole_car(key, car), *(Answer.of(report.mark, report.forms) for report in told)), number)


def _has_wrong_number(key: Key, one: _Dated) -> bool:
    """Tell whether a car's looks make its number more likely than not another's."""
    number = "+".join(number.written for number in one.known.car.numbers if number.series in one.known.at)
    try:
        session = _session(key, one.known.car, one.told, number)
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
            if report.kind == "form":
                looked[report.mark].add(at)
        for report in apart:
            having[report.mark, report.forms[0]].add(at)
    odd = {one: at for at, one in enumerate(one for one in having if len(having[one]) >= _LEAST_ALIKE)}
    # What is of one mark, or of parts that one job renews, makes no pair.
    together = Counter(job.get(mark, mark) for mark, _ in odd)
    pairs = comb(len(odd), 2) - sum(comb(many, 2) for many in together.values())
    found: dict[frozenset[int], tuple[dict[str, str], float]] = {}
    for one, other in _on_one_car(cars, odd):
        both = having[one] & having[other]
        if len(both) < _LEAST_ALIKE or job.get(one[0], one[0]) == job.get(other[0], other[0]):
            continue
        at_both = looked[one[0]] & looked[other[0]]
        first, second = (len(having[each] & at_both) for each in (one, other))
        chance = min(1.0, pairs * chance_of_both(len(both), first, second, len(at_both), _RARE / pairs))
        forms, rarest = found.get(frozenset(both), ({}, 1.0))
        found[frozenset(both)] = forms | dict((one, other)), min(rarest, chance)
    groups = [
        Alike(tuple(cars[at][0] for at in sorted(both)), forms, chance)
        for both, (forms, chance) in found.items()
        if chance < _RARE and not any(both < other and found[other][1] < _RARE for other in found)
    ]
    return tuple(sorted(groups, key=lambda group: (group.chance, -len(group.cars), group.cars[0].id)))


def _on_one_car(cars: Sequence[tuple[CarSeen, Sequence[Report]]], odd: Mapping[Odd, int]) -> list[tuple[Odd, Odd]]:
    """Return the pairs of some oddities, each given with its number, that any car has, in order."""
    met = set[tuple[int, int]]()
    for _, apart in cars:
        numbers = {odd[one] for report in apart if (one := (report.mark, report.forms[0])) in odd}
        met.update(combinations(sorted(numbers), 2))
    every = list(odd)
    return [(every[one], every[other]) for one, other in sorted(met)]


def chance_of_both(least: int, one: int, other: int, of: int, rare: float = 1.0) -> float:
    """Return the chance that ``least`` or more ``of`` all have both, where ``one`` and ``other`` many have either;
    ``rare`` as in `chance_of_so_many`."""
    ways, every = 0, comb(of, other)
    for many in range(least, min(one, other) + 1):
        ways += comb(one, many) * comb(of - one, other - many)
        if ways / every >= rare:
            break
    return ways / every
