"""A period: what was built in it, how such a car is known, and everything such a car had."""

from __future__ import annotations

from typing import Any

from guide.dating.key import Cars
from guide.facts.types import CarModel, Period
from guide.pages.parts.expected import ExpectedMark, by_area, expected_of, most_telling, trim_share_said
from guide.pages.parts.models import beside, car_models
from guide.pages.parts.pairs import pairs_with
from guide.pages.shelf import Context, Shelf, one_page, page_each
from guide.sentence import Sentence, day_range, number, sentence, upper_first

__all__ = ["INDEX", "PAGE"]

DRAWN = 6  # marks drawn at the head of the page


def _context(shelf: Shelf, period: Period) -> Context:
    looks = expected_of(shelf, Cars(period=period.id))
    trims = [(interior, trim_share_said(shelf, period, interior)) for interior in shelf.guide.interiors.values()]
    return {
        **_dated(shelf, period),
        "telling": _telling(shelf, period, looks, DRAWN),
        "by_area": by_area(shelf.guide, {look.mark.id: look for look in looks}),
        "interiors": [(interior, share) for interior, share in trims if share],
        "pairs": pairs_with(shelf, period),
    }


def _dated(shelf: Shelf, period: Period) -> dict[str, Any]:
    """Return a period with its days and its numbers."""
    when = shelf.words.day_range(period.first, period.last)
    return {"period": period, "when": when, "numbers": _numbers(shelf, period)}


def _telling(shelf: Shelf, period: Period, looks: list[ExpectedMark], most: int) -> list[ExpectedMark]:
    """Return the marks that tell a period best from those just before and just after it, in walking order."""
    periods = tuple(one.id for one in beside(shelf, period))
    at = periods.index(period.id)
    telling = most_telling(shelf, Cars(period=period.id), periods[max(0, at - 1) : at + 2])[:most]
    return [look for look in looks if look.mark.id in telling]


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


def _index_context(shelf: Shelf) -> Context:
    models = car_models(shelf)
    groups = [
        {
            "model": {"name": upper_first(model.name), "built": _built(model)} if len(models) > 1 else {},
            "rows": [_row(shelf, period) for period in model.periods],
        }
        for model in models
    ]
    return {"groups": groups, "periods": len(shelf.guide.periods)}


def _row(shelf: Shelf, period: Period) -> dict[str, Any]:
    telling = _telling(shelf, period, expected_of(shelf, Cars(period=period.id)), 1)
    return {**_dated(shelf, period), "look": next(iter(telling), None)}


def _built(model: CarModel) -> Sentence:
    """Return when a model was built, and how many of it."""
    made, when = model.production.made, day_range(model.production.first, model.production.last)
    if made is None:
        return sentence("pages.periods.built", when=when)
    return sentence("pages.periods.built_cars", when=when, n=made, cars=number(made))


PAGE = page_each("period", lambda guide: guide.periods, _context)
INDEX = one_page("periods", "pages.periods.title", _index_context)
