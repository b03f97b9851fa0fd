"""Which numbers of real cars go out with their last figures left out: nobody's car is to be told from a guide.

Numbers of cars seen are masked wherever they are named, unless the guide says ``mask numbers: no``. Those that
``seen:`` statements name are printed as they are typed, unless it says ``mask seen statements: yes``: then the words
themselves leave the figures out, wherever they say the number. A number that a paper names as a first or a last, or
that the works' own papers date, is a figure of production and stays: without it the guide would say nothing.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import partial

from guide.facts.records.statements import StatementKind
from guide.facts.types import CarNumber, Guide
from guide.limits.positions import SeriesLine
from guide.tally.report import Audience

__all__ = ["HIDDEN", "audience", "hidden_numbers", "masked", "of_papers", "of_seen", "shortened"]

HIDDEN = "·"  # stands for each figure that is left out
_LAST_FIGURES = re.compile(r"\d{1,2}(?=\D*$)")


def shortened(number: str) -> str:
    """Return a number without its last two figures."""
    return _LAST_FIGURES.sub(lambda found: HIDDEN * len(found[0]), number)


def masked(guide: Guide, car: str) -> str:
    """Return the number of a car seen as it may be published: without its last two figures, unless the guide prints
    them."""
    return shortened(car) if guide.mask_numbers else car


def audience(guide: Guide) -> Audience:
    """Return the readers of a guide, as what the cars seen come to is told them."""
    return Audience(partial(masked, guide), whole=not guide.mask_numbers)


def of_seen(guide: Guide) -> Iterator[CarNumber]:
    """Yield the number of every statement that a car was seen with a form."""
    for mark in guide.marks.values():
        for one in mark.statements:
            if one.kind is StatementKind.SEEN and one.when is not None and one.when.car is not None:
                yield one.when.car


def of_papers(guide: Guide) -> Iterator[CarNumber]:
    """Yield every number of one car that papers name: in other statements, rulings, and a series' own lists."""
    for mark in guide.marks.values():
        whens = [one.when for one in mark.statements if one.kind is not StatementKind.SEEN]
        for when in (*whens, *(ruling.read_when for ruling in mark.rulings)):
            if when is not None and when.car is not None:
                yield when.car
    for series in guide.series.values():
        yield from (one.car for one in series.strays)
        yield from (one.car for one in series.dated_cars)


def hidden_numbers(guide: Guide, lines: Mapping[str, SeriesLine]) -> dict[str, str]:
    """Return what the words say in place of each number that they hide.

    The numbers beside a hidden car are hidden with it: a limit that rests on the car alone ends there, and would name
    it as surely as its own number. Firsts and lasts of what was built are figures of production and stay.
    """
    if not guide.mask_seen_statements:
        return {}
    seen = list(of_seen(guide))
    hidden = {car.written for car in seen}
    ends = set[str]()
    for car in seen:
        line = lines.get(car.series)
        position = line.position(car) if line else None
        if line is not None and position is not None:
            hidden |= {line.car_at(position + step).written for step in (-1, 1)}
            ends |= {line.car_at(row[3] + at).written for row in line.runs for at in (0, row[2] - row[1])}
    kept = {car.written for car in of_papers(guide)} | (ends - {car.written for car in seen})
    return {number: shortened(number) for number in sorted(hidden - kept)}
