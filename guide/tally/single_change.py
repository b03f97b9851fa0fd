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

Of many cars only few leave it in doubt where the change lies. A car that speaks for a later change does so in full for
every one beyond where it can stand, not at all for one before, and in between something between; one that speaks for an
earlier change likewise. So running sums over where cars begin and end to stand show at most and at least how likely a
place is (`Stands.in_doubt`), and where that is nothing beside the most it is not worked out.
"""

from __future__ import annotations

from array import array
from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from itertools import accumulate, compress, repeat
from math import ceil, exp, floor, log
from operator import add, and_, mul, sub
from typing import NamedTuple

__all__ = ["Belief", "BestChange", "Sighted", "Stands", "log_likelihoods"]

_REMEMBERED = 1024
_TAIL = 0.025  # of the likelihood on either side of the interval
_NOTHING = 36.0  # by its logarithm: a likelihood so much below another is lost beside it in a double


class Sighted(NamedTuple):
    """A car on the line: the places ``low`` to ``high`` at which it can stand, what it has, and its chances of error.

    ``early``: that a car built with the old form is found with the new one; ``late``: the other way round.
    """

    low: int
    high: int
    is_new: bool
    early: float
    late: float


class Stands(NamedTuple):
    """Where cars stand, in order of place: the place that each is given, and from where to where it can.

    ``ends`` are all lows and highs in order, ``order`` says which of them each is: that of a low is the car's number,
    that of a high so much more as there are cars.
    """

    places: array[int]
    lows: array[int]
    highs: array[int]
    ends: array[int]
    order: array[int]

    @classmethod
    def of(cls, places: Sequence[int], reaches: Sequence[tuple[int, int]]) -> Stands:
        """Return where cars stand, given their places in order and from where to where each can stand."""
        lows, highs = ([one[end] for one in reaches] for end in (0, 1))
        both = [*lows, *highs]
        order = sorted(range(len(both)), key=both.__getitem__)  # of equals the lows first, as `in_doubt` needs it
        ends = array("i", map(both.__getitem__, order))
        return cls(array("i", places), array("i", lows), array("i", highs), ends, array("i", order))

    def in_doubt(self, rises: Sequence[float], first: int, last: int) -> tuple[int, int, list[int]]:
        """Return the first and the last of some places at which it is not out of question that the change lies, and
        which cars tell these apart; ``rises`` is how much likelier each car makes a change after it than before it."""
        later, sooner = (list(map(limit, rises, repeat(0.0))) for limit in (max, min))
        start, end = bisect_left(self.ends, first), bisect_right(self.ends, last) + 1
        most, least = (
            list(accumulate(map([*begun, *ended].__getitem__, self.order), initial=0.0))[start:end]
            for begun, ended in ((later, sooner), (sooner, later))
        )
        likely = bytes(map((max(least) - _NOTHING).__lt__, most))
        begin, end = start + likely.find(1), start + likely.rfind(1)
        low = self.ends[begin - 1] + 1 if begin > start else first
        high = self.ends[end] if end < start + len(likely) - 1 else last
        near = compress(range(len(rises)), map(and_, map((high + 2).__gt__, self.lows), map(low.__le__, self.highs)))
        return low, high, list(near)


class BestChange(NamedTuple):
    """The likeliest first place of the new form (the middle of several alike), and the 95 % interval, inclusive."""

    place: int
    low: int
    high: int


class Belief:
    """The likelihood of each place of the change, made to add up to one; ``first`` is the first place.

    Places that no car tells apart lie in one run: it begins so many places after the first (``starts``), each of its
    places is as likely as any other (``each``), and up to its end the likelihood comes to ``passed``, up to a factor.
    Where cars tell most places apart, each is a run.
    """

    def __init__(self, cars: Sequence[Sighted], first: int, last: int) -> None:
        steps = _steps(cars, first, last)
        starts: Sequence[int] = range(len(steps))
        if 2 * steps.count(0.0) > len(steps):
            starts = [0, *compress(starts[1:], steps[1:])]
            steps = [steps[0], *filter(None, steps[1:])]
        logs = list(accumulate(steps))
        most, end = max(logs), last - first + 2
        self.first = first
        self._starts = starts
        self._each: list[float] = [exp(one - most) for one in logs]
        if len(starts) == end:
            self._passed = list(accumulate(self._each))
        else:
            self._passed = list(accumulate(map(mul, self._each, map(sub, [*starts[1:], end], starts))))
        self._likeliest = _middle(most - 1e-9, logs, [*starts, end])
        self._found_both = len({car.is_new for car in cars}) > 1

    def before(self, place: int) -> float:
        """Return the chance that the change lies at this place or before it."""
        at = bisect_right(self._starts, place - self.first) - 1
        if at < 0:
            return 0.0
        passed = self._before(at) + (place - self.first - self._starts[at] + 1) * self._each[at]
        return min(passed / self._passed[-1], 1.0)

    def _before(self, run: int) -> float:
        return self._passed[run - 1] if run else 0.0

    def low(self, tail: float) -> int:
        """Return the last place before which the change lies with no more than a chance."""
        left = tail * self._passed[-1]
        run = bisect_right(self._passed, left)
        return self.first + self._starts[run] + floor((left - self._before(run)) / self._each[run])

    def high(self, tail: float) -> int:
        """Return the first place after which the change lies with no more than a chance."""
        left = (1 - tail) * self._passed[-1]
        run = bisect_left(self._passed, left)
        return self.first + self._starts[run] + ceil((left - self._before(run)) / self._each[run]) - 1

    def within(self, ranges: Iterable[tuple[int, int]]) -> Iterator[float]:
        """Yield the chance that the change lies in each of some ranges of places, both ends inclusive."""
        before, place = 0.0, None
        for first, last in ranges:
            before = before if first - 1 == place else self.before(first - 1)
            passed, place = self.before(last), last
            yield passed - before
            before = passed

    @property
    def likeliest(self) -> BestChange:
        """The best single change, whatever was found."""
        return BestChange(self.first + self._likeliest, self.low(_TAIL), self.high(_TAIL))

    @property
    def best(self) -> BestChange | None:
        """The best single change; None where not both forms were found."""
        return self.likeliest if self._found_both else None


def _middle(least: float, logs: Sequence[float], starts: Sequence[int]) -> int:
    """Return the middle one of the places at which a likelihood is no less than another; ``starts`` of the runs, and
    where the last ends."""
    alike = [run for run, one in enumerate(logs) if one > least]
    left = sum(starts[run + 1] - starts[run] for run in alike) // 2
    for run in alike:
        if left < starts[run + 1] - starts[run]:
            return starts[run] + left
        left -= starts[run + 1] - starts[run]
    raise AssertionError("the middle lies among them")


def log_likelihoods(cars: Sequence[Sighted], first: int, last: int) -> list[float]:
    """Return the natural logarithm of the likelihood, up to a constant, that the new form began at each place from
    ``first`` to ``last + 1``, the last meaning that it never did."""
    return list(accumulate(_steps(cars, first, last)))


def _steps(cars: Sequence[Sighted], first: int, last: int) -> list[float]:
    """Return the first of `log_likelihoods`, and by how much each further one is more than that before it."""
    steps = [0.0] * (last - first + 3)
    start = 0.0
    for low, high, is_new, early, late in cars:
        # found as it is: built old, built new
        if_old, if_new = (early, 1 - late) if is_new else (1 - early, late)
        places = high - low + 1
        start += log(if_new)
        here, end = max(low + 1, first), min(high, last) + 2
        if here < end:
            rise = _rise(here - low, end - low, places, if_old, if_new)
            steps[here - first : end - first] = map(add, steps[here - first : end - first], rise)
        if high + 1 < first:  # all of it lies before the line
            start += log(if_old) - log(if_new)
    steps[0] += start
    return steps[: last - first + 2]


@lru_cache(_REMEMBERED)
def _rise(first: int, end: int, places: int, if_old: float, if_new: float) -> list[float]:
    """Return by how much the logarithm rises from place to place while the change passes a car, which stands on so many
    places alike; many cars stand as widely and err as often."""
    passed = [at / places for at in range(first, end)]
    rising = [log(if_new), *(log(old * if_old + (1 - old) * if_new) for old in passed)]
    return list(map(sub, rising[1:], rising))
