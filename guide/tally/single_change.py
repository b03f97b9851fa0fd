"""The best single change along a line of cars, with its 95 % interval.

Theory
------
One form gave way to another at one place of the line, before which every car was built with the old one. A car is found
otherwise when it was misread, its part swapped or its number wrong: it carries the chance of that, both ways. Where a
car stands is known to a stretch of places only (its days; the usual disorder of numbers), any of them as likely. So
each place at which the change can lie has a likelihood, the product over the cars. The likelihood, made to add up to
one over the places (every place counted alike before the cars are looked at), gives the interval: what leaves 2.5 % on
either side. It holds the true place 95 times in a hundred over seasons that come about so, whatever the shape of the
likelihood, which may have two peaks; the interval by twice the logarithm of its ratio (3.84) holds no such promise
here, since the likelihood of a change has steps and no curvature.

Sources: Hinkley, Inference about the change-point in a sequence of random variables, Biometrika 57, 1970, 1-17, for the
likelihood; the flat weighing of places: common practice, no source.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from functools import cached_property
from itertools import accumulate, repeat
from math import exp, log
from operator import add, sub
from typing import NamedTuple

__all__ = ["Belief", "BestChange", "Sighted", "log_likelihoods"]

_TAIL = 0.025  # of the likelihood on either side of the interval


class Sighted(NamedTuple):
    """A car on the line: the places ``low`` to ``high`` at which it can stand, what it has, and its chances of error.

    ``early``: that a car built with the old form is found with the new one; ``late``: the other way round.
    """

    low: int
    high: int
    is_new: bool
    early: float
    late: float


class BestChange(NamedTuple):
    """The likeliest first place of the new form (the middle of several alike), and the 95 % interval, inclusive."""

    place: int
    low: int
    high: int


class Belief:
    """The likelihood of each place of the change, made to add up to one; ``first`` is the first place."""

    def __init__(self, cars: Sequence[Sighted], first: int, last: int) -> None:
        self.first = first
        self._cars, self._last = cars, last

    @cached_property
    def _logs(self) -> list[float]:
        return log_likelihoods(self._cars, self.first, self._last)

    @cached_property
    def passed(self) -> list[float]:
        """Running sums of the likelihood, up to a factor: its last is the whole."""
        return list(accumulate(map(exp, map(sub, self._logs, repeat(max(self._logs))))))

    def before(self, place: int) -> float:
        """Return the chance that the change lies at this place or before it."""
        at = min(place - self.first, len(self.passed) - 1)
        return self.passed[at] / self.passed[-1] if at >= 0 else 0.0

    def low(self, tail: float) -> int:
        """Return the last place before which the change lies with no more than a chance."""
        return self.first + bisect_right(self.passed, tail * self.passed[-1])

    def high(self, tail: float) -> int:
        """Return the first place after which the change lies with no more than a chance."""
        return self.first + bisect_left(self.passed, (1 - tail) * self.passed[-1])

    @property
    def best(self) -> BestChange | None:
        """The best single change; None where not both forms were found."""
        if len({car.is_new for car in self._cars}) < 2:
            return None
        least = max(self._logs) - 1e-9
        alike = [at for at, one in enumerate(self._logs) if one > least]
        return BestChange(self.first + alike[len(alike) // 2], self.low(_TAIL), self.high(_TAIL))


def log_likelihoods(cars: Sequence[Sighted], first: int, last: int) -> list[float]:
    """Return the natural logarithm of the likelihood, up to a constant, that the new form began at each place from
    ``first`` to ``last + 1``, the last meaning that it never did."""
    steps = [0.0] * (last - first + 3)
    start = 0.0
    known: dict[tuple[int, int, int, float, float], list[float]] = {}  # many cars stand as widely and err as often
    for low, high, is_new, early, late in cars:
        # found as it is: built old, built new
        if_old, if_new = (early, 1 - late) if is_new else (1 - early, late)
        places = high - low + 1
        start += log(if_new)
        here, end = max(low + 1, first), min(high, last) + 2
        kind = (here - low, end - low, places, if_old, if_new)
        if kind not in known:
            passed = [at / places for at in range(*kind[:2])]
            rising = [log(if_new), *(log(old * if_old + (1 - old) * if_new) for old in passed)]
            known[kind] = list(map(sub, rising[1:], rising))
        if here < end:
            steps[here - first : end - first] = map(add, steps[here - first : end - first], known[kind])
        if high + 1 < first:  # all of it lies before the line
            start += log(if_old) - log(if_new)
    return list(accumulate([start + steps[0], *steps[1 : last - first + 2]]))
