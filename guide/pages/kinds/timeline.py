"""The timeline: every change of the car as rows of bands, and the same figures in a table.

It can be looked at whole, by period (what changed in it), by area, or by how close one must get; each of these
is a page of its own, so that it needs no scripts.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any

from guide.facts.types import Mark, Reach, Scope
from guide.limits.courses import Course, courses_of, days_of
from guide.limits.edges import edge_of
from guide.limits.types import DatedSpell, Limits
from guide.pages.parts.band import render_axis, render_band
from guide.pages.parts.changes import change_id
from guide.pages.parts.naming import safe_name
from guide.pages.parts.spells import band_said, course_cars_said, drawn_spells, strip_of
from guide.pages.shelf import Address, Context, Page, Shelf, once
from guide.words.say import lower_first, upper_first

__all__ = ["PAGE"]


@dataclass(frozen=True, slots=True)
class _Changeover:
    """A changeover as the table gives it, with the first and the last day on which it may have happened."""

    first: date
    last: date
    figures: dict[str, Any]


@dataclass(frozen=True, slots=True)
class _Row:
    """A course of a mark: its band with what stands beside it, and its changeovers."""

    mark: Mark
    band: dict[str, Any]
    changes: list[_Changeover]


def _addresses(shelf: Shelf) -> Iterable[Address]:
    title = shelf.say("pages.timeline.title")
    yield Address("timeline", "", "timeline.html", title)
    for kind, identity, name in _filters(shelf):
        path = f"timeline/{safe_name(f'{kind}-{identity}', '.html')}"
        yield Address("timeline", f"{kind}/{identity}", path, shelf.say("pages.timeline.of", what=name))


def _filters(shelf: Shelf) -> Iterator[tuple[str, str, str]]:
    """Yield every way of looking at a part of the timeline: kind, id, name. Ones that hold nothing are left out."""
    for period in shelf.guide.periods.values():
        yield "period", period.id, period.name
    for area in shelf.guide.areas.values():
        yield "area", area.id, area.name
    for reach in Reach:
        if any(mark.reach is reach for mark in shelf.guide.marks.values()):
            yield "reach", str(reach), shelf.say(f"pages.reach.how.{reach}")


def _context(shelf: Shelf, address: Address) -> Context:
    kind, _, identity = address.id.partition("/")
    rows = [row for row in _rows(shelf) if _shown(shelf, row, kind, identity)]
    filters = [
        {
            "heading": shelf.say(f"pages.timeline.by_{one}"),
            "links": [
                {"id": f"{one}/{other}", "name": upper_first(name)}
                for group, other, name in _filters(shelf)
                if group == one
            ],
        }
        for one in ("period", "area", "reach")
    ]
    groups = _grouped(rows)
    return {
        "axis": render_axis(strip_of(shelf)),
        "groups": groups,
        "filters": filters,
        "chosen": address.id,
        "lead": shelf.say("pages.timeline.lead", n=len(groups), count=upper_first(shelf.words.count(len(groups)))),
        "changes": [one.figures for row in rows for one in row.changes if _within(shelf, one, kind, identity)],
    }


def _shown(shelf: Shelf, row: _Row, kind: str, identity: str) -> bool:
    if kind == "area":
        return row.mark.area == identity
    if kind == "reach":
        return str(row.mark.reach) == identity
    return not kind or any(_within(shelf, change, kind, identity) for change in row.changes)


def _within(shelf: Shelf, change: _Changeover, kind: str, identity: str) -> bool:
    """Tell whether a change may have happened in the period asked for; all do when none is asked for."""
    if kind != "period":
        return True
    period = shelf.guide.periods[identity]
    return change.first <= period.last and change.last >= period.first


@once
def _rows(shelf: Shelf) -> list[_Row]:
    """Return a row for each course of the marks that change in some kind of car, marks in walking order.

    A kind of car that kept one form all through is shown beside those that did not: left out, it would read as
    one that the guide forgot.
    """
    strip, rows = strip_of(shelf), list[_Row]()
    for mark in shelf.guide.marks.values():
        drawn = [
            (at, course, drawn_spells(shelf, course))
            for at, course in enumerate(courses_of(shelf.limits, mark))
            if any(form.dates_a_car for form in course.forms())
        ]
        if not any(len(spells) > 1 or spells[0].starts or spells[0].ends for _, _, spells in drawn):
            continue
        for at, course, spells in drawn:
            band = {
                "scope": course_cars_said(shelf, course),
                "names": [lower_first(spell.name) for spell in spells],
                "svg": render_band(strip, spells, shelf.words.tell(band_said(shelf, course, spells)), row=True),
            }
            rows.append(_Row(mark, band, [_change(shelf, at, course, turn) for turn in range(1, len(course.spells))]))
    return rows


def _grouped(rows: list[_Row]) -> list[dict[str, Any]]:
    """Return the rows gathered by mark, so that a part is named once."""
    groups: dict[str, dict[str, Any]] = {}
    for row in rows:
        group = groups.setdefault(row.mark.id, {"mark": row.mark, "rows": [], "place": ""})
        group["rows"].append(row.band)
        if row.changes:
            group["place"] = "changes"  # a part that began or ended without following another has no such heading
    return list(groups.values())


def _change(shelf: Shelf, at: int, course: Course, turn: int) -> _Changeover:
    """Return one changeover; its figures are limits of the first new car and of the last old one, with the cars."""
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
        "first": shelf.words.day_range(*first),
        "first_cars": _cars(shelf, new, new.first, "earliest"),
        "last": shelf.say("pages.timeline.not_before", day=shelf.words.day(last[0]))
        if open_end
        else shelf.words.day_range(*last),
        "last_cars": _cars(shelf, old, old.last, "earliest" if open_end else "latest"),
    }
    return _Changeover(min(first[0], last[0]), max(first[1], last[0] if open_end else last[1]), figures)


def _cars(shelf: Shelf, spell: DatedSpell, limits: Limits, side: str) -> str:
    """Return the cars about an edge of a spell's first or last moment."""
    edge = edge_of(limits, side, _own_series(shelf, spell), shelf.limits.moments)
    return shelf.words.all_of(car.written for car in edge.cars)


def _own_series(shelf: Shelf, spell: DatedSpell) -> Scope:
    """Return a spell's scope, kept to the series that its part is found on."""
    only = shelf.guide.marks[spell.mark].scope.values("series")
    if only is None or spell.scope.values("series") is not None:
        return spell.scope
    return Scope((*spell.scope.parts, ("series", only)))


PAGE = Page("timeline", _addresses, _context, "timeline.html")
