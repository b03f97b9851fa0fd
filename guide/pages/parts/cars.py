"""From a chassis number to its days, and from those to the forms it may have: tables for pages, and their twins.

The tables hold what `guide.limits` worked out, flattened: for each series the days of its positions, in runs of
the same days; for each mark which form was fitted from when to when, on which cars. The twin is cars.js; both
are held against each other for every car in tests/pages/test_cars.py.
"""

from __future__ import annotations

from typing import Any

from guide.facts.types import Mark
from guide.facts.when.numbers import number_table
from guide.limits.courses import courses_of, days_of
from guide.pages.parts.page_data import script_of
from guide.pages.shelf import Shelf

__all__ = ["car_table", "data_files", "form_rows"]


def data_files(shelf: Shelf) -> dict[str, bytes]:
    """Return the table of all cars as a script."""
    return {"data/cars.js": script_of("carTable", car_table(shelf))}


def car_table(shelf: Shelf) -> dict[str, Any]:
    """Return ``{numbers, series}``: how numbers are read, and the days of each position.

    ``days`` are runs ``[position, first day, last day]``, each holding until the next; ``strays`` are cars with
    days of their own; ``suffixes`` say what a number's ending settles.
    """
    series = {}
    for identity, line in shelf.lines.items():
        runs: list[list[Any]] = []
        for position in range(line.cars):
            low, high = line.reach_of(position)
            days = [line.earliest_day(low).isoformat(), line.latest_day(high).isoformat()]
            if not runs or runs[-1][1:] != days:
                runs.append([position, *days])
        one = shelf.guide.series[identity]
        series[identity] = {
            "name": one.name,
            "days": runs,
            "strays": {
                str(position): [first.isoformat(), last.isoformat()]
                for position, (first, last) in sorted(line.own_days.items())
            },
            "suffixes": {suffix: scope.as_dict() for suffix, scope in one.suffixes.items()},
        }
    periods = [
        {"id": period.id, "name": period.name, "from": period.first.isoformat(), "to": period.last.isoformat()}
        for period in shelf.guide.periods.values()
    ]
    return {"numbers": number_table(shelf.guide.ordered_series), "series": series, "periods": periods}


def form_rows(shelf: Shelf, mark: Mark) -> list[dict[str, Any]]:
    """Return which form the works fitted from when to when: ``{form, scope, from, to, numbers}``, days as ISO text.

    A last that no statement closes is taken as the end of the next form's first, as the band draws it. ``numbers``
    are, by series, the first and last position that papers name, None for a side on which they name none.
    """
    rows = []
    for course in courses_of(shelf.limits, mark):
        for at, spell in enumerate(course.spells):
            first, last = days_of(shelf.limits, spell.first), days_of(shelf.limits, spell.last)
            end = last[1]
            if at + 1 < len(course.spells) and not spell.last_is_stated:
                end = max(last[0], min(end, days_of(shelf.limits, course.spells[at + 1].first)[1]))
            stated = {
                series: [
                    known.first.low if known.first.says != "" else None,
                    known.last.high if known.last.says != "" else None,
                ]
                for series, known in spell.numbers.items()
            }
            rows += [
                {
                    "form": spell.form,
                    "scope": scope.as_dict(),
                    "from": first[0].isoformat(),
                    "to": end.isoformat(),
                    "numbers": {series: ends for series, ends in stated.items() if ends != [None, None]},
                }
                for scope in (course.scope, *course.also)
            ]
    return rows
