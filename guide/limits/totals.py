"""Counts that do not add up, and periods, interiors and options outside their limits.

Everything here is compared with what the number series and the calendar allow: the cars that the runs hold
with the cars said to have been made, the numbers of a period with its days and its count, the cars counted
with an interior or form with the cars that can have had it. Counts are given as "about", so a sum may pass
its total by `count_slack` before it is reported.

When something was on offer, the days under `fitted as:`, is held against the limits here and is no statement:
a catalogue has a thing to be had before a car is built with it, and goes on when the last such car is gone. What
dates a car stands under `stated:`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from guide.constants import value_of
from guide.facts.types import (
    CarModel,
    Count,
    CountKind,
    FittedAs,
    Fitting,
    Interior,
    Mark,
    Period,
    Production,
    Scope,
    Span,
    Statement,
)
from guide.finding import Finding, Related
from guide.limits.moments import Moments
from guide.limits.types import DatedSpell, day_of
from guide.limits.wording import when_said
from guide.sentence import day, day_range, day_span, number, one_of, sentence

__all__ = ["check_totals"]


def check_totals(moments: Moments, spells: Sequence[DatedSpell]) -> Iterator[Finding]:
    """Yield a finding for every total, period, interior and option that does not agree with the limits."""
    for production in moments.guide.productions:
        yield from _output(moments, production)
    for period in moments.guide.periods.values():
        yield from _period(moments, period)
    for model in moments.guide.models:
        yield from _sum_of_periods(model)
    yield from _interiors(moments)
    for mark in moments.guide.marks.values():
        yield from _mark(moments, mark, [spell for spell in spells if spell.mark == mark.id])


# The whole output


def _output(moments: Moments, production: Production) -> Iterator[Finding]:
    named = production.series
    lines = [line for line in moments.lines.values() if not named or line.series.id in named]
    if production.made is None:
        return
    wide = False
    for line in lines:
        for run in line.series.runs:
            cars = run.last - run.first + 1 if run.built and run.last is not None else 0
            if cars > production.made:
                wide = True
                yield Finding.of("limits.range-too-wide", run.place, cars=number(cars), made=number(production.made))
    held = sum(line.cars for line in lines)
    stated = all(run.last is not None for line in lines for run in line.series.runs if run.built)
    if not wide and lines and (held > production.made or (stated and held != production.made)):
        yield Finding.of("limits.total-differs", production.place, made=number(production.made), cars=number(held))


# Periods


def _period(moments: Moments, period: Period) -> Iterator[Finding]:
    held = 0
    for series, (first, last) in period.numbers.items():
        line = moments.lines.get(series)
        low, high = (line.position(first), line.position(last)) if line else (None, None)
        if line is None or low is None or high is None:
            continue
        held += high - low + 1
        for car in (first, last):
            earliest, latest = line.days_of(car)
            if earliest > period.last or latest < period.first:
                yield Finding.of(
                    "limits.period-outside-limits",
                    car.place or period.place,
                    period=period.name,
                    car=car.written,
                    days=day_span(earliest, latest),
                    period_days=day_range(period.first, period.last),
                )
    if period.numbers and period.cars is not None and held != period.cars:
        yield Finding.of(
            "limits.period-cars-differ", period.place, period=period.name, cars=number(period.cars), held=number(held)
        )


def _sum_of_periods(model: CarModel) -> Iterator[Finding]:
    periods, made = model.periods, model.production.made
    counts = [period.cars for period in periods if period.cars is not None]
    if made is not None and periods and len(counts) == len(periods) and sum(counts) != made:
        yield Finding.of("limits.periods-differ", periods[0].place, made=number(made), cars=number(sum(counts)))


# Interiors


def _interiors(moments: Moments) -> Iterator[Finding]:
    for interior in moments.guide.interiors.values():
        room = 0
        for span in interior.spans:
            low, high = moments.days(span.first), moments.days(span.last)
            if low[0] > high[1]:
                yield Finding.of(
                    "limits.span-inverted",
                    span.place,
                    name=interior.name,
                    first=when_said(moments.guide, span.first, taken_as=True),
                    last=when_said(moments.guide, span.last, taken_as=True),
                )
            room += _room(moments, span)
        if interior.spans:
            yield from _counts(moments, interior.name, interior.counts, room)
    yield from _sum_of(moments, [(one.name, one.counts) for one in moments.guide.interiors.values()])
    for mark in moments.guide.marks.values():
        for statement in mark.statements:
            yield from _statement_in_interior(moments, mark, statement)


def _room(moments: Moments, span: Span) -> int:
    """Return the most cars that can have been built in a span, for the series it speaks of."""
    cars = 0
    for series in span.scope.values("series") or tuple(moments.lines):
        if series in moments.lines and moments.lines[series].cars:
            low, high = moments.positions(span.first, series)[0], moments.positions(span.last, series)[1]
            cars += max(0, high - low + 1)
    return cars


def _counts(moments: Moments, name: str, counts: Sequence[Count], room: int) -> Iterator[Finding]:
    most = max((count.about for count in counts if count.kind is CountKind.BUILT), default=None)
    for count in counts:
        is_built = count.kind is CountKind.BUILT
        if is_built and count.about > room * (1 + value_of("count_slack", moments.guide.overrides)):
            yield Finding.of(
                "limits.count-too-high", count.place, name=name, count=number(count.about), room=number(room)
            )
        if count.kind is CountKind.SURVIVING and most is not None and count.about > most:
            about, built = number(count.about), number(most)
            yield Finding.of("limits.more-survive-than-built", count.place, name=name, count=about, built=built)


def _sum_of(moments: Moments, counted: Sequence[tuple[str, Sequence[Count]]]) -> Iterator[Finding]:
    """Yield a finding where things that exclude one another are counted oftener than cars were made."""
    made = moments.guide.production.made
    built = [[count for count in counts if count.kind is CountKind.BUILT] for _, counts in counted]
    counts = [max(those, key=lambda count: count.about) for those in built if those]
    total = sum(count.about for count in counts)
    if made is not None and total > made * (1 + value_of("count_slack", moments.guide.overrides)):
        yield Finding.of(
            "limits.counts-exceed-output",
            counts[-1].place,
            made=number(made),
            cars=number(total),
            related=tuple(Related(one.place, number(one.about)) for one in counts[:-1]),
        )


def _statement_in_interior(moments: Moments, mark: Mark, statement: Statement) -> Iterator[Finding]:
    """Yield a finding for a claim about cars of some interiors at a time when none of these was built."""
    named = statement.scope.values("interior") or mark.forms[statement.form].scope.values("interior")
    when = statement.when
    if named is None or when is None:
        return
    scope = Scope((("series", (when.car.series,)),)) if when.car is not None else statement.scope
    low, high = moments.days(when)
    interiors = [moments.guide.interiors[one] for one in named if one in moments.guide.interiors]
    if interiors and not any(_was_built(moments, one, scope, low, high) for one in interiors):
        yield Finding.of(
            "limits.interior-outside-limits",
            statement.place,
            when=when_said(moments.guide, when, taken_as=True),
            name=one_of(one.name for one in interiors),
            related=tuple(Related(one.place, one.name) for one in interiors),
        )


def _was_built(moments: Moments, interior: Interior, scope: Scope, low: date, high: date) -> bool:
    series = scope.values("series")
    for span in interior.spans:
        mine = span.scope.values("series")
        if series is not None and mine is not None and not set(series) & set(mine):
            continue
        first, last = (moments.days(span.first, (mine or ("",))[0]), moments.days(span.last, (mine or ("",))[0]))
        if low <= last[1] and high >= first[0]:
            return True
    return False


# Marks


def _mark(moments: Moments, mark: Mark, spells: Sequence[DatedSpell]) -> Iterator[Finding]:
    dating = [form for form in mark.forms.values() if form.dates_a_car]
    made = moments.guide.production.made
    for form in dating:
        if made is not None:
            yield from _counts(moments, form.name, form.counts, made)
        for fitting in form.fitted_as:
            if fitting.kind in (FittedAs.OPTION, FittedAs.FACTORY):
                yield from _option(moments, form.name, fitting, [one for one in spells if one.form == form.id])
    yield from _sum_of(moments, [(form.name, form.counts) for form in dating])


def _option(moments: Moments, name: str, fitting: Fitting, spells: Sequence[DatedSpell]) -> Iterator[Finding]:
    """Yield a finding where cars are known to have had something before or after the works fitted it so."""
    first = moments.guide.production.first
    for spell in spells:
        if not spell.scope.meets(fitting.scope):
            continue
        early = fitting.first is not None and day_of(spell.first.latest, first) < moments.days(fitting.first)[0]
        late = fitting.last is not None and day_of(spell.last.earliest, first) > moments.days(fitting.last)[1]
        if early or late:
            steps = spell.first.because_latest if early else spell.last.because_earliest
            reached = day_of(spell.first.latest if early else spell.last.earliest, first)
            yield Finding.of(
                "limits.option-outside-limits",
                fitting.place,
                name=name,
                found=sentence(f"limits.option-outside-limits.{'early' if early else 'late'}", day=day(reached)),
                related=tuple(Related(step.place, step.says) for step in steps if step.source),
            )
            return
