"""A mark's courses of spells (`guide.limits.courses`) as pages show them: drawn in a band, and in words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import prod
from typing import TypeVar

from guide.facts.types import Form, Mark, Scope
from guide.limits.changeovers import Moment, moment_of, outlived, places_of, series_by_number, share_stated
from guide.limits.courses import Course, courses_of, days_of, lines_of, series_days
from guide.limits.positions import SeriesLine
from guide.limits.types import DatedSpell, Limits, LimitsResult
from guide.limits.wording import scope_said
from guide.pages.parts.models import car_models, model_on
from guide.pages.parts.strips import DrawnSpell, Strip
from guide.pages.parts.wording import VAGUE_DAYS, limits_said
from guide.pages.shelf import Shelf, once
from guide.sentence import (
    Sentence,
    Value,
    chained,
    day,
    lower_first,
    month_span,
    one_of,
    one_of_names,
    sentence,
    side_by_side,
    upper_first,
)

__all__ = [
    "ToldSpell",
    "band_said",
    "cars_within_series",
    "course_cars_said",
    "scopes_said",
    "spans_of",
    "strip_of",
    "summary_of",
    "told_spells",
]

T = TypeVar("T", int, date)

_LONG_BREAK = timedelta(days=45)  # a closure shorter than this is a holiday, and no break in the strip


@dataclass(frozen=True, slots=True)
class ToldSpell:
    """A spell of a course as pages show it: drawn, in words when it was fitted, and about when it came in.

    ``about`` gives days alone where any are known: it stands in for other kinds of car, whose numbers are others.
    """

    form: Form
    drawn: DrawnSpell
    says: Value
    about: Value


@once
def strip_of(shelf: Shelf, axis: str = "") -> Strip:
    """Return what all bands along an axis share: the days of production, those of a model, or the numbers of a series.

    Along the days of several models no period is named, for they lie beside one another.
    """
    model, models = model_on(shelf, axis), car_models(shelf)
    if axis and model is None:
        line = shelf.lines[axis]
        return Strip(0, line.cars - 1, marks=tuple((line.car_at(at).written, at) for at in _round_numbers(line)))
    guide, made, of = shelf.guide, shelf.guide.production, set[str]()
    named = models[0].periods if len(models) == 1 else ()
    if model is not None:
        made, named, of = model.production, model.periods, set(model.series)
    breaks = tuple(
        _places((closure.first, closure.last))
        for closure in guide.closures
        if (not closure.series or (of and of <= set(closure.series)))
        if closure.last - closure.first >= _LONG_BREAK
    )
    years = tuple(
        (str(year), *_places((max(made.first, date(year, 1, 1)), min(made.last, date(year, 12, 31)))))
        for year in range(made.first.year, made.last.year + 1)
    )
    periods = tuple((period.name, period.first.toordinal()) for period in named)
    return Strip(*_places((made.first, made.last)), breaks, years, periods)


def _places(days: tuple[date, date]) -> tuple[int, int]:
    return days[0].toordinal(), days[1].toordinal()


def _round_numbers(line: SeriesLine) -> list[int]:
    """Return the positions of the first car and of a few round numbers after it."""
    step = next(
        step for power in range(12) for step in (10**power, 2 * 10**power, 5 * 10**power) if line.cars <= 5 * step
    )
    found = [
        start + number - first
        for _, first, last, start in line.runs
        for number in range(-(-first // step) * step, last + 1, step)
    ]
    return [0, *(at for at in found if at >= step // 2)]


@once
def told_spells(shelf: Shelf, course: Course) -> list[ToldSpell]:
    """Return a course's spells as pages show them, along days or along the numbers of a series.

    A last that no statement closes is drawn as ending with the next form's first: the limits stay as wide as
    they are in the figures, but a slope over years would say that both were fitted all that time.
    """
    result, series = shelf.limits, series_by_number(shelf.limits, course)
    limits = [(spell.first, spell.last) for spell in course.spells]
    places = [(_places(days_of(result, one)), _places(days_of(result, other))) for one, other in limits]
    if series:
        places = places_of(result, course, series)
    told = []
    for at, spell in enumerate(course.spells):
        (first, last), follows = places[at], places[at + 1][0] if at + 1 < len(places) else None
        came, went = moment_of(result, course, spell, "first"), moment_of(result, course, spell, "last")
        stated = spell.last_is_stated and (went.car != "" or not series)
        if not stated:
            last = _with_next(last, follows) if follows is not None else (last[1], last[1])
        since, until = _when_said(result, came, spell.first, "or_earlier"), _until(shelf, course, at)
        starts, ends = at > 0 or _starts_late(result, course), follows is not None or _ends_early(result, course)
        form = course.mark.forms[spell.form]
        drawn = DrawnSpell(
            form.name,
            first,
            last,
            starts,
            ends,
            shelf.words.tell(came.car if series else limits_said(*days_of(result, spell.first))),
            shelf.words.tell(went.car if series else limits_said(*days_of(result, spell.last))),
            stated,
            list(course.mark.forms).index(spell.form) + 1,
            share_stated(
                course.mark, (course.spells[at - 1].form, course.spells[at - 1].spell), (spell.form, spell.spell)
            )
            if at
            else None,
        )
        says = _span_said(result, spell, since if starts else "", until if ends else "")
        about = since if came.days is None else limits_said(*came.days)
        told.append(ToldSpell(form, drawn, says, about))
    return told


def _with_next(last: tuple[T, T], follows: tuple[T, T]) -> tuple[T, T]:
    """Return when a form is taken to end that nobody says the end of: when the next begins, or as last seen."""
    return max(last[0], min(last[1], follows[0])), max(last[0], min(last[1], follows[1]))


def _starts_late(result: LimitsResult, course: Course) -> bool:
    """Tell whether cars of the course were built before its first spell began."""
    first, lines = course.spells[0], lines_of(result, course)
    known = [first.by_number("first", line.series.id) for line in lines]
    if known and all(one.says != "" for one in known):
        return all(one.low != 0 for one in known)
    return days_of(result, first.first)[0] > series_days(result, course)[0][0]


def _ends_early(result: LimitsResult, course: Course) -> bool:
    """Tell whether cars of the course were built after its last spell ended."""
    last, lines = course.spells[-1], lines_of(result, course)
    known = [last.by_number("last", line.series.id) for line in lines]
    if not last.last_is_stated or not lines:
        return last.last_is_stated
    if all(one.says != "" for one in known):
        return all(one.high != line.cars - 1 for one, line in zip(known, lines, strict=True))
    return days_of(result, last.last)[1] < series_days(result, course)[1][1]


def _when_said(result: LimitsResult, moment: Moment, limits: Limits, way: str) -> Value:
    """Return a moment as a span begins or ends with it: the car as stated, with its days as far as known."""
    if moment.days is None and (moment.car != "" or moment.seen != ""):
        return moment.car if moment.car != "" else sentence(f"pages.when.{way}", car=moment.seen)
    if moment.days is None and moment.car == "":
        return sentence("pages.when.unsaid")
    when = limits_said(*days_of(result, limits))
    return sentence("pages.when.car", car=moment.car, when=when) if moment.car != "" else when


def _until(shelf: Shelf, course: Course, at: int) -> Value:
    """Return until when a spell lasted; where nobody says, until the next began, or the last car seen with it."""
    result, old = shelf.limits, course.spells[at]
    went = moment_of(result, course, old, "last")
    if old.last_is_stated or at + 1 == len(course.spells):
        return _when_said(result, went, old.last, "or_later")
    new = course.spells[at + 1]
    last, follows = days_of(result, old.last), days_of(result, new.first)
    if moment_of(result, course, new, "first").days is None:
        next_form = course.mark.forms[new.form].name
        return (
            sentence("pages.when.at_least", when=went.seen)
            if went.seen != ""
            else sentence("pages.when.change", form=next_form)
        )
    if outlived(result, course, old, new) or (went.seen != "" and last[0] > follows[1]):
        if went.seen_days is None:
            return sentence("pages.when.at_least", when=went.seen)
        return sentence("pages.when.car_at_least", car=went.seen, when=limits_said(*went.seen_days))
    if last[0] > follows[1]:
        return sentence("pages.when.at_least", when=day(last[0]))
    return limits_said(*_with_next(last, follows))


def joined(shelf: Shelf, scopes: tuple[Scope, ...]) -> tuple[Scope, ...]:
    """Return the same cars in as few scopes as can be: one, where together they are every combination of values.

    A dimension of which every value is there says nothing and is left out.
    """
    names = {name for scope in scopes for name, _ in scope.parts}
    if any({name for name, _ in scope.parts} != names for scope in scopes):
        return scopes
    values = {
        name: tuple(dict.fromkeys(value for scope in scopes for value in scope.values(name) or ()))
        for name in sorted(names)
    }
    if prod(len(found) for found in values.values()) != sum(_size(scope) for scope in scopes):
        return scopes
    every = {
        **{split.id: set(split.values) for split in shelf.guide.splits.values()},
        "series": set(shelf.guide.ordered_series),
        "interior": set(shelf.guide.interiors),
    }
    return (Scope(tuple((name, found) for name, found in values.items() if set(found) != every.get(name))),)


def _size(scope: Scope) -> int:
    return prod(len(values) for _, values in scope.parts)


def _span_said(result: LimitsResult, spell: DatedSpell, since: Value, until: Value) -> Sentence:
    """Return when a form was fitted, either end empty where it is that of the series: "To about May 1968".

    What began and ended in one span is said once.
    """
    if since != "" and since == until:
        days = days_of(result, spell.first)[0], days_of(result, spell.last)[1]
        wide = (days[1] - days[0]).days > VAGUE_DAYS
        span = sentence("pages.when.some_time", span=month_span(*days)) if wide else month_span(*days)
        return sentence("pages.time.within", span=upper_first(span))
    if since != "" and until != "":
        return sentence("pages.time.between", first=since, last=until)
    if since != "":
        return sentence("pages.time.from", first=since)
    return sentence("pages.time.to", last=until) if until != "" else sentence("pages.time.throughout")


def spans_of(shelf: Shelf, courses: Sequence[Course], form: Form) -> list[Value]:
    """Return when the works fitted a form, a line for each kind of car that differs in it."""
    said: dict[Value, list[Scope]] = {}
    for course in courses:
        for one in told_spells(shelf, course):
            if one.form is form:
                said.setdefault(one.says, []).extend((course.scope, *course.also))
    spans: list[Value] = []
    for span, scopes in _told_together(shelf, said):
        named = scopes_said(shelf, tuple(scopes))
        spans.append(sentence("pages.mark.span_for", scope=named, span=lower_first(span)) if named else span)
    return spans


def _told_together(shelf: Shelf, said: Mapping[Value, list[Scope]]) -> list[tuple[Value, list[Scope]]]:
    """Return what is said of which cars, where series differ in their numbers alone as one thing said."""
    told: list[tuple[Value, list[Scope]]] = []
    for says, scopes in said.items():
        for at, (other, theirs) in enumerate(told):
            both = (
                _with_cars_of_both(other, says)
                if cars_within_series(shelf, theirs) == cars_within_series(shelf, scopes)
                else ""
            )
            if both != "":
                told[at] = (both, theirs + scopes)
                break
        else:
            told.append((says, scopes))
    return told


def cars_within_series(shelf: Shelf, scopes: Sequence[Scope]) -> list[Value]:
    """Return which cars scopes speak of, each as it is said without its series."""
    return list(dict.fromkeys(scope_said(shelf.guide, one, series=False) for one in joined(shelf, tuple(scopes))))


def _with_cars_of_both(one: Value, other: Value) -> Value:
    """Return two sentences that differ in the cars they name as one that names both; empty where they differ else."""
    if not isinstance(one, Sentence) or not isinstance(other, Sentence) or one.id != other.id:
        return ""
    values: dict[str, Value] = {}
    for (slot, mine), (_, theirs) in zip(one.values, other.values, strict=True):
        if mine != theirs:
            mine = one_of((mine, theirs)) if slot == "car" else _with_cars_of_both(mine, theirs)
            if mine == "":
                return ""
        values[slot] = mine
    return sentence(one.id, **values)


def band_said(shelf: Shelf, course: Course, told: Sequence[ToldSpell]) -> Sentence:
    """Return a band in words, for those who cannot see it: the part, which cars, and when each form was fitted."""
    parts = (sentence("pages.mark.band_part", form=one.form.name, span=lower_first(one.says)) for one in told)
    said, scope = chained("words.then_after_stop", parts), course_cars_said(shelf, course)
    if not scope:
        return sentence("pages.mark.band", part=course.mark.name, says=said)
    return sentence("pages.mark.band_scoped", part=course.mark.name, scope=lower_first(scope), says=said)


@once
def course_cars_said(shelf: Shelf, course: Course) -> Value:
    """Return which cars a course speaks of; empty for all."""
    return scopes_said(shelf, (course.scope, *course.also))


def scopes_said(shelf: Shelf, scopes: tuple[Scope, ...]) -> Value:
    """Return the cars of all these scopes, as they begin a sentence; empty for every car.

    What holds of every series alike is said without naming them.
    """
    by_rest: dict[Value, list[Scope]] = {}
    for scope in joined(shelf, scopes):
        by_rest.setdefault(scope_said(shelf.guide, scope, series=False), []).append(scope)
    said: list[Value] = []
    for rest, alike in by_rest.items():
        series = {one for scope in alike for one in scope.values("series") or shelf.guide.ordered_series}
        if series == set(shelf.guide.ordered_series):
            said.append(rest)
        else:
            said += [scope_said(shelf.guide, scope) for scope in alike]
    return upper_first(side_by_side(said)) if said and all(said) else ""


def summary_of(shelf: Shelf, mark: Mark) -> Value:
    """Return a mark's history in a line: the forms of its longest course, in order.

    A mark that changed nowhere is summed up by the forms that its kinds of car had all along.
    """
    courses = courses_of(shelf.limits, mark)
    if not courses:
        return ""
    course = max(courses, key=lambda one: len(one.spells))
    if len(course.spells) == 1:
        names = dict.fromkeys(form.name for one in courses for form in one.forms() if form.dates_a_car)
        return one_of_names(names)
    first, *more = told_spells(shelf, course)
    later = (sentence("pages.time.then", form=lower_first(one.form.name), first=one.about) for one in more)
    return chained("words.then_after_stop", (first.form.name, *later))  # names of forms hold commas of their own
