"""When a mark changed and why we say so: each changeover in a sentence or two, with the reasons for its edges.

Kinds of car that changed alike share a sentence. An edge is given only where a sentence rests on it, once for
all kinds of car that it holds for; the two edges of one moment that rest on one statement are one line.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from guide.facts.types import Mark, Scope
from guide.finding import Step, StepKind
from guide.limits.changeovers import Moment, beside, joint, moment_of, outlived
from guide.limits.courses import Course, courses_of, days_of
from guide.limits.steps import CALENDAR_BY
from guide.limits.types import DatedSpell
from guide.pages.parts.naming import source_id
from guide.pages.parts.spells import cars_within_series, scopes_said
from guide.pages.parts.wording import citation_said
from guide.pages.shelf import Shelf, once
from guide.sentence import (
    Marked,
    Phrase,
    Sentence,
    Value,
    chained,
    day,
    day_span,
    in_turn,
    marked,
    month_span,
    sentence,
)

__all__ = ["Notes", "change_id", "changes_explained", "changes_of"]

Place = tuple[int, int]  # a course, and the turn in it

_EDGE = "pages.mark.edge."
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


def changes_of(shelf: Shelf, mark: Mark) -> list[dict[str, Any]]:
    """Return every changeover of a mark from one form to another, told once for all kinds of car, without why."""
    return [change for change, _ in _changes_with_places(shelf, mark)]


@once
def _changes_with_places(shelf: Shelf, mark: Mark) -> list[tuple[dict[str, Any], tuple[Place, ...]]]:
    courses = courses_of(shelf.limits, mark)
    pairs: dict[tuple[str, str], dict[_Told, list[Place]]] = {}
    for at, course in enumerate(courses):
        for turn in range(1, len(course.spells)):
            old, new = course.spells[turn - 1], course.spells[turn]
            alike = pairs.setdefault((old.form, new.form), {})
            alike.setdefault(_told(shelf, course, old, new), []).append((at, turn))
    return [_change(shelf, courses, _said_together(shelf, courses, alike)) for alike in pairs.values()]


def _said_together(
    shelf: Shelf, courses: Sequence[Course], alike: Mapping[_Told, list[Place]]
) -> dict[Value, list[Place]]:
    """Return a changeover in words, with where it was so: series that differ in their numbers alone as one."""
    groups: dict[object, list[tuple[_Told, list[Place]]]] = {}
    for told, places in alike.items():
        cars = tuple(cars_within_series(shelf, _scopes(courses, places)))
        groups.setdefault((told.shape, cars), []).append((told, places))
    said: dict[Value, list[Place]] = {}
    for group in groups.values():
        words = _change_said([told for told, _ in group])
        said.setdefault(words, []).extend(place for _, places in group for place in places)
    return said


def _change(
    shelf: Shelf, courses: Sequence[Course], alike: Mapping[Value, list[Place]]
) -> tuple[dict[str, Any], tuple[Place, ...]]:
    every = tuple(place for places in alike.values() for place in places)
    at, turn = every[0]
    forms, spells = courses[at].mark.forms, courses[at].spells
    old, new = forms[spells[turn - 1].form], forms[spells[turn].form]
    change = {
        "ids": [change_id(one, other - 1) for one, other in every],
        "forms": (old.id, new.id),
        "title": sentence("pages.mark.change", old=old.name, new=new.name),
        "variants": [
            {"scope": scopes_said(shelf, _scopes(courses, places)), "says": said} for said, places in alike.items()
        ],
    }
    return change, every


def changes_explained(shelf: Shelf, mark: Mark, notes: Notes) -> list[dict[str, Any]]:
    """Return what `changes_of` does, each with the edges that it rests on and why they lie there."""
    told = _changes_with_places(shelf, mark)
    return [{**change, "edges": _reasons(shelf, mark, places, notes)} for change, places in told]


def _reasons(shelf: Shelf, mark: Mark, every: Sequence[Place], notes: Notes) -> list[dict[str, Any]]:
    courses = courses_of(shelf.limits, mark)
    edges: dict[Sentence, list[Place]] = {}
    for at, turn in every:
        course = courses[at]
        for edge in _edges(shelf, course, course.spells[turn - 1], course.spells[turn], notes):
            edges.setdefault(edge, []).append((at, turn))
    return [
        {
            **_row(shelf, edge),
            "scope": "" if len(places) == len(every) else scopes_said(shelf, _scopes(courses, places)),
        }
        for edge, places in edges.items()
    ]


def _row(shelf: Shelf, edge: Sentence) -> dict[str, Any]:
    """Return an edge as a row of the table of changes: which first or last, not before, not after, and why.

    What is known by a number, or as a paper has it, stands for both.
    """
    shown = edge["edge"]
    assert isinstance(shown, Marked)
    said = shown.value
    assert isinstance(said, Sentence)
    end, _, side = said.id.removeprefix(_EDGE).partition("_")
    known = next(value for slot, value in said.values if slot in ("span", "day", "car"))
    before, after = (known, known)
    if isinstance(known, Phrase) and known.way == "day_span":
        before, after = (Phrase("day", (one,)) for one in known.values)
    only_before = side == "not_before" or (side == "seen" and end == "last")
    only_after = side == "not_after" or (side == "seen" and end == "first")
    reasons = edge["reasons"] if "reasons" in dict(edge.values) else edge["source"]
    return {
        "what": sentence(f"pages.mark.edge.{end}_with", form=said["form"]),
        "not_before": "" if only_after else before,
        "not_after": "" if only_before else after,
        "because": [
            (mark, text if at else shelf.words.upper_first(text), note)
            for at, (mark, text, note) in enumerate(shelf.words.pieces(reasons))
        ],
    }


def _scopes(courses: Sequence[Course], places: Sequence[Place]) -> tuple[Scope, ...]:
    return tuple(scope for at, _ in places for scope in (courses[at].scope, *courses[at].also))


@dataclass(frozen=True, slots=True)
class _Told:
    """A changeover in one kind of car: both forms by name, both moments, and what is said after them.

    ``after`` is a verdict on what lay between or, where no source says when the last was, in which way that is said.
    """

    old: str
    new: str
    came: Moment
    went: Moment
    after: str
    last_is_stated: bool
    seen_already: bool  # no day later than that of a car seen with the new form is allowed its first

    @property
    def shape(self) -> tuple[object, ...]:
        """All that is told but the numbers themselves."""
        came = self.after, self.came.car != "", self.came.days, self.seen_already
        if self.last_is_stated:
            return (*came, self.went.car != "", self.went.days)
        until = self.went.days[0] if self.after == "seen_day" and self.went.days is not None else None
        return (*came, until)


def _told(shelf: Shelf, course: Course, old: DatedSpell, new: DatedSpell) -> _Told:
    result = shelf.limits
    after = beside(result, course, old, new) if old.last_is_stated else _open_way(shelf, course, old, new)
    return _Told(
        course.mark.forms[old.form].name,
        course.mark.forms[new.form].name,
        moment_of(result, course, new, "first"),
        moment_of(result, course, old, "last"),
        after,
        old.last_is_stated,
        _rests_on_car_seen(new.first.because_latest),
    )


def _change_said(told: Sequence[_Told]) -> Value:
    """Return when one form gave way to the next, and whether both were fitted in between; ``told`` are of one shape.

    A car that a paper names is told as stated, its days beside it as far as they are known; a span that holds for
    both moments is said once.
    """
    one = told[0]
    came, went = joint([each.came for each in told]), joint([each.went for each in told])
    if one.last_is_stated:
        said = _both_said(one, came, went) or [
            _moment_said("first", one.new, came),
            _moment_said("last", one.old, went),
        ]
        return in_turn((*said, sentence(f"pages.mark.beside.{one.after}")))
    if one.after == "unsaid" and not (came.car or came.seen or came.days):
        return sentence("pages.mark.both.unsaid", old=one.old, new=one.new)
    until: Value = "" if went.days is None else day(went.days[0])
    last = sentence(f"pages.mark.last.{one.after}", form=one.old, car=went.seen, day=until)
    return in_turn((_moment_said("first", one.new, came, seen=one.seen_already), last))


def _moment_said(end: str, form: str, moment: Moment, *, seen: bool = False) -> Sentence:
    """Return the first or the last with a form in a sentence of its own, as much as is known of it."""
    if moment.days is not None:
        way = "car_days" if moment.car != "" else "days_seen" if seen and moment.seen != "" else "days"
        if way == "days_seen":
            return sentence(f"pages.mark.{end}.{way}", form=form, car=moment.seen, days=_span(moment.days))
        return sentence(f"pages.mark.{end}.{way}", form=form, car=moment.car, days=_span(moment.days))
    if moment.car != "":
        return sentence(f"pages.mark.{end}.car", form=form, car=moment.car)
    return sentence(f"pages.mark.{end}.{'unsaid' if moment.seen == '' else 'seen'}", form=form, car=moment.seen)


def _both_said(told: _Told, came: Moment, went: Moment) -> list[Value]:
    """Return both moments in one sentence, where both are told alike; nothing where they are not."""
    names = {"new": told.new, "old": told.old}
    by_number = came.car != "" and went.car != ""
    if by_number and came.days == went.days:
        said: list[Value] = [sentence("pages.mark.both.cars", **names, first=came.car, last=went.car)]
        return said if came.days is None else [*said, sentence("pages.mark.both.left", days=_span(came.days))]
    if came.car != "" or went.car != "" or came.days is None or went.days is None or told.seen_already:
        return []
    if came.days == went.days:
        return [sentence("pages.mark.both.days", **names, days=_span(came.days))]
    return [sentence("pages.mark.both.turns", **names, first=_span(came.days), last=_span(went.days))]


def _open_way(shelf: Shelf, course: Course, old: DatedSpell, new: DatedSpell) -> str:
    """Return what is known of a last that no source states: the last car seen, or until when there were some."""
    because = old.last.because_earliest
    went = moment_of(shelf.limits, course, old, "last")
    if went.seen != "" and (
        went.days is None or _rests_on_car_seen(because) or outlived(shelf.limits, course, old, new)
    ):
        return "seen"
    return "seen_day" if went.days is not None and _stated(because) else "unsaid"


def _rests_on_car_seen(steps: Sequence[Step]) -> bool:
    """Tell whether an edge rests on a car seen with the form itself."""
    return bool(steps) and isinstance(steps[0].says, Sentence) and steps[0].says.id == "limits.seen"


def _span(days: tuple[date, date]) -> Value:
    return day_span(*days) if (days[1] - days[0]).days <= _IN_DAYS else month_span(*days)


def _edges(shelf: Shelf, course: Course, old: DatedSpell, new: DatedSpell, notes: Notes) -> Iterator[Sentence]:
    yield from _bounds(shelf, course, new, "first", notes, upper=True)
    yield from _bounds(shelf, course, old, "last", notes, upper=old.last_is_stated)


def _bounds(
    shelf: Shelf, course: Course, spell: DatedSpell, kind: str, notes: Notes, *, upper: bool
) -> Iterator[Sentence]:
    """Yield why a moment lies where it does: in one line where both its edges rest on one statement."""
    limits, form = spell.first if kind == "first" else spell.last, course.mark.forms[spell.form].name
    moment = moment_of(shelf.limits, course, spell, kind)
    early = _resting(limits.because_earliest) if upper or _stated(limits.because_earliest) else ()
    late = _resting(limits.because_latest) if upper else ()
    if moment.days is None:
        yield from _by_number(moment, kind, form, (*early[:1], *late[:1]), notes)
        return
    first, last = days_of(shelf.limits, limits)
    shared = _shared(early, late)
    if shared:
        edge = sentence(f"pages.mark.edge.{kind}", form=form, span=day_span(first, last))
        yield _as_given(edge, shared, notes) if _gives(shared, kind, Phrase) else _because(edge, shared, notes)
        return
    for side, on, steps in (("not_before", first, early), ("not_after", last, late)):
        if steps:
            yield _because(sentence(f"pages.mark.edge.{kind}_{side}", form=form, day=day(on)), steps, notes)


def _by_number(moment: Moment, kind: str, form: str, steps: Sequence[Step], notes: Notes) -> Iterator[Sentence]:
    """Yield why a moment of which no day is known has its number: what was stated, and not what days follow."""
    stated = tuple({step.says: step for step in steps if step.kind is StepKind.STATEMENT}.values())
    if stated and moment.car != "":
        edge = sentence(f"pages.mark.edge.{kind}_car", form=form, car=moment.car)
        yield _as_given(edge, stated, notes) if _gives(stated, kind) else _because(edge, stated, notes)
    elif _rests_on_car_seen(stated):
        says = stated[0].says
        car = (says.get("when") if isinstance(says, Sentence) else None) or moment.seen
        yield _because(sentence(f"pages.mark.edge.{kind}_seen", form=form, car=car), stated, notes)


def _gives(steps: Sequence[Step], kind: str, type_of_when: type = object) -> bool:
    """Tell whether one statement of a first or last is the whole reason, and what it gives is what the edge says.

    A day, month or span is said in the edge as it is stated; an "about" and an editor's own words are not.
    """
    says = steps[0].says
    return (
        len(steps) == 1
        and isinstance(says, Sentence)
        and says.id == f"limits.{kind}"
        and isinstance(says.get("when"), type_of_when)
    )


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


def _as_given(edge: Sentence, steps: Sequence[Step], notes: Notes) -> Sentence:
    """Return "Edge, as a source gives it.", for an edge that says again what its one reason states."""
    says, number = steps[0].says, notes.number(steps[0].source)
    source = says["source"] if isinstance(says, Sentence) else says
    return sentence("pages.mark.as_given", edge=marked("edge", edge), source=marked("reason", source, number))


def _because(edge: Sentence, steps: Sequence[Step], notes: Notes) -> Sentence:
    """Return "Edge, because a, and b.", the edge and each reason set apart, a reason with the number of its source."""
    reasons = chained("limits.and", (marked("reason", step.says, notes.number(step.source)) for step in steps))
    return sentence("pages.mark.because", edge=marked("edge", edge), reasons=reasons)
