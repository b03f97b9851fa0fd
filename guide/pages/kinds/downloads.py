"""Downloads: the guide in one file, the folder in one archive, the card, the facts as sheets, an empty sheet."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from guide.facts.text.csv_tables import write_csv
from guide.limits.changeovers import Moment, moment_of
from guide.limits.courses import courses_of
from guide.pages.parts.open_data import bibliography, facts_data, limits_data, statement_rows
from guide.pages.parts.spells import course_cars_said
from guide.pages.parts.wording import licence_said
from guide.pages.shelf import Context, Shelf, one_page

__all__ = ["FACTS", "FOR_PROGRAMS", "LIMITS", "OFFERED", "PAGE", "data_files"]


_SHEETS = ("changeovers", "statements", "cars_seen")
FACTS, LIMITS, _SOURCES = "downloads/facts.json", "downloads/limits.json", "downloads/sources.json"
FOR_PROGRAMS = {FACTS: "facts_json", LIMITS: "limits_json", _SOURCES: "sources_json"}


def _context(shelf: Shelf) -> Context:
    single = shelf.weights.get("guide-in-one-file.html", 0)
    return {
        "single": shelf.say("pages.downloads.weight", kilobytes=round(single / 1000)),
        "sheets": [(_path(sheet), shelf.say(f"pages.downloads.{sheet}")) for sheet in _SHEETS],
        "data": [(name, shelf.say(f"pages.downloads.{says}")) for name, says in FOR_PROGRAMS.items()],
        "licence": licence_said(shelf.guide.licence),
    }


def _path(sheet: str) -> str:
    return f"downloads/{sheet.replace('_', '-')}.csv"


def data_files(shelf: Shelf) -> dict[str, bytes]:
    """Return the facts as sheets that any spreadsheet opens, and an empty sheet for cars seen."""
    guide = shelf.guide
    further = dict.fromkeys(one.kind for one in guide.further_numbers.values())
    columns = ["car", *further, "untouched", *guide.splits, "interior", "seen on", "source", "remarks", "another car"]
    columns += guide.marks
    return {
        _path("changeovers"): write_csv(_changeovers(shelf)),
        _path("statements"): write_csv(statement_rows(shelf)),
        _path("cars_seen"): write_csv([columns]),
        FACTS: facts_data(shelf),
        LIMITS: limits_data(shelf),
        _SOURCES: bibliography(shelf),
    }


def _changeovers(shelf: Shelf) -> Iterator[list[str]]:
    """Yield one line a changeover; days are ISO 8601, so that no spreadsheet swaps day and month.

    A car is the one that a paper names, as it names it; what is not known is left empty.
    """
    columns = ("part", "cars", "old", "new", "first-car", "first-from", "first-to", "last-car", "last-from", "last-to")
    yield [shelf.say(f"pages.downloads.column.{column}") for column in (*columns, "stated")]
    for mark in shelf.guide.marks.values():
        for course in courses_of(shelf.limits, mark):
            for old, new in pairwise(course.spells):
                came = moment_of(shelf.limits, course, new, "first")
                went = moment_of(shelf.limits, course, old, "last")
                yield [
                    mark.id,
                    shelf.words.tell(course_cars_said(shelf, course)),
                    old.form,
                    new.form,
                    *_cells(shelf, came),
                    *_cells(shelf, went),
                    "yes" if old.last_is_stated else "no",
                ]


def _cells(shelf: Shelf, moment: Moment) -> list[str]:
    """Return a moment's car, its first day and its last."""
    days = ["", ""] if moment.days is None else [day.isoformat() for day in moment.days]
    return [shelf.words.tell(moment.car), *days]


_COPIES = ("guide.zip", "content.zip", "guide-in-one-file.html")
OFFERED = frozenset({*_COPIES, *map(_path, _SHEETS), *FOR_PROGRAMS})  # beside pages
PAGE = one_page("downloads", "pages.downloads.title", _context)
