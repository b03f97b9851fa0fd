"""Claims by number tested on numbers: mixed by number, even where the days let everything stand."""

from __future__ import annotations

from typing import Any

import pytest

from guide.facts.types import Statement
from guide.limits.derive import derive_limits
from guide.limits.types import LimitsResult
from tests.limits.sketch import car, of, on, say, stray
from tests.limits.test_limits_of_small_guides import guide_of, works
from tests.told import told


def result_of(*statements: Statement, disorder: int = 30) -> LimitsResult:
    return derive_limits(guide_of(statements, ("a", "b"), line=works(disorder)))


def test_new_from_a_number_with_a_handful_of_cars_either_side_is_clean_by_date_and_mixed_by_number() -> None:
    """A real-shaped case: a bulletin says "new from C1500", and members' cars about it do not quite agree."""
    seen = {"a": (1488, 1497, 1502, 1509), "b": (1493, 1499, 1506, 1520)}
    result = result_of(
        say("first", of(car(1500)), form="b", line=1),
        *(
            say("seen", of(car(number)), form=form, source="register", line=number)
            for form, numbers in seen.items()
            for number in numbers
        ),
    )
    assert [(one.standing, one.set_aside, one.against) for one in result.clashes] == [("mixed", 0, (5, 6))]
    (found,) = result.findings
    assert (found.code, found.place.line) == ("mixed-by-number", 1)
    assert "C1500 is given as the first, and C1493 and C1499 came before it by number" in told(found.message)
    assert told(found.message).endswith("Clean by date, mixed by number.")
    assert [related.place.line for related in found.related] == [1493, 1499]


def test_a_car_beyond_a_last_is_mixed_by_number() -> None:
    result = result_of(say("last", of(car(1250)), form="a"), say("seen", of(car(1251)), form="a"))
    assert [(one.standing, one.short_by_days) for one in result.clashes] == [("mixed", 0)]


def test_the_car_itself_and_cars_before_it_are_fine() -> None:
    assert (
        result_of(
            say("last", of(car(1250)), form="a"),
            say("seen", of(car(1250)), form="a"),
            say("seen", of(car(1200)), form="a"),
        ).findings
        == ()
    )


@pytest.mark.parametrize("allowed", [{"old_stock_cars": 10}, {}])
def test_what_a_statement_allows_for_is_allowed(allowed: dict[str, Any]) -> None:
    last = say("last", of(car(1250), slack=0 if allowed else 10), form="a", **allowed)
    assert result_of(last, say("seen", of(car(1260)), form="a")).clashes == ()
    assert [one.standing for one in result_of(last, say("seen", of(car(1261)), form="a")).clashes] == ["mixed"]


def test_two_firsts_at_different_numbers_are_mixed_and_the_less_believed_is_reported() -> None:
    result = result_of(
        say("first", of(car(1240)), form="b", source="list", line=4),
        say("first", of(car(1250)), form="b", source="bulletin", line=5),
    )
    assert [(one.set_aside, one.against) for one in result.clashes] == [(0, (1,))]


def test_a_named_stray_contradicts_nothing_by_number() -> None:
    line = works(30, strays=(stray(car(1251), on("1960-02-10")),))
    statements = [say("last", of(car(1250)), form="a"), say("seen", of(car(1251)), form="a")]
    assert derive_limits(guide_of(statements, ("a", "b"), line=line)).findings == ()


def test_what_clashes_by_day_is_reported_by_day_only() -> None:
    result = result_of(say("last", of(car(1250)), form="a"), say("seen", of(car(1950)), form="a"))
    assert [one.standing for one in result.clashes] == ["clash"]
    assert [one.code for one in result.findings] == ["statements-clash"]
