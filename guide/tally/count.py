"""What all cars seen say together: counts by period, how sure they make us, and what an editor might state.

Only a car whose build lies certainly in one period is counted for it, and only marks where one form was
reported. Nothing counted here reaches the dating by itself: a suggestion becomes evidence when the editor
states it in the facts, so that no car counts twice.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from guide.facts.types import CarSeen, Guide, Mark, Scope, StatementKind
from guide.limits.held import days_of_car, scope_of_car
from guide.limits.moments import Moments
from guide.limits.scopes import Dimensions
from guide.limits.types import DatedSpell, LimitsResult, day_of
from guide.tally.estimate import wilson
from guide.tally.follows import Follows, follows_of

__all__ = ["FormCount", "MarkTally", "Suggestion", "Tally", "derive_tally"]


class FormCount(NamedTuple):
    """How many cars of one period were found with a form: ``found`` of ``of``, with the 95 % interval."""

    form: str
    period: str
    found: int
    of: int
    low: float
    high: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Suggestion:
    """A car that an editor may state under a form, as seen, and what it would do."""

    mark: str
    form: str
    car: CarSeen
    later_than_known: bool  # a car later than the last so far; otherwise earlier than the first
    days: int  # how far it would move that limit


@dataclass(frozen=True, kw_only=True, slots=True)
class MarkTally:
    """One mark's counts, forms in order."""

    counts: tuple[FormCount, ...]
    changed: int  # cars where it had been changed
    looked_at: int
    follows: tuple[Follows, ...]  # which of their numbers its changes follow, where cars have several


@dataclass(frozen=True, kw_only=True, slots=True)
class Tally:
    """Everything the cars seen say together."""

    cars: int
    placed: int  # cars whose build lies certainly in one period
    marks: Mapping[str, MarkTally]
    suggestions: tuple[Suggestion, ...]
    claimed_twice: Mapping[str, int]  # by number, how many of the cars seen claim it


class _Placed(NamedTuple):
    """A car seen with the days on which it can have been built, and the period that holds them all."""

    car: CarSeen
    days: tuple[date, date] | None
    period: str | None


def _placed(car: CarSeen, moments: Moments, dimensions: Dimensions) -> _Placed:
    days = days_of_car(moments, car, dimensions.assembly_of(scope_of_car(dimensions, car)))
    series, periods = {one.series for one in car.numbers}, moments.guide.periods.values() if days is not None else ()
    own = [one for one in periods if not one.series or not series or series & set(one.series)]
    holding = (one.id for one in own if days is not None and one.first <= days[0] and days[1] <= one.last)
    return _Placed(car, days, next(holding, None))


def _mark_tally(mark: Mark, guide: Guide, cars: Sequence[_Placed], follows: tuple[Follows, ...]) -> MarkTally:
    reported = [(report, one.period) for one in cars for report in one.car.reports if report.mark == mark.id]
    told = [(report.forms[0], period) for report, period in reported if report.kind == "form"]
    found, of = Counter(told), Counter(period for _, period in told)
    return MarkTally(
        counts=tuple(
            FormCount(form, period, found[form, period], of[period], *wilson(found[form, period], of[period]))
            for form in mark.forms
            for period in guide.periods
            if of[period]
        ),
        changed=sum(report.kind == "changed" for report, _ in reported),
        looked_at=sum(report.kind != "cannot-tell" for report, _ in reported),
        follows=follows,
    )


def _stated(mark: Mark) -> set[tuple[str, str]]:
    return {
        (statement.form, statement.when.car.written)
        for statement in mark.statements
        if statement.kind is StatementKind.SEEN and statement.when and statement.when.car
    }


def _splits_of(car: CarSeen, guide: Guide) -> dict[str, str]:
    """Return what is certain of a car: its series, and what its number's suffix and notes settle."""
    known = dict(car.splits)
    if car.car is not None:
        series = guide.series[car.car.series]
        known |= {"series": series.id} if series.gives_build_order else {}
        settled = series.suffixes.get(car.car.suffix)
        known |= {name: values[0] for name, values in settled.parts if len(values) == 1} if settled else {}
    return known


def _suggest(mark: Mark, limits: LimitsResult, cars: Sequence[_Placed]) -> Iterator[Suggestion]:
    """Yield, for each end of each spell that a changeover limits, the car seen that would move it most."""
    guide, stated = limits.moments.guide, _stated(mark)
    spells = [spell for spell in limits.spells if spell.mark == mark.id]
    best: dict[tuple[str, int, Scope, bool], Suggestion] = {}
    for car, days, _ in cars:
        if not car.untouched or days is None or car.car is None:
            continue
        for report in car.reports:
            if report.kind != "form" or report.mark != mark.id or report.own is False:
                continue
            form, known = report.forms[0], _splits_of(car, guide)
            moves = _moves(mark, [spell for spell in spells if spell.scope.holds(known)], form, days, guide)
            if not moves or (form, car.car.written) in stated:
                continue
            moved, later, spell = min(moves, key=lambda move: move[0])
            slot = (form, spell.spell, spell.scope, later)
            if slot not in best or moved > best[slot].days:
                best[slot] = Suggestion(mark=mark.id, form=form, car=car, later_than_known=later, days=moved)
    yield from best.values()


def _moves(
    mark: Mark, spells: Sequence[DatedSpell], form: str, days: tuple[date, date], guide: Guide
) -> list[tuple[int, bool, DatedSpell]]:
    """Return which ends of a form's spells a car would move: by how many days, whether a last, and of which spell.

    It matters where another form gave way to this one or follows it, and where the limits leave the car room; a car
    within what is known of some spell moves none.
    """
    origin = guide.production.first
    moves: list[tuple[int, bool, DatedSpell]] = []
    for spell in (one for one in spells if one.form == form):
        low, high = day_of(spell.first.latest, origin), day_of(spell.last.earliest, origin)
        if low <= days[0] and days[1] <= high:
            return []
        others = [one for one in spells if one is not spell and not mark.forms[one.form].is_option]
        later, sooner = (days[0] - high).days, (low - days[1]).days
        followed = any(one.first.earliest > spell.first.earliest for one in others)
        preceded = any(one.first.earliest < spell.first.earliest for one in others)
        if later > 0 and followed and day_of(spell.last.latest, origin) >= days[1]:
            moves.append((later, True, spell))
        if sooner > 0 and preceded and day_of(spell.first.earliest, origin) <= days[0]:
            moves.append((sooner, False, spell))
    return moves


def derive_tally(limits: LimitsResult) -> Tally:
    """Return what the cars seen say together. Suggestions come in order of mark, those that move most first."""
    moments, guide = limits.moments, limits.moments.guide
    dimensions = Dimensions(guide)
    cars = [_placed(car, moments, dimensions) for car in guide.cars_seen]
    suggestions: list[Suggestion] = []
    for mark in guide.marks.values():
        suggestions += sorted(_suggest(mark, limits, cars), key=lambda one: (-one.days, one.car.id))
    claimed = Counter(number.written for car in guide.cars_seen for number in car.numbers)
    return Tally(
        cars=len(cars),
        placed=sum(one.period is not None for one in cars),
        marks={
            mark.id: _mark_tally(mark, guide, cars, follows_of(limits, dimensions, mark))
            for mark in guide.marks.values()
        },
        suggestions=tuple(suggestions),
        claimed_twice={number: cars for number, cars in claimed.items() if cars > 1},
    )
