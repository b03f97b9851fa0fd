"""Three models in one guide: two built side by side, the third after a gap; parts of their own, and two of all."""

from __future__ import annotations

import pytest

from guide.facts.types import Guide
from tests.papers.laid import Laid, lay


@pytest.fixture(scope="module")
def laid(tmp_path_factory: pytest.TempPathFactory) -> Laid:
    return lay("three-models", tmp_path_factory.mktemp("models"))


@pytest.fixture
def guide(laid: Laid) -> Guide:
    assert laid.worked.guide is not None
    return laid.worked.guide


def test_nothing_is_found_wrong(laid: Laid) -> None:
    assert laid.findings == ""


def test_each_model_has_its_own_production_and_periods(guide: Guide) -> None:
    assert [(one.series, [period.id for period in one.periods]) for one in guide.models] == [
        (("saloon",), ["early", "late"]),
        (("truck", "van"), ["van-one", "van-two", "van-three"]),
        (("tourer",), ["tourer-one", "tourer-two"]),
    ]
    assert [one.production.made for one in guide.models] == [1200, 800, 300]
    assert (guide.production.first.year, guide.production.last.year, guide.production.made) == (1960, 1968, 2300)


def test_a_model_s_cars_are_built_in_its_own_days(laid: Laid) -> None:
    assert laid.worked.limits is not None
    lines = laid.worked.limits.lines
    days = {name: (str(line.earliest_day(0)), str(line.latest_day(line.cars - 1))) for name, line in lines.items()}
    assert days["saloon"] == ("1960-03-01", "1963-10-31")
    assert days["van"] == ("1961-06-01", "1965-12-31")
    assert days["tourer"] == ("1967-04-01", "1968-09-30")
