"""A mark's spells as pages show them: in courses, one for each kind of car that changed at its own time.

A course holds the spells of one scope in the order in which the works fitted them; what lies over that order
(an option, a form of no declared order) makes a course of its own. Courses that come out alike are shown once.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import prod

from guide.facts.types import Form, Mark, Scope
from guide.limits.types import DatedSpell, Limits, day_of
from guide.limits.wording import scope_said
from guide.pages.parts.band import DrawnSpell, Strip
from guide.pages.parts.wording import limits_said
from guide.pages.shelf import Shelf
from guide.sentence import Sentence, Value, chained, day, lower_first, one_of_names, sentence, side_by_side, upper_first

__all__ = [
    "Course",
    "band_said",
    "course_cars_said",
    "courses_of",
    "days_of",
    "drawn_spells",
    "scopes_said",
    "spans_of",
    "strip_of",
    "summary_of",
]

_LONG_BREAK = timedelta(days=45)  # a closure shorter than this is a holiday, and no break in the strip


@dataclass(frozen=True, slots=True)
class Course:
    """Spells that follow one another in ``scope``; ``also`` are further scopes in which they come out alike."""

    mark: Mark
    scope: Scope
    spells: tuple[DatedSpell, ...]
    also: tuple[Scope, ...] = ()

    def forms(self) -> Iterator[Form]:
        """The form of each spell."""
        return (self.mark.forms[spell.form] for spell in self.spells)


def courses_of(shelf: Shelf, mark: Mark) -> list[Course]:
    """Return a mark's courses, those of the declared order first, scopes in the order of the limits."""
    spells = [spell for spell in shelf.limits.spells if spell.mark == mark.id]
    order = {(ref.form, ref.spell): at for at, ref in enumerate(mark.order)}
    by_scope: dict[Scope, list[DatedSpell]] = {}
    loose: list[Course] = []
    for spell in spells:
        if (spell.form, spell.spell) in order and not mark.forms[spell.form].is_option:
            by_scope.setdefault(spell.scope, []).append(spell)
        else:
            loose.append(Course(mark, spell.scope, (spell,)))
    courses = [
        Course(mark, scope, tuple(sorted(found, key=lambda one: order[one.form, one.spell])))
        for scope, found in by_scope.items()
    ]
    return _merged([_without_none_built(shelf, course) for course in courses]) + _merged(loose)


def _without_none_built(shelf: Shelf, course: Course) -> Course:
    """Return the course without the forms that gave way before a car of this kind was built."""
    (_, opened), _ = _series_days(shelf, course)
    spells = course.spells
    while len(spells) > 1 and days_of(shelf, spells[1].first)[1] <= opened:
        spells = spells[1:]
    return replace(course, spells=spells)


def _merged(courses: list[Course]) -> list[Course]:
    """Join courses whose spells have the same forms and the same days."""
    kept: dict[tuple[object, ...], Course] = {}
    for course in courses:
        key = tuple(
            (one.form, one.spell, one.first.earliest, one.first.latest, one.last.earliest, one.last.latest)
            for one in course.spells
        )
        if key in kept:
            other = kept[key]
            kept[key] = Course(other.mark, other.scope, other.spells, (*other.also, course.scope))
        else:
            kept[key] = course
    return list(kept.values())


def days_of(shelf: Shelf, limits: Limits) -> tuple[date, date]:
    """Return the first and last day that limits allow, within production."""
    made = shelf.guide.production
    first, last = day_of(limits.earliest, made.first), day_of(limits.latest, made.first)
    return max(first, made.first), min(max(first, last), made.last)


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


def drawn_spells(shelf: Shelf, course: Course) -> list[DrawnSpell]:
    """Return a course's spells as the band draws them.

    A last that no statement closes is drawn as ending with the next form's first: the limits stay as wide as
    they are in the figures, but a slope over years would say that both were fitted all that time.
    """
    opened, closed = _series_days(shelf, course)
    drawn = []
    for at, spell in enumerate(course.spells):
        first, last = days_of(shelf, spell.first), days_of(shelf, spell.last)
        final = at + 1 == len(course.spells)
        if not final and not spell.last_is_stated:
            last = _with_next(last, days_of(shelf, course.spells[at + 1].first))
        if final and not spell.last_is_stated:
            last = (last[1], last[1])
        starts = at > 0 or first[0] > opened[0]
        ends = not final or (spell.last_is_stated and last[1] < closed[0])
        last_said = limits_said(*last)
        if not final and not spell.last_is_stated and last[0] > days_of(shelf, course.spells[at + 1].first)[1]:
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


def _series_days(shelf: Shelf, course: Course) -> tuple[tuple[date, date], tuple[date, date]]:
    """Return the days allowed the first and the last car of the series that a course speaks of."""
    series = [
        identity
        for scope in (course.scope, *course.also)
        for identity in scope.values("series") or course.mark.scope.values("series") or tuple(shelf.lines)
    ]
    lines = [shelf.lines[identity] for identity in dict.fromkeys(series) if shelf.lines[identity].cars]
    if not lines:
        made = shelf.guide.production
        return (made.first, made.first), (made.last, made.last)
    return min(line.days_at(0) for line in lines), max(line.days_at(line.cars - 1) for line in lines)


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
    courses = courses_of(shelf, mark)
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
