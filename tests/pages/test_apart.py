"""Where the pages that tell two apart are to be found without a search."""

from __future__ import annotations

import pathlib
from itertools import combinations
from typing import Any

import pytest

from guide.pages.kinds import tell_apart, tell_forms_apart


@pytest.mark.parametrize("kind", ["period", "interior"])
def test_every_period_and_interior_leads_to_the_page_that_tells_it_from_each_other(
    shelf: Any, built_guide: pathlib.Path, kind: str
) -> None:
    things = getattr(shelf.guide, f"{kind}s")
    for pair in combinations(things, 2):
        link = f'href="../{shelf.places["apart", "/".join(pair)].path}"'
        for one in pair:
            assert link in (built_guide / shelf.places[kind, one].path).read_text("utf-8")


def test_every_part_leads_to_the_pages_that_tell_its_forms_apart(shelf: Any, built_guide: pathlib.Path) -> None:
    pairs = [identity for kind, identity in shelf.places if kind == "forms"]
    assert len(pairs) > 40
    for identity in pairs:
        page = (built_guide / shelf.places["mark", identity.split("/")[0]].path).read_text("utf-8")
        assert f'href="../{shelf.places["forms", identity].path}"' in page


@pytest.mark.parametrize("kind", [tell_apart, tell_forms_apart], ids=["two things", "two forms"])
def test_no_row_draws_one_form_twice(shelf: Any, kind: Any) -> None:
    drawn = [row for one in kind.PAGE.addresses(shelf) for row in kind.PAGE.context(shelf, one)["drawn"]]
    assert len(drawn) > 40
    assert [row.name for row in drawn if row.one[0].answer == row.other[0].answer] == []
