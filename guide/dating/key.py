"""The key: one owner of a model and of everything worked out from it, each thing once, when it is first asked for.

Checks, pages and the command ask it; none of them weighs cars or believes anything by itself. What it answers of a
car is `guide.dating.dated`'s, what tells kinds of car apart `guide.dating.tell_apart`'s, the card
`guide.dating.card`'s.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cached_property, lru_cache
from operator import mul
from typing import TYPE_CHECKING, TypeVar

from guide.dating.belief.blocks import built_with, spread
from guide.dating.belief.evidence import Answer, Session
from guide.dating.belief.prepare import Prepared, prepare
from guide.dating.belief.result import dates_of, widest
from guide.dating.belief.state import Cells, ImpossibleEvidence
from guide.dating.card import CardMaker
from guide.dating.dated import Dated
from guide.dating.model import Model, dump_model
from guide.dating.tell_apart import Told, form_shares, gain_between, rank
from guide.facts.reads import Question, Reading, note_all
from guide.facts.recall import recalled_of_each
from guide.facts.values import Scope

if TYPE_CHECKING:
    from guide.facts.types import Mark

__all__ = ["Cars", "Key", "told_by"]

V = TypeVar("V")
_LATELY = 128  # kinds of car that are remembered: periods and a few marks' forms, but not all forms
_PAIRS = 32  # of them that are remembered: those of one mark's forms
_LITTLE = 0.001  # bits: a mark that tells no more than this tells nothing


@dataclass(frozen=True, slots=True)
class Cars:
    """Some of the cars: those of a period, of an interior, built with a form of a mark, within a scope. Empty: any."""

    period: str = ""
    interior: str = ""
    built: tuple[str, str] | None = None  # mark, form
    scope: Scope = field(default_factory=Scope)

    @property
    def forms(self) -> tuple[tuple[str, str], ...]:
        """The marks that these cars are told by, each with its form; the trim is the mark ``interior``."""
        trim = (("interior", self.interior),) if self.interior else ()
        return trim if self.built is None else (*trim, self.built)


def told_by(*cars: Cars) -> list[str]:
    """Return the marks that some cars are told by."""
    return [mark for one in cars for mark, _ in one.forms]


class Key:
    """A model and everything worked out from it."""

    def __init__(self, model: Model, ready: Prepared | None = None) -> None:
        self.model = model
        self._ready = ready
        self._cells = lru_cache(_LATELY)(lambda cars: Cells(self.prepared, self._weigh(cars)))
        self._told = lru_cache(_PAIRS)(self._tell_apart)
        self._cards: dict[tuple[int, ...], CardMaker] = {}
        self._spans: dict[Answer, tuple[tuple[date, date], ...]] = {}

    @classmethod
    def of(cls, built: Model, before: Key | None = None) -> Key:
        """Return the key of a model just built; ``before`` where that is of the very same model."""
        key = cls(built)
        return before if before is not None and before.dumped == key.dumped else key

    @cached_property
    def dumped(self) -> str:
        """The model as JSON."""
        return dump_model(self.model)

    @cached_property
    def prepared(self) -> Prepared:
        """The model made ready."""
        return self._ready or prepare(self.model)

    def settle(self) -> None:
        """Forget what is remembered of kinds of car: once all pages are laid out little is asked of them, and of a
        large guide it fills much memory."""
        self._cells.cache_clear()
        self._told.cache_clear()
        if "prepared" in vars(self):  # where nothing was asked it is not made ready for this
            for remembered in (self.prepared.windows, self.prepared.forms_built, self.prepared.spoken_of):
                remembered.clear()

    @cached_property
    def card(self) -> CardMaker:
        """What makes the walk-round card."""
        return CardMaker(self.prepared)

    def card_of(self, series: Collection[str]) -> CardMaker:
        """Return what makes the card of a model, known by its series; that of the whole guide where it has only one."""
        own = tuple(at for at, one in enumerate(self.model.series) if one.id in series)
        if not own or len(own) == len(self.model.series):
            return self.card
        return self._cards.setdefault(own, CardMaker(self.prepared, series=own))

    def dated(self, session: Session) -> Dated:
        """Return what can be concluded of one car. Raises as `guide.dating.belief.state.believe`."""
        return Dated(self.prepared, session)

    def nine_in_ten(self, answer: Answer) -> tuple[tuple[date, date], ...]:
        """Return the days between which nine in ten of the cars that show this were built; none where no car does."""
        if answer not in self._spans:
            try:
                nine = widest(self.dated(Session((answer,))).state)
                self._spans[answer] = tuple(dates_of(self.prepared, stretch) for stretch in nine)
            except ImpossibleEvidence:
                self._spans[answer] = ()
        return self._spans[answer]

    def share_of(self, cars: Cars, among: Cars = Cars()) -> float:
        """Return which share some cars are of others that they are among, or of the whole build; nought of none."""
        return sum(self.cells_of(cars).weights) / (sum(self.cells_of(among).weights) or 1.0)

    def parts_of(self, *marks: str) -> list[Reading]:
        """Return the parts of the model that answers rest on where cars are told by some marks and by nothing else."""
        at = (self.prepared.marks_by_id[mark] for mark in dict.fromkeys(marks) if mark in self.prepared.marks_by_id)
        return [(self.model, "frame"), *((self.model.marks[mark], "tables") for mark in at)]

    def rest_on(self, *marks: str) -> None:
        """Note that what is asked for now rests on `parts_of` the model."""
        note_all({(id(record), name): record for record, name in self.parts_of(*marks)})

    def of_each_mark(
        self, question: Question, told_by: Iterable[str], work: Callable[[Sequence[int]], Sequence[V]]
    ) -> Sequence[V]:
        """Return what is found of each mark, recalled where it holds: it rests on the tables of the marks that cars are
        ``told_by`` and on the mark's own. ``work`` is given the marks that are to be asked for."""
        own = [(mark, "tables") for mark in self.model.marks]
        return recalled_of_each(question, self.parts_of(*told_by), own, work)

    def worths(self, marks: Iterable[Mark], cars: Cars, others: Sequence[Cars]) -> dict[str, float]:
        """Return what each mark is worth to tell these cars from those others: the sum of the bits that one look tells
        from each of them; nothing of a mark that none of the cars can have."""
        prepared, worth = self.prepared, dict[str, float]()
        there: dict[Scope, tuple[Cells | None, list[Cells]]] = {}  # by the marks' scope: these cars, and those others
        for mark in marks:
            if mark.scope not in there:
                found = [self._that_can_have(mark, one) for one in others]
                there[mark.scope] = self._that_can_have(mark, cars), [one for one in found if one is not None]
            own, theirs = there[mark.scope]
            at = prepared.marks_by_id.get(mark.id)
            if own is None or at is None:
                continue
            shares = form_shares(own, at)
            worth[mark.id] = sum(gain_between(prepared, at, shares, form_shares(other, at)) for other in theirs)
        for own, theirs in there.values():
            for cells in (own, *theirs):
                if cells is not None:
                    cells.settle()
        return worth

    def most_telling(self, marks: Iterable[Mark], cars: Cars, others: Sequence[Cars]) -> list[str]:
        """Return the ids of the marks that tell these cars from those others, best first by their `worths`."""
        every, at = {mark.id: mark for mark in marks}, self.prepared.marks_by_id

        def worths(some: Sequence[int]) -> list[float]:
            ids = [self.model.marks[mark].id for mark in some]
            found = self.worths([every[mark] for mark in ids if mark in every], cars, others)
            return [found.get(mark, 0.0) for mark in ids]

        question = Question(f"{__name__}.most_telling", (tuple(every), cars, *others))
        worth = self.of_each_mark(question, told_by(cars, *others), worths)
        ranked = sorted((mark for mark in every if mark in at), key=lambda mark: -round(worth[at[mark]], 6))
        return [mark for mark in ranked if worth[at[mark]] > _LITTLE]

    def tell_apart(self, one: Cars, other: Cars) -> tuple[Told, ...]:
        """Return the marks that tell two kinds of car apart, best first, those left out that the kinds are told by.

        None where no car is of the one kind or of the other. Raises KeyError for a period, mark or form that the guide
        does not have.
        """
        return self._told(one, other)

    def tell_apart_by(self, marks: Sequence[int], one: Cars, other: Cars) -> tuple[Told, ...]:
        """Return those of some marks, given by number, that tell two kinds of car apart, as `tell_apart` does."""
        every = len(marks) == len(self.model.marks)
        return self.tell_apart(one, other) if every else self._tell_apart(one, other, marks)

    def _tell_apart(self, one: Cars, other: Cars, among: Sequence[int] | None = None) -> tuple[Told, ...]:
        cells, others = self.cells_of(one), self.cells_of(other)
        own = {self.prepared.marks_by_id.get(mark, -1) for mark in told_by(one, other)}
        there = any(cells.weights) and any(others.weights)
        return rank(cells, others, leave_out=own, among=among) if there else ()

    def best_pair(self, mark: str, pairs: Iterable[tuple[Cars, Cars]]) -> tuple[float, tuple[Cars, Cars]] | None:
        """Return the first of the pairs that a mark tells apart best, after the bits that it tells; None of none."""
        best: tuple[float, tuple[Cars, Cars]] | None = None
        for pair in pairs:
            gain = next((told.gain_bits for told in self.tell_apart(*pair) if told.mark == mark), 0.0)
            if best is None or gain > best[0] + 1e-9:
                best = (gain, pair)
        return best

    def cells_of(self, cars: Cars) -> Cells:
        """Return some cars as each cell's share of the whole build, nought for the cells that are not meant.

        Raises KeyError as `tell_apart`.
        """
        return self._cells(cars)

    def _weigh(self, cars: Cars) -> list[float]:
        prepared, model, bins = self.prepared, self.model, self.prepared.bins
        period = {one.id: one for one in model.periods}[cars.period] if cars.period else None
        first, end = (period.first, period.end) if period else (0, bins)
        weights = [0.0] * len(prepared.weights)
        for row, (series, specification) in enumerate(prepared.rows):
            if period is not None and not period.holds(series):
                continue
            own = {**model.specifications[specification].splits, "series": model.series[series].id}
            if all(own.get(name, values[0]) in values for name, values in cars.scope.parts if values):
                meant = slice(row * bins + first, row * bins + end)
                weights[meant] = prepared.weights[meant]
        for mark, form in cars.forms:
            if mark == "interior" and len(model.interiors) < 2:
                continue  # a guide's only trim is on every car, and is no mark
            at = prepared.marks_by_id[mark]
            forms = {one.id: number for number, one in enumerate(model.marks[at].forms)}
            line = built_with(prepared, at, (forms[form],))
            weights = list(map(mul, weights, spread(prepared, prepared.blocks[prepared.block_of[at]], line)))
        return weights

    def _that_can_have(self, mark: Mark, cars: Cars) -> Cells | None:
        """Return those of some cars that can have a mark; None where none does."""
        among = self.cells_of(replace(cars, scope=mark.scope))
        return among if any(among.weights) else None
