"""Estimates of the tally against published values and general-purpose libraries.

Wilson: Newcombe, Statistics in Medicine 17 (1998), 857-872, table for method 3 (second-hand), and statsmodels.
Monotone: inputs from the isotonic regression literature and library tests named beside each, and scikit-learn.
Change point: the O-ring data of 23 flights (the temperatures are from memory; the fit was recomputed).
"""

from __future__ import annotations

import random

import pytest

from guide.tally.estimate import change_point, monotone, wilson
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


MONOTONE = [
    ([8, 4, 8, 2, 2, 0, 8], None, [4] * 6 + [8]),  # Busing, J. Stat. Software 102
    ([3, 7, 5, 9, 8, 7, 10], None, [3, 6, 6, 8, 8, 8, 10]),  # scikit-learn's tests
    ([10, 0, 2], None, [4, 4, 4]),  # scikit-learn's tests
    (
        [3, 2, 1, 10, 9, 8, 20, 10],
        [1, 2, 5, 0.5, 0.5, 0.5, 1, 3],  # scipy's test
        [1.5] * 3 + [9] * 3 + [12.5] * 2,
    ),
    ([1, 0, 4, 3, 3, 5, 4, 2, 0], None, [0.5, 0.5] + [3] * 7),  # input: R's help on isoreg
]


@pytest.mark.parametrize(("values", "weights", "expected"), MONOTONE)
def test_monotone_as_published(values: list[float], weights: list[float] | None, expected: list[float]) -> None:
    assert monotone(values, weights) == pytest.approx(expected)


def test_monotone_as_scikit_learn_has_it() -> None:
    isotonic = reference_library("sklearn.isotonic")
    chance = random.Random(7)
    for _ in range(50):
        values = [chance.random() for _ in range(chance.randrange(1, 30))]
        weights = [chance.uniform(0.1, 3) for _ in values]
        assert monotone(values, weights) == pytest.approx(
            list(isotonic.isotonic_regression(values, sample_weight=weights))
        )


def test_the_step_in_the_o_ring_data() -> None:
    # Flights by temperature in degrees Fahrenheit; True where an O-ring was in distress.
    flights = {
        53: [1],
        57: [1],
        58: [1],
        63: [1],
        66: [0],
        67: [0, 0, 0],
        68: [0],
        69: [0],
        70: [0, 0, 1, 1],
        72: [0],
        73: [0],
        75: [0, 1],
        76: [0, 0],
        78: [0],
        79: [0],
        81: [0],
    }
    ordered = [(degrees, bool(distress)) for degrees, seen in flights.items() for distress in seen]
    step = change_point([distress for _, distress in ordered])
    assert step is not None
    assert (ordered[step.at - 1][0], ordered[step.at][0]) == (63, 66)
    assert step.log_likelihood == pytest.approx(-8.287084, abs=5e-7)
    assert step.log_likelihood_without == pytest.approx(-14.133576, abs=5e-7)


def test_one_car_makes_no_step() -> None:
    assert change_point([True]) is None
