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

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from guide.constants import value_of
from guide.facts.types import Count, CountKind, FittedAs, Fitting, Guide, Interior, Mark, Period, Scope, Span, Statement
from guide.finding import Finding, Place, Related
from guide.limits.moments import Moments
from guide.limits.positions import SeriesLine
from guide.limits.says import when_words
from guide.limits.types import DatedSpell, day_of
from guide.words.say import Words

__all__ = ["check_totals"]


@dataclass(frozen=True, slots=True)
class _Known:
    """What the checks look at."""

    moments: Moments
    words: Words
    spells: Sequence[DatedSpell]

    @property
    def guide(self) -> Guide:
        """The guide that is looked at."""
        return self.moments.guide

    @property
    def lines(self) -> Mapping[str, SeriesLine]:
        """Its series in order of number."""
        return self.moments.lines

    def say(self, code: str, place: Place, related: Sequence[Related] = (), **slots: str | int) -> Finding:
        """Return a finding whose two sentences are in the words under its code."""
        return Finding(
            code,
            place,
            self.words.say(f"limits.{code}", **slots),
            self.words.say(f"limits.{code}.put-right", **slots),
            tuple(related),
        )

    def number(self, count: int) -> str:
        """Return a count of cars in words' figures."""
        return self.words.number(count)


def check_totals(moments: Moments, words: Words, spells: Sequence[DatedSpell]) -> Iterator[Finding]:
    """Yield a finding for every total, period, interior and option that does not agree with the limits."""
    known, guide = _Known(moments, words, spells), moments.guide
    yield from _output(known)
    for period in guide.periods.values():
        yield from _period(known, period)
    yield from _sum_of_periods(known)
    yield from _interiors(known)
    for mark in guide.marks.values():
        yield from _mark(known, mark)


# The whole output


def _output(known: _Known) -> Iterator[Finding]:
    production, lines = known.guide.production, known.lines.values()
    if production.made is None:
        return
    wide = False
    for line in lines:
        for run in line.series.runs:
            if run.built and run.last is not None and run.last - run.first + 1 > production.made:
                wide = True
                yield known.say(
                    "range-too-wide",
                    run.place,
                    cars=known.number(run.last - run.first + 1),
                    made=known.number(production.made),
                )
    held = sum(line.cars for line in lines)
    stated = all(run.last is not None for line in lines for run in line.series.runs if run.built)
    if not wide and lines and (held > production.made or (stated and held != production.made)):
        yield known.say("total-differs", production.place, made=known.number(production.made), cars=known.number(held))


# Periods


def _period(known: _Known, period: Period) -> Iterator[Finding]:
    held = 0
    for series, (first, last) in period.numbers.items():
        line = known.lines.get(series)
        low, high = (line.position(first), line.position(last)) if line else (None, None)
        if line is None or low is None or high is None:
            continue
        held += high - low + 1
        for car in (first, last):
            earliest, latest = line.days_of(car)
            if earliest > period.last or latest < period.first:
                yield known.say(
                    "period-outside-limits",
                    car.place or period.place,
                    period=period.name,
                    car=car.written,
                    days=known.words.day_span(earliest, latest),
                    period_days=known.words.day_range(period.first, period.last),
                )
    if period.numbers and period.cars is not None and held != period.cars:
        yield known.say(
            "period-cars-differ",
            period.place,
            period=period.name,
            cars=known.number(period.cars),
            held=known.number(held),
        )


def _sum_of_periods(known: _Known) -> Iterator[Finding]:
    periods, made = list(known.guide.periods.values()), known.guide.production.made
    counts = [period.cars for period in periods if period.cars is not None]
    if made is not None and periods and len(counts) == len(periods) and sum(counts) != made:
        yield known.say("periods-differ", periods[0].place, made=known.number(made), cars=known.number(sum(counts)))


# Interiors


def _interiors(known: _Known) -> Iterator[Finding]:
    for interior in known.guide.interiors.values():
        room = 0
        for span in interior.spans:
            low, high = known.moments.days(span.first), known.moments.days(span.last)
            if low[0] > high[1]:
                yield known.say(
                    "span-inverted",
                    span.place,
                    name=interior.name,
                    first=when_words(known.words, known.guide, span.first),
                    last=when_words(known.words, known.guide, span.last),
                )
            room += _room(known, span)
        if interior.spans:
            yield from _counts(known, interior.name, interior.counts, room)
    yield from _sum_of(known, [(one.name, one.counts) for one in known.guide.interiors.values()])
    for mark in known.guide.marks.values():
        for statement in mark.statements:
            yield from _statement_in_interior(known, mark, statement)


def _room(known: _Known, span: Span) -> int:
    """Return the most cars that can have been built in a span, for the series it speaks of."""
    cars = 0
    for series in span.scope.values("series") or tuple(known.lines):
        if series in known.lines and known.lines[series].cars:
            low, high = known.moments.positions(span.first, series)[0], known.moments.positions(span.last, series)[1]
            cars += max(0, high - low + 1)
    return cars


def _counts(known: _Known, name: str, counts: Sequence[Count], room: int) -> Iterator[Finding]:
    built = [count for count in counts if count.kind is CountKind.BUILT]
    for count in built:
        if count.about > room * (1 + value_of("count_slack", known.guide.overrides)):
            yield known.say(
                "count-too-high", count.place, name=name, count=known.number(count.about), room=known.number(room)
            )
    for count in counts:
        if count.kind is CountKind.SURVIVING and built and count.about > max(one.about for one in built):
            yield known.say(
                "more-survive-than-built",
                count.place,
                name=name,
                count=known.number(count.about),
                built=known.number(max(one.about for one in built)),
            )


def _sum_of(known: _Known, counted: Sequence[tuple[str, Sequence[Count]]]) -> Iterator[Finding]:
    """Yield a finding where things that exclude one another are counted oftener than cars were made."""
    made = known.guide.production.made
    built = [[count for count in counts if count.kind is CountKind.BUILT] for _, counts in counted]
    counts = [max(those, key=lambda count: count.about) for those in built if those]
    total = sum(count.about for count in counts)
    if made is not None and total > made * (1 + value_of("count_slack", known.guide.overrides)):
        yield known.say(
            "counts-exceed-output",
            counts[-1].place,
            made=known.number(made),
            cars=known.number(total),
            related=[Related(one.place, known.number(one.about)) for one in counts[:-1]],
        )


def _statement_in_interior(known: _Known, mark: Mark, statement: Statement) -> Iterator[Finding]:
    """Yield a finding for a claim about cars of some interiors at a time when none of these was built."""
    named = statement.scope.values("interior") or mark.forms[statement.form].scope.values("interior")
    when = statement.when
    if named is None or when is None:
        return
    scope = Scope((("series", (when.car.series,)),)) if when.car is not None else statement.scope
    low, high = known.moments.days(when)
    interiors = [known.guide.interiors[one] for one in named if one in known.guide.interiors]
    if interiors and not any(_was_built(known, one, scope, low, high) for one in interiors):
        yield known.say(
            "interior-outside-limits",
            statement.place,
            when=when_words(known.words, known.guide, when),
            name=known.words.one_of(one.name for one in interiors),
            related=[Related(one.place, one.name) for one in interiors],
        )


def _was_built(known: _Known, interior: Interior, scope: Scope, low: date, high: date) -> bool:
    series = scope.values("series")
    for span in interior.spans:
        mine = span.scope.values("series")
        if series is not None and mine is not None and not set(series) & set(mine):
            continue
        first, last = (
            known.moments.days(span.first, (mine or ("",))[0]),
            known.moments.days(span.last, (mine or ("",))[0]),
        )
        if low <= last[1] and high >= first[0]:
            return True
    return False


# Marks


def _mark(known: _Known, mark: Mark) -> Iterator[Finding]:
    dating = [form for form in mark.forms.values() if form.dates_a_car]
    made = known.guide.production.made
    for form in dating:
        if made is not None:
            yield from _counts(known, form.name, form.counts, made)
        for fitting in form.fitted_as:
            if fitting.kind in (FittedAs.OPTION, FittedAs.FACTORY):
                spells = [one for one in known.spells if (one.mark, one.form) == (mark.id, form.id)]
                yield from _option(known, form.name, fitting, spells)
    yield from _sum_of(known, [(form.name, form.counts) for form in dating])


def _option(known: _Known, name: str, fitting: Fitting, spells: Sequence[DatedSpell]) -> Iterator[Finding]:
    """Yield a finding where cars are known to have had something before or after the works fitted it so."""
    first = known.guide.production.first
    for spell in spells:
        if not spell.scope.meets(fitting.scope):
            continue
        early = fitting.first is not None and day_of(spell.first.latest, first) < known.moments.days(fitting.first)[0]
        late = fitting.last is not None and day_of(spell.last.earliest, first) > known.moments.days(fitting.last)[1]
        if early or late:
            steps = spell.first.because_latest if early else spell.last.because_earliest
            day = known.words.day(day_of(spell.first.latest if early else spell.last.earliest, first))
            yield known.say(
                "option-outside-limits",
                fitting.place,
                name=name,
                found=known.words.say(f"limits.option-outside-limits.{'early' if early else 'late'}", day=day),
                related=[Related(step.place, step.says) for step in steps if step.source],
            )
            return
