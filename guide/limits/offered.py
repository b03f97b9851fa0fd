"""Untouched cars seen held against when what they show was to be had: by `fitted as:` of a form, by `built:` of a trim.

Theory
------
What is stated of a form's first and last `guide.limits.held` asks. Here it is what the facts say besides: since when
and until when the works fitted a form or offered it, when something was sold afterwards, in which stretches a trim was
built. A car believed untouched left the works as it is, so that what came later, or was given up before, cannot be on
it, and nothing that others make at all. One of the ways or stretches that speak of such a car is enough; of those that
do not allow it, it is told by the one that it misses by least. A part known not to be the car's own, a number out of
order, and what a first or last contradicts already say nothing here.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

from guide.facts.reads import remembered
from guide.facts.types import Assembly, CarSeen, FittedAs, Guide, Report, Scope, When
from guide.finding import Place
from guide.limits.held import days_of_car, scope_of_car
from guide.limits.moments import Moments
from guide.limits.scopes import Dimensions, intersect
from guide.limits.types import LimitsResult
from guide.sentence import Value, sentence

__all__ = ["INTERIOR", "Shown", "Untimely", "untimely_cars"]

INTERIOR = "interior"
_BY_THE_SALE = (FittedAs.FACTORY, FittedAs.OPTION, FittedAs.DEALER, FittedAs.CAMPAIGN)


class _Offer(NamedTuple):
    """One way or stretch in which something was to be had."""

    scope: Scope
    first: When | None
    last: When | None
    by_the_sale: bool  # that a car can have had when it was handed over
    place: Place


class Shown(NamedTuple):
    """A car seen with something out of its time, by how many cars or days."""

    car: CarSeen
    report: Report
    beyond: int

    @property
    def sort_key(self) -> tuple[int, str, int]:
        """The one that is furthest beyond comes first, then in order of the tables."""
        return -self.beyond, self.report.place.file, self.report.place.line


@dataclass(frozen=True, slots=True)
class Untimely:
    """What untouched cars seen show although it was not to be had when they were built, the furthest beyond first."""

    mark: str  # or `INTERIOR`
    form: str
    names: tuple[Value, str]  # of both
    way: str  # "first": it came later; "last": it was given up before; "never": it is on no car as it left the works
    when: When | None
    place: Place
    cars: tuple[Shown, ...]


def untimely_cars(limits: LimitsResult) -> tuple[Untimely, ...]:
    """Return what untouched cars seen show out of its time, in order of place."""
    return remembered(limits.known, "untimely", lambda: tuple(_untimely(limits)))


def _untimely(limits: LimitsResult) -> Iterator[Untimely]:
    guide, dimensions = limits.moments.guide, Dimensions(limits.moments.guide)
    told = {(misfit.car.id, one.mark, one.statement.form) for one in limits.contradicted for misfit in one.misfits}
    found: defaultdict[tuple[str, str, str, When | None, Place], list[Shown]] = defaultdict(list)
    for car in guide.cars_seen:
        scope = scope_of_car(dimensions, car) if car.untouched else None
        if scope is None:
            continue
        held = _Held(limits.moments, car, dimensions.assembly_of(scope))
        for report, offers in _shown(guide, car):
            about = [one for one in offers if intersect(scope, one.scope) is not None]
            if about and (car.id, report.mark, report.forms[0]) not in told:
                _, _, beyond, way, one = min((held.missed(one) for one in about), key=lambda each: each[:3])
                if way:
                    when = {"first": one.first, "last": one.last}.get(way)
                    key = report.mark, report.forms[0], way, when, one.place
                    found[key].append(Shown(car, report, beyond))
    for (mark, form, way, when, place), cars in found.items():
        of = guide.marks.get(mark)
        names = (of.name, of.forms[form].name) if of else (sentence("limits.trim"), guide.interiors[form].name)
        yield Untimely(mark, form, names, way, when, place, tuple(sorted(cars, key=lambda one: one.sort_key)))


def _shown(guide: Guide, car: CarSeen) -> Iterator[tuple[Report, list[_Offer]]]:
    """Yield what a car shows, its trim as a report too, with all the ways or stretches in which that was to be had."""
    for report in car.reports:
        if report.kind == "form" and report.own is not False:
            ways = guide.marks[report.mark].forms[report.forms[0]].fitted_as
            yield report, [_Offer(one.scope, one.first, one.last, one.kind in _BY_THE_SALE, one.place) for one in ways]
    trim = guide.interiors.get(car.splits.get(INTERIOR, ""))
    if trim is not None:
        report = Report(mark=INTERIOR, forms=(trim.id,), kind="form", place=car.place)
        yield report, [_Offer(one.scope, one.first, one.last, True, one.place) for one in trim.spans]


class _Held:
    """One car, held against ways and stretches."""

    def __init__(self, moments: Moments, car: CarSeen, assembly: Assembly | None) -> None:
        self.moments = moments
        self.days = days_of_car(moments, car, assembly)
        self.numbers = () if assembly is not None else car.numbers
        self.series = next((one.series for one in car.numbers if one.series in moments.lines), "")

    def missed(self, one: _Offer) -> tuple[bool, bool, int, str, _Offer]:
        """Return how the car misses one way or stretch, by how many cars or days, what counts for most put first."""
        for way, when in (("first", one.first), ("last", one.last)):
            beyond = 0 if when is None else self._beyond(when, is_last=way == "last")
            if beyond > 0:
                return True, not one.by_the_sale, beyond, way, one
        return not one.by_the_sale, not one.by_the_sale, 0, "" if one.by_the_sale else "never", one

    def _beyond(self, when: When, *, is_last: bool) -> int:
        meant = self.moments.car(when, self.series)
        if meant is not None:
            placed = (meant.line.position(number) for number in self.numbers)
            position = next((one for one in placed if one is not None), None)
            if position in meant.line.strays:
                return 0
            if position is not None:
                return position - meant.high if is_last else meant.low - position
        if self.days is None:
            return 0
        low, high = self.moments.days(when, self.series)
        return (self.days[0] - high).days if is_last else (low - self.days[1]).days
