"""What the works can have fitted to a car seen, by its number, its date and what it is as a whole; no look counted."""

from __future__ import annotations

from array import array
from bisect import bisect_left
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from guide.dating.belief.evidence import Answer, Session
from guide.dating.belief.state import ImpossibleEvidence, chance_of_forms
from guide.dating.key import Key
from guide.facts.reads import Question
from guide.facts.recall import recalled_of_each
from guide.facts.types import CarSeen
from guide.tally.changeovers import KnownCar

__all__ = ["BuiltWith", "built_with", "whole_car", "whole_marks"]


@dataclass(frozen=True, slots=True)
class BuiltWith:
    """A car with the chance of each form of the marks that were looked at: packed, for of all cars there are many."""

    known: KnownCar
    _numbers: Mapping[str, int]  # of all marks, by id
    _marks: array[int]  # the numbers of those that were looked at, rising
    _starts: array[int]  # where the chances of each begin, and where the last end
    _chances: array[float]

    def chances_of(self, mark: str) -> tuple[float, ...]:
        """Return the chance of each form of a mark, in order; none of one not looked at, or not known to the key."""
        number = self._numbers.get(mark, -1)
        at = bisect_left(self._marks, number)
        if at == len(self._marks) or self._marks[at] != number:
            return ()
        return tuple(self._chances[self._starts[at] : self._starts[at + 1]])


def whole_marks(key: Key) -> list[str]:
    """Return the marks of what a car is as a whole."""
    return [mark.id for mark in key.model.marks if mark.kind != "mark"]


def whole_car(key: Key, car: CarSeen) -> list[Answer]:
    """Return what was noted of a car as a whole, as answers of the key."""
    marks = whole_marks(key)
    return [Answer.of(split, (value,)) for split, value in car.splits.items() if split in marks]


def built_with(key: Key, known: KnownCar) -> BuiltWith | None:
    """Return what the works can have fitted to a car; None where nothing tells its time."""
    car = known.car
    number = "+".join(one.written for one in car.numbers if one.series in known.at) or None
    papers = {"assembled": car.built.text} if car.built is not None and car.built.is_date else {}
    if number is None and not papers:
        return None
    looked = {report.mark for report in car.reports}
    marks = array("l", (at for at, mark in enumerate(key.model.marks) if mark.id in looked))

    def chances_of(some: Sequence[int]) -> list[list[float]]:
        try:
            state = key.dated(Session(tuple(whole_car(key, car)), number, known=papers)).state
        except (ImpossibleEvidence, ValueError):
            return [[] for _ in some]
        return [chance_of_forms(state, marks[at], leave_out=False) for at in some]

    own = [(key.model.marks[at], "tables") for at in marks]
    question = Question(f"{__name__}.built_with", (car.id,))
    starts, chances = array("l", [0]), array("d")
    for one in recalled_of_each(question, key.parts_of(*whole_marks(key)), own, chances_of):
        if not one:
            return None
        chances.extend(one)
        starts.append(len(chances))
    return BuiltWith(known, key.prepared.marks_by_id, marks, starts, chances)
