"""Each changeover as the cars seen tell it: the earliest new, the latest old, the best single change, the rising share.

By number in each series, in which cars stand within its usual disorder, and by day, in which each stands on the days
when it can have been built. Only cars that certainly are of the kind that changed together are asked, no stray and no
part that is not the car's own. The earliest and the latest are of cars believed untouched. For the best change every
car counts, with the chances of error that the guide states for its dating: misreading, a wrong number, and, unless the
car is believed untouched or the part its own, that the part was replaced, and by what.
"""

from __future__ import annotations

from array import array
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import partial
from itertools import pairwise, repeat
from math import log
from typing import NamedTuple

from guide.constants import value_of
from guide.dating.building.askable import replacement_habits
from guide.facts.reads import worked_out
from guide.facts.types import CarSeen, Guide, Mark, Report, Scope
from guide.limits.courses import Course, courses_of, lines_of
from guide.limits.held import days_of_car, scope_of_car
from guide.limits.positions import SeriesLine
from guide.limits.scopes import Dimensions
from guide.limits.types import DatedSpell, LimitsResult, day_of
from guide.tally.estimate import monotone
from guide.tally.follows import Follows
from guide.tally.single_change import Belief, BestChange, Sighted, Stands

__all__ = ["Changeover", "Found", "KnownCar", "Placed", "changeovers_of", "known_cars", "ranges_of"]


_UNLIKELY = 0.001
_HUNDRED = 100
_OLD, _NEW, _ASIDE, _RETURNED = range(4)  # a car's side of a changeover: aside where its form tells none, or (of a
# form that came back) where its time has to tell it
_LEAST = 1e-6  # the chance of error at the least: a guide may state that nothing is ever misread


@dataclass(frozen=True, slots=True)
class KnownCar:
    """A car seen with what is certain of it: its scope, its days, the period that holds them all; and by series its
    place, as `Changeover` has it, no stray's, with the places at which it can stand."""

    car: CarSeen
    scope: Scope | None
    days: tuple[date, date] | None
    period: str | None
    at: Mapping[str, int]
    reach: Mapping[str, tuple[int, int]]

    def is_sure_of(self, report: Report) -> bool:
        """Tell whether a part is believed the car's own: said so, or of a car believed untouched."""
        return self.car.untouched if report.own is None else report.own


@dataclass(frozen=True, slots=True)
class Found:
    """What was found at one part of a car."""

    known: KnownCar
    report: Report

    @property
    def is_sure(self) -> bool:
        """Whether the part is believed the car's own."""
        return self.known.is_sure_of(self.report)


class _LineUp(NamedTuple):
    """Finds in order of place, where each stands, and of which of the four kinds it is that err alike (`_kind_of`)."""

    found: Sequence[Found]
    stands: Stands
    kinds: bytes


class Placed(NamedTuple):
    """A find on the line of a changeover, and whether its form came later than the old one."""

    found: Found
    place: int
    is_new: bool


@dataclass(frozen=True, kw_only=True)  # without slots: what follows from the fields is worked out when first asked for
class Changeover:
    """One form giving way to the next in one kind of car, along one axis.

    Places are positions of ``series``, or days (`date.toordinal`) where that is empty.
    """

    mark: str
    old: str
    new: str
    course: Course
    at: int  # which of the course's spells gave way
    series: str
    line_up: _LineUp  # of these cars, and others
    sides: bytes  # of each car in the line-up: `_OLD`, `_NEW`, or `_ASIDE`
    line: SeriesLine | None  # that of the series
    errors: Callable[[], Sequence[tuple[float, float]]]  # the chances of error of each kind of find
    places: tuple[int, int]  # the first and the last at which it can lie
    follows: str | None  # the kind of number that it follows, where cars have several

    @worked_out
    def _believed(self) -> tuple[BestChange | None, tuple[int, int], Sequence[float]]:
        """What is asked of how likely each place is: the whole is too much to be remembered in a large guide."""
        errors, rises = self.errors(), {}  # how much likelier a car makes a change after it than before it
        for kind, (early, late) in enumerate(errors):
            rises[_OLD, kind], rises[_NEW, kind] = log(1 - early) - log(late), log(early) - log(1 - late)
        cars = list(zip(self.sides, self.line_up.kinds, strict=True))
        stands = self.line_up.stands
        first, last, near = stands.in_doubt(list(map(rises.get, cars, repeat(0.0))), *self.places)
        sighted = [
            Sighted(stands.lows[at], stands.highs[at], cars[at][0] == _NEW, *errors[cars[at][1]])
            for at in near
            if cars[at][0] != _ASIDE
        ]
        belief = Belief(sighted, first, last)
        best = belief.likeliest if _OLD in self.sides and _NEW in self.sides else None
        within = array("d", belief.within(() if self.line is None else ranges_of(self.line)))
        return best, (belief.low(_UNLIKELY), belief.high(_UNLIKELY)), within

    @property
    def cars(self) -> Iterator[Placed]:
        """Its cars in order of place, made when they are asked for: those of all changeovers fill much memory."""
        cars = zip(self.line_up.found, self.line_up.stands.places, self.sides, strict=True)
        return (Placed(found, place, side == _NEW) for found, place, side in cars if side != _ASIDE)

    def _own(self, side: int, order: Iterable[int]) -> Placed | None:
        """Return the first, in an order, of the cars of a side that are sure to have been built with its form."""
        found, form = self.line_up.found, self.new if side == _NEW else self.old
        sure = (at for at in order if self.sides[at] == side and found[at].is_sure)
        at = next((at for at in sure if found[at].report.forms[0] == form), None)
        return None if at is None else Placed(found[at], self.line_up.stands.places[at], side == _NEW)

    @worked_out
    def earliest_new(self) -> Placed | None:
        """The first of those that are sure to have been built with the new form."""
        return self._own(_NEW, range(len(self.sides)))

    @worked_out
    def latest_old(self) -> Placed | None:
        """The last of those that are sure to have been built with the old form."""
        return self._own(_OLD, reversed(range(len(self.sides))))

    @property
    def rising(self) -> tuple[float, ...]:
        """The share of cars with later forms at each of the cars."""
        return tuple(monotone([float(one.is_new) for one in self.cars]))

    @property
    def best(self) -> BestChange | None:
        """The best single change, None where not both forms were found."""
        return self._believed[0]

    @property
    def surely(self) -> tuple[int, int]:
        """The places that it lies between, but for a chance below one in a thousand on either side."""
        return self._believed[1]

    @property
    def within(self) -> Sequence[float]:
        """The chance that it lies in each range of numbers of its series (`ranges_of`); none where it is by day."""
        return self._believed[2]

    @property
    def scope(self) -> Scope:
        """Which cars it speaks of."""
        parts = dict(self.course.scope.parts)
        return Scope(tuple(sorted((parts | ({"series": (self.series,)} if self.series else {})).items())))


def ranges_of(line: SeriesLine) -> Iterator[tuple[int, int]]:
    """Yield the first and last position of each whole hundred of numbers of each run of a series."""
    for _, first, last, start in line.runs:
        cuts = [first, *range((first // _HUNDRED + 1) * _HUNDRED, last + 1, _HUNDRED), last + 1]
        yield from ((start + one - first, start + other - first - 1) for one, other in pairwise(cuts))


def known_cars(limits: LimitsResult, dimensions: Dimensions) -> list[KnownCar]:
    """Return every car seen with what is certain of it."""
    found, scopes = [], dict[Scope | None, Scope | None]()
    for car in limits.moments.guide.cars_seen:
        scope = scope_of_car(dimensions, car)
        scope = scopes.setdefault(scope, scope)  # one of each, which is known again by its identity
        assembly = dimensions.assembly_of(scope)
        at, reach = {}, {}
        for number in car.numbers if assembly is None else ():
            line = limits.moments.every.get(number.series)
            position = None if line is None else line.position(number)
            if line is not None and position is not None and position not in line.strays:
                at[number.series], reach[number.series] = position, line.reach_of(position)
        days = days_of_car(limits.moments, car, assembly)
        if days is not None:
            first, last = reach[""] = days[0].toordinal(), days[1].toordinal()
            at[""] = (first + last) // 2
        found.append(KnownCar(car, scope, days, _period_of(car, days, limits.moments.guide), at, reach))
    return found


def _period_of(car: CarSeen, days: tuple[date, date] | None, guide: Guide) -> str | None:
    if days is None:
        return None
    series = {one.series for one in car.numbers}
    own = [one for one in guide.periods.values() if not one.series or not series or series & set(one.series)]
    return next((one.id for one in own if one.first <= days[0] and days[1] <= one.last), None)


def changeovers_of(
    limits: LimitsResult, mark: Mark, found: Sequence[Found], follows: Sequence[Follows]
) -> tuple[Changeover, ...]:
    """Return the changeovers of a mark as the cars on which it was looked at tell them, those of which both forms were
    found or one was."""
    told = [one for one in found if one.report.kind == "form" and one.report.own is not False]
    told.sort(key=lambda one: one.known.car.id)  # as those of one place stand
    kinds = {(one.old, one.new): one.kind for one in follows}
    return tuple(
        changeover
        for course in courses_of(limits, mark)
        if len(course.spells) > 1
        for changeover in _of_course(limits, course, told, kinds)
    )


def _of_course(
    limits: LimitsResult, course: Course, told: Sequence[Found], kinds: Mapping[tuple[str, str], str | None]
) -> Iterator[Changeover]:
    scopes = (course.scope, *course.also)
    there = {id(one.known.scope): one.known.scope for one in told}
    within = {at for at, scope in there.items() if scope is not None and any(scope.within(other) for other in scopes)}
    of_these = [one for one in told if id(one.known.scope) in within]
    axes: list[SeriesLine | None] = [*lines_of(limits, course), *limits.moments.further.values(), None]
    in_order = [_in_order(of_these, line.series.id if line else "") for line in axes]
    for at in range(len(course.spells) - 1):
        old, new = course.spells[at].form, course.spells[at + 1].form
        for line, line_up in zip(axes, in_order, strict=True):
            sides = _sides(limits, course, at, line_up.found)
            if sides.strip(bytes([_ASIDE])):
                yield _changeover(limits, course, at, line, line_up, sides, kinds.get((old, new)))


def _in_order(cars: Sequence[Found], series: str) -> _LineUp:
    """Return those of some cars that have a place in a series, or in the days, each with that, in order of place."""
    found = [one for one in cars if series in one.known.at]
    found.sort(key=lambda one: one.known.at[series])
    stands = Stands.of([one.known.at[series] for one in found], [one.known.reach[series] for one in found])
    return _LineUp(found, stands, bytes([_kind_of(one) for one in found]))


def _changeover(
    limits: LimitsResult,
    course: Course,
    at: int,
    line: SeriesLine | None,
    line_up: _LineUp,
    sides: bytes,
    follows: str | None,
) -> Changeover:
    old, new = course.spells[at].form, course.spells[at + 1].form
    made = limits.moments.guide.production
    return Changeover(
        mark=course.mark.id,
        old=old,
        new=new,
        course=course,
        at=at,
        series=line.series.id if line else "",
        line_up=line_up,
        sides=sides,
        line=line,
        errors=partial(_errors, limits.moments.guide, course, at),
        places=(0, line.cars - 1) if line else (made.first.toordinal(), made.last.toordinal()),
        follows=follows,
    )


def _sides(limits: LimitsResult, course: Course, at: int, found: Sequence[Found]) -> bytes:
    """Return for each find whether its form came after the changeover that follows the spell ``at`` of a course; aside
    where that cannot be told: of a form of no such spell, and of one that came back, unless the car is of the time of
    these two."""
    side_of: dict[str, int] = {}
    for index, spell in enumerate(course.spells):
        side = _NEW if index > at else _OLD
        side_of[spell.form] = side if side_of.get(spell.form, side) == side else _RETURNED
    sides = bytes([side_of.get(one.report.forms[0], _ASIDE) for one in found])
    if _RETURNED not in sides:
        return sides
    old, new = course.spells[at], course.spells[at + 1]
    low, high = _days(limits, old)[0], _days(limits, new)[1]
    by_time = {old.form: _OLD, new.form: _NEW}

    def told(one: Found) -> int:
        days = one.known.days
        is_of_time = days is not None and low <= days[0] and days[1] <= high
        return by_time.get(one.report.forms[0], _ASIDE) if is_of_time else _ASIDE

    return bytes(told(one) if side == _RETURNED else side for one, side in zip(found, sides, strict=True))


def _days(limits: LimitsResult, spell: DatedSpell) -> tuple[date, date]:
    origin = limits.moments.guide.production.first
    return day_of(spell.first.earliest, origin), day_of(spell.last.latest, origin)


def _kind_of(one: Found) -> int:
    """Return what its chances of error are told by: whether the part is sure to be the car's own, and whether the car's
    date is known otherwise than by its number."""
    return 2 * one.known.is_sure_of(one.report) + (one.known.car.built is not None)


def _errors(guide: Guide, course: Course, at: int) -> list[tuple[float, float]]:
    """Return for each kind of find (`_kind_of`) the chances that a car built with the old form is found with a later
    one, and the other way round."""
    mark, forms = course.mark, list(course.mark.forms)
    later = [any(spell.form == form for spell in course.spells[at + 1 :]) for form in forms]
    misread = mark.misread_share
    if misread is None:
        misread = value_of("misread", guide.overrides)
    habits = replacement_habits(mark, guide.overrides)
    even, among = 1 / len(forms), len(forms) - 1 or 1
    both = []  # how many forms lie across, and how often a part that was replaced is one of them
    for spell, is_across in zip(course.spells[at : at + 2], (True, False), strict=True):
        row = habits[forms.index(spell.form)] if habits else [even] * len(forms)
        across = [share for share, is_later in zip(row, later, strict=True) if is_later is is_across]
        both.append((len(across), sum(across)))

    def found_across(kind: int, many: int, share: float) -> float:
        is_sure, is_dated = divmod(kind, 2)
        wrong = 0.0 if is_dated else value_of("number_wrong", guide.overrides)
        replaced = 0.0 if is_sure else 1 - mark.survives_share
        found = wrong / 2 + misread * many / among + (1 - misread) * replaced * share
        return min(max(found, _LEAST), 0.5)

    return [(found_across(kind, *both[0]), found_across(kind, *both[1])) for kind in range(4)]
