"""The timeline: every change of the car as rows of bands, and the same figures in a table.

It runs along days, or along the numbers of a series where nothing dates them: whatever the facts of a part tell.
It can be looked at whole, by period (what changed in it), by area, or by how close one must get; each of these
is a page of its own, so that it needs no scripts.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any

from guide.facts.types import CarModel, Mark, Period, Production, Reach, Scope
from guide.limits.changeovers import moment_of
from guide.limits.courses import Course, courses_of, days_of
from guide.limits.edges import edge_of
from guide.limits.types import DatedSpell
from guide.pages.parts.band import names_fit, render_axis, render_band, render_fades, render_years
from guide.pages.parts.changes import change_id
from guide.pages.parts.models import axis_of, car_models, meets, model_axis, model_on
from guide.pages.parts.naming import safe_name
from guide.pages.parts.poster import PosterRow, posters
from guide.pages.parts.spells import band_said, course_cars_said, scopes_said, strip_of, told_spells
from guide.pages.parts.strips import DrawnSpell
from guide.pages.shelf import Address, Context, Page, Shelf, once
from guide.sentence import Value, all_of, chained, day, day_range, sentence
from guide.words.say import upper_first

__all__ = ["PAGE", "data_files"]

_MANY = 120  # changes in figures beneath the whole timeline; of more, each area has its own


@dataclass(frozen=True, slots=True)
class _Changeover:
    """A changeover as the table gives it, with the first and the last day on which it may have happened."""

    first: date
    last: date
    figures: dict[str, Any]


@dataclass(frozen=True, slots=True)
class _Row:
    """A course of a mark: the axis along which it runs, what is drawn of it, its changeovers."""

    mark: Mark
    course: Course
    axis: str  # as `axis_of` has it
    spells: list[DrawnSpell]
    changes: list[_Changeover]

    @property
    def is_plain(self) -> bool:
        """Whether such cars kept one form all through."""
        return len(self.spells) == 1 and not self.spells[0].starts and not self.spells[0].ends


def _addresses(shelf: Shelf) -> Iterable[Address]:
    title = shelf.say("pages.timeline.title")
    yield Address("timeline", "", "timeline.html", title)
    for kind, identity, name in _filters(shelf):
        path = f"timeline/{safe_name(f'{kind}-{identity}', '.html')}"
        yield Address("timeline", f"{kind}/{identity}", path, shelf.say("pages.timeline.of", what=name))


def _filters(shelf: Shelf) -> Iterator[tuple[str, str, str]]:
    """Yield every way of looking at a part of the timeline: kind, id, name. Ones that hold nothing are left out."""
    models = car_models(shelf)
    for at, model in enumerate(models) if len(models) > 1 else ():
        yield "model", str(at + 1), shelf.words.tell(model.name)
    for period in shelf.guide.periods.values():
        yield "period", period.id, period.name
    for area in shelf.guide.areas.values():
        yield "area", area.id, area.name
    for reach in Reach:
        if any(mark.reach is reach for mark in shelf.guide.marks.values()):
            yield "reach", str(reach), shelf.say(f"pages.reach.how.{reach}")


def _context(shelf: Shelf, address: Address) -> Context:
    kind, _, identity = address.id.partition("/")
    models = car_models(shelf)
    model = models[int(identity) - 1] if kind == "model" else None
    marks = [
        mark
        for mark in shelf.guide.marks.values()
        if kind not in ("area", "reach") or identity in (mark.area, mark.reach)
    ]
    rows = [row for row in _rows(shelf, model, marks) if _shown(shelf, row, kind, identity)]
    filters = [
        {
            "heading": shelf.say(f"pages.timeline.by_{one}"),
            "links": [
                {"id": f"{one}/{other}", "name": upper_first(name)}
                for group, other, name in _filters(shelf)
                if group == one
            ],
        }
        for one in ("model", "period", "area", "reach")
        if one != "model" or len(models) > 1
    ]
    axes = ["", *(model_axis(at) for at in range(len(models))), *shelf.guide.ordered_series]
    stacks = [
        {
            "name": shelf.words.lower_first(shelf.guide.series[axis].name) if axis in shelf.guide.series else "",
            "model": _model_name(shelf, axis, of_all=len(models) > 1),
            "axis": render_axis(strip_of(shelf, axis)),
            "years": render_years(strip_of(shelf, axis)),
            "line": _line(shelf, axis),
            "groups": _grouped(shelf, [row for row in rows if row.axis == axis]),
        }
        for axis in axes
        if any(row.axis == axis for row in rows)
    ]
    parts = len({row.mark.id for row in rows})
    changes = [one.figures for row in rows for one in row.changes if _within(shelf, one, kind, identity)]
    many = not kind and len(changes) > _MANY
    return {
        "stacks": stacks,
        "fades": render_fades(),
        "filters": filters,
        "chosen": address.id,
        "lead": shelf.say("pages.timeline.lead", n=parts, count=upper_first(shelf.words.count(parts))),
        "changes": [] if many else changes,
        "elsewhere": [(f"area/{one.id}", one.name) for one in shelf.guide.areas.values()] if many else [],
        "posters": [] if kind else [_poster_path(at) for at in range(len(_posters(shelf)))],
        "numbered": bool(shelf.guide.ordered_series),
    }


def _line(shelf: Shelf, axis: str) -> tuple[tuple[str, str], ...]:
    """Return what a script needs to find a car's place along an axis: its days, or its series."""
    strip = strip_of(shelf, axis)
    if axis in shelf.guide.series:
        return ("series", axis), ("cars", str(strip.last + 1))
    return ("first", date.fromordinal(strip.first).isoformat()), ("last", date.fromordinal(strip.last).isoformat())


def _model_name(shelf: Shelf, axis: str, *, of_all: bool) -> str:
    """Return whose days an axis runs along, where a guide has several models."""
    model = model_on(shelf, axis)
    if model is not None:
        return upper_first(shelf.words.tell(model.name))
    return shelf.say("pages.timeline.of_all") if of_all and not axis else ""


def _shown(shelf: Shelf, row: _Row, kind: str, identity: str) -> bool:
    """Tell whether a row of a mark that is shown has anything for the period or the model asked for."""
    if kind == "period" and not _is_of(shelf, row, identity):
        return False
    return kind not in ("period", "model") or any(_within(shelf, change, kind, identity) for change in row.changes)


def _is_of(shelf: Shelf, row: _Row, period: str) -> bool:
    """Tell whether a row speaks of cars of the model that a period is of."""
    one = shelf.guide.periods[period]
    return any(one in model.periods and meets(shelf, row.course, model) for model in car_models(shelf))


def _within(shelf: Shelf, change: _Changeover, kind: str, identity: str) -> bool:
    """Tell whether a change may have happened in the period, or while the model, asked for was built; all may when
    neither is asked for."""
    if kind == "model":
        days: Period | Production = car_models(shelf)[int(identity) - 1].production
    elif kind == "period":
        days = shelf.guide.periods[identity]
    else:
        return True
    return change.first <= days.last and change.last >= days.first


def _rows(shelf: Shelf, model: CarModel | None, marks: Iterable[Mark]) -> list[_Row]:
    """Return a row for each course of the marks that change in some kind of car, marks in walking order; of those of a
    model alone, along its own days, where one is asked for.

    A kind of car that kept one form all through is shown beside those that did not: left out, it would read as
    one that the guide forgot.
    """
    return [row for mark in marks for row in _rows_of(shelf, model, mark)]


@once
def _rows_of(shelf: Shelf, model: CarModel | None, mark: Mark) -> list[_Row]:
    told = [
        (at, course, told_spells(shelf, course))
        for at, course in enumerate(courses_of(shelf.limits, mark))
        if any(form.dates_a_car for form in course.forms()) and (model is None or meets(shelf, course, model))
    ]
    if not any(len(spells) > 1 or spells[0].drawn.starts or spells[0].drawn.ends for _, _, spells in told):
        return []
    rows = []
    for at, course, spells in told:
        axis = axis_of(shelf, course)
        if model is not None and not axis:  # of several models, and here of this one
            axis = model_axis(car_models(shelf).index(model))
        changes = [_change(shelf, at, course, turn) for turn in range(1, len(course.spells))]
        rows.append(_Row(mark, course, axis, [one.drawn for one in spells], changes))
    return rows


def _grouped(shelf: Shelf, rows: list[_Row]) -> list[dict[str, Any]]:
    """Return the rows gathered by mark, so that a part is named once; what never changed is told in a line."""
    groups: dict[str, list[_Row]] = {}
    for row in rows:
        groups.setdefault(row.mark.id, []).append(row)
    return [
        {
            "mark": found[0].mark,
            "rows": [_band(shelf, row) for row in found if not row.is_plain],
            "plain": _plain(shelf, [row for row in found if row.is_plain]),
            # a part that began or ended without following another has no such heading
            "place": "changes" if any(row.changes for row in found) else "",
        }
        for found in groups.values()
    ]


@once
def _band(shelf: Shelf, row: _Row) -> dict[str, Any]:
    strip = strip_of(shelf, row.axis)
    words = shelf.words.tell(band_said(shelf, row.course, told_spells(shelf, row.course)))
    named = names_fit(strip, row.spells)
    return {
        "scope": course_cars_said(shelf, row.course),
        "names": [] if named else [(one.figure, shelf.words.lower_first(one.name)) for one in row.spells],
        "svg": render_band(strip, row.spells, words, row=True),
    }


def _plain(shelf: Shelf, rows: list[_Row]) -> Value:
    """Return which kinds of car kept which form all through; empty where none did."""
    kept: dict[str, list[Scope]] = {}
    for row in rows:
        kept.setdefault(row.spells[0].name, []).extend((row.course.scope, *row.course.also))
    said = [
        sentence("pages.timeline.kept", scope=scopes_said(shelf, tuple(scopes)), form=shelf.words.lower_first(form))
        for form, scopes in kept.items()
    ]
    return sentence("pages.timeline.unchanged", said=chained("words.then_after_stop", said)) if said else ""


def _change(shelf: Shelf, at: int, course: Course, turn: int) -> _Changeover:
    """Return one changeover; its figures are the first new car and the last old one, and the limits of their days."""
    old, new = course.spells[turn - 1], course.spells[turn]
    mark = course.mark
    first, last = days_of(shelf.limits, new.first), days_of(shelf.limits, old.last)
    open_end = not old.last_is_stated
    figures = {
        "mark": mark,
        "scope": course_cars_said(shelf, course),
        "id": change_id(at, turn - 1),
        "old": mark.forms[old.form].name,
        "new": mark.forms[new.form].name,
        "first": _figures(shelf, course, new, "first", "earliest"),
        "last": _figures(shelf, course, old, "last", "earliest" if open_end else "latest", open_end=open_end),
    }
    return _Changeover(min(first[0], last[0]), max(first[1], last[0] if open_end else last[1]), figures)


def _figures(
    shelf: Shelf, course: Course, spell: DatedSpell, end: str, side: str, *, open_end: bool = False
) -> tuple[Value, Value]:
    """Return what is known of a spell's first or last, and beneath it the rest: the car as stated before its days.

    Only where no number was stated or seen, the cars about the outer day stand beneath it, set off as worked back.
    """
    moment = moment_of(shelf.limits, course, spell, end)
    days: Value = ""
    if moment.days is not None:
        days = sentence("pages.timeline.not_before", day=day(moment.days[0])) if open_end else day_range(*moment.days)
    if moment.car != "":
        return moment.car, days
    if moment.seen != "":
        seen = sentence(f"pages.when.or_{'earlier' if end == 'first' else 'later'}", car=moment.seen)
        return (seen, days) if open_end or days == "" else (days, seen)
    cars = tuple(car.number.written for car in edge_of(spell, end, side, shelf.limits.moments).cars)
    if days == "":
        return sentence("pages.timeline.unsaid"), ""
    return days, sentence("pages.timeline.worked_back", cars=all_of(cars)) if cars else ""


@once
def _posters(shelf: Shelf) -> list[bytes]:
    """Return the timeline as drawings to print large: the rows along each axis, on as many sheets as they take."""
    rows = [row for row in _rows(shelf, None, shelf.guide.marks.values()) if not row.is_plain]
    sheets = list[bytes]()
    for axis in dict.fromkeys(row.axis for row in rows):
        along = [
            PosterRow(row.mark.name, shelf.words.tell(course_cars_said(shelf, row.course)), row.spells)
            for row in rows
            if row.axis == axis
        ]
        sheets += posters(shelf, strip_of(shelf, axis), along)
    return sheets


def _poster_path(at: int) -> str:
    return f"downloads/timeline{f'-{at + 1}' if at else ''}.svg"


def data_files(shelf: Shelf) -> dict[str, bytes]:
    """Return the timeline as a club prints it."""
    return {_poster_path(at): sheet for at, sheet in enumerate(_posters(shelf))}


PAGE = Page("timeline", _addresses, _context, "timeline.html")
