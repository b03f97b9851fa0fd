"""A period: what was built in it, how such a car is known, and everything such a car had."""

from __future__ import annotations

from typing import Any

from guide.dating.key import Cars
from guide.facts.types import Period
from guide.pages.kinds.tell_apart import pairs_with
from guide.pages.parts.expected import ExpectedMark, expected_of, most_telling
from guide.pages.shelf import Context, Shelf, one_page, page_each

__all__ = ["INDEX", "PAGE"]

DRAWN = 6  # marks drawn at the head of the page
LEAST_SHARE = 0.001


def _context(shelf: Shelf, period: Period) -> Context:
    cars = Cars(period=period.id)
    looks = expected_of(shelf, cars)
    others = [Cars(period=other.id) for other in _neighbours(shelf, period)]
    telling = most_telling(shelf, cars, others)[:DRAWN]
    by_mark = {look.mark.id: look for look in looks}
    return {
        "period": period,
        "when": shelf.words.day_range(period.first, period.last),
        "numbers": _numbers(shelf, period),
        "telling": [by_mark[mark] for mark in by_mark if mark in telling],
        "by_area": _by_area(shelf, looks),
        "interiors": _interiors(shelf, period),
        "pairs": pairs_with(shelf, period),
    }


def _neighbours(shelf: Shelf, period: Period) -> list[Period]:
    """Return the periods just before and just after one."""
    periods = list(shelf.guide.periods.values())
    at = periods.index(period)
    return periods[max(0, at - 1) : at] + periods[at + 1 : at + 2]


def _numbers(shelf: Shelf, period: Period) -> list[str]:
    """Return the period's numbers by series, stated or else by the calendar."""
    said = []
    for series in shelf.guide.ordered_series.values():
        if series.id in period.numbers:
            first, last = period.numbers[series.id]
            cars = (shelf.lines[series.id].position(last) or 0) - (shelf.lines[series.id].position(first) or 0)
            said.append(
                shelf.say(
                    "pages.period.numbers",
                    series=series.name,
                    first=first.written,
                    last=last.written,
                    cars=shelf.words.number(cars + 1),
                )
            )
    return said


def _by_area(shelf: Shelf, looks: list[ExpectedMark]) -> list[dict[str, Any]]:
    return [
        {"area": area, "looks": [look for look in looks if look.mark.area == area.id]}
        for area in shelf.guide.areas.values()
        if any(look.mark.area == area.id for look in looks)
    ]


def _interiors(shelf: Shelf, period: Period) -> list[dict[str, Any]]:
    found = []
    for interior in shelf.guide.interiors.values():
        share = shelf.key.share_of(Cars(period=period.id, interior=interior.id), Cars(period=period.id))
        if share > LEAST_SHARE:
            found.append({"interior": interior, "share": shelf.words.in_ten(share)})
    return found


def _index_context(shelf: Shelf) -> Context:
    rows = []
    for period in shelf.guide.periods.values():
        cars = Cars(period=period.id)
        others = [Cars(period=other.id) for other in _neighbours(shelf, period)]
        telling = most_telling(shelf, cars, others)[:1]
        look = next((look for look in expected_of(shelf, cars) if look.mark.id in telling), None)
        rows.append(
            {
                "period": period,
                "when": shelf.words.day_range(period.first, period.last),
                "look": look,
                "numbers": _numbers(shelf, period),
            }
        )
    return {"rows": rows}


PAGE = page_each("period", lambda guide: guide.periods, _context)
INDEX = one_page("periods", "pages.periods.title", _index_context)
