"""The buyer's sheet: what a car should have, in Python for the ready ones and in the browser for one's own."""

from __future__ import annotations

import json
from typing import Any

import pytest

from guide.dating.model import dump_model
from guide.limits.changeovers import turns_of
from guide.pages.kinds.sheet import PAGE
from guide.pages.kinds.sheets import data_files
from guide.pages.parts.sheet_parts import BOTH, DRAWN, LINE_LETTERS, LINES, first_sentences
from tests.pages.scripts import evaluate

SCRIPT = "buying"
PLAN = """(() => {
  const prepared = guide.dating.prepare(given.model, given.data.words);
  const sessions = given.asked.map((asked) => guide.buying.sessionFor(given.model, given.data, asked));
  return sessions.map((session) => guide.buying.plan(given.data, prepared, session));
})()"""


def contexts(shelf: Any) -> dict[str, Any]:
    return {address.id: PAGE.context(shelf, address) for address in PAGE.addresses(shelf)}


def entries(context: Any) -> list[Any]:
    return [entry for place in context["places"] for entry in place["entries"]]


def test_there_is_a_sheet_for_each_period_and_each_interior_built_in_it(shelf: Any) -> None:
    ids = [address.id for address in PAGE.addresses(shelf)]
    assert [one for one in ids if "/" not in one] == list(shelf.guide.periods)
    assert "middle/herringbone" in ids
    assert "launch/herringbone" not in ids
    assert "last/red-vinyl" not in ids
    assert "launch/tan-cloth" not in ids


def test_as_many_marks_as_a_side_holds_are_drawn_both_forms_where_two_are_named_and_the_others_have_a_line(
    shelf: Any,
) -> None:
    for identity, context in contexts(shelf).items():
        drawn, lined = [entry.mark.id for entry in entries(context)], [entry.mark.id for entry in context["lines"]]
        room = sum(BOTH if len(entry.forms) > 1 else 1 for entry in entries(context))
        assert DRAWN - BOTH < room <= DRAWN, identity
        assert not set(drawn) & set(lined)
        assert len(drawn) + len(lined) >= 30
        assert context["findings"] == []
        for entry in entries(context):
            assert -(-len(entry.says) // LINE_LETTERS) <= LINES
    middle = {entry.mark.id: [form.id for form in entry.forms] for entry in entries(contexts(shelf)["middle"])}
    assert middle["tail-lamps"] == ["round", "oblong"], "the older first, as it is said"
    assert middle["horn-push"] == ["crest", "padded"], "of which each market had its own"


def test_what_a_car_should_have_is_what_the_demo_says(shelf: Any) -> None:
    made = contexts(shelf)

    def says(sheet: str, mark: str) -> str:
        found = [entry for entry in (*entries(made[sheet]), *made[sheet]["lines"]) if entry.mark.id == mark]
        return str(found[0].says)

    assert says("launch", "switches") == "Round metal toggles."
    assert says("early", "switches").startswith("Toggles to about May 1968, then rockers")
    assert says("last", "switches") == "Black rockers with small white signs."
    assert says("restart/black-leather", "dash-facing") == "Wood veneer."
    assert says("middle/red-vinyl", "seat-facing") == "Seven wide flutes."


def test_a_sheet_of_a_period_names_the_trims_of_its_time_and_one_of_a_trim_does_not(shelf: Any) -> None:
    made = contexts(shelf)
    trims = "Black vinyl or black leather; black cloth (coupé only); tan vinyl (open car only); tan cloth (coupé only)."
    assert made["last"]["trim"] == ("Trim", trims)
    assert "red" not in made["restart"]["trim"][1]
    assert made["last/black-cloth"]["trim"] is None


def test_a_changeover_is_dated_only_where_it_was_one_on_every_car(shelf: Any) -> None:
    assert ("wing", "door-bright") not in turns_of(shelf.limits, shelf.guide.marks["outside-mirror"])
    assert ("crackle", "moulded") in turns_of(shelf.limits, shelf.guide.marks["dash-facing"])
    bag = turns_of(shelf.limits, shelf.guide.marks["washer-bottle"])
    assert ("bag", "bottle") not in bag, "a form that returns has no one date"


@pytest.fixture(scope="module")
def plans(shelf: Any, node: str) -> list[Any]:
    data = json.loads(data_files(shelf)["data/sheets.js"].decode().split("=", 2)[2].rstrip(";\n"))
    asked = [
        {"car": "C1840"},
        {"car": "C3800", "body": "coupe"},
        {"car": "D834", "body": "open"},
        {"year": "1970"},
        {"colour": "tan", "year": "1968"},
        {"body": "open", "colour": "red"},
        {"body": "open", "colour": "grey", "year": "1969"},
    ]
    given = {"model": json.loads(dump_model(shelf.key.model)), "data": data, "asked": asked}
    return list(evaluate(node, SCRIPT, PLAN, given))


def every(plan: Any) -> dict[str, Any]:
    return {one["id"]: one for one in [*(e for place in plan["places"] for e in place["entries"]), *plan["lines"]]}


def test_a_sheet_by_number_says_what_such_a_car_should_have(plans: list[Any]) -> None:
    early, late, open_car = every(plans[0]), every(plans[1]), every(plans[2])
    assert early["switches"]["says"].startswith("Toggles")
    assert late["switches"]["says"] == "Black rockers with small white signs."
    assert late["demister-vents"]["says"] == "Four vents."
    assert open_car["tail-lamps"]["says"] == "Two round lamps, one above the other."
    assert "soft-top-window" not in late
    assert "luggage-strap" not in open_car
    for plan in plans:
        drawn = [entry["pictures"] for place in plan["places"] for entry in place["entries"]]
        assert DRAWN - BOTH < sum(BOTH if len(one) > 1 else 1 for one in drawn) <= DRAWN


def test_a_sheet_by_number_says_that_nothing_was_looked_at(plans: list[Any]) -> None:
    told = [plan["dated"]["basis"] for plan in plans]
    assert told[0] == "From the number alone: nothing has been looked at."
    assert "From the number" not in str(told[1:]), "a body that is told is something that was seen"


def test_a_sheet_says_which_trims_such_a_car_may_have_whatever_the_advert_says(plans: list[Any]) -> None:
    trims = [every(plan)["interior"]["says"] for plan in plans]
    assert trims[0] == "Black vinyl, tan vinyl, red vinyl or black leather."
    assert "red" not in trims[1].lower()
    assert set(trims[4].rstrip(".").lower().split(" or ")) == {"tan vinyl", "tan leather"}
    assert trims[5] == "Red vinyl."
    assert trims[6].startswith("Black vinyl, tan vinyl, red vinyl"), "no open car had grey"
    assert "grey" not in trims[6]


def test_nobody_is_warned_of_a_form_that_the_car_may_well_have(plans: list[Any], shelf: Any) -> None:
    """By May 1968 the wood rim was to be had, and the rockers with signs came years later. What is said of C1840 is
    said of its period."""
    own = every(plans[0])
    sheet = contexts(shelf)["early"]
    ready = {entry.mark.id: entry for entry in (*entries(sheet), *sheet["lines"])}
    told = {
        "steering-wheel": ("Thin rim or wood rim.", "Often changed."),
        "switches": ("Toggles to about May 1968, then rockers.", "Found instead: rockers with signs."),
        "dash-facing": ("Crackle finish (vinyl trim); veneer (leather trim).", ""),
    }
    assert {mark: (own[mark]["says"], own[mark]["hint"]) for mark in told} == told
    assert {mark: (ready[mark].says, ready[mark].hint) for mark in told} == told


def test_a_sheet_by_advert_leaves_open_what_the_advert_leaves_open(plans: list[Any]) -> None:
    year, red = every(plans[3]), every(plans[5])
    assert "then" in year["demister-vents"]["says"] or "or" in year["demister-vents"]["says"]
    assert red["seat-facing"]["says"] == "Seven wide flutes.", "red ended with the wide flutes"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("Lay a finger across it. The copy rocks.", "Lay a finger across it. The copy rocks."),
        ("First. " + "x" * 120 + ".", "First."),
        ("x" * 120 + ". Then.", ""),
        ("*Bright* at the rim", "Bright at the rim"),
    ],
)
def test_how_a_copy_is_told_is_cut_after_a_sentence(text: str, told: str) -> None:
    assert first_sentences(text) == told
