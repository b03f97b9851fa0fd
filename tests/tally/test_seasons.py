"""The tally's 95 % intervals over invented seasons; `python -m tests.tally.seasons` prints the figures."""

from __future__ import annotations

import pytest

from tests.tally.seasons import TRIALS, share_held


@pytest.mark.parametrize("name", TRIALS)
def test_an_interval_holds_the_truth_about_as_often_as_it_says(name: str) -> None:
    """Of 250 seasons 95 % are held give or take 4.2 points, three standard errors."""
    assert 0.91 <= share_held(TRIALS[name], 250, 7) <= 0.995


@pytest.mark.proof
@pytest.mark.parametrize("name", TRIALS)
def test_an_interval_holds_the_truth_between_93_and_97_seasons_in_a_hundred(name: str) -> None:
    assert 0.93 <= share_held(TRIALS[name], 4000, 11) <= 0.97
