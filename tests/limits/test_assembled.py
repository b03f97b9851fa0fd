"""Cars put together long after, or before, their number was given out: what their numbers then say of days."""

from __future__ import annotations

from typing import Any

from guide.facts.types import Assembly, Scope
from guide.limits.derive import derive_limits
from tests.limits import sketch
from tests.limits.sketch import HERE, car, of, on, say
from tests.limits.test_held import against, seen
from tests.limits.test_limits_of_small_guides import days, guide_of, spell, works

SOUTH = Scope((("market", ("south",)),))
SUFFIXED = works(0, suffixes={"K": SOUTH})
MARKETS = {"market": sketch.split("market", {"home": {}, "south": {}})}


def kits(least: int = 90, most: int = 275) -> dict[str, Any]:
    one = Assembly(scope=SOUTH, plant="", span="3 to 9 months", least_days=least, most_days=most, place=HERE)
    return {"assembled": (one,), "splits": MARKETS, "line": SUFFIXED}


def test_a_kit_seen_with_a_form_was_built_so_long_after_its_number() -> None:
    """C1550 is of June 1960, so the kit was put together from 30 August 1960 to 1 April 1961."""
    result = derive_limits(guide_of([say("seen", of(car(1550, suffix="K")), form="b")], **kits()))
    assert days(spell(result, "b").first) == ("1960-01-01", "1961-04-01")
    assert days(spell(result, "b").last) == ("1960-08-30", "1961-12-31")
    home = derive_limits(guide_of([say("seen", of(car(1550)), form="b", scope=HOME)], **kits()))
    assert days(spell(home, "b").last) == ("1960-06-01", "1961-12-31")


HOME = Scope((("market", ("home",)),))


def test_a_first_by_the_number_of_a_kit_is_as_wide_as_its_assembly() -> None:
    result = derive_limits(guide_of([say("first", of(car(1550, suffix="K")), form="b", scope=SOUTH)], **kits()))
    south = next(one for one in result.spells if one.form == "b" and one.scope == SOUTH)
    assert days(south.first) == ("1960-08-30", "1961-04-01")
    assert [str(step.says.id) for step in south.first.because_latest][:2] == ["limits.first", "limits.assembled-after"]
    before = derive_limits(guide_of([say("first", of(car(1550, suffix="K")), form="b", scope=SOUTH)], **kits(-60, -10)))
    south = next(one for one in before.spells if one.form == "b" and one.scope == SOUTH)
    assert days(south.first) == ("1960-04-02", "1960-06-20")


def test_the_number_of_a_kit_contradicts_nothing_and_its_days_are_later() -> None:
    said, more = [say("last", of(car(1550)))], kits()
    assert against(said, seen(1600, suffix="K"), seen(1551, splits={"market": "home"}), **more) == [
        (0, "number", [("car-1551", 1)])
    ]
    # of July 1960 by its number, so from 29 September on: 60 days beyond the last of July
    assert against([say("last", on("1960-07"))], seen(1650, suffix="K"), **more) == [(0, "day", [("car-1650", 60)])]
    mixed = derive_limits(guide_of([*said, say("seen", of(car(1600, suffix="K")))], **more))
    assert [one.standing for one in mixed.clashes] != ["mixed"]


def test_a_kit_of_the_last_number_is_put_together_after_the_last_number_was_given_out() -> None:
    """Production goes on abroad till the end of 1961; the home works' last number was of June."""
    result = derive_limits(guide_of([say("first", on("1961-10"), form="b", scope=SOUTH)], **kits()))
    assert result.findings == ()
    south = next(one for one in result.spells if one.form == "b" and one.scope == SOUTH)
    assert days(south.first) == ("1961-10-01", "1961-10-31")
