"""The interval of the tally against published values and general-purpose libraries.

Wilson: Newcombe, Statistics in Medicine 17 (1998), 857-872, table for method 3 (second-hand), and statsmodels.
"""

from __future__ import annotations

import pytest

from guide.tally.estimate import wilson
from tests.conftest import reference_library

NEWCOMBE = [
    (81, 263, 0.255289, 0.366210),
    (15, 148, 0.062386, 0.160487),
    (0, 20, 0.0, 0.161125),
    (1, 29, 0.006113, 0.171755),
]


@pytest.mark.parametrize(("found", "of", "low", "high"), NEWCOMBE)
def test_wilson_as_newcombe_prints_it(found: int, of: int, low: float, high: float) -> None:
    assert wilson(found, of) == pytest.approx((low, high), abs=5e-7)


def test_wilson_as_statsmodels_has_it() -> None:
    proportion = reference_library("statsmodels.stats.proportion")
    for of in (1, 2, 7, 40):
        for found in range(of + 1):
            assert wilson(found, of) == pytest.approx(
                proportion.proportion_confint(found, of, method="wilson"), abs=1e-12
            )


def test_wilson_refuses_more_found_than_looked_at() -> None:
    with pytest.raises(ValueError, match="found 3 of 2"):
        wilson(3, 2)
    with pytest.raises(ValueError, match="found 0 of 0"):
        wilson(0, 0)
