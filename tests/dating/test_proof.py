"""What dating is held to, at fixed seeds. ``python -m tests.dating.proof`` prints every figure."""

from __future__ import annotations

import numpy as np
import pytest

from tests.dating.proof import looks_tried, tried
from tests.dating.trial import bins_of_ten

pytestmark = pytest.mark.proof


def test_spans_hold_as_often_as_they_say() -> None:
    trial = tried()
    assert np.mean(trial.held_nine) == pytest.approx(0.9, abs=0.015)
    assert np.mean(trial.held_half) == pytest.approx(0.5, abs=0.025)


def test_a_spans_weight_is_the_share_that_it_holds() -> None:
    trial = tried()
    assert np.mean(trial.held_nine) == pytest.approx(np.mean(trial.weight_nine), abs=0.015)
    assert np.mean(trial.held_half) == pytest.approx(np.mean(trial.weight_half), abs=0.015)


def test_log_loss_is_that_of_brute_force_bayes() -> None:
    trial = tried()
    assert np.mean(trial.loss) == pytest.approx(np.mean(trial.loss_brute), abs=0.01)


@pytest.mark.parametrize("what", ["stated_period", "stated_apart"])
def test_stated_chances_come_true(what: str) -> None:
    """In each of ten bins, within 3.5 points of what was stated; no bin goes unused."""
    rows = bins_of_ten(getattr(tried(), what))
    assert len(rows) == 10
    for count, stated, true in rows:
        assert count > 200
        assert true == pytest.approx(stated, abs=0.035)


def test_looks_are_nearly_as_few_as_can_be() -> None:
    """Mean at most 1.03 of the best possible policy, worst at most 1.10, over 60 guides small enough to search."""
    ratios = [one.engine / one.best for one in looks_tried()]
    assert np.mean(ratios) <= 1.03
    assert max(ratios) <= 1.10
    assert min(ratios) >= 1.0 - 1e-9, "nothing is better than the best"
