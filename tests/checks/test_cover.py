"""Is some form stated for every open day? A strike is no time that wants one, and what is covered twice wants none."""

from __future__ import annotations

from typing import Any

import pytest

from guide.checks.cover import check_every_time_has_a_form
from guide.checks.known import Known
from guide.facts.types import Closure
from guide.limits.derive import derive_limits
from tests.dating.asking import key_of
from tests.limits import sketch
from tests.limits.sketch import closure, form, mark, on, say
from tests.told import told


@pytest.mark.parametrize(
    ("closures", "missing"),
    [
        ((), "1960-05-01 to 1960-05-20"),
        ((closure("1960-05-01", "1960-05-20"),), None),
        ((closure("1960-04-20", "1960-05-25"),), None),
        ((closure("1960-02-01", "1960-02-20"), closure("1960-05-01", "1960-05-20")), None),
        ((closure("1960-05-06", "1960-05-10"),), "1960-05-01 to 1960-05-05 and 1960-05-11 to 1960-05-20"),
        ((closure("1960-05-01", "1960-05-10"),), "1960-05-11 to 1960-05-20"),
        ((closure("1960-05-11", "1960-05-25"),), "1960-05-01 to 1960-05-10"),
        ((closure("1960-05-01", "1960-05-20", only=("other",)),), "1960-05-01 to 1960-05-20"),
    ],
)
def test_only_open_days_without_a_form_are_told(model: Any, closures: tuple[Closure, ...], missing: str | None) -> None:
    """A was last fitted on 30 April 1960 and B first on 21 May; C, in no order with them, up to 15 March."""
    said = [
        say("last", on("1960-04-30"), form="a"),
        say("first", on("1960-05-21"), form="b"),
        say("last", on("1960-03-15"), form="c"),
    ]
    guide = sketch.guide(
        [mark(said, (), [form("a"), form("b"), form("c")])],
        [],
        sketch.production("1960-01-01", "1960-12-31"),
        closures=closures,
    )
    known = Known(guide=guide, limits=derive_limits(guide), key=key_of(model), pictures=frozenset())
    found = list(check_every_time_has_a_form(known))
    assert [one.code for one in found] == ["time-without-form"] * (missing is not None)
    assert all(f"found none from {missing} (all cars)" in told(one.message) for one in found)


def test_what_lies_between_the_papers_of_one_form_and_the_next_is_no_time_without_a_form(model: Any) -> None:
    """A last in mid-December and a first in January leave the days between; the network bounds them."""
    said = [
        say("last", on("1960-12-11", "1960-12-20"), form="a"),
        say("first", on("1961-01-01", "1961-01-31"), form="b"),
    ]
    guide = sketch.guide([mark(said, ("a", "b"))], [], sketch.production("1960-01-01", "1961-12-31"))
    limits = derive_limits(guide)
    assert limits.clashes == ()
    known = Known(guide=guide, limits=limits, key=key_of(model), pictures=frozenset())
    assert list(check_every_time_has_a_form(known)) == []
