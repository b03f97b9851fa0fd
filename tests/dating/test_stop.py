"""When the key stops and what it asks for within reach, at the very edge of each rule, in both languages."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Sequence
from typing import Any

import pytest

from guide.dating.belief.evidence import Answer, Session
from guide.dating.belief.look import entropy
from guide.dating.model import Model
from tests.dating.asking import conclude, explain, key_of
from tests.dating.tiny_models import plain_mark, plain_model
from tests.twins.alike import differences, in_browser


def halves(*marks: dict[str, Any], cars: Sequence[float] = (1.0, 1.0), **more: Any) -> Model:
    """A model of two days, a period each; every mark, if none is given a lamp, changed between them."""
    marks = marks or (plain_mark("lamp", 2, [0, 1]),)
    groups = [{"marks": [at], "runs": [[0, 0, 1, 1]], "variants": [[0]], "of": [[0]]} for at in range(len(marks))]
    return plain_model(cars, [1, 2], marks, groups, **more)


def onward(node: str, model: Model, *answers: Answer, reach: tuple[str, ...] = ()) -> tuple[Any, Any]:
    """Return why the key stops, and the mark, reach and effort of its next look, the same on both sides."""
    session = Session(answers, reach=reach)
    here, there = conclude(model, session), in_browser(node, model, [session])[0]["concluded"]
    assert list(differences([here["stopped"], here["next"]], [there["stopped"], there["next"]])) == []
    look = here["next"]
    return here["stopped"] and here["stopped"]["code"], look and (look["mark"], look["reach"], look["effort"])


@pytest.mark.parametrize(("cars", "stopped"), [((9.0, 1.0), "period"), ((8.99, 1.01), None), ((1.0, 9.0), "period")])
def test_a_period_with_exactly_nine_in_ten_is_enough(node: str, cars: Sequence[float], stopped: str | None) -> None:
    assert onward(node, halves(cars=cars))[0] == stopped


def test_days_that_lie_in_no_period_are_no_period_to_be_sure_of(node: str) -> None:
    """Nineteen cars in twenty were built after the one period that the guide names."""
    model = halves(cars=(1.0, 19.0))
    assert onward(node, dataclasses.replace(model, periods=model.periods[:1]))[0] is None


@pytest.mark.parametrize(("fine", "stopped"), [(1.8, "fine-enough"), (1.79, None)])
def test_a_span_of_exactly_what_is_fine_enough_is_enough(node: str, fine: float, stopped: str | None) -> None:
    """Nine in ten of two even days are 1.8 days."""
    assert onward(node, halves(fine=fine))[0] == stopped


@pytest.mark.parametrize(("least", "stopped"), [(1.0, None), (1.001, "nothing-left")])
def test_a_look_that_tells_exactly_the_least_is_still_asked_for(node: str, least: float, stopped: str | None) -> None:
    """Of two even periods a sure mark tells one bit."""
    assert onward(node, halves(gain=least))[0] == stopped


def test_what_was_looked_at_is_not_asked_again_and_what_may_not_be_asked_never() -> None:
    model = halves(plain_mark("lamp", 2, [0, 1]), plain_mark("dial", 2, [0, 1], ask=False))
    result = conclude(model, Session((Answer("lamp", (), "cannot-tell"),)))
    assert (result["next"], result["stopped"]["code"]) == (None, "nothing-left")


def test_a_mark_out_of_reach_is_told_from_none_at_all(node: str) -> None:
    model = halves(plain_mark("dial", 2, [0, 1], reach="door"))
    assert onward(node, model, reach=("outside",)) == ("nothing-in-reach", None)
    assert onward(node, model, reach=("outside", "door")) == (None, ("dial", "door", 3.0))
    assert onward(node, model) == (None, ("dial", "door", 3.0))


def test_getting_close_is_paid_for_by_any_answer_from_there(node: str) -> None:
    """A look costs 1, through the glass another 0.5, with a door open another 2, each once."""
    model = halves(plain_mark("lamp", 2, [0, 1], reach="door"), plain_mark("dial", 2, [0, 1], reach="door"))
    seen = Answer("lamp", (), "cannot-tell")
    assert onward(node, model)[1] == ("lamp", "door", 3.0)
    assert onward(node, model, seen)[1] == ("dial", "door", 1.0)


def test_photographs_are_what_a_look_is_made_from_where_nothing_nearer_is_allowed(node: str) -> None:
    shown, hidden = (plain_mark(name, 2, [0, 1], reach="door", photographs=name == "lamp") for name in ("lamp", "dial"))
    model = halves(hidden, shown)
    assert onward(node, model, reach=("photographs",))[1] == ("lamp", "photographs", 1.0)
    assert onward(node, model, reach=("photographs", "door"))[1] == ("dial", "door", 3.0)
    lamp = Answer("lamp", (), "cannot-tell")
    assert onward(node, model, lamp, reach=("photographs",)) == ("nothing-in-reach", None)


def test_of_two_looks_that_tell_as_much_the_cheaper_is_asked_for_and_of_equals_the_first(node: str) -> None:
    cheap, dear = plain_mark("cheap", 2, [0, 1]), plain_mark("dear", 2, [0, 1], effort=2)
    assert onward(node, halves(dear, cheap))[1] == ("cheap", "outside", 1.0)
    assert onward(node, halves(plain_mark("one", 2, [0, 1]), plain_mark("two", 2, [0, 1])))[1][0] == "one"


def test_two_periods_within_one_month_are_told_apart_by_their_names(node: str) -> None:
    """A look is said to tell spans of months; two spans of one month would read alike."""
    model = halves()
    onward(node, model)
    said = conclude(model, Session())["next"]["why"]
    one, other = (period.name for period in model.periods)
    assert re.fullmatch(f"It tells cars of “{one}” \\(([^)]+)\\) from cars of “{other}” \\(\\1\\)\\.", said)


def test_once_the_key_has_stopped_a_look_that_tells_nothing_gains_nothing(node: str) -> None:
    """Every answer then leads to where one would stop: that is no gain of the look, and only what it tells is one."""
    blank, telling = plain_mark("blank", 2, [[0.5, 0.5]] * 2), plain_mark("telling", 2, [[0.9, 0.1], [0.1, 0.9]])
    model = halves(blank, telling, cars=(9.0, 1.0))
    here, there = explain(model, Session()), in_browser(node, model, [Session()])[0]["explained"]
    assert here["next"]["mark"] == there["next"]["mark"] == "telling"
    assert onward(node, model)[0] == "period"
    before, after = entropy([0.9, 0.1]), 0.82 * entropy([0.81, 0.01]) + 0.18 * entropy([0.09, 0.09])
    gains = [look.gain_bits for look in key_of(model).dated(Session()).looks]
    assert gains == pytest.approx([0.0, before - after])
