"""What the cars seen contradict: one another, firsts and lasts, when a thing was to be had, and when any was built.

One finding for each claim, with every car that it does not allow. What contradicts a claim `guide.limits.held` says,
what was not to be had `guide.limits.offered`; here it is worded, with what each car would make of the limit. A car
believed untouched weighs as much as a paper, so that is a warning; any other may have had its parts, or its number,
since: a note.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date
from typing import NamedTuple

from guide.checks.known import Known
from guide.facts.records.one_car import Answered
from guide.facts.records.rulings import name_of
from guide.facts.records.series import gap_of
from guide.facts.types import CarSeen, Guide, NumberFailure, StatementKind
from guide.finding import Finding, Place, Related
from guide.limits.held import scope_of_car
from guide.limits.offered import INTERIOR, untimely_cars
from guide.limits.positions import SeriesLine
from guide.limits.scopes import Dimensions
from guide.limits.types import Contradiction, Misfit
from guide.limits.wording import number_said, when_said
from guide.sentence import Sentence, Value, all_of, count, day, day_range, sentence

__all__ = [
    "check_cars_in_time",
    "check_cars_within_claims",
    "check_cars_within_production",
    "check_lines_repeated",
    "check_observers_agree",
]


def _name(car: CarSeen) -> str:
    """Return what a car is called among editors: its number, whole, or what it is filed under."""
    return next((number.written for number in car.numbers), car.number_text or car.id)


# One another


def check_observers_agree(known: Known) -> Iterator[Finding]:
    """Yield a warning for each part of which people said contrary things of one day, and a note where they did of
    different days."""
    guide = known.guide
    for car in guide.cars_seen:
        for told in car.disagreements:
            split = guide.splits.get(told.mark)
            what = guide.marks[told.mark].name if told.mark in guide.marks else split.name if split else told.mark
            yield Finding.of(
                "checks.observers-disagree" if told.on_one_day else "checks.looks-differ",
                told.answers[-1].place,
                related=tuple(Related(one.place, _looked(one)) for one in told.answers),
                car=_name(car),
                mark=what,
                answers=all_of(f"`{answer}`" for answer in dict.fromkeys(one.answer for one in told.answers)),
            )


def _looked(one: Answered) -> Sentence:
    way = "" if one.day is None else ".on"
    return sentence(f"checks.car-looked-at{way}", answer=one.answer, day="" if one.day is None else day(one.day))


def check_lines_repeated(known: Known) -> Iterator[Finding]:
    """Yield a note for each sheet of which lines stand in another, or twice in it, word for word."""
    cars = known.guide.cars_seen
    again = [pair for car in cars for pair in car.repeats]
    lines = Counter(place.file for car in cars for place in car.looks) + Counter(place.file for place, _ in again)
    found: defaultdict[tuple[str, str], list[Place]] = defaultdict(list)
    for place, first in again:
        found[place.file, first.file].append(place)
    for (file, other), places in found.items():
        whole = len(places) == lines[file] and file != other
        name = "checks.lines-repeated.whole" if whole else "checks.lines-repeated"
        yield Finding.of(
            name, min(places, key=lambda place: place.line), n=len(places), count=count(len(places)), file=other
        )


# Against a first or a last


def check_cars_within_claims(known: Known) -> Iterator[Finding]:
    """Yield a warning for each claim that untouched cars contradict, and a note for each that others do."""
    for one in known.limits.contradicted:
        for untouched in (True, False):
            misfits = one.among(untouched=untouched)
            if misfits:
                yield _against(known.guide, one, misfits, untouched=untouched)


def _against(guide: Guide, one: Contradiction, misfits: Sequence[Misfit], *, untouched: bool) -> Finding:
    mark, said = guide.marks[one.mark], one.statement
    assert said.when is not None
    kind = "last" if said.kind is StatementKind.LAST else "first"
    furthest = misfits[0].limit
    limit = furthest.isoformat() if isinstance(furthest, date) else furthest.written
    way = f"{kind}-by-{one.axis}"
    return Finding.of(
        f"checks.car-seen-contradicts.{way}" if untouched else f"checks.car-seen-differs.{way}",
        said.place,
        related=tuple(Related(misfit.report.place, _moves(guide, misfit, way)) for misfit in misfits),
        mark=mark.name,
        form=mark.forms[said.form].name,
        when=when_said(guide, said.when, taken_as=True),
        n=len(misfits),
        cars=all_of(_name(misfit.car) for misfit in misfits),
        file=mark.place.file,
        ruling=f'{{read: "{name_of(mark.statements[one.index])}", as: {{{said.kind}: {limit}}}, why: ..., on: ...}}',
    )


def _moves(guide: Guide, misfit: Misfit, way: str) -> Sentence:
    """Return what one car would make of a limit."""
    limit = misfit.limit
    said: Value = day(limit) if isinstance(limit, date) else number_said(guide, limit)
    return sentence(f"checks.car-seen-moves.{way}", car=_name(misfit.car), n=misfit.beyond, limit=said)


# Against when something was to be had


def check_cars_in_time(known: Known) -> Iterator[Finding]:
    """Yield a warning for each thing that untouched cars show although it was not to be had when they were built."""
    for one in untimely_cars(known.limits):
        mark, form = one.names
        yield Finding.of(
            f"checks.car-seen-contradicts.{'trim' if one.mark == INTERIOR else 'form'}-{one.way}",
            one.place,
            related=tuple(Related(shown.report.place, _name(shown.car)) for shown in one.cars),
            mark=mark,
            form=form,
            when="" if one.when is None else when_said(known.guide, one.when, taken_as=True),
            n=len(one.cars),
            cars=all_of(_name(shown.car) for shown in one.cars),
        )


# When nothing was built, or other cars


class _Refused(NamedTuple):
    """Something stated of the build that a car's date or number cannot be true beside."""

    place: Place
    way: str  # production, closure, gap, calendar-late or calendar-early
    said: Value  # when that was, or the car that it names


def check_cars_within_production(known: Known) -> Iterator[Finding]:
    """Yield what dates and numbers of cars seen contradict of the build: a warning for each thing stated that untouched
    cars do, and a note for each that others do."""
    found: defaultdict[_Refused, list[CarSeen]] = defaultdict(list)
    dimensions = Dimensions(known.guide)
    for car in known.guide.cars_seen:
        if (against := _refused_by(known, dimensions, car)) is not None:
            found[against].append(car)
    for against, every in found.items():
        for untouched in (True, False):
            cars = [car for car in every if car.untouched is untouched]
            if cars:
                finding = Finding.of(
                    f"checks.car-seen-contradicts.{against.way}",
                    against.place,
                    related=tuple(Related(car.place, _dated(known.guide, car)) for car in cars),
                    n=len(cars),
                    cars=all_of(_name(car) for car in cars),
                    said=against.said,
                )
                yield finding if untouched else replace(finding, code="car-seen-differs")


def _dated(guide: Guide, car: CarSeen) -> Value:
    if car.built is None:
        return _name(car)
    return sentence("checks.car-seen-built", car=_name(car), when=when_said(guide, car.built, taken_as=True))


def _refused_by(known: Known, dimensions: Dimensions, car: CarSeen) -> _Refused | None:
    """Return what a car seen contradicts by when it is said to have been built, None where it can be as it is said."""
    guide, lines = known.guide, known.limits.moments.every
    if car.failure is NumberFailure.NEVER_BUILT:
        gap = gap_of(car.number_text, guide.series.values())
        return None if gap is None else _Refused(gap.place, "gap", "")
    if car.built is None:
        return None
    days, made = car.built.days(), guide.production_of([one.series for one in car.numbers])
    if days[0] > made.last or days[1] < made.first:
        return _Refused(made.place, "production", day_range(made.first, made.last))
    known_lines = ((lines.get(one.series), one) for one in car.numbers)
    placed = [(line, at) for line, one in known_lines if line is not None and (at := line.position(one)) is not None]
    series = {line.series.id for line, _ in placed}
    for shut in guide.closures:
        if shut.first <= days[0] and days[1] <= shut.last and (not shut.series or series & set(shut.series)):
            return _Refused(shut.place, "closure", day_range(shut.first, shut.last))
    if dimensions.assembly_of(scope_of_car(dimensions, car)) is not None:
        return None
    against = (_calendar_against(line, at, *days) for line, at in placed if at not in line.strays)
    return next((one for one in against if one is not None), None)


def _calendar_against(line: SeriesLine, position: int, first: date, last: date) -> _Refused | None:
    """Return the line of the calendar that lets no car of a position be built in these days, the usual disorder given.

    The tightest of them; None where there is room.
    """
    low, high = line.reach_of(position)
    for entry in line.entries:
        for bound in line.bounds_of(entry):
            late = bound.upper and bound.position >= high and bound.day == line.latest_day(high) < first
            early = not bound.upper and bound.position <= low and bound.day == line.earliest_day(low) > last
            if late or early:
                return _Refused(entry.place, "calendar-late" if late else "calendar-early", day(bound.day))
    return None
