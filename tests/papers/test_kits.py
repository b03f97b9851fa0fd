"""A car whose number was given out months before it was built: number and despatch date the kit, looks the car."""

from __future__ import annotations

import dataclasses
from datetime import date
from typing import Any

import pytest

from guide.dating.belief.evidence import Answer, Session
from guide.dating.belief.prepare import prepare
from guide.dating.belief.state import believe
from guide.dating.model import Model, ModelYears
from tests.dating.asking import conclude
from tests.papers.laid import Laid
from tests.twins.alike import compare

JULY = ("1962-07-01", "1962-07-31")
LOOKS = tuple(
    Answer(mark, (form,)) for mark, form in (("roof-lamp", "square"), ("door-handle", "knob"), ("mirror", "flat"))
)
NOVEMBER = "S0555"  # of November 1961 by the calendar: S0541 to S0570

LAID = "kits"


@pytest.fixture(scope="module")
def kits(laid: Laid) -> Model:
    assert laid.worked.key is not None
    return laid.worked.key.model


def span(result: dict[str, Any]) -> tuple[str, str]:
    spans = [one for one in result["result"]["spans"] if one["level"] == 0.9]
    return spans[0]["from"], spans[-1]["to"]


def test_nothing_is_found_wrong(laid: Laid) -> None:
    assert laid.findings == ""


SESSIONS = (
    Session(LOOKS, f"{NOVEMBER}K", known={"despatched": "1961-12"}),
    Session(LOOKS, NOVEMBER, known={"despatched": "1961-12", "assembled": "1962-07"}),
    Session(LOOKS, f"{NOVEMBER}K", known={"despatched": "1961-12", "assembled": "1962-07", "registered": "1962-08"}),
)


@pytest.mark.parametrize("session", SESSIONS, ids=["by-its-ending", "by-a-paper", "by-both"])
def test_number_of_november_despatch_in_december_built_in_july(kits: Model, session: Session) -> None:
    result = conclude(kits, session)
    first, last = span(result)
    assert first <= JULY[1]
    assert JULY[0] <= last
    held = sum(one["weight"] for one in result["result"]["spans"] if one["level"] == 0.9)
    assert held == pytest.approx(0.9)
    assert [one["mark"] for one in result["apart"] if one["chance"] >= 0.5] == []
    assert max(one["chance"] for one in result["apart"]) < 0.1


def test_the_span_lies_where_the_assembly_leaves_the_number(kits: Model) -> None:
    """By the number alone a kit of November was put together from February to August."""
    first, last = span(conclude(kits, Session(car=f"{NOVEMBER}K")))
    assert "1962-01-15" <= first <= "1962-03-10"
    assert "1962-07-20" <= last <= "1962-09-05"
    home = span(conclude(kits, Session((Answer("market", ("home",)),), NOVEMBER)))
    assert (home[0][:7], home[1][:7]) == ("1961-10", "1961-12") or home[0][:7] == home[1][:7] == "1961-11"


def test_its_own_day_of_assembly_says_when_it_was_built(kits: Model) -> None:
    assert span(conclude(kits, Session(car=f"{NOVEMBER}K", known={"assembled": "1962-07"}))) >= JULY
    assert span(conclude(kits, Session(car=f"{NOVEMBER}K", known={"assembled": "1962-07"})))[1] <= "1962-07-31"


def test_a_kit_carries_the_number_of_months_before(kits: Model) -> None:
    """Of a car built in July 1962 the first number is of October 1961 on a kit, and of July on a car for home."""
    first = {
        market: conclude(kits, Session((Answer("market", (market,)),), known={"assembled": "1962-07"}))["numbers"][0][
            "from"
        ]
        for market in ("home", "south")
    }
    assert "S0500" < first["south"] < NOVEMBER
    assert "S0750" < first["home"] < "S0800"


def test_both_languages_agree(kits: Model, node: str) -> None:
    more = (
        Session(car=f"{NOVEMBER}K"),
        Session(LOOKS[:2], NOVEMBER),
        Session(LOOKS, known={"despatched": "1961-12", "titled": "1962-09"}),
        Session(known={"assembled": "1962-07-14"}),
    )
    assert compare(node, kits, [*SESSIONS, *more]) == []


def test_a_model_year_by_numbers_goes_before_the_build_of_a_kit(kits: Model, node: str) -> None:
    """The number S0540 was given out at the end of October 1961: kits of the model year that ends with it were put
    together until the next July, by a table of days none was later than October."""
    south = Answer("market", ("south",))
    asked = Session((south,), known={"model-year": "1961"})
    late = {}
    for by_days in (False, True):
        years = (ModelYears("1961", 0.0, 540.0, by_days), ModelYears("1962", 540.0, 1000.0, by_days))
        model = dataclasses.replace(kits, series=(dataclasses.replace(kits.series[0], model_years=years),))
        assert compare(node, model, [asked, Session((), "S0400K", known={"model-year": "1961"})]) == []
        state = believe(prepare(model), asked)
        november = date(1961, 11, 1).toordinal() - date.fromisoformat(model.origin).toordinal()
        late[by_days] = sum(weight for start, weight in zip(model.edges, state.line, strict=False) if start >= november)
        assert span(conclude(model, asked))[1] >= "1961-10"
    assert late[True] < 0.06
    assert late[False] > 0.2


def test_how_we_know_says_which_cars_were_put_together_elsewhere(laid: Laid) -> None:
    said = "For the south: put together 3 to 9 months after their number was given out, at the plant over the water"
    assert f"{said} (Shipping book)." in laid.words_of("how-we-know.html")
