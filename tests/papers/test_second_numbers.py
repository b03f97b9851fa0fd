"""Chassis, body and engine numbers on one car: what is asked, what each says, and what the pages say of them."""

from __future__ import annotations

from typing import Any

import pytest

from guide.command.ask import read_session
from guide.command.calls import CallIsOff
from guide.dating.belief.evidence import Answer, Session
from guide.dating.model import Model
from tests.dating.asking import conclude
from tests.papers.laid import Laid
from tests.told import told
from tests.twins.alike import compare

LAID = "second-numbers"


@pytest.fixture(scope="module")
def model(laid: Laid) -> Model:
    assert laid.worked.key is not None
    return laid.worked.key.model


def nine(result: dict[str, Any]) -> tuple[str, str]:
    spans = [one for one in result["result"]["spans"] if one["level"] == 0.9]
    return spans[0]["from"], spans[-1]["to"]


def test_nothing_is_found_wrong_but_what_is_to_be_seen(laid: Laid) -> None:
    """A stray without a date contradicts nothing: B0700 has the lever, which went out before B0650."""
    assert laid.findings == ""


def test_the_mark_says_which_number_it_follows(laid: Laid) -> None:
    words = laid.words_of("marks/door-handle.html")
    assert "“Knob” after “Lever” follows the body number: of the cars looked at, 0 of 4 stand out of place" in words
    assert "No source says when" not in words
    assert "Any untouched car from" not in words, "a chassis number settles nothing that is told by bodies"
    assert "The first car with “Knob” was body B0650" in words


def test_how_we_know_tells_of_every_kind(laid: Laid) -> None:
    words = laid.words_of("how-we-know.html")
    assert "Body number" in words
    assert "Engine number" in words


def test_a_body_number_alone_dates_a_car_by_its_own_order(model: Model) -> None:
    """Bodies B0001 to B1250 and no calendar: B0626 is of the middle of the build, loosely."""
    first, last = nine(conclude(model, Session(car="B0626")))
    assert first < "1962-01-01" < last
    assert (first, last) > ("1960-03-01", "1963-10-31")
    early, _ = nine(conclude(model, Session(car="B0100")))
    assert early < first


def test_both_numbers_together_are_held_each_on_its_own_line(model: Model) -> None:
    chassis, body = (nine(conclude(model, Session(car=car))) for car in ("S0600", "B0640"))
    both = conclude(model, Session(car="S600+B0640"))
    assert both["car"] == "S600"
    assert chassis != body
    assert min(chassis[0], body[0]) <= nine(both)[0] <= nine(both)[1] <= max(chassis[1], body[1])
    assert conclude(model, Session(car="B0640+S600"))["result"] == both["result"]


def test_a_number_that_gives_no_order_says_nothing_of_the_time(model: Model) -> None:
    assert conclude(model, Session(car="S600+101E"))["result"] == conclude(model, Session(car="S600"))["result"]
    alone, none = (conclude(model, Session(car=car))["periods"] for car in ("101E", None))
    assert [one["chance"] for one in alone] == pytest.approx([one["chance"] for one in none], abs=1e-12)


def test_both_languages_agree(model: Model, node: str) -> None:
    cars = ("S600", "B0640", "S600+B0640", "B0640+101E+S600", "101E", "B0700", "B9999", "Q1+B0640")
    look = Answer("door-handle", ("knob",))
    asked = [Session(answers, car) for car in cars for answers in ((), (look,))]
    assert compare(node, model, asked) == []


def test_each_kind_of_number_may_be_given_once(model: Model) -> None:
    for given in (["S600", "B0640"], "S600+B0640"):
        assert read_session(model, {"car": given}).car == "S600+B0640"
    with pytest.raises(CallIsOff) as off:
        read_session(model, {"car": ["B0640", "S600", "B0650"]})
    assert told(off.value.says) == (
        "A car has one body number, and B0640 and B0650 were given. Ask of one car at a time."
    )
