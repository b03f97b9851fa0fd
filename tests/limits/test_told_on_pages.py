"""What limits come to on the pages: every edge with its reasons, what would help, both sides of a clash, rulings."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import pytest

from guide.facts.types import Guide, Scope, Statement, StatementKind
from guide.limits.derive import derive_limits
from guide.limits.positions import series_lines
from guide.limits.types import LimitsResult, Standing
from guide.pages.kinds.mark import PAGE
from guide.pages.kinds.sources import PAGE as SOURCES
from guide.pages.parts.changes import Notes, changes_explained
from guide.pages.shelf import Address, Shelf
from tests.pages.shelves import shelf_of
from tests.told import all_told

JARGON = re.compile(r"\b(nodes?|ticks?|chains?|potential|constraints?|network|cycles?|edges?|spells?)\b", re.IGNORECASE)


@pytest.fixture(scope="module")
def shelf(guide: Guide, limits: LimitsResult, model: Any) -> Shelf:
    made: Shelf = shelf_of(guide, limits, model, None)
    return made


def page_of(shelf: Shelf, mark: str) -> dict[str, Any]:
    return dict(all_told(PAGE.context(shelf, Address("mark", mark, f"marks/{mark}.html", mark))))


def test_every_edge_that_statements_move_is_answered_with_because_and_a_source_and_no_jargon(shelf: Shelf) -> None:
    told = 0
    for mark in shelf.guide.marks.values():
        for change in changes_explained(shelf, mark, Notes(shelf)):
            for edge in change["edges"]:
                said = " ".join(text for _, text, _ in edge["because"])
                assert said.strip(), change
                assert edge["not_before"] or edge["not_after"]
                assert not JARGON.search(said), said
                told += 1
    assert told >= 80


def test_every_mark_with_something_left_to_find_out_says_what_would_settle_it(shelf: Shelf) -> None:
    for mark in shelf.guide.marks:
        assert bool(page_of(shelf, mark)["helpful"]) == (mark in shelf.limits.helpful)
    assert page_of(shelf, "tail-lamps")["helpful"].startswith("Any untouched car from C")


def test_a_ruling_stays_on_the_pages_with_its_why_and_its_day(shelf: Shelf) -> None:
    rulings = [ruling for mark in shelf.guide.marks.values() for ruling in mark.rulings]
    told = [clash for mark in shelf.guide.marks for clash in page_of(shelf, mark)["clashes"]]
    assert [clash["ruling"] for clash in told] == rulings
    listed = all_told(SOURCES.context(shelf, Address("sources", "", "sources.html", "Sources")))["rulings"]
    assert [(one["id"], one["why"], one["on"]) for one in listed] == [
        (clash["ruling_id"], clash["ruling"].why, shelf.words.day(clash["ruling"].on)) for clash in told
    ]


def unruled_page(guide: Guide, model: Any, mark: str, *more: Statement) -> dict[str, Any]:
    """A mark's page in a guide without rulings, with statements added to that mark."""
    marks = {one.id: replace(one, rulings=()) for one in guide.marks.values()}
    marks[mark] = replace(marks[mark], statements=(*marks[mark].statements, *more))
    made = replace(guide, marks=marks)
    return page_of(shelf_of(made, derive_limits(made), model, None), mark)


def test_without_a_ruling_both_sides_stand_on_the_page_and_nobody_is_called_wrong(guide: Guide, model: Any) -> None:
    (clash,) = unruled_page(guide, model, "switches")["clashes"]
    assert clash["ruling"] is None
    assert clash["says"].endswith("That is five months short of what the rest allow.")
    assert len(clash["chain"]) == 4
    assert clash["unruled"] == "Nobody has ruled on this yet; it is set aside for now."


def test_a_mix_by_number_says_so_on_the_page_and_sets_nothing_aside(guide: Guide, model: Any) -> None:
    line = series_lines(guide)["coupe"]
    last = next(
        one
        for one in guide.marks["outside-mirror"].statements
        if one.kind is StatementKind.LAST and one.when is not None and one.when.text == "C2046"
    )
    assert last.when is not None
    assert last.when.car is not None
    next_but_one = line.car_at((line.position(last.when.car) or 0) + 2)
    seen = replace(
        last,
        kind=StatementKind.SEEN,
        source="register-1994",
        page="",
        when=replace(last.when, text=next_but_one.written, car=next_but_one),
    )
    page = unruled_page(guide, model, "outside-mirror", seen)
    assert [row["standing"] for row in page["statements"] if row["standing"] not in ("", "Stands")] == [
        "Stands by date, disputed by number"
    ]
    (clash,) = page["clashes"]
    assert clash["says"].endswith("By date that can be true beside the rest, by number it cannot.")
    assert clash["unruled"].startswith("Nobody has ruled on this yet. Nothing is set aside for it")


def test_a_statement_used_for_no_car_is_not_said_to_stand(guide: Guide, model: Any) -> None:
    """C1850 says nothing of its hand, and the mirrors are told by hand."""
    mark = guide.marks["outside-mirror"]
    place = mark.place._replace(line=900)
    seen = next(one for one in mark.statements if one.kind is StatementKind.SEEN and one.form == "wing")
    assert seen.when is not None
    assert seen.when.car is not None
    car = replace(seen.when.car, number=1850, suffix="", written="C1850", text="C1850")
    more = replace(seen, when=replace(seen.when, car=car, text="C1850"), scope=Scope(), place=place)
    rows = unruled_page(guide, model, "outside-mirror", more)["statements"]
    assert [row["standing"] for row in rows if row["claim"].startswith("Seen on C1850")] == [
        "Not used: it may be any of several kinds of car"
    ]


@pytest.mark.parametrize(
    ("disputed", "standing", "says"),
    [
        (
            Standing.MIXED,
            "Stands by date, disputed by number",
            "By date that can be true beside the rest, by number it cannot.",
        ),
        (Standing.MIXED_NUMBER_ONLY, "Stands, disputed by number", "By number that cannot be true beside the rest."),
    ],
)
def test_a_mix_by_number_is_said_to_fit_by_date_only_where_that_was_tried(
    shelf: Shelf, disputed: Standing, standing: str, says: str
) -> None:
    mark = shelf.guide.marks["window-winder"]
    at = next(at for at, one in enumerate(mark.statements) if one.kind is StatementKind.LAST)
    clash = replace(shelf.limits.clashes[0], mark=mark.id, set_aside=at, standing=disputed, ruled=None)
    page = page_of(replace(shelf, limits=replace(shelf.limits, clashes=(clash,))), mark.id)
    assert [row["standing"] for row in page["statements"] if "disputed" in row["standing"]] == [standing]
    (told,) = page["clashes"]
    assert told["says"].endswith(says)
    assert ("by date" in told["unruled"]) is (disputed is Standing.MIXED)
