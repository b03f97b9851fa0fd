"""The tally: what all cars seen say together, and which numbers are claimed twice.

No observer is named, and unless the guide says otherwise a number loses its last two figures, so that nobody's
car can be told from this page.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any

from guide.facts.types import Mark
from guide.pages.shelf import Address, Context, Page, Shelf

__all__ = ["PAGE", "masked"]


def masked(shelf: Shelf, number: str) -> str:
    """Return a car's number as it may be published: its last two figures left out, unless the guide prints them."""
    if not shelf.guide.mask_numbers:
        return number
    return re.sub(r"\d{1,2}(?=\D*$)", lambda found: "·" * len(found[0]), number)


def _addresses(shelf: Shelf) -> Iterable[Address]:
    if shelf.tally is not None and shelf.tally.cars:
        yield Address("tally", "", "tally.html", shelf.say("pages.tally.title"))


def _context(shelf: Shelf, _address: Address) -> Context:
    tally, guide = shelf.tally, shelf.guide
    rows = [_row(shelf, guide.marks[mark], told) for mark, told in tally.marks.items() if told.looked_at]
    return {
        "says": shelf.say("pages.tally.says", n=tally.cars, cars=shelf.words.number(tally.cars), placed=tally.placed),
        "periods": list(guide.periods.values()),
        "rows": rows,
        "suggestions": [
            {
                "mark": guide.marks[one.mark],
                "form": guide.marks[one.mark].forms[one.form],
                "says": shelf.say(
                    "pages.tally.later" if one.later_than_known else "pages.tally.earlier",
                    car=masked(shelf, one.car.number_text),
                    form=guide.marks[one.mark].forms[one.form].name,
                    by=shelf.words.duration(one.days),
                ),
            }
            for one in tally.suggestions
        ],
        "twice": [
            shelf.say(
                "pages.tally.twice_one",
                number=masked(shelf, one.number),
                n=len(one.cars),
                cars=shelf.words.count(len(one.cars)),
            )
            for one in tally.claimed_twice
        ],
        "masked": guide.mask_numbers,
    }


def _row(shelf: Shelf, mark: Mark, told: Any) -> dict[str, Any]:
    """Return one mark's counts: for each form found, the count in each period with its range."""
    lines = []
    for form in mark.forms.values():
        cells = []
        for period in shelf.guide.periods:
            count = next((one for one in told.counts if one.form == form.id and one.period == period), None)
            if count is None:
                cells.append(("", ""))
                continue
            low, high = round(count.low * 100), round(count.high * 100)
            cells.append(
                (
                    shelf.say("pages.tally.of", found=count.found, of=count.of),
                    shelf.say("pages.tally.range", low=low, high=high),
                )
            )
        if any(one.found for one in told.counts if one.form == form.id):
            lines.append({"form": form, "cells": cells})
    return {
        "mark": mark,
        "lines": lines,
        "looked_at": told.looked_at,
        "changed": shelf.say("pages.tally.changed", n=told.changed) if told.changed else "",
    }


PAGE = Page("tally", _addresses, _context, "tally.html")
