"""What the works can have fitted to cars seen, by number, date and what each is as a whole; no look counted.

A car's number tells it from all cars in few cells of the model; in the others of a row it is as likely as they, times
one factor. So the chance of each form is a sum over those few cells and over the whole rows, what all cars of a row
were built with being worked out once. Only of marks about which something was said is it asked of the belief itself.
"""

from __future__ import annotations

from array import array
from bisect import bisect_left
from collections import Counter, defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import repeat
from operator import itemgetter, mul, sub
from typing import Any, NamedTuple

from guide.dating.belief.blocks import expand, forms_built
from guide.dating.belief.evidence import Answer, Session
from guide.dating.belief.prepare import Block, Prepared
from guide.dating.belief.state import ImpossibleEvidence, State, chance_of_forms
from guide.dating.key import Key
from guide.facts.reads import Question
from guide.facts.recall import recalled, recalled_of_each
from guide.facts.types import CarSeen
from guide.tally.changeovers import KnownCar

__all__ = ["BuiltWith", "built_with", "whole_car", "whole_marks"]

_LEAST = 1e-15  # of all that a car weighs: what is less in a cell is left out


@dataclass(frozen=True, slots=True)
class BuiltWith:
    """A car with the chance of each form of the marks that were looked at: packed, for of all cars there are many."""

    known: KnownCar
    _numbers: Mapping[str, int]  # of all marks, by id
    _marks: array[int]  # the numbers of those that were looked at, rising
    _starts: array[int]  # where the chances of each begin, and where the last end
    _chances: array[float]

    def chances_of(self, mark: str) -> Sequence[float]:
        """Return the chance of each form of a mark, in order; none of one not looked at, or not known to the key."""
        number = self._numbers.get(mark, -1)
        at = bisect_left(self._marks, number)
        if at == len(self._marks) or self._marks[at] != number:
            return ()
        return self._chances[self._starts[at] : self._starts[at + 1]]


def whole_marks(key: Key) -> list[str]:
    """Return the marks of what a car is as a whole."""
    return [mark.id for mark in key.model.marks if mark.kind != "mark"]


def whole_car(key: Key, car: CarSeen) -> list[Answer]:
    """Return what was noted of a car as a whole, as answers of the key."""
    marks = whole_marks(key)
    return [Answer.of(split, (value,)) for split, value in car.splits.items() if split in marks]


def built_with(key: Key, cars: Sequence[KnownCar]) -> list[BuiltWith | None]:
    """Return what the works can have fitted to each of some cars; None of one of which nothing tells its time."""
    forms = _FormsOfAll(key.prepared)
    return [_built_with(key, known, forms) for known in cars]


def _built_with(key: Key, known: KnownCar, forms: _FormsOfAll) -> BuiltWith | None:
    car = known.car
    number = "+".join(one.written for one in car.numbers if one.series in known.at) or None
    papers = {"assembled": car.built.text} if car.built is not None and car.built.is_date else {}
    if number is None and not papers:
        return None
    looked = {report.mark for report in car.reports}
    marks = array("l", (at for at, mark in enumerate(key.model.marks) if mark.id in looked))

    believed: list[State | None] = []  # asked for only where it is needed

    def state() -> State | None:
        if not believed:
            try:
                believed.append(key.dated(Session(tuple(whole_car(key, car)), number, known=papers)).state)
            except (ImpossibleEvidence, ValueError):
                believed.append(None)
        return believed[0]

    def beside() -> _Beside | None:
        key.rest_on(*whole)
        return None if (found := state()) is None else _beside(found)

    def chances_of(some: Sequence[int]) -> list[list[float]]:
        found = recalled(Question(f"{__name__}.beside", (car.id,)), beside)
        if found is None:
            return [[] for _ in some]
        weighed, block_of = _Weighed(key.prepared, found, forms), key.prepared.block_of
        return [
            chance_of_forms(told, marks[at], leave_out=False)
            if block_of[marks[at]] in found.said and (told := state()) is not None
            else weighed.chances(marks[at])
            for at in some
        ]

    own, whole = [(key.model.marks[at], "tables") for at in marks], whole_marks(key)
    question = Question(f"{__name__}.built_with", (car.id,))
    starts, chances = array("l", [0]), array("d")
    for one in recalled_of_each(question, key.parts_of(*whole), own, chances_of):
        if not one:
            return None
        chances.extend(one)
        starts.append(len(chances))
    return BuiltWith(known, key.prepared.marks_by_id, marks, starts, chances)


class _FormsOfAll:
    """What all cars were built with, by mark: for each form its chance in each cell of the rows that the mark's block
    tells apart, and then its share of the whole build in each row of the model."""

    def __init__(self, prepared: Prepared) -> None:
        self._prepared = prepared
        self._lines: dict[int, list[array[float]]] = {}

    def of(self, mark: int) -> list[array[float]]:
        """Return the line of each form of a mark."""
        if mark not in self._lines:
            prepared, bins = self._prepared, self._prepared.bins
            block = prepared.blocks[prepared.block_of[mark]]
            self._lines[mark] = []
            for line in forms_built(prepared, mark):
                cells = expand(block, line)
                whole = [
                    sum(map(mul, prepared.weights[row * bins : (row + 1) * bins], cells[own * bins : (own + 1) * bins]))
                    for row, own in enumerate(block.row_of)
                ]
                self._lines[mark].append(array("d", cells + whole))
        return self._lines[mark]


class _Beside(NamedTuple):
    """A car's weights as what they are beside those of all cars: in each row a factor, and by how much more or less it
    is than by that in a few cells. ``said``: the blocks about which something was said."""

    factors: list[float]
    cells: list[tuple[int, int, float]]  # row, bin, and how much more it is there
    said: tuple[int, ...]


def _beside(state: State) -> _Beside:
    prepared, bins = state.prepared, state.prepared.bins
    found = _Beside([], [], tuple(state.as_built))
    for row in range(len(prepared.rows)):
        own, every = (of[row * bins : (row + 1) * bins] for of in (state.weights, prepared.weights))
        ((factor, _),) = Counter(one / of_all for one, of_all in zip(own, every, strict=True) if of_all).most_common(1)
        found.factors.append(factor)
        beside = map(sub, own, map(mul, every, repeat(factor)))
        found.cells.extend((row, t, more) for t, more in enumerate(beside) if abs(more) > _LEAST)
    return found


class _Weighed:
    """What a car was built with, of marks about which nothing was said."""

    def __init__(self, prepared: Prepared, beside: _Beside, forms: _FormsOfAll) -> None:
        self._prepared, self._beside, self._forms = prepared, beside, forms
        self._taken: dict[int, tuple[Callable[[array[float]], Any], list[float]]] = {}  # by how blocks part the rows

    def chances(self, mark: int) -> list[float]:
        """Return the chance of each form of a mark."""
        block = self._prepared.blocks[self._prepared.block_of[mark]]
        if id(block.row_of) not in self._taken:
            self._taken[id(block.row_of)] = self._take(block)
        take, weights = self._taken[id(block.row_of)]
        chances = [sum(map(mul, weights, take(line))) for line in self._forms.of(mark)]
        whole = sum(chances)
        return [chance / whole for chance in chances]

    def _take(self, block: Block) -> tuple[Callable[[array[float]], Any], list[float]]:
        """Return what takes of a line what the car weighs something at, and that."""
        bins, held = self._prepared.bins, defaultdict[int, float](float)
        for row, t, more in self._beside.cells:
            held[block.row_of[row] * bins + t] += more
        for row, factor in enumerate(self._beside.factors):
            held[block.row_count * bins + row] = factor
        return itemgetter(*held, 0), list(held.values())
