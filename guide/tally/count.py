"""What all cars seen say together: counts by period, how sure they make us, and what an editor might state.

Only a car whose build lies certainly in one period is counted for it, and only marks where one form was
reported. Nothing counted here reaches the dating by itself: a suggestion becomes evidence when the editor
pastes it into the facts, so that no car counts twice.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from guide.facts.types import CarSeen, Guide, Mark, Report, Scope, StatementKind
from guide.limits.moments import Moments
from guide.limits.types import DatedSpell, LimitsResult, day_of
from guide.tally.estimate import wilson

__all__ = ["Claimed", "FormCount", "MarkTally", "Suggestion", "Tally", "derive_tally"]


@dataclass(frozen=True, kw_only=True, slots=True)
class FormCount:
    """How many cars of one period were found with a form: ``found`` of ``of``, with the 95 % interval."""

    form: str
    period: str
    found: int
    of: int
    low: float
    high: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Suggestion:
    """A line that an editor may paste under a form's ``stated``, and what it would do."""

    mark: str
    form: str
    line: str
    car: CarSeen
    later_than_known: bool  # a car later than the last so far; otherwise earlier than the first
    days: int  # how far it would move that limit


@dataclass(frozen=True, kw_only=True, slots=True)
class MarkTally:
    """One mark's counts, forms in order."""

    mark: str
    counts: tuple[FormCount, ...]
    changed: int  # cars where it had been changed
    looked_at: int


@dataclass(frozen=True, slots=True)
class Claimed:
    """A number that more than one car seen claims."""

    number: str
    cars: tuple[CarSeen, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Tally:
    """Everything the cars seen say together."""

    cars: int
    placed: int  # cars whose build lies certainly in one period
    marks: Mapping[str, MarkTally]
    suggestions: tuple[Suggestion, ...]
    claimed_twice: tuple[Claimed, ...]


def _days(car: CarSeen, moments: Moments) -> tuple[date, date] | None:
    """Return the first and last day that a car can have been built, or None when its number tells nothing."""
    low, high = moments.bounds(car.built) if car.built is not None else (None, None)
    if low is not None and high is not None:
        return low, high
    if car.car is None or car.failure is not None:
        return None
    return moments.lines[car.car.series].days_of(car.car)


def _period(days: tuple[date, date] | None, guide: Guide) -> str | None:
    if days is None:
        return None
    for period in guide.periods.values():
        if period.first <= days[0] and days[1] <= period.last:
            return period.id
    return None


def _reports(car: CarSeen) -> Iterator[Report]:
    yield from (report for report in car.reports if report.kind == "form")


def _mark_tally(mark: Mark, guide: Guide, moments: Moments) -> MarkTally:
    by_period: dict[tuple[str, str], int] = {}
    of: dict[str, int] = {}
    for car in guide.cars_seen:
        period = _period(_days(car, moments), guide)
        for report in (r for r in _reports(car) if r.mark == mark.id):
            form = report.forms[0]
            if period is not None:
                of[period] = of.get(period, 0) + 1
                by_period[form, period] = by_period.get((form, period), 0) + 1
    counts = []
    for form in mark.forms:
        for period in guide.periods:
            if period in of:
                found = by_period.get((form, period), 0)
                low, high = wilson(found, of[period])
                counts.append(FormCount(form=form, period=period, found=found, of=of[period], low=low, high=high))
    looked = [r for car in guide.cars_seen for r in car.reports if r.mark == mark.id and r.kind != "cannot-tell"]
    return MarkTally(
        mark=mark.id,
        counts=tuple(counts),
        changed=sum(report.kind == "changed" for report in looked),
        looked_at=len(looked),
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
        known["series"] = series.id
        settled = series.suffixes.get(car.car.suffix)
        known |= {name: values[0] for name, values in settled.parts if len(values) == 1} if settled else {}
    return known


def _suggest(mark: Mark, spells: list[DatedSpell], guide: Guide, moments: Moments) -> Iterator[Suggestion]:
    """Yield, for each end of each spell that a changeover limits, the car seen that would move it most."""
    stated = _stated(mark)
    best: dict[tuple[DatedSpellKey, bool], Suggestion] = {}
    for car in guide.cars_seen:
        days = _days(car, moments)
        if not car.untouched or days is None or car.car is None:
            continue
        known = _splits_of(car, guide)
        for report in _reports(car):
            form = report.forms[0]
            if report.mark != mark.id or (form, car.car.written) in stated or report.own is False:
                continue
            found = _move(mark, [s for s in spells if s.scope.holds(known)], car, form, days, guide)
            if found is not None:
                key, suggestion = found
                slot = (key, suggestion.later_than_known)
                if slot not in best or suggestion.days > best[slot].days:
                    best[slot] = suggestion
    yield from best.values()


DatedSpellKey = tuple[str, int, Scope]


def _move(
    mark: Mark, spells: list[DatedSpell], car: CarSeen, form: str, days: tuple[date, date], guide: Guide
) -> tuple[DatedSpellKey, Suggestion] | None:
    """Return which spell's end a car would move, and how far; None when it moves nothing that matters.

    It matters where another form gave way to this one or follows it, and where the limits leave the car room.
    """
    assert car.car is not None
    origin = guide.production.first
    moves: list[tuple[int, bool, DatedSpell]] = []
    for spell in (s for s in spells if s.form == form):
        low, high = day_of(spell.first.latest, origin), day_of(spell.last.earliest, origin)
        if low <= days[0] and days[1] <= high:
            return None
        others = [s for s in spells if s is not spell and not mark.forms[s.form].is_option]
        later, sooner = (days[0] - high).days, (low - days[1]).days
        if (
            later > 0
            and day_of(spell.last.latest, origin) >= days[1]
            and any(s.first.earliest > spell.first.earliest for s in others)
        ):
            moves.append((later, True, spell))
        if (
            sooner > 0
            and day_of(spell.first.earliest, origin) <= days[0]
            and any(s.first.earliest < spell.first.earliest for s in others)
        ):
            moves.append((sooner, False, spell))
    if not moves:
        return None
    moved, is_later, spell = min(moves, key=lambda move: move[0])
    line = f"- {{seen: {car.car.written}, source: {car.source or 'SOURCE'}}}"
    suggestion = Suggestion(mark=mark.id, form=form, line=line, car=car, later_than_known=is_later, days=moved)
    return (form, spell.spell, spell.scope), suggestion


def derive_tally(limits: LimitsResult) -> Tally:
    """Return what the cars seen say together. Suggestions come in order of mark, those that move most first."""
    moments, guide = limits.moments, limits.moments.guide
    by_number: dict[str, list[CarSeen]] = {}
    for car in guide.cars_seen:
        if car.car is not None:
            by_number.setdefault(car.car.written, []).append(car)
    suggestions: list[Suggestion] = []
    for mark in guide.marks.values():
        spells = [spell for spell in limits.spells if spell.mark == mark.id]
        suggestions += sorted(_suggest(mark, spells, guide, moments), key=lambda s: (-s.days, s.car.id))
    return Tally(
        cars=len(guide.cars_seen),
        placed=sum(_period(_days(car, moments), guide) is not None for car in guide.cars_seen),
        marks={mark.id: _mark_tally(mark, guide, moments) for mark in guide.marks.values()},
        suggestions=tuple(suggestions),
        claimed_twice=tuple(Claimed(number, tuple(cars)) for number, cars in by_number.items() if len(cars) > 1),
    )
