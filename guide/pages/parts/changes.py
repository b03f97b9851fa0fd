"""When a mark changed and why we say so: each changeover in a sentence or two, with the reasons for its edges.

Kinds of car that changed alike share a sentence. An edge is given only where a sentence rests on it, once for
all kinds of car that it holds for; the two edges of one moment that rest on one statement are one line.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from guide.facts.types import Scope
from guide.finding import Step, StepKind
from guide.limits.courses import Course, days_of
from guide.limits.steps import CALENDAR_BY
from guide.limits.types import DatedSpell, Limits
from guide.pages.parts.naming import source_id
from guide.pages.parts.spells import scopes_said
from guide.pages.parts.wording import citation_said
from guide.pages.shelf import Shelf
from guide.sentence import Sentence, Value, chained, day, day_span, in_turn, marked, month_span, sentence

__all__ = ["Notes", "change_id", "changes_of"]

Place = tuple[int, int]  # a course, and the turn in it

_IN_DAYS = 62  # a span up to this long is said in days, a longer one in months


@dataclass(slots=True)
class Notes:
    """The sources of one page, numbered in the order in which they are first cited."""

    shelf: Shelf
    numbers: dict[tuple[str, str], int] = field(default_factory=dict)

    def number(self, source: str, page: str = "") -> int:
        """Return the number of a source at a page; 0 for no source."""
        if source not in self.shelf.guide.sources:
            return 0
        return self.numbers.setdefault((source, page), len(self.numbers) + 1)

    def listed(self) -> list[dict[str, Any]]:
        """Return the sources cited, in order of number."""
        sources = self.shelf.guide.sources
        return [
            {"number": number, "part": source_id(source), "citation": citation_said(sources[source], page)}
            for (source, page), number in self.numbers.items()
        ]


def change_id(course: int, change: int) -> str:
    """Return the id that a changeover has on its mark's page; both count from 0."""
    return f"change-{course + 1}-{change + 1}"


def changes_of(shelf: Shelf, courses: Sequence[Course], notes: Notes) -> list[dict[str, Any]]:
    """Return every changeover from one form to another, told once for all kinds of car."""
    pairs: dict[tuple[str, str], dict[Value, list[Place]]] = {}
    for at, course in enumerate(courses):
        for turn in range(1, len(course.spells)):
            old, new = course.spells[turn - 1], course.spells[turn]
            said = _change_said(shelf, course, old, new)
            pairs.setdefault((old.form, new.form), {}).setdefault(said, []).append((at, turn))
    return [_change(shelf, courses, alike, notes) for alike in pairs.values()]


def _change(
    shelf: Shelf, courses: Sequence[Course], alike: Mapping[Value, list[Place]], notes: Notes
) -> dict[str, Any]:
    variants: list[dict[str, Value]] = []
    edges: dict[Sentence, list[Place]] = {}
    every = [place for places in alike.values() for place in places]
    for said, places in alike.items():
        variants.append({"scope": scopes_said(shelf, _scopes(courses, places)), "says": said})
        for at, turn in places:
            course = courses[at]
            for edge in _edges(shelf, course, course.spells[turn - 1], course.spells[turn], notes):
                edges.setdefault(edge, []).append((at, turn))
    at, turn = every[0]
    forms, spells = courses[at].mark.forms, courses[at].spells
    old, new = forms[spells[turn - 1].form], forms[spells[turn].form]
    return {
        "ids": [change_id(one, other - 1) for one, other in every],
        "forms": (old.id, new.id),
        "title": sentence("pages.mark.change", old=old.name, new=new.name),
        "variants": variants,
        "edges": [
            {
                "pieces": shelf.words.pieces(edge),
                "scope": "" if len(places) == len(every) else scopes_said(shelf, _scopes(courses, places)),
            }
            for edge, places in edges.items()
        ],
    }


def _scopes(courses: Sequence[Course], places: Sequence[Place]) -> tuple[Scope, ...]:
    return tuple(scope for at, _ in places for scope in (courses[at].scope, *courses[at].also))


def _change_said(shelf: Shelf, course: Course, old: DatedSpell, new: DatedSpell) -> Value:
    """Return when one form gave way to the next, and whether both were fitted in between."""
    first, last = days_of(shelf.limits, new.first), days_of(shelf.limits, old.last)
    names = {"new": course.mark.forms[new.form].name, "old": course.mark.forms[old.form].name}
    if not old.last_is_stated:
        said = sentence("pages.mark.change_open", **names, first=_span(first))
        seen = "seen" if _stated(old.last.because_earliest) else "unsaid"
        more = sentence(f"pages.mark.change_{seen}", **names, day=day(last[0]))
    else:
        said = sentence("pages.mark.changed", **names, first=_span(first), last=_span(last))
        beside = "both" if first[1] <= last[0] else "clean" if last[1] < first[0] else "perhaps_both"
        more = sentence(f"pages.mark.{beside}")
    return in_turn((said, more))


def _span(days: tuple[date, date]) -> Value:
    return day_span(*days) if (days[1] - days[0]).days <= _IN_DAYS else month_span(*days)


def _edges(shelf: Shelf, course: Course, old: DatedSpell, new: DatedSpell, notes: Notes) -> Iterator[Sentence]:
    forms = course.mark.forms
    yield from _bounds(shelf, "first", forms[new.form].name, new.first, notes, upper=True)
    yield from _bounds(shelf, "last", forms[old.form].name, old.last, notes, upper=old.last_is_stated)


def _bounds(shelf: Shelf, kind: str, form: str, limits: Limits, notes: Notes, *, upper: bool) -> Iterator[Sentence]:
    """Yield why a moment lies where it does: in one line where both its edges rest on one statement."""
    first, last = days_of(shelf.limits, limits)
    early = _resting(limits.because_earliest) if upper or _stated(limits.because_earliest) else ()
    late = _resting(limits.because_latest) if upper else ()
    shared = _shared(early, late)
    if shared:
        yield _because(sentence(f"pages.mark.edge.{kind}", form=form, span=day_span(first, last)), shared, notes)
        return
    for side, on, steps in (("not_before", first, early), ("not_after", last, late)):
        if steps:
            yield _because(sentence(f"pages.mark.edge.{kind}_{side}", form=form, day=day(on)), steps, notes)


def _resting(steps: Sequence[Step]) -> tuple[Step, ...]:
    """Return the steps to an edge that something stated leads to; none for one that the rules alone give."""
    return tuple(steps) if any(step.kind in (StepKind.STATEMENT, StepKind.CALENDAR) for step in steps) else ()


def _stated(steps: Sequence[Step]) -> bool:
    """Tell whether an edge rests on what a source says of the mark, and not on the calendar and the rules alone."""
    return any(step.kind is StepKind.STATEMENT for step in steps)


def _shared(early: Sequence[Step], late: Sequence[Step]) -> tuple[Step, ...]:
    """Return the steps that give both edges of a moment, where both start from one statement; else none."""
    if not early or not late or (early[0].place, early[0].says) != (late[0].place, late[0].says):
        return ()
    more, other = early[1:], late[1:]
    if not more or not other or [step.says for step in more] == [step.says for step in other]:
        return (*early, *(other if not more else ()))
    if len(more) == len(other) == 1:
        since, until = more[0].says, other[0].says
        if isinstance(since, Sentence) and until == replace(since, id=f"{CALENDAR_BY}-then"):
            return (early[0], replace(more[0], says=replace(since, id="limits.calendar-then")))
    return ()


def _because(edge: Sentence, steps: Sequence[Step], notes: Notes) -> Sentence:
    """Return "Edge, because a, and b.", the edge and each reason set apart, a reason with the number of its source."""
    reasons = chained("limits.and", (marked("reason", step.says, notes.number(step.source)) for step in steps))
    return sentence("pages.mark.because", edge=marked("edge", edge), reasons=reasons)
