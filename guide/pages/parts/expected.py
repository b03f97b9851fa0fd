"""What to expect at each mark on cars of one kind, in words and drawings, for pages and sheets."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, TypeVar

from guide.dating.fitted import Fitted, FittedMark
from guide.dating.key import Cars, Key, told_by
from guide.facts.reads import Question, remembered, resting
from guide.facts.types import Area, Form, Guide, Interior, Mark, Period
from guide.pages.parts.models import beside
from guide.pages.shelf import Shelf, answered
from guide.sentence import Value, chained, in_ten, lower_first, sentence, upper_first

__all__ = [
    "LEAST",
    "USUAL",
    "ExpectedMark",
    "by_area",
    "expected_of",
    "fitted_to",
    "most_telling",
    "trim_share_said",
    "usual_first",
]

T = TypeVar("T")

LEAST_SHARE = 0.001  # of a period's cars: an interior that fewer had is not spoken of
LEAST = 0.02  # a form that fewer of these cars had is not spoken of
USUAL = 0.95  # a form that at least so many had stands alone


@dataclass(frozen=True, slots=True)
class ExpectedMark:
    """One mark as these cars had it, and in the words of the guide."""

    mark: Mark
    fitted: FittedMark
    forms: tuple[tuple[Form, float], ...]  # those fitted, most usual first, each with its chance

    @property
    def usual(self) -> Form:
        """The form that most of these cars had."""
        return self.forms[0][0]

    @property
    def open(self) -> bool:
        """Whether more than one form has to be reckoned with."""
        return len(self.forms) > 1

    @property
    def says(self) -> Value:
        """What to expect: one form, or each with how many had it."""
        if not self.open:
            return self.usual.answer
        each = (
            sentence("pages.look.some", form=lower_first(form.answer), share=in_ten(chance))
            for form, chance in self.forms
        )
        return upper_first(chained("words.then_after_stop", each))


def usual_first(chances: Mapping[T, float]) -> list[tuple[T, float]]:
    """Return what is worth saying of some cars, most usual first: alone what nearly all had, nothing that few had."""
    found = sorted(chances.items(), key=lambda pair: -round(pair[1], 6))  # stable: ties keep the order they came in
    return found[:1] if found and found[0][1] >= USUAL else [pair for pair in found if pair[1] >= LEAST]


@answered
def fitted_to(shelf: Shelf, cars: Cars) -> list[FittedMark]:
    """Return what the works can have fitted to some cars: those of a period, of an interior."""
    kept: dict[Cars, Any] = shelf.known.setdefault(fitted_to, {})
    for other in [one for one in kept if one.interior and one.period and one != cars]:  # one page alone asks for such
        del kept[other]
    with resting("key"):
        return remembered(kept, cars, lambda: _fitted_to(shelf.key, cars))


def _fitted_to(key: Key, cars: Cars) -> list[FittedMark]:
    def fitted(marks: Sequence[int]) -> list[FittedMark | None]:
        weights = key.cells_of(replace(cars, interior="")).weights
        told = Fitted(key.prepared, lambda _: weights, {"interior": (cars.interior,)} if cars.interior else {})
        return [told.at(mark) for mark in marks]

    trims = [mark.id for mark in key.model.marks if mark.kind == "interior"]  # by which kinds of car are told apart
    found = key.of_each_mark(Question(f"{__name__}.fitted_to", (cars,)), (*told_by(cars), *trims), fitted)
    return [one for one in found if one is not None]


@answered
def _fitted_at(shelf: Shelf, cars: Cars, marks: tuple[str, ...]) -> list[FittedMark]:
    """Return `fitted_to` of some marks."""
    return [one for one in fitted_to(shelf, cars) if shelf.model.marks[one.mark].id in marks]


def expected_of(shelf: Shelf, cars: Cars, marks: tuple[str, ...] | None = None) -> list[ExpectedMark]:
    """Return what to expect at every mark that these cars can have, or at some, in walking order."""
    found = []
    for fitted in fitted_to(shelf, cars) if marks is None else _fitted_at(shelf, cars, marks):
        mark = shelf.guide.marks.get(shelf.model.marks[fitted.mark].id)
        if mark is not None:
            forms = list(mark.forms.values())
            found.append(ExpectedMark(mark, fitted, tuple((forms[one.form], one.chance) for one in fitted.forms)))
    return found


@answered
def most_telling(shelf: Shelf, cars: Cars, periods: tuple[str, ...] | None = None) -> list[str]:
    """Return the ids of the marks that tell these cars from those of some periods, else of all others of their model,
    best first.

    A mark that is never asked for, because no verdict may rest on it, is not among them.
    """
    every = shelf.guide.periods.values() if not cars.period else beside(shelf, shelf.guide.periods[cars.period])
    others = [one.id for one in every] if periods is None else periods
    asked = [mark for mark in shelf.guide.marks.values() if mark.ask]
    with resting("key"):
        return shelf.key.most_telling(asked, cars, [Cars(period=other) for other in others if other != cars.period])


def trim_share_said(shelf: Shelf, period: Period, interior: Interior) -> Value:
    """Return how many of a period's cars had an interior; empty where next to none had."""
    share = _share_of(shelf, Cars(period=period.id, interior=interior.id), Cars(period=period.id))
    return in_ten(share) if share > LEAST_SHARE else ""


@answered
def _share_of(shelf: Shelf, cars: Cars, among: Cars) -> float:
    with resting("key"):
        shelf.key.rest_on(*told_by(cars, among))
        return shelf.key.share_of(cars, among)


def by_area(guide: Guide, things: Mapping[str, T]) -> list[tuple[Area, list[T]]]:
    """Return things, given by mark, by the area of the car in walking order; areas without any are left out."""
    grouped = ((area, [things[mark] for mark in area.marks if mark in things]) for area in guide.areas.values())
    return [(area, found) for area, found in grouped if found]
