"""The estimates of the tally against published values and general-purpose libraries.

Wilson: Newcombe, Statistics in Medicine 17 (1998), 857-872, table for method 3 (second-hand), and statsmodels.
Rising sequences: Busing, JSS 102, and the tests of scikit-learn and scipy (second-hand), and scikit-learn itself.
Serial numbers: Ruggles and Brodie, JASA 42 (1947) (second-hand), exact coverage by counting every draw. Recaptures: by
hand, and the two-person estimate of Lincoln and Petersen. Binomial and Poisson binomial tails: scipy.
One change: worked by hand for eight cars, each reading wrong with chance 0.05, or 0.10 and 0.02; scipy's binomials.
"""

from __future__ import annotations

from math import comb, exp, log

import pytest

from guide.tally.estimate import monotone, wilson
from guide.tally.how_many import in_sight, numbers_built
from guide.tally.single_change import Belief, Sighted, log_likelihoods
from guide.tally.unexplained import chance_of_both, chance_of_so_many
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


@pytest.mark.parametrize(
    ("values", "weights", "rising"),
    [
        ([8, 4, 8, 2, 2, 0, 8], None, [4, 4, 4, 4, 4, 4, 8]),
        ([3, 7, 5, 9, 8, 7, 10], None, [3, 6, 6, 8, 8, 8, 10]),
        ([10, 0, 2], None, [4, 4, 4]),
        ([3, 2, 1, 10, 9, 8, 20, 10], [1, 2, 5, 0.5, 0.5, 0.5, 1, 3], [1.5, 1.5, 1.5, 9, 9, 9, 12.5, 12.5]),
        ([1, 3, 2, 4, 3.5, 3, 6], None, [1, 2.5, 2.5, 3.5, 3.5, 3.5, 6]),
        ([0, 0, 1, 0, 0, 1, 1, 0, 1, 1], None, [0, 0, 1 / 3, 1 / 3, 1 / 3, 2 / 3, 2 / 3, 2 / 3, 1, 1]),
    ],
)
def test_the_rising_sequence_as_published_and_as_scikit_learn_has_it(
    values: list[float], weights: list[float] | None, rising: list[float]
) -> None:
    isotonic = reference_library("sklearn.isotonic")
    assert monotone(values, weights) == pytest.approx(rising)
    assert monotone(values, weights) == pytest.approx(list(isotonic.isotonic_regression(values, sample_weight=weights)))


def test_a_rising_sequence_wants_a_weight_for_each_value() -> None:
    with pytest.raises(ValueError, match="one positive weight"):
        monotone([1, 2], [1])
    with pytest.raises(ValueError, match="one positive weight"):
        monotone([1, 2], [1, 0])


EIGHT = [(110, 0), (125, 0), (140, 0), (150, 1), (155, 0), (170, 1), (185, 1), (200, 1)]


def eight(early: float, late: float) -> list[Sighted]:
    return [Sighted(number, number, bool(new), early, late) for number, new in EIGHT]


def test_one_change_among_eight_cars_as_worked_by_hand() -> None:
    """Two peaks as likely as one another, 5.888878 apart from what lies between (by twice the logarithm)."""
    found = dict(zip(range(110, 202), log_likelihoods(eight(0.05, 0.05), 110, 200), strict=True))
    by_hand = {110: 5.09066e-6, 111: 9.67226e-5, 126: 0.00183773, 141: 0.0349169, 151: 0.00183773, 156: 0.0349169}
    by_hand |= {171: 0.00183773, 186: 9.67226e-5, 201: 5.09066e-6}
    for number, likelihood in by_hand.items():
        assert exp(found[number]) == pytest.approx(likelihood, rel=2e-6)
    assert 2 * (found[141] - found[151]) == pytest.approx(5.888878, abs=1e-6)
    whole = sum(map(exp, found.values()))
    mass = [sum(exp(found[number]) for number in range(*ends)) / whole for ends in ((141, 151), (156, 171))]
    assert mass == pytest.approx([0.371395, 0.557093], abs=1e-6)
    best = Belief(eight(0.05, 0.05), 110, 200).best
    assert best is not None
    assert (best.low, best.high) == (137, 174)


def test_one_change_where_errors_differ_both_ways() -> None:
    found = dict(zip(range(110, 202), log_likelihoods(eight(0.10, 0.02), 110, 200), strict=True))
    assert exp(found[156]) == pytest.approx(0.0617516, rel=2e-6)
    assert 2 * (found[156] - found[141]) == pytest.approx(3.048560, abs=1e-6)
    assert 2 * (found[156] - found[171]) == pytest.approx(4.564765, abs=1e-6)
    best = Belief(eight(0.10, 0.02), 110, 200).best
    assert best is not None
    assert (156 <= best.place <= 170, best.low, best.high) == (True, 142, 182)


def test_a_car_whose_place_is_a_stretch_counts_as_the_mean_over_it() -> None:
    cars = [Sighted(3, 6, True, 0.1, 0.2), Sighted(5, 9, False, 0.1, 0.2), Sighted(0, 0, True, 0.3, 0.2)]
    for change, found in zip(range(0, 12), log_likelihoods(cars, 0, 10), strict=True):
        likelihood = 1.0
        for low, high, is_new, early, late in cars:
            places = range(low, high + 1)
            told = [
                (early if is_new else 1 - early) if at < change else (1 - late if is_new else late) for at in places
            ]
            likelihood *= sum(told) / len(told)
        assert found == pytest.approx(log(likelihood), abs=1e-12)


def test_no_change_is_told_by_one_form_alone() -> None:
    assert Belief([Sighted(1, 1, True, 0.1, 0.1)], 0, 9).best is None


@pytest.mark.parametrize(
    ("seen", "highest", "estimate", "high"), [(4, 60, 74, 125), (6, 312, 363, 512), (5, 66, 78, 118), (1, 5, 9, 99)]
)
def test_how_many_were_built_as_published(seen: int, highest: int, estimate: int, high: int) -> None:
    """19, 40, 42, 60 seen: 74; m = 66, k = 5: 78.2. The upper limit is the largest N with C(m, k)/C(N, k) > 0.05."""
    assert numbers_built(seen, highest) == (estimate, highest, high)
    assert comb(highest, seen) / comb(high, seen) > 0.05 >= comb(highest, seen) / comb(high + 1, seen)


def test_of_74_built_4_seen_the_interval_holds_as_often_as_counting_every_draw_says() -> None:
    draws = {highest: comb(highest - 1, 3) for highest in range(4, 75)}
    held = sum(ways for highest, ways in draws.items() if numbers_built(4, highest).high >= 74)
    assert held / comb(74, 4) == pytest.approx(0.9545, abs=5e-5)


def test_more_cannot_be_seen_than_the_highest_number() -> None:
    with pytest.raises(ValueError, match="found 5 of 4"):
        numbers_built(5, 4)


def test_cars_in_sight_of_two_people_are_about_as_lincoln_and_petersen_have_it() -> None:
    found = in_sight([400, 500], 800)
    assert found is not None
    assert found.estimate == pytest.approx(400 * 500 / 100, rel=0.01)
    assert found.high is not None
    assert found.low < 2000 < found.high
    assert in_sight([40, 50], 90) is None


def test_how_likely_so_many_have_both_as_scipy_has_it() -> None:
    stats = reference_library("scipy.stats")
    for least, one, other, of in [(0, 2, 3, 5), (3, 4, 9, 20), (7, 8, 22, 170), (2, 2, 2, 180)]:
        exact = stats.hypergeom.sf(least - 1, of, one, other)
        assert chance_of_both(least, one, other, of) == pytest.approx(exact, rel=1e-9)
        table = [[least, one - least], [other - least, of - one - other + least]]
        exact = stats.fisher_exact(table, alternative="greater").pvalue
        assert chance_of_both(least, one, other, of) == pytest.approx(exact, rel=1e-9)


def test_the_chance_of_so_many_against_scipy_s_poisson_binomial() -> None:
    stats = reference_library("scipy.stats")
    assert chance_of_so_many(2, [0.5, 0.5, 0.5]) == pytest.approx(0.5)
    assert chance_of_so_many(0, []) == 1.0
    assert chance_of_so_many(1, [2.0]) == 1.0
    for many in (3, 30, 300):
        chances = [(at * 37 % 101) / 300 for at in range(many)]
        for least in {1, 2, many // 5, many // 3, many}:
            exact = float(stats.poisson_binom.sf(least - 1, chances))
            assert chance_of_so_many(least, chances) == pytest.approx(exact, rel=1e-9, abs=1e-12)
