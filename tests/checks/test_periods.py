"""Periods that leave days to nobody: only what closed the whole works excuses a gap."""

from __future__ import annotations

import dataclasses
from typing import Any

import pytest

from guide.checks.known import Known
from guide.checks.periods import check_periods_follow
from guide.facts.types import Closure
from tests.dating.asking import key_of
from tests.limits import sketch
from tests.limits.sketch import closure, period
from tests.told import told


@pytest.mark.parametrize(
    ("closures", "gaps"),
    [
        ((closure("1960-05-01", "1960-05-20"),), 0),
        ((closure("1960-05-01", "1960-05-10"), closure("1960-05-11", "1960-05-20")), 0),
        ((closure("1960-05-01", "1960-05-19"),), 1),
        ((closure("1960-05-02", "1960-05-20"),), 1),
        ((closure("1960-05-01", "1960-05-20", only=("c",)),), 1),
        ((), 1),
    ],
)
def test_a_gap_is_excused_by_closures_of_all_of_it_and_of_every_series(
    model: Any, limits: Any, closures: tuple[Closure, ...], gaps: int
) -> None:
    periods = {"early": period("early", "1960-01-01", "1960-04-30"), "late": period("late", "1960-05-21", "1961-12-31")}
    guide = dataclasses.replace(sketch.guide([sketch.mark(())], []), periods=periods, closures=closures)
    found = list(check_periods_follow(Known(guide=guide, limits=limits, key=key_of(model), pictures=frozenset())))
    assert [one.code for one in found] == ["period-gap"] * gaps
    assert all("found none from 1960-05-01 to 1960-05-20" in told(one.message) for one in found)
