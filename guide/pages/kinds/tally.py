"""The tally: what all cars seen say together.

No observer is named, and unless the guide says otherwise a number loses its last two figures, so that nobody's
car can be told from this page. The editor's own, with file, line and full number, stands in the preview alone. Of many
parts each area of the car has its counts on a page of its own.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from guide.facts.types import Mark
from guide.pages.parts.masked import audience
from guide.pages.parts.naming import safe_name
from guide.pages.shelf import Address, Context, Page, Shelf
from guide.sentence import Value, number, sentence
from guide.tally.count import FormCount, MarkTally
from guide.tally.report import EDITOR as AS_EDITOR
from guide.tally.report import report

__all__ = ["EDITOR", "PAGE"]

_MANY = 3000  # counts on one page: forms by periods

_ELSEWHERE = ("changeovers", "look-for")  # what readers find on pages of its own


def _addresses(shelf: Shelf) -> Iterable[Address]:
    if not (shelf.tally and shelf.tally.cars):
        return
    yield Address("tally", "", "tally.html", shelf.say("pages.tally.title"))
    for area in shelf.guide.areas.values() if _is_large(shelf) else ():
        path = f"tally/{safe_name(f'area-{area.id}', '.html')}"
        yield Address("tally", f"area/{area.id}", path, shelf.say("pages.tally.counts_of", what=area.name))


def _is_large(shelf: Shelf) -> bool:
    return sum(len(mark.forms) for mark in shelf.guide.marks.values()) * len(shelf.guide.periods) > _MANY


def _context(shelf: Shelf, address: Address) -> Context:
    counts = _counts(shelf)
    if address.id:
        rows = [row for row in counts["rows"] if f"area/{row['mark'].area}" == address.id]
        return {**counts, "rows": rows, "sections": [], "elsewhere": [], "editor": False}
    sections = list(report(shelf.tally, audience(shelf.guide), without=_ELSEWHERE))
    elsewhere = [(f"area/{one.id}", one.name) for one in shelf.guide.areas.values()] if _is_large(shelf) else []
    return {
        **counts,
        "rows": [] if elsewhere else counts["rows"],
        "sections": sections,
        "elsewhere": elsewhere,
        "editor": False,
    }


def _editor_context(shelf: Shelf, _address: Address) -> Context:
    sections = list(report(shelf.tally, AS_EDITOR, shelf.tally.effects))
    return {**_counts(shelf), "sections": sections, "elsewhere": [], "editor": True}


def _counts(shelf: Shelf) -> dict[str, Any]:
    tally, guide = shelf.tally, shelf.guide
    return {
        "says": sentence("pages.tally.says", n=tally.cars, cars=number(tally.cars), placed=tally.placed),
        "periods": list(guide.periods.values()),
        "rows": [_row(shelf, guide.marks[mark], told) for mark, told in tally.marks.items() if told.looked_at],
        "masked": guide.mask_numbers,
        "withdrawn": sentence("pages.tally.withdrawn", n=len(guide.withdrawn)) if guide.withdrawn else "",
    }


def _row(shelf: Shelf, mark: Mark, told: MarkTally) -> dict[str, Any]:
    """Return one mark's counts: for each form found, the count in each period with its range."""
    counts = {(one.form, one.period): one for one in told.counts}
    lines = []
    for form in mark.forms.values():
        found = [counts.get((form.id, period)) for period in shelf.guide.periods]
        if any(one.found for one in found if one is not None):
            lines.append({"form": form, "cells": [_cell(one) for one in found]})
    return {
        "mark": mark,
        "lines": lines,
        "changed": sentence("pages.tally.changed", n=told.changed) if told.changed else "",
    }


def _cell(one: FormCount | None) -> tuple[Value, Value]:
    """Return how many of a period's cars had a form, and the range; nothing where none was looked at."""
    if one is None:
        return "", ""
    low, high = round(one.low * 100), round(one.high * 100)
    return sentence("pages.tally.of", found=one.found, of=one.of), sentence("pages.tally.range", low=low, high=high)


def _for_editor(shelf: Shelf) -> Iterable[Address]:
    if shelf.for_editor and shelf.tally and shelf.tally.cars:
        yield Address("editor", "", "for-the-editor.html", shelf.say("pages.tally.editor"))


PAGE = Page("tally", _addresses, _context, "tally.html")
EDITOR = Page("editor", _for_editor, _editor_context, "tally.html")
