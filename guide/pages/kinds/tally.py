"""The tally: what all cars seen say together, and which numbers are claimed twice.

No observer is named, and unless the guide says otherwise a number loses its last two figures, so that nobody's
car can be told from this page.
"""

from __future__ import annotations

import re
from typing import Any

from guide.facts.types import Mark
from guide.pages.shelf import Context, Shelf, one_page
from guide.sentence import Value, count, duration, number, sentence
from guide.tally.count import FormCount, MarkTally

__all__ = ["PAGE", "masked"]


def masked(shelf: Shelf, car: str) -> str:
    """Return a car's number as it may be published: its last two figures left out, unless the guide prints them."""
    if not shelf.guide.mask_numbers:
        return car
    return re.sub(r"\d{1,2}(?=\D*$)", lambda found: "·" * len(found[0]), car)


def _context(shelf: Shelf) -> Context:
    tally, guide = shelf.tally, shelf.guide
    return {
        "says": sentence("pages.tally.says", n=tally.cars, cars=number(tally.cars), placed=tally.placed),
        "periods": list(guide.periods.values()),
        "rows": [_row(shelf, guide.marks[mark], told) for mark, told in tally.marks.items() if told.looked_at],
        "suggestions": [
            {
                "mark": guide.marks[one.mark],
                "says": sentence(
                    "pages.tally.later" if one.later_than_known else "pages.tally.earlier",
                    car=masked(shelf, one.number.written),
                    form=guide.marks[one.mark].forms[one.form].name,
                    by=duration(one.days),
                ),
            }
            for one in tally.suggestions
        ],
        "twice": [
            sentence("pages.tally.twice_one", number=masked(shelf, one), n=cars, cars=count(cars))
            for one, cars in tally.claimed_twice.items()
        ],
        "masked": guide.mask_numbers,
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


PAGE = one_page("tally", "pages.tally.title", _context, there=lambda shelf: shelf.tally and shelf.tally.cars)
