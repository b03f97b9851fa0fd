"""What an interior's page says of when it was to be had."""

from __future__ import annotations

from dataclasses import replace

import pytest

from guide.facts.types import Scope, When, WhenKind
from guide.pages.kinds.interior import PAGE
from guide.pages.shelf import Address, Shelf
from tests.limits.sketch import HERE
from tests.told import all_told

START, END = When(WhenKind.START, "start", HERE), When(WhenKind.END, "end", HERE)


@pytest.mark.parametrize(
    ("first", "last", "says"),
    [
        (START, END, "Throughout"),
        (replace(START, of="open"), END, "From the first open car"),
        (START, replace(END, of="early"), "To the end of the period “Early”"),
    ],
    ids=("of production", "of a series", "of a period"),
)
def test_only_the_ends_of_production_go_without_saying(shelf: Shelf, first: When, last: When, says: str) -> None:
    interior = next(iter(shelf.guide.interiors.values()))
    span = replace(interior.spans[0], scope=Scope(), first=first, last=last)
    guide = replace(shelf.guide, interiors={**shelf.guide.interiors, interior.id: replace(interior, spans=(span,))})
    context = PAGE.context(replace(shelf, guide=guide), Address("interior", interior.id, "", ""))
    assert [one["says"] for one in all_told(context["spans"])] == [says]
