"""Part numbers with what superseded what, what is stamped on parts, and what of each form can be had."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from guide.facts.part_numbers import FormNumber
from guide.facts.text.folded import compact
from guide.limits.wording import when_said
from guide.pages.parts.naming import name_order, source_id
from guide.pages.parts.to_be_had import had_of, number_before, numbers_in
from guide.pages.parts.wording import citation_said
from guide.pages.shelf import Context, Shelf, one_page

__all__ = ["PAGE"]


def _context(shelf: Shelf) -> Context:
    marks = shelf.guide.marks.values()
    stamped = [(said, mark, form) for mark in marks for form in mark.forms.values() for said in form.stamped]
    had = [(mark, [(form, had_of(shelf.guide, form)) for form in mark.forms.values() if form.supply]) for mark in marks]
    numbers = sorted(numbers_in(shelf).items(), key=lambda row: name_order(row[1][0].number.number))
    return {
        "numbers": [_row(shelf, given) for _, given in numbers],
        "stamped": sorted(stamped, key=lambda row: name_order(row[0])),
        "supply": [(mark, forms) for mark, forms in had if forms],
    }


def _row(shelf: Shelf, given: Sequence[FormNumber]) -> dict[str, Any]:
    """Return one number: the forms that have it, what took its place and whose it took, and whose word that is."""
    first = given[0].number.number
    after = next((one.number for one in given if one.number.superseded_by), None)
    source = shelf.guide.sources.get(after.source) if after else None
    return {
        "number": first,
        "id": _anchor(first),
        "forms": [(one.mark, one.form) for one in given],
        "after": _led_to(shelf, after.superseded_by) if after else None,
        "since": when_said(shelf.guide, after.since) if after and after.since else "",
        "before": [_led_to(shelf, one) for one in number_before(shelf, first)],
        "source": (source_id(source.id), citation_said(source, after.page)) if after and source else None,
    }


def _led_to(shelf: Shelf, number: str) -> tuple[str, str]:
    """Return a number as it is written and where it stands on the page; "" for one that no form has."""
    return number, _anchor(number) if compact(number) in numbers_in(shelf) else ""


def _anchor(number: str) -> str:
    return f"number-{compact(number)}"


PAGE = one_page(
    "part-numbers",
    "pages.numbers.title",
    _context,
    there=lambda shelf: any(
        form.part_numbers or form.stamped or form.supply
        for mark in shelf.guide.marks.values()
        for form in mark.forms.values()
    ),
)
