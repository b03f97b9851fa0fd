"""A mark's spells in courses: one for each kind of car that changed at its own time.

A course holds the spells of one scope in the order in which the works fitted them; what lies over that order
(an option, a form of no declared order) makes a course of its own. Courses that come out alike are one.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import pairwise

from guide.facts.types import Form, Mark, Scope
from guide.limits.types import DatedSpell, Limits, LimitsResult, day_of

__all__ = ["Course", "courses_of", "days_of", "series_days", "turns_of"]

APART_DAYS = 45  # a changeover further apart than this between kinds of car gets no one date


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


def courses_of(result: LimitsResult, mark: Mark) -> list[Course]:
    """Return a mark's courses, those of the declared order first, scopes in the order of the limits."""
    if not result.known:
        for spell in result.spells:
            result.known.setdefault(spell.mark, []).append(spell)
        result.known.update({mark: tuple(spells) for mark, spells in result.known.items()})
    found: tuple[DatedSpell, ...] | list[Course] = result.known.get(mark.id, ())
    if isinstance(found, tuple):
        found = result.known[mark.id] = _courses(result, mark, found)
    return found


def _courses(result: LimitsResult, mark: Mark, spells: Sequence[DatedSpell]) -> list[Course]:
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
    return _merged([_without_none_built(result, course) for course in courses]) + _merged(loose)


def _without_none_built(result: LimitsResult, course: Course) -> Course:
    """Return the course without the forms that gave way before a car of this kind was built."""
    (_, opened), _ = series_days(result, course)
    spells = course.spells
    while len(spells) > 1 and days_of(result, spells[1].first)[1] <= opened:
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


def days_of(result: LimitsResult, limits: Limits) -> tuple[date, date]:
    """Return the first and last day that limits allow, within production."""
    made = result.moments.guide.production
    first, last = day_of(limits.earliest, made.first), day_of(limits.latest, made.first)
    return max(first, made.first), min(max(first, last), made.last)


def series_days(result: LimitsResult, course: Course) -> tuple[tuple[date, date], tuple[date, date]]:
    """Return the days allowed the first and the last car of the series that a course speaks of."""
    series = [
        identity
        for scope in (course.scope, *course.also)
        for identity in scope.values("series") or course.mark.scope.values("series") or tuple(result.lines)
    ]
    lines = [result.lines[identity] for identity in dict.fromkeys(series) if result.lines[identity].cars]
    if not lines:
        made = result.moments.guide.production
        return (made.first, made.first), (made.last, made.last)
    return min(line.days_at(0) for line in lines), max(line.days_at(line.cars - 1) for line in lines)


def turns_of(result: LimitsResult, mark: Mark) -> dict[tuple[str, str], tuple[date, date]]:
    """Return between which days one form gave way to the next, by both ids, where that was so on every car."""
    days: dict[tuple[str, str], list[date]] = {}
    for course in courses_of(result, mark):
        for old, new in pairwise(course.spells):
            first, last = days_of(result, new.first)
            days.setdefault((old.form, new.form), []).append(first + (last - first) / 2)
    return {
        pair: (min(found), max(found))
        for pair, found in days.items()
        if (max(found) - min(found)).days <= APART_DAYS and (pair[1], pair[0]) not in days
    }
