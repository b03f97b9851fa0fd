"""A mark's courses of spells (`guide.limits.courses`) as pages show them: drawn in a band, and in words."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from math import prod

from guide.facts.types import Form, Mark, Scope
from guide.limits.courses import Course, courses_of, days_of, series_days
from guide.limits.wording import scope_said
from guide.pages.parts.band import DrawnSpell, Strip
from guide.pages.parts.wording import limits_said
from guide.pages.shelf import Shelf, once
from guide.sentence import Sentence, Value, chained, day, lower_first, one_of_names, sentence, side_by_side, upper_first

__all__ = ["band_said", "course_cars_said", "drawn_spells", "scopes_said", "spans_of", "strip_of", "summary_of"]

_LONG_BREAK = timedelta(days=45)  # a closure shorter than this is a holiday, and no break in the strip


@once
def strip_of(shelf: Shelf) -> Strip:
    """Return what all bands of the guide share."""
    guide = shelf.guide
    breaks = tuple(
        (closure.first, closure.last)
        for closure in guide.closures
        if not closure.series and closure.last - closure.first >= _LONG_BREAK
    )
    periods = tuple((period.name, period.first) for period in guide.periods.values())
    return Strip(guide.production.first, guide.production.last, breaks, periods)


@once
def drawn_spells(shelf: Shelf, course: Course) -> list[DrawnSpell]:
    """Return a course's spells as the band draws them.

    A last that no statement closes is drawn as ending with the next form's first: the limits stay as wide as
    they are in the figures, but a slope over years would say that both were fitted all that time.
    """
    opened, closed = series_days(shelf.limits, course)
    drawn = []
    for at, spell in enumerate(course.spells):
        first, last = days_of(shelf.limits, spell.first), days_of(shelf.limits, spell.last)
        final = at + 1 == len(course.spells)
        if not final and not spell.last_is_stated:
            last = _with_next(last, days_of(shelf.limits, course.spells[at + 1].first))
        if final and not spell.last_is_stated:
            last = (last[1], last[1])
        starts = at > 0 or first[0] > opened[0]
        ends = not final or (spell.last_is_stated and last[1] < closed[0])
        last_said = limits_said(*last)
        if not final and not spell.last_is_stated and last[0] > days_of(shelf.limits, course.spells[at + 1].first)[1]:
            last_said = sentence("pages.when.at_least", when=day(last[0]))
        drawn.append(
            DrawnSpell(
                course.mark.forms[spell.form].name,
                first,
                last,
                starts,
                ends,
                shelf.words.tell(limits_said(*first)),
                shelf.words.tell(last_said),
                spell.last_is_stated,
            )
        )
    return drawn


def _with_next(last: tuple[date, date], follows: tuple[date, date]) -> tuple[date, date]:
    """Return when a form is taken to end that nobody says the end of: when the next begins, or as last seen."""
    return max(last[0], min(last[1], follows[0])), max(last[0], min(last[1], follows[1]))


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


def spell_said(shown: DrawnSpell) -> Sentence:
    """Return when a form was fitted: "To about May 1968", "From August 1971", "Throughout"."""
    if shown.starts and shown.ends:
        return sentence("pages.time.between", first=shown.first_says, last=shown.last_says)
    if shown.starts:
        return sentence("pages.time.from", first=shown.first_says)
    if shown.ends:
        return sentence("pages.time.to", last=shown.last_says)
    return sentence("pages.time.throughout")


def spans_of(shelf: Shelf, courses: Sequence[Course], form: Form) -> list[Value]:
    """Return when the works fitted a form, a line for each kind of car that differs in it."""
    said: dict[Sentence, list[Scope]] = {}
    for course in courses:
        for spell, shown in zip(course.spells, drawn_spells(shelf, course), strict=True):
            if spell.form == form.id:
                said.setdefault(spell_said(shown), []).extend((course.scope, *course.also))
    spans: list[Value] = []
    for span, scopes in said.items():
        named = scopes_said(shelf, tuple(scopes))
        spans.append(sentence("pages.mark.span_for", scope=named, span=lower_first(span)) if named else span)
    return spans


def band_said(shelf: Shelf, course: Course, drawn: Sequence[DrawnSpell]) -> Sentence:
    """Return a band in words, for those who cannot see it: the part, which cars, and when each form was fitted."""
    parts = (sentence("pages.mark.band_part", form=one.name, span=lower_first(spell_said(one))) for one in drawn)
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
    drawn = drawn_spells(shelf, course)
    if len(drawn) == 1:
        names = dict.fromkeys(form.name for one in courses for form in one.forms() if form.dates_a_car)
        return one_of_names(names)
    said: list[Value] = [drawn[0].name]
    for shown in drawn[1:]:
        said.append(sentence("pages.time.then", form=lower_first(shown.name), first=shown.first_says))
    return chained("words.then_after_stop", said)  # names of forms hold commas of their own
