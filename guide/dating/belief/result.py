"""What the key concludes, in figures: spans, chances, numbers. `guide.dating.result_sentences` says it in sentences."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property

from guide.dating.belief.delay import delayed_cars
from guide.dating.belief.look import period_chances
from guide.dating.belief.number import numbers_in
from guide.dating.belief.prepare import Prepared
from guide.dating.belief.span import Stretch, days_between, pieces_of, shortest, shortest_within
from guide.dating.belief.state import State, chance_of_forms

__all__ = ["Concluded", "SeriesNumbers", "dates_of", "day_of", "widest"]


@dataclass(frozen=True, slots=True)
class SeriesNumbers:
    """The numbers that the car would carry if it is of a series, and the chance that it is."""

    series: int
    first: str
    last: str
    chance: float


@dataclass(frozen=True)
class Concluded:
    """The figures of a result, each worked out when it is asked for."""

    state: State

    @cached_property
    def spans(self) -> tuple[tuple[float, Stretch], ...]:
        """Each level with its stretch, a level with a hole twice."""
        edges, line = self.state.by_days(self.state.line)
        spans: list[tuple[float, Stretch]] = []
        outer: Stretch | None = None
        for level in self.state.prepared.model.telling.spans:
            outer = shortest_within(edges, line, level, outer) if outer else shortest(edges, line, level)
            spans += [(level, part) for part in _parts(self.state, outer)]
        return tuple(spans)

    @cached_property
    def periods(self) -> tuple[float, ...]:
        """The chance of each period; the last is "in none"."""
        return tuple(period_chances(self.state.prepared, self.state.line, self.state.weights))

    @property
    def interiors(self) -> list[float]:
        """The chance of each interior."""
        return _interiors(self.state)

    @property
    def specifications(self) -> list[tuple[dict[str, str], float]]:
        """The chance of each specification."""
        return _specifications(self.state)

    @cached_property
    def numbers(self) -> list[SeriesNumbers]:
        """The numbers that the car would carry, by series."""
        return _numbers(self.state)

    def at(self, level: float) -> list[Stretch]:
        """Return the stretches that together hold ``level``: one, or the two either side of a hole."""
        return [stretch for of, stretch in self.spans if of == level]

    @property
    def nine(self) -> list[Stretch]:
        """The stretches of the widest span, which holds nine in ten."""
        return self.at(self.spans[0][0])

    @property
    def length(self) -> float:
        """How many days lie between the first and the last of the nine in ten."""
        return self.nine[-1].end - self.nine[0].start


def day_of(prepared: Prepared, day: int) -> date:
    """Return the date of a day counted from the origin."""
    return date.fromisoformat(prepared.model.origin) + timedelta(days=day)


def widest(state: State) -> list[Stretch]:
    """Return the stretches of the widest span alone, as `Concluded.nine` has them."""
    model = state.prepared.model
    return _parts(state, shortest(*state.by_days(state.line), model.telling.spans[0]))


def _parts(state: State, whole: Stretch) -> list[Stretch]:
    """Return a span, or the two parts either side of its hole."""
    telling = state.prepared.model.telling
    return pieces_of(*state.by_days(state.line), whole, hole_share=telling.hole_share, hole_weight=telling.hole_weight)


def _interiors(state: State) -> list[float]:
    model = state.prepared.model
    mark = next((at for at, one in enumerate(model.marks) if one.kind == "interior"), None)
    if mark is None:
        return [1.0] * len(model.interiors)
    chances = chance_of_forms(state, mark, leave_out=False)
    by_id = {form.id: chance for form, chance in zip(model.marks[mark].forms, chances, strict=True)}
    return [by_id.get(one.id, 0.0) for one in model.interiors]


def _specifications(state: State) -> list[tuple[dict[str, str], float]]:
    splits_of = [tuple(one.splits.items()) for one in state.prepared.model.specifications]
    chances = dict.fromkeys(splits_of, 0.0)
    for (_, c), weight in zip(state.prepared.rows, state.by_row, strict=True):
        chances[splits_of[c]] += weight
    return [(dict(splits), chance) for splits, chance in chances.items()]


def _numbers(state: State) -> list[SeriesNumbers]:
    prepared, found = state.prepared, []
    for at in range(len(prepared.model.series)):
        rows = [row for row, (s, _) in enumerate(prepared.rows) if s == at]
        chance = sum(state.by_row[row] for row in rows)
        if chance < prepared.model.telling.series:
            continue
        by_row = [_by_number(state, row) for row in rows]
        line = [sum(column) for column in zip(*by_row, strict=True)]
        whole = shortest(prepared.model.edges, line, prepared.model.telling.widest)
        ends = numbers_in(prepared, at, whole.start, whole.end)
        if ends is not None:
            found.append(SeriesNumbers(at, ends[0], ends[1], chance))
    return found


def _by_number(state: State, row: int) -> list[float]:
    """Return the weight of a row's bins by when its cars' numbers were given out."""
    bins, span = state.prepared.bins, state.prepared.assembled[row]
    line = list(state.weights[row * bins : (row + 1) * bins])
    return line if span is None else delayed_cars(state.prepared.model.edges, line, (-span[1], -span[0]))


def dates_of(prepared: Prepared, stretch: Stretch) -> tuple[date, date]:
    """Return the first and last date of a stretch, inclusive."""
    first, last = days_between(stretch)
    return day_of(prepared, first), day_of(prepared, last)
