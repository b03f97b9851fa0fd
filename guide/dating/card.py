"""The walk-round card: the key on paper. Whole-number points per answer and period, added down the columns.

The points of an answer are its log likelihoods per period, less the least of them, scaled so that the sharpest
answer on the card is worth `MOST_POINTS`, and rounded. The points to start with are those of how many cars
each period has. The column with the most points is the period; a swapped part costs it only a few.

The marks are chosen one by one, each the one that makes the card surest of the true period over drawn cars (so
two marks of one changeover are not both taken for what one tells). How often the card is right, and how often
it agrees with the key, is then tried on other drawn cars and printed with it.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import islice
from operator import add, mul

from guide.dating.belief.evidence import Answer, Session
from guide.dating.belief.look import period_chances
from guide.dating.belief.prepare import Prepared
from guide.dating.belief.sample import Drawn, Sampler
from guide.dating.belief.state import Cells, believe, over_time
from guide.dating.tell_apart import form_shares

__all__ = ["MOST_POINTS", "Card", "CardMaker", "CardMark"]

MOST_POINTS = 9
_MOST_FORMS = 4  # an entry with more answers does not fit on paper
_SAME = 1e-9  # chances of a report that differ by no more tell no period from another
_TO_CHOOSE, _TO_TRY = 300, 500


@dataclass(frozen=True, slots=True)
class CardMark:
    """One entry of the card: for each form that may be answered its points per period."""

    mark: str
    points: Mapping[str, tuple[int, ...]]


@dataclass(frozen=True, kw_only=True, slots=True)
class Card:
    """The card, its marks in walking order. Periods are those of its maker, in order.

    ``right`` is the share of ``cars`` drawn cars whose period the card names, ``key_right`` that of the key with
    the same answers, ``agree`` the share for which both name the same period.
    """

    start: tuple[int, ...]
    marks: tuple[CardMark, ...]
    cars: int
    right: float
    key_right: float
    agree: float


class CardMaker:
    """Makes the card of a model with as many marks as there is room for; the same model and seed give the same card.

    What does not depend on that number is worked out once: a card of fewer marks has those that were chosen first.
    Where a guide has several models a card is for one of them, known by its ``series``: it has no column for another's
    periods and no mark that tells none of its own apart.
    """

    def __init__(self, prepared: Prepared, seed: int = 1, series: Collection[int] = ()) -> None:
        self.prepared = prepared = _of_series(prepared, series) if series else prepared
        periods = prepared.model.periods
        self.periods = [at for at, one in enumerate(periods) if not series or any(map(one.holds, series))]
        """The columns, by index into the model's periods."""
        self._logs = _log_chances(prepared, self.periods)
        self._usable = [
            at
            for at, one in enumerate(prepared.model.marks)
            if one.ask and one.kind == "mark" and 1 < len(one.forms) <= _MOST_FORMS
            if not series or any(max(row) - min(row) > _SAME for row in self._logs[at])
        ]
        sharpest = max((max(row) - min(row) for at in self._usable for row in self._logs[at]), default=1.0)
        self._scale = MOST_POINTS / sharpest if sharpest > 0.0 else 0.0
        self.points = [
            [[round(self._scale * (value - min(row))) for value in row] for row in mark] for mark in self._logs
        ]
        every = period_chances(prepared, over_time(prepared, prepared.weights), prepared.weights)
        sizes = [every[at] for at in self.periods]
        least = min((size for size in sizes if size > 0.0), default=1.0)
        self.start = tuple(round(self._scale * math.log(size / least)) if size > 0.0 else 0 for size in sizes)
        self._seed = seed
        self._order: list[int] = []  # the marks chosen so far, best first
        self._cards: dict[int, Card] = {}

    def marks(self, count: int) -> tuple[CardMark, ...]:
        """Return the ``count`` best marks, or as many as there are, in walking order."""
        marks = self.prepared.model.marks
        return tuple(
            CardMark(
                marks[at].id,
                {form.id: tuple(points) for form, points in zip(marks[at].forms, self.points[at], strict=True)},
            )
            for at in self._chosen(count)
        )

    def card(self, count: int) -> Card:
        """Return the card of the ``count`` best marks, or as many as there are, with how often it is right."""
        if count not in self._cards:
            cars = self._cars[1]
            right, key_right, agree = (hits / len(cars) for hits in self._try(self._chosen(count), cars))
            self._cards[count] = Card(
                start=self.start, marks=self.marks(count), cars=len(cars), right=right, key_right=key_right, agree=agree
            )
        return self._cards[count]

    @cached_property
    def _cars(self) -> tuple[list[Drawn], list[Drawn]]:
        """The drawn cars that marks are chosen with, and those that the card is tried on."""
        draw = Sampler(self.prepared, self._seed).draw
        return [draw() for _ in range(_TO_CHOOSE)], [draw() for _ in range(_TO_TRY)]

    def _period_of(self, car: Drawn) -> int:
        """Return the column that a car's period has; their number for one of none."""
        period = _period_of(self.prepared, car.cell)
        return self.periods.index(period) if period in self.periods else len(self.periods)

    def _chosen(self, count: int) -> list[int]:
        """Return the ``count`` best marks in walking order."""
        self._order += islice(self._best, max(0, count - len(self._order)))
        return sorted(self._order[:count])

    @cached_property
    def _best(self) -> Iterator[int]:
        """The marks, best first, each chosen when it is asked for."""
        drawn = [(self._period_of(car), car.reported) for car in self._cars[0]]
        drawn = [(true, reported) for true, reported in drawn if true < len(self.start)]
        truth, shown = [true for true, _ in drawn], list(zip(*(reported for _, reported in drawn), strict=True))
        totals = [self.start for _ in truth]
        unit = 1.0 / self._scale if self._scale > 0.0 else 0.0
        most = max(self.start, default=0) + MOST_POINTS * (len(self._usable) + 1)
        less = [math.exp(-points * unit) for points in range(most)]  # so many points less than the best column has
        while self._usable:
            alike: dict[tuple[int, ...], int] = {}  # cars that have the same points so far
            cars = [(alike.setdefault(total, len(alike)), true) for total, true in zip(totals, truth, strict=True)]
            scores = [round(self._score(mark, shown, cars, list(alike), unit, less), 6) for mark in self._usable]
            best = self._usable.pop(scores.index(max(scores)))
            yield best
            totals = [
                tuple(map(add, total, self.points[best][form]))
                for total, form in zip(totals, shown[best] if shown else (), strict=True)
            ]

    def _score(
        self,
        mark: int,
        shown: Sequence[Sequence[int]],
        cars: Sequence[tuple[int, int]],
        totals: Sequence[tuple[int, ...]],
        unit: float,
        less: Sequence[float],
    ) -> float:
        """Return the log chance of the true periods with one more mark, all cars together.

        ``cars`` are each its number among ``totals``, the points so far, and its true column; those that have the same
        points and show the same form are weighed once. ``less`` is what so many points less are worth.
        """
        score, points = 0.0, self.points[mark]
        weighed: list[dict[int, tuple[list[int], float]]] = [{} for _ in points]
        for (number, true), form in zip(cars, shown[mark] if shown else (), strict=True):
            found = weighed[form].get(number)
            if found is None:
                after = list(map(add, totals[number], points[form]))
                most = max(after)
                found = weighed[form][number] = (
                    after,
                    most * unit + math.log(sum([less[most - value] for value in after])),
                )
            score += found[0][true] * unit - found[1]
        return score

    def _try(self, chosen: Sequence[int], cars: Sequence[Drawn]) -> tuple[int, int, int]:
        """Return for how many cars the card names the period, the key does, and both name the same."""
        named: dict[tuple[int, ...], tuple[int, int]] = {}  # of cars that show the same: by the card, by the key
        right = key_right = agree = 0
        for car in cars:
            shown = tuple(car.reported[mark] for mark in chosen)
            if shown not in named:
                named[shown] = self._by_card(chosen, shown), self._by_key(chosen, shown)
            by_card, by_key = named[shown]
            true = self._period_of(car)
            right += by_card == true
            key_right += by_key == true
            agree += by_card == by_key
        return right, key_right, agree

    def _by_card(self, chosen: Sequence[int], shown: Sequence[int]) -> int:
        """Return the column that the card names for a car that shows these forms."""
        total = list(self.start)
        for mark, form in zip(chosen, shown, strict=True):
            total = list(map(add, total, self.points[mark][form]))
        return total.index(max(total))

    def _by_key(self, chosen: Sequence[int], shown: Sequence[int]) -> int:
        """Return the column that the key names for a car that shows these forms."""
        marks = [self.prepared.model.marks[mark] for mark in chosen]
        answers = (Answer(mark.id, (mark.forms[form].id,)) for mark, form in zip(marks, shown, strict=True))
        state = believe(self.prepared, Session(tuple(answers)))
        every = period_chances(self.prepared, state.line, state.weights)
        chances = [every[at] for at in self.periods]
        return chances.index(max(chances))


def _of_series(prepared: Prepared, series: Collection[int]) -> Prepared:
    """Return a model as it is where only cars of some series are looked at: what is remembered by weight is its own."""
    bins = prepared.bins
    cells = [w if prepared.rows[at // bins][0] in series else 0.0 for at, w in enumerate(prepared.weights)]
    whole = sum(cells)
    return replace(
        prepared, weights=tuple(weight / whole for weight in cells), by_era={}, rows_by_era=[], said={}, peaks={}
    )


def _period_of(prepared: Prepared, cell: int) -> int:
    row, t = divmod(cell, prepared.bins)
    return prepared.period_of[prepared.rows[row][0]][t]


def _log_chances(prepared: Prepared, periods: Sequence[int]) -> list[list[list[float]]]:
    """Return ``logs[mark][form reported][period]``: the log of the chance of that report from such a car."""
    within = [
        Cells(prepared, [w if _period_of(prepared, cell) == at else 0.0 for cell, w in enumerate(prepared.weights)])
        for at in periods
    ]
    logs = []
    for mark, reports in enumerate(prepared.reports):
        shares = [form_shares(cars, mark) for cars in within]
        logs.append([[math.log(max(sum(map(mul, said, row)), 1e-12)) for row in shares] for said in reports])
    return logs
