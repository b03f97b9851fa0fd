"""What dating is held to, at fixed seeds. ``python -m tests.dating.proof`` prints every figure.

All that the ten thousand cars show stands in one test, so that two workers do not both draw them.
"""

from __future__ import annotations

import numpy as np
import pytest

from tests.dating.proof import demo_model, looks_tried, numbers_tried, restored_tried, tried, wrong_tried
from tests.dating.trial import bins_of_ten
from tests.dating.wrong_trial import GUIDES_THAT_DIFFER, READERS

pytestmark = [pytest.mark.proof, pytest.mark.long]


def test_what_is_stated_comes_true_on_ten_thousand_cars() -> None:
    """Spans hold as often as they say, log loss is that of brute-force Bayes, stated chances come true."""
    trial = tried()
    assert len(trial.held_nine) == 10_000
    assert np.mean(trial.held_nine) == pytest.approx(0.9, abs=0.015)
    assert np.mean(trial.held_half) == pytest.approx(0.5, abs=0.025)
    assert np.mean(trial.held_nine) == pytest.approx(np.mean(trial.weight_nine), abs=0.015)
    assert np.mean(trial.held_half) == pytest.approx(np.mean(trial.weight_half), abs=0.015)
    assert np.mean(trial.loss) == pytest.approx(np.mean(trial.loss_brute), abs=0.01)
    for stated in (trial.stated_period, trial.stated_apart):
        rows = bins_of_ten(stated)
        assert len(rows) == 10, "every bin is used"
        for count, said, true in rows:
            assert count > 200
            assert true == pytest.approx(said, abs=0.035)


def test_spans_of_numbers_alone_hold_as_often_as_they_say() -> None:
    held = numbers_tried().held
    assert 0.9 <= np.mean(held[0.9]) <= 0.94
    assert np.mean(held[0.5]) == pytest.approx(0.5, abs=0.025)


def test_restored_cars_are_held_by_their_number_or_warned_of() -> None:
    """With a number 85 % are held; by looks alone as many are held or warned of as a reader knows who knows the law of
    the simulator, but for five points; and at most one ordinary car in ten is warned of."""
    found = restored_tried()
    warns = demo_model().telling.warns_from
    level = np.quantile(found["ordinary", False].knows_restored, 0.9)
    for numbered in (True, False):
        assert np.mean(np.array(found["ordinary", numbered].restored) >= warns(numbered=numbered)) <= 0.1
    for kind in ("later parts", "donor interior"):
        assert np.mean(found[kind, True].held) >= 0.85
        one = found[kind, False]
        held = np.mean(np.array(one.held) | (np.array(one.restored) >= warns(numbered=False)))
        assert held >= np.mean(np.array(one.knowing) | (np.array(one.knows_restored) > level)) - 0.05


def test_a_guide_that_is_wrong_is_read_better_than_by_two_simple_readers() -> None:
    """Statements months off and survival a word off cost the key little, and it names more periods right than marks one
    by one or changeovers looked up, whatever the guide."""
    found = wrong_tried()
    for name in GUIDES_THAT_DIFFER:
        own, *rivals = (found[name, reader] for reader in READERS)
        assert np.mean(own.held) >= 0.85, name
        assert all(np.mean(own.period) >= np.mean(rival.period) - 0.01 for rival in rivals), name
        assert all(abs(np.mean(own.held) - 0.9) <= abs(np.mean(rival.held) - 0.9) for rival in rivals), name


@pytest.mark.parametrize("reaches", [False, True], ids=["from one place", "walking"])
def test_looks_are_nearly_as_few_as_can_be(reaches: bool) -> None:
    """Mean at most 1.02 of the best possible policy, over 60 guides small enough to search, worst at most 1.10, where
    all is seen from one place and where one walks from glass to door."""
    ratios = [one.engine / one.best for one in looks_tried(reaches=reaches)]
    assert np.mean(ratios) <= 1.02
    assert max(ratios) <= 1.10
    assert min(ratios) >= 1.0 - 1e-9, "nothing is better than the best"
