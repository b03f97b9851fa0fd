"""How many cars of a series were built, and how many there still are within sight of those who look.

Built
-----
Of N cars numbered one by one, k were seen, a fair draw, the highest at m. The estimate is m(k + 1)/k - 1, which is
right on average (Ruggles and Brodie, Journal of the American Statistical Association 42, 1947, 72-91). N is no less
than m, and the interval ends with the largest N under which as low a highest is not rarer than one draw in twenty,
C(m, k)/C(N, k) > 0.05: it holds N at least 95 times in a hundred. Survivors that a club sees are no fair draw where
late cars were kept better.

In sight
--------
Each person, by the sheets handed in, looked at some of the cars that there are; how many were seen by several tells
how many nobody saw. With n_i cars seen by person i, n in all, and every car as likely to be met by one as by another,
the likelihood of N cars is N!/(N - n)! times the product of (n_i/N)^n_i (1 - n_i/N)^(N - n_i) (Darroch, The
multiple-recapture census I, Biometrika 45, 1958, 343-359); for two people it peaks by n_1 n_2 / those seen by both
(Lincoln and Petersen). The interval holds the N whose likelihood lies within 1.92 of the best by its logarithm. Cars
that stay at home are in nobody's sight and in no figure.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import lgamma, log
from typing import NamedTuple

from guide.limits.positions import SeriesLine
from guide.tally.changeovers import KnownCar

__all__ = ["Built", "InSight", "SeriesSeen", "in_sight", "numbers_built", "series_seen"]

_RARE = 0.05
_DROP = 1.9207294  # half of the 95 % point of chi-squared with one degree of freedom
_MOST = 20  # times the cars seen: no further is looked


class Built(NamedTuple):
    """An estimate of how many were built, with its 95 % interval."""

    estimate: int
    low: int
    high: int


class InSight(NamedTuple):
    """How many cars there are within sight; ``high`` is None where nothing bounds them."""

    estimate: int
    low: int
    high: int | None


class SeriesSeen(NamedTuple):
    """What the cars seen say of a series: how many were seen, the highest position (from 1), and what follows."""

    series: str
    seen: int
    highest: int
    built: Built
    stated: int | None  # None: the numbers of its runs have no stated end
    in_sight: InSight | None  # None: no two people saw one car


def numbers_built(seen: int, highest: int) -> Built:
    """Return how many were built, of which ``seen`` were seen and the ``highest``. Raises ValueError unless
    1 <= seen <= highest."""
    if not 1 <= seen <= highest:
        raise ValueError(f"expected 1 <= seen <= highest, found {seen} of {highest}")

    def rare(built: int) -> float:
        """The logarithm of the chance that as many numbers all lie up to the highest."""
        return sum(log(highest - at) - log(built - at) for at in range(seen))

    low, high = highest, highest + 1
    while rare(high) > log(_RARE):
        high *= 2
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if rare(middle) > log(_RARE) else (low, middle)
    return Built(round(highest * (seen + 1) / seen - 1), highest, low)


def in_sight(by_person: Sequence[int], cars: int) -> InSight | None:
    """Return how many cars there are, of which each person saw so many, ``cars`` in all; None where that tells
    nothing, since no car was seen by two."""
    people = [many for many in by_person if many]
    if sum(people) <= cars:
        return None

    def likelihood(there: int) -> float:
        told = lgamma(there + 1) - lgamma(there - cars + 1)
        for many in people:
            told += many * log(many / there) + ((there - many) * log(1 - many / there) if there > many else 0.0)
        return told

    best, at = likelihood(cars), cars
    while at < _MOST * cars and likelihood(at + 1) > best:
        at += 1
        best = likelihood(at)
    low = high = at
    while low > cars and likelihood(low - 1) > best - _DROP:
        low -= 1
    while high <= _MOST * cars and likelihood(high + 1) > best - _DROP:
        high += 1
    return InSight(at, low, high if high <= _MOST * cars else None)


def series_seen(line: SeriesLine, cars: Sequence[KnownCar]) -> SeriesSeen | None:
    """Return what the cars seen say of a series; None where none of it was."""
    series = line.series.id
    of_it = {known.at[series]: known for known in cars if series in known.at}
    if not of_it:
        return None
    highest = max(of_it) + 1
    people = [known.car.sheets for known in of_it.values()]
    files = sorted({sheet for sheets in people for sheet in sheets})
    return SeriesSeen(
        series,
        len(of_it),
        highest,
        numbers_built(len(of_it), highest),
        line.cars if all(run.last is not None for run in line.series.runs) else None,
        in_sight([sum(file in one for one in people) for file in files], len(people)),
    )
