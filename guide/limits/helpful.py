"""What to go and look at: the cars that would be expected to narrow a mark's limits most.

Theory
------
Between a form and the next, an untouched car finished at time t narrows limits in one of two ways. With the
new form it brings the latest of the new form's first down to t; with the old one it brings the earliest of
the old form's last up to t. Taking the moment in question as spread evenly over its limits [E, L], such a car
has the new form with chance (t - E) / (L - E) and then narrows by L - t; likewise for the old form. The gain
to be expected is greatest in the middle. What counts is not t but the days that the calendar allows the car. Where
nothing states the old form's last, its limits run to the end of production; for this purpose they are cut
`helpful_overlap_days` after the new form is first known, where old stock is still likely.

A moment whose car a paper names needs no car of that series to settle it: by number it is known. Nor does one that is
told by another number on the car, its body's say, or one of cars put together long after their number. Every car worth
`helpful_share` of the best is named with it. In a series without a calendar days tell no cars apart, and numbers alone
count: the change is taken as spread evenly between the last car known with the old form and the first with the new.
Where no car is worth `helpful_days`, what would help is a paper: the widest last that nothing states.
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from typing import Any

from guide.constants import value_of
from guide.facts.reads import Question, remembered
from guide.facts.recall import recalled
from guide.facts.types import FormRef, Mark
from guide.finding import TICKS_PER_DAY
from guide.limits.moments import Moments
from guide.limits.positions import SeriesLine
from guide.limits.scopes import Dimensions
from guide.limits.types import DatedSpell, day_of
from guide.limits.wording import form_said, scope_said
from guide.sentence import Sentence, sentence

__all__ = ["Helpful"]


_Pair = tuple[DatedSpell, DatedSpell]
"""A spell and the one that follows it in the same kind of car."""


@dataclass(frozen=True, slots=True)
class _Wanted:
    """A moment that a car could narrow down: a form's first from above or another's last from below."""

    spell: DatedSpell
    early: bool  # True: the first of the new form; False: the last of the old one
    low: date
    high: date

    def worth(self, line: SeriesLine, position: int) -> float:
        """Return how many days a car is expected to narrow the moment's limits by."""
        if position in line.own_days:
            return 0.0
        wide = (self.high - self.low).days
        earliest, latest = line.days_at(position)
        passed = (line.day_at(position) - self.low).days
        if not 0 < passed < wide:
            return 0.0
        gain = (self.high - latest).days if self.early else (earliest - self.low).days
        return (passed if self.early else wide - passed) / wide * max(0, gain)


class Helpful(Mapping[str, Sentence]):
    """For each mark the cars, or else the paper, that would be expected to narrow its limits most; each is worked out
    when it is first asked for."""

    def __init__(self, moments: Moments, spells: Sequence[DatedSpell]) -> None:
        self._moments, self._spells = moments, spells
        self._known: dict[Any, Any] = {}

    def __getitem__(self, mark: str) -> Sentence:
        question = Question(f"{__name__}.best", (mark,))
        best: Sentence | None = remembered(
            self._known, question, lambda: recalled(question, lambda: self._best(self._moments.guide.marks[mark]))
        )
        if best is None:
            raise KeyError(mark)
        return best

    def __iter__(self) -> Iterator[str]:
        return (mark for mark in self._moments.guide.marks if mark in self)

    def __len__(self) -> int:
        return sum(1 for _ in self)

    def _best(self, mark: Mark) -> Sentence | None:
        moments = self._moments
        alike, dimensions, by_mark = remembered(self._known, "all", self._of_all)
        followed = list(_followed(mark, by_mark.get(mark.id, [])))
        by_number = [pair for pair in followed if not _is_told_otherwise(moments, dimensions, pair)]
        best = _best_cars(moments, alike, mark, by_number) or _best_numbers(moments, mark, by_number)
        return best or _best_paper(moments, followed)

    def _of_all(self) -> tuple[Mapping[str, Sequence[range]], Dimensions, Mapping[str, list[DatedSpell]]]:
        by_mark: dict[str, list[DatedSpell]] = {}
        for spell in self._spells:
            by_mark.setdefault(spell.mark, []).append(spell)
        alike = {series: _alike(line) for series, line in self._moments.lines.items()}
        return alike, Dimensions(self._moments.guide), by_mark


def _wanted(moments: Moments, followed: Sequence[_Pair]) -> Iterator[_Wanted]:
    """Yield the moments that cars could narrow."""
    origin = moments.guide.production.first
    overlap = timedelta(days=value_of("helpful_overlap_days", moments.guide.overrides))
    for old, new in followed:
        known = day_of(new.first.latest, origin)
        yield _Wanted(new, True, day_of(new.first.earliest, origin), known)
        low, high = day_of(old.last.earliest, origin), day_of(old.last.latest, origin)
        if not old.last_is_stated:
            high = min(high, max(low, known) + overlap)
        yield _Wanted(old, False, low, high)


def _followed(mark: Mark, spells: list[DatedSpell]) -> Iterator[_Pair]:
    """Yield each spell with the one that follows it, scope by scope along the declared order."""
    for scope in dict.fromkeys(spell.scope for spell in spells):
        here = {(spell.form, spell.spell): spell for spell in spells if spell.scope == scope}
        yield from pairwise(here[ref.form, ref.spell] for ref in mark.order if (ref.form, ref.spell) in here)


def _is_told_otherwise(moments: Moments, dimensions: Dimensions, pair: _Pair) -> bool:
    """Tell whether a change is told by a further number on its cars, or is of cars put together elsewhere."""
    told = any(spell.numbers.keys() & moments.further.keys() for spell in pair)
    return told or dimensions.assembly_of(dimensions.close(pair[0].scope)) is not None


def _alike(line: SeriesLine) -> list[range]:
    """Return the cars of a series in runs that the calendar allows the same days: one for each of its lines."""

    def days(position: int) -> tuple[date, date]:
        low, high = line.reach_of(position)
        return line.earliest_day(low), line.latest_day(high)

    runs, left = [], range(line.cars)
    while left:
        end = bisect_right(left, days(left[0]), key=days)
        runs.append(left[:end])
        left = left[end:]
    return runs


def _best_cars(
    moments: Moments, alike: Mapping[str, Sequence[range]], mark: Mark, followed: Sequence[_Pair]
) -> Sentence | None:
    best: tuple[float, _Wanted, SeriesLine, int] | None = None
    for wanted in _wanted(moments, followed):
        for series in wanted.spell.scope.values("series") or mark.scope.values("series") or moments.lines:
            line = moments.lines.get(series)
            if line is None or wanted.spell.by_number("first" if wanted.early else "last", series).says != "":
                continue
            for position in _candidates(line, alike[series], wanted):
                worth = wanted.worth(line, position)
                if best is None or worth > best[0]:
                    best = (worth, wanted, line, position)
    if best is None or best[0] < value_of("helpful_days", moments.guide.overrides):
        return None
    return _cars_said(moments, *best)


def _candidates(line: SeriesLine, alike: Sequence[range], wanted: _Wanted) -> Iterator[int]:
    """Yield positions among which is the first of those worth most, in order.

    The calendar allows all cars between two of its lines the same days; of those a car is worth the more the later it
    is for a moment seen from above, the earlier for one from below. So one for each line is enough.
    """

    def passed(position: int) -> int:
        return (line.day_at(position) - wanted.low).days

    within, wide = _positions(line, wanted), (wanted.high - wanted.low).days
    within = within[bisect_right(within, 0, key=passed) : bisect_left(within, wide, key=passed)]
    first = bisect_right(alike, within.start, key=lambda run: run.start) - 1 if within else len(alike)
    for run in alike[first:]:
        if run.start >= within.stop:
            break
        here = range(max(run.start, within.start), min(run.stop, within.stop))
        inside = [position for position in here if position not in line.strays] if line.strays else here
        if inside:
            yield inside[bisect_left(inside, passed(inside[-1]), key=passed)] if wanted.early else inside[0]


def _positions(line: SeriesLine, wanted: _Wanted) -> range:
    """Return the positions that can have been built within a moment's limits."""
    low, high = int(line.cars_by(wanted.low)) - 1, int(line.cars_by(wanted.high)) + 1
    return range(max(0, low), min(line.cars, high))


def _best_numbers(moments: Moments, mark: Mark, followed: Sequence[_Pair]) -> Sentence | None:
    """Return the cars that would narrow the widest change by number in a series without a calendar.

    A car at a share p of the way narrows the change by 2 p (1 - p) of its width: most in the middle.
    """
    best: tuple[int, range, SeriesLine, _Pair] | None = None
    for old, new in followed:
        for series in new.scope.values("series") or mark.scope.values("series") or moments.lines:
            line = moments.lines.get(series)
            last, first = old.by_number("last", series), new.by_number("first", series)
            if line is None or line.series.calendar or last.says != "" or first.says != "":
                continue
            within = range(last.low or 0, line.cars if first.high is None else first.high)
            if len(within) > 2 * line.series.out_of_order + 1 and (best is None or len(within) > best[0]):
                best = (len(within), within, line, (old, new))
    if best is None:
        return None
    _, within, line, (old, new) = best
    nearly = math.sqrt(1.0 - value_of("helpful_share", moments.guide.overrides))
    middle, aside = within[len(within) // 2], math.floor(nearly * len(within) / 2)
    is_new = new.by_number("first", line.series.id).high is not None
    cars = _from_to(moments, new, line, middle - aside, middle + aside)
    return sentence(
        "limits.helpful.early" if is_new else "limits.helpful.late",
        cars=cars,
        form=_form_of(moments, new if is_new else old),
    )


def _cars_said(moments: Moments, worth: float, wanted: _Wanted, line: SeriesLine, position: int) -> Sentence:
    """Return which cars are worth looking at: those about the best one that are nearly as good."""
    enough = worth * value_of("helpful_share", moments.guide.overrides)
    low = high = position
    while low > 0 and wanted.worth(line, low - 1) >= enough:
        low -= 1
    while high + 1 < line.cars and wanted.worth(line, high + 1) >= enough:
        high += 1
    cars = _from_to(moments, wanted.spell, line, low, high)
    way = "limits.helpful.early" if wanted.early else "limits.helpful.late"
    return sentence(way, cars=cars, form=_form_of(moments, wanted.spell))


def _from_to(moments: Moments, spell: DatedSpell, line: SeriesLine, low: int, high: int) -> Sentence:
    kind = scope_said(moments.guide, spell.scope.without("series"))
    return sentence(
        "limits.helpful.from-to-for" if kind else "limits.helpful.from-to",
        first=line.car_at(low).written,
        last=line.car_at(high).written,
        cars=kind,
    )


def _best_paper(moments: Moments, followed: Sequence[_Pair]) -> Sentence | None:
    """Return the widest last that no statement closes, where another form follows it in the same kind of car."""
    loose = [old for old, _ in followed if not old.last_is_stated]
    spell = max(loose, key=_width, default=None)
    if spell is None or _width(spell) < value_of("helpful_days", moments.guide.overrides):
        return None
    cars = scope_said(moments.guide, spell.scope)
    way = "limits.helpful.paper-for" if cars else "limits.helpful.paper"
    return sentence(way, form=_form_of(moments, spell), cars=cars)


def _width(spell: DatedSpell) -> int:
    """Return how many days lie between the printed limits of a spell's last."""
    return spell.last.latest // TICKS_PER_DAY - spell.last.earliest // TICKS_PER_DAY


def _form_of(moments: Moments, spell: DatedSpell) -> Sentence:
    return form_said(moments.guide, FormRef(spell.mark, spell.form), spell.mark)
