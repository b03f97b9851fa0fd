"""Cars to look for: the ranges of numbers whose next car would narrow the limits most, over all marks.

Theory
------
What is believed of a changeover is the likelihood that the cars seen give each place (`guide.tally.single_change`),
within the limits that all statements leave. A car at a place has the old form with the chance that the change lies
further on: then the last of the old form is no earlier than its day. Else it has the new one, and the first of that is
no later. The mean of what the limits would shrink by, in days, is what the next car there is worth for that mark; a
range's worth is the sum over the marks, taken in the middle of the range. (Expected gain of an experiment under the
present belief; Lindley, Annals of Mathematical Statistics 27, 1956, 986-1005, with days in place of information.)
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from guide.limits.types import LimitsResult, day_of
from guide.tally.changeovers import Changeover, ranges_of

__all__ = ["LookFor", "is_any_worth_looking", "look_for"]

_MOST = 12  # ranges that are told
_WORTH = 7  # days: a range that is worth less for a mark is not told of it


@dataclass(frozen=True, slots=True)
class LookFor:
    """A range of numbers, as positions of its series, both inclusive; the marks, best first; and days of narrowing."""

    series: str
    first: int
    last: int
    marks: tuple[str, ...]
    days: float


def look_for(limits: LimitsResult, changeovers: Iterable[Changeover]) -> tuple[LookFor, ...]:
    """Return the ranges that are worth most, best first."""
    worth: defaultdict[tuple[str, int, int], dict[str, float]] = defaultdict(dict)
    for changeover in changeovers:
        for (first, last), days in _worth(limits, changeover):
            marks = worth[changeover.series, first, last]
            marks[changeover.mark] = max(days, marks.get(changeover.mark, 0.0))
    found = [
        LookFor(series, first, last, tuple(sorted(marks, key=lambda mark: -marks[mark])), sum(marks.values()))
        for (series, first, last), marks in worth.items()
    ]
    return tuple(sorted(found, key=lambda one: (-one.days, one.series, one.first))[:_MOST])


def is_any_worth_looking(limits: LimitsResult, changeovers: Iterable[Changeover]) -> bool:
    """Tell whether `look_for` finds any; no changeover is asked for after the first that has one."""
    return any(True for changeover in changeovers for _ in _worth(limits, changeover))


def _worth(limits: LimitsResult, changeover: Changeover) -> Iterator[tuple[tuple[int, int], float]]:
    line = limits.lines.get(changeover.series)
    if line is None or not line.is_dated:
        return
    origin = limits.moments.guide.production.first
    old, new = changeover.course.spells[changeover.at : changeover.at + 2]
    went, came = day_of(old.last.earliest, origin), day_of(new.first.latest, origin)
    low, high = day_of(new.first.earliest, origin), max(went, came)
    if max(_days(went, high), _days(low, came)) < _WORTH:  # whatever is believed
        return
    ranges = [(one, line.day_at((one[0] + one[1]) / 2)) for one in ranges_of(line)]
    believed = [
        (one, day, chance if low <= day <= high else 0.0)
        for (one, day), chance in zip(ranges, changeover.within, strict=True)
    ]
    whole, passed = sum(chance for _, _, chance in believed), 0.0
    for one, day, chance in believed if whole > 0 else ():
        is_old = 1 - (passed + chance / 2) / whole
        passed += chance
        if low <= day <= high:
            days = is_old * _days(went, day) + (1 - is_old) * _days(day, came)
            if days >= _WORTH:
                yield one, days


def _days(earlier: date, later: date) -> int:
    return max(0, (later - earlier).days)
