"""What an interior's page says of when it was to be had."""

from __future__ import annotations

from dataclasses import replace

import pytest

from guide.facts.types import Scope, When, WhenKind
from guide.pages.kinds.interior import PAGE
from guide.pages.kinds.key import key_data
from guide.pages.shelf import Address, Shelf
from tests.limits.sketch import HERE
from tests.told import all_told

START, END = When(WhenKind.START, "start", HERE), When(WhenKind.END, "end", HERE)


@pytest.mark.parametrize(
    ("first", "last", "says"),
    [
        (START, END, "Throughout"),
        (replace(START, of="open"), END, "From the first open car"),
        (START, replace(END, of="early"), "To the end of the period “Early” (December 1968)"),
    ],
    ids=("of production", "of a series", "of a period"),
)
def test_only_the_ends_of_production_go_without_saying(shelf: Shelf, first: When, last: When, says: str) -> None:
    interior = next(iter(shelf.guide.interiors.values()))
    span = replace(interior.spans[0], scope=Scope(), first=first, last=last)
    guide = replace(shelf.guide, interiors={**shelf.guide.interiors, interior.id: replace(interior, spans=(span,))})
    context = PAGE.context(replace(shelf, guide=guide), Address("interior", interior.id, "", ""))
    assert [one["says"] for one in all_told(context["spans"])] == [says]


def test_each_trim_leads_to_its_own_page(shelf: Shelf) -> None:
    links = key_data(shelf)["links"]
    own = links["forms"]["interior"]
    assert list(own) == list(shelf.guide.interiors)
    assert all(path == shelf.places["interior", one].path for one, path in own.items())
    assert links["marks"]["interior"] not in own.values()
    assert key_data(shelf, alone=True)["links"]["forms"] == {"interior": {}}
