"""A mark's spells in courses: one for each kind of car that changed at its own time.

A course holds the spells of one scope in the order in which the works fitted them; what lies over that order
(an option, a form of no declared order) makes a course of its own. Courses that come out alike are one.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date

from guide.facts.reads import remembered
from guide.facts.types import Form, Mark, Scope
from guide.limits.positions import SeriesLine
from guide.limits.types import DatedSpell, Limits, LimitsResult, day_of

__all__ = ["Course", "courses_of", "days_of", "lines_of", "series_days"]


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
    by_mark = remembered(result.known, courses_of, lambda: _by_mark(result))
    return remembered(result.known, (courses_of, mark.id), lambda: _courses(mark, by_mark.get(mark.id, ())))


def _by_mark(result: LimitsResult) -> dict[str, list[DatedSpell]]:
    found: dict[str, list[DatedSpell]] = {}
    for spell in result.spells:
        found.setdefault(spell.mark, []).append(spell)
    return found


def _courses(mark: Mark, spells: Sequence[DatedSpell]) -> list[Course]:
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
    return _merged([_without_none_built(course) for course in courses]) + _merged(loose)


def _without_none_built(course: Course) -> Course:
    """Return the course without the forms that gave way before a car of this kind was built."""
    begun = max((at for at, spell in enumerate(course.spells) if spell.from_the_first_car), default=0)
    return replace(course, spells=course.spells[begun:])


def _merged(courses: list[Course]) -> list[Course]:
    """Join courses whose spells have the same forms, the same days and the same numbers."""
    kept: dict[tuple[object, ...], Course] = {}
    for course in courses:
        key = tuple(
            (
                *(one.form, one.spell, one.first.earliest, one.first.latest, one.last.earliest, one.last.latest),
                tuple(one.numbers.items()),
            )
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


def lines_of(result: LimitsResult, course: Course) -> list[SeriesLine]:
    """Return the series in order of number to which a course's cars can belong, those without a car left out."""
    series = [
        identity
        for scope in (course.scope, *course.also)
        for identity in scope.values("series") or course.mark.scope.values("series") or tuple(result.lines)
    ]
    lines = (result.lines.get(identity) for identity in dict.fromkeys(series))
    return [line for line in lines if line is not None and line.cars]


def series_days(result: LimitsResult, course: Course) -> tuple[tuple[date, date], tuple[date, date]]:
    """Return the days allowed the first and the last car of the series that a course speaks of."""
    lines = lines_of(result, course)
    if not lines:
        made = result.moments.guide.production
        return (made.first, made.first), (made.last, made.last)
    return min(line.days_at(0) for line in lines), max(line.days_at(line.cars - 1) for line in lines)
