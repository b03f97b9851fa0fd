"""Cars seen held against what is stated, each on the claim's own axis: asked here by the findings and by the tally.

Theory
------
A first or last that names a car is a claim about numbers, and only a car with a number of that series can contradict
it: exactly, but for what the claim itself allows (leftover stock, an "about"). One that names a time is a claim
about days: a car contradicts it when no day on which it can have been built is left, by its own date or, without
one, by what the calendar allows its number. A car speaks only of claims about cars that it certainly is of. Where
a form was had for several spells, a car need fit one of them only; one that fits none contradicts the spell
that it misses by least. A part known not to be the car's own, a number out of order, and the number of a car put
together elsewhere contradict nothing.

Nothing found here reaches the dating: it is told, and what to make of it the editor says in the facts.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from datetime import date, timedelta
from typing import NamedTuple

from guide.facts.types import Assembly, CarSeen, Report, Scope, StatementKind
from guide.limits.build import Builder
from guide.limits.claims import StatedClaim
from guide.limits.moments import Moments
from guide.limits.scopes import Dimensions, intersect
from guide.limits.types import Axis, Contradiction, Misfit

__all__ = ["contradictions", "days_of_car", "scope_of_car"]


def days_of_car(moments: Moments, car: CarSeen, assembly: Assembly | None) -> tuple[date, date] | None:
    """Return the first and last day on which a car seen can have been built, or None where nothing tells.

    By its own date, or else by the first of its numbers that the calendar dates; ``assembly`` is where it was put
    together, if that was elsewhere.
    """
    low, high = moments.bounds(car.built) if car.built is not None else (None, None)
    if low is not None and high is not None:
        return low, high
    for number in car.numbers:
        line = moments.lines.get(number.series) or moments.further.get(number.series)
        if line is not None and line.position(number) is not None:
            first, last = line.days_of(number)
            least, most = (0, 0) if assembly is None else (assembly.least_days, assembly.most_days)
            return first + timedelta(days=least), last + timedelta(days=most)
    return None


def scope_of_car(dimensions: Dimensions, car: CarSeen) -> Scope | None:
    """Return all that is certain of a car seen, by its numbers and what was noted; None where these disagree."""
    noted = Scope(tuple(sorted((split, (value,)) for split, value in car.splits.items())))
    return dimensions.close(noted, *(dimensions.of_car(number) for number in car.numbers))


class _Held(NamedTuple):
    """A first or last ready to hold cars against: the cars it speaks of, and what lies within it."""

    claim: StatedClaim
    scope: Scope
    axis: Axis
    series: str  # of a claim by number
    low: int  # the first position or day (`date.toordinal`) that it allows, where it is a first
    high: int  # the last, where it is a last

    @property
    def is_last(self) -> bool:
        return self.claim.statement.kind is StatementKind.LAST


def contradictions(builder: Builder, claims: Iterable[StatedClaim]) -> tuple[Contradiction, ...]:
    """Return the claims that cars seen contradict, in order of label."""
    held: defaultdict[tuple[str, str], list[_Held]] = defaultdict(list)
    for claim in claims:
        if (one := _held(builder, claim)) is not None:
            held[claim.mark, claim.statement.form].append(one)
    found: defaultdict[int, list[Misfit]] = defaultdict(list)
    of_label = {one.claim.label: one for several in held.values() for one in several}
    scopes = list(dict.fromkeys(one.scope for several in held.values() for one in several))
    known = {of: [(one, scopes.index(one.scope)) for one in several] for of, several in held.items()}
    for car in builder.guide.cars_seen if held else ():
        scope = scope_of_car(builder.dimensions, car)
        if scope is None:
            continue
        assembly = builder.dimensions.assembly_of(scope)
        days = days_of_car(builder.moments, car, assembly)
        allowed, places = [scope.within(one) for one in scopes], _Places(builder, car, days)
        for report in car.reports:
            if report.kind != "form" or report.own is False:
                continue
            about = [
                one
                for one, at in known.get((report.mark, report.forms[0]), ())
                if allowed[at] and (assembly is None or one.axis is Axis.DAY)
            ]
            if not any(places.misses(one) for one in about):
                continue
            for label, misfit in _least(builder, about, car, report, days).items():
                found[label].append(misfit)
    return tuple(
        Contradiction(
            one.claim.mark,
            one.claim.index,
            one.claim.statement,
            one.axis,
            tuple(sorted(found[label], key=lambda misfit: misfit.sort_key)),
        )
        for label, one in sorted(of_label.items())
        if found[label]
    )


class _Places(dict[str, tuple[int, ...]]):
    """Where a car stands: by series its positions; for the axis of days, "", the first and last day it may be of."""

    def __init__(self, builder: Builder, car: CarSeen, days: tuple[date, date] | None) -> None:
        super().__init__({"": () if days is None else (days[0].toordinal(), days[1].toordinal())})
        self._builder, self._car = builder, car

    def __missing__(self, series: str) -> tuple[int, ...]:
        line = self._builder.lines[series]
        found = (line.position(number) for number in self._car.numbers)
        self[series] = tuple(position for position in found if position is not None and position not in line.strays)
        return self[series]

    def misses(self, one: _Held) -> bool:
        """Tell whether a claim does not allow the car at all."""
        at = self[one.series]
        if not at:
            return False
        if one.axis is Axis.DAY:
            return at[0] > one.high if one.is_last else at[1] < one.low
        return max(at) > one.high if one.is_last else min(at) < one.low


def _held(builder: Builder, claim: StatedClaim) -> _Held | None:
    said, when, mark = claim.statement, claim.statement.when, builder.guide.marks[claim.mark]
    form = mark.forms[said.form]
    if said.kind is StatementKind.SEEN or when is None or not form.dates_a_car:
        return None
    spells = (spell.scope for spell in form.spells if spell.number == said.spell)
    scope = intersect(mark.scope, form.scope, said.scope, *spells)
    if scope is None:
        return None
    meant, stock = builder.moments.car(when), said.old_stock_cars or 0
    if meant is not None:
        if meant.position in meant.line.strays:
            return None
        return _Held(claim, scope, Axis.NUMBER, meant.line.series.id, meant.low, meant.high + stock)
    low, high = builder.moments.days(when)
    if stock:
        lines = [line for line in builder.moments.lines.values() if line.cars]
        high = max([high, *(line.latest_day(line.last_by(high) + stock) for line in lines)])
    return _Held(claim, scope, Axis.DAY, "", low.toordinal(), high.toordinal())


def _least(
    builder: Builder, about: Iterable[_Held], car: CarSeen, report: Report, days: tuple[date, date] | None
) -> Mapping[int, Misfit]:
    """Return how a car misses the claims about one spell of a form, by label: the spell that it misses by least."""
    by_spell: defaultdict[int, dict[int, Misfit]] = defaultdict(dict)
    claims = list(about)
    spells = builder.guide.marks[report.mark].forms[report.forms[0]].spells
    for spell in spells:
        missed = by_spell[spell.number]
        for one in claims:
            said = one.claim.statement
            if said.spell == spell.number or said.superlative:
                for misfit in _misfits(builder, one, car, report, days):
                    missed[one.claim.label] = misfit
    return min(by_spell.values(), key=lambda missed: sum(misfit.beyond for misfit in missed.values()), default={})


def _misfits(
    builder: Builder, one: _Held, car: CarSeen, report: Report, days: tuple[date, date] | None
) -> Iterator[Misfit]:
    if one.axis is Axis.DAY:
        if days is not None:
            nearest = days[0] if one.is_last else days[1]
            beyond = nearest.toordinal() - one.high if one.is_last else one.low - nearest.toordinal()
            if beyond > 0:
                yield Misfit(car, report, beyond, nearest)
        return
    line = builder.lines[one.series]
    for number in car.numbers:
        position = line.position(number)
        if position is not None and position not in line.strays:
            beyond = position - one.high if one.is_last else one.low - position
            if beyond > 0:
                yield Misfit(car, report, beyond, number)
