"""One part on the cars seen: strips of cars by number, the change as they have it, how many still have their own."""

from __future__ import annotations

from bisect import bisect
from collections import Counter
from collections.abc import Iterable, Iterator
from typing import Any

from guide.facts.types import Mark
from guide.limits.positions import SeriesLine
from guide.pages.parts.car_strip import car_strip, rising_line
from guide.pages.parts.masked import audience, masked
from guide.pages.parts.naming import safe_name
from guide.pages.shelf import Address, Context, Page, Shelf, answered, once
from guide.sentence import Value, sentence
from guide.tally.changeovers import ranges_of
from guide.tally.report import changeover_lines
from guide.tally.survival import Survival

__all__ = ["PAGE"]


def _addresses(shelf: Shelf) -> Iterable[Address]:
    for mark in shelf.guide.marks.values() if shelf.tally and shelf.tally.cars else ():
        if any(_found(shelf, mark.id).values()):
            title = shelf.say("pages.seen.title", part=mark.name)
            yield Address("seen", mark.id, f"seen/{safe_name(mark.id, '.html')}", title)


def _context(shelf: Shelf, address: Address) -> Context:
    mark, guide = shelf.guide.marks[address.id], shelf.guide
    return {
        "mark": mark,
        "strips": list(_strips(shelf, mark)),
        "changes": _changes(shelf, mark.id),
        "survival": [
            {
                "period": guide.periods.get(one.period),
                "own": sentence("pages.tally.of", found=one.own, of=one.of),
                "range": sentence("pages.tally.range", low=round(100 * one.low), high=round(100 * one.high)),
            }
            for one in _survival(shelf, mark.id)
        ],
        "guide_says": sentence("pages.seen.guide_says", share=round(100 * mark.survives_share)),
        "masked": guide.mask_numbers,
    }


def _strips(shelf: Shelf, mark: Mark) -> Iterator[dict[str, Any]]:
    """Yield for each series in which cars with this part were seen a strip for each form, and the figures."""
    lines = shelf.limits.moments.every
    return (_strip(shelf, mark, lines[series], places) for series, places in _found(shelf, mark.id).items() if places)


@answered
def _found(shelf: Shelf, mark: str) -> dict[str, list[tuple[int, str]]]:
    """Return by series the places at which cars with this part were seen, and the form."""
    told = [one for one in shelf.tally.marks[mark].found if one.report.kind == "form"]
    return {
        series: [(one.known.at[series], one.report.forms[0]) for one in told if series in one.known.at]
        for series in shelf.limits.moments.every
    }


@answered
def _changes(shelf: Shelf, mark: str) -> list[Value]:
    """Return what is said of its changeovers."""
    return [line.says for line in changeover_lines(shelf.tally, mark, audience(shelf.guide))]


@answered
def _survival(shelf: Shelf, mark: str) -> tuple[Survival, ...]:
    found: tuple[Survival, ...] = shelf.tally.survival_at(mark)
    return found


@answered
def _rising(shelf: Shelf, mark: str, series: str) -> dict[str, list[tuple[int, float]]]:
    """Return for each form that came along a series the places of the cars, each with the share that had it by then."""
    found: dict[str, list[tuple[int, float]]] = {}
    for one in shelf.tally.marks[mark].changeovers:
        if one.series == series:
            found.setdefault(one.new, [(car.place, share) for car, share in zip(one.cars, one.rising, strict=True)])
    return found


def _strip(shelf: Shelf, mark: Mark, line: SeriesLine, found: list[tuple[int, str]]) -> dict[str, Any]:
    hundreds, numbers = _hundreds(shelf, line)
    in_hundreds = Counter((bisect(hundreds, (place, line.cars)) - 1, form) for place, form in found)
    most, told = max(in_hundreds.values()), []
    drawn: list[dict[str, Any]] = []
    rising = _rising(shelf, mark.id, line.series.id)
    for form in mark.forms.values():
        places = [place for place, of in found if of == form.id]
        if not places:
            continue
        if shelf.guide.mask_numbers:
            stretches = [
                (first / line.cars, (last + 1) / line.cars, in_hundreds[at, form.id])
                for at, (first, last) in enumerate(hundreds)
            ]
        else:
            stretches = [(place / line.cars, place / line.cars, most) for place in sorted(places)]
        steps = rising_line(list(_steps(shelf, line, rising.get(form.id, ()), hundreds)))
        drawn.append({"form": form, "cars": len(places), "svg": car_strip(stretches, most, steps)})
    for at, said in enumerate(numbers):
        cells = [in_hundreds[at, one["form"].id] for one in drawn]
        if any(cells):
            told.append({"numbers": said, "cells": cells})
    return {"series": line.series.name, "forms": drawn, "figures": told}


@once
def _hundreds(shelf: Shelf, line: SeriesLine) -> tuple[list[tuple[int, int]], list[str]]:
    """Return the places of each whole hundred of a series, in order, and its numbers in words."""
    hundreds = list(ranges_of(line))
    return hundreds, [_numbers(shelf, line, first, last) for first, last in hundreds]


def _numbers(shelf: Shelf, line: SeriesLine, first: int, last: int) -> str:
    ends = [line.car_at(place).written for place in (first, last)]
    if shelf.guide.mask_numbers:
        return masked(shelf.guide, ends[0])
    return shelf.say("pages.seen.range", first=ends[0], last=ends[1])


def _steps(
    shelf: Shelf, line: SeriesLine, rising: Iterable[tuple[int, float]], hundreds: list[tuple[int, int]]
) -> Iterator[tuple[float, float]]:
    """Yield where the rising share steps up, at the ends of whole hundreds where numbers are masked."""
    share = 0.0
    for place, now in rising:
        if now > share:
            if shelf.guide.mask_numbers:
                place = next(first for first, last in hundreds if first <= place <= last)
            yield place / line.cars, now
            share = now


PAGE = Page("seen", _addresses, _context, "seen.html")
