"""What the works can have fitted to a car of which this much is known: every page, the key and the terminal ask here.

A car is known by its number, by a span of days that is believed of it, by its body, its trim, its hand, its market, or
by any of these. For each mark that such a car can have, this tells the forms it can have been built with, the kinds of
car that each holds for, and which entries of the model stand behind it (`guide.dating.building.behind`).

A form is reckoned with where the chance that such a car was built with it is not next to nothing beside the most that
it ever was on cars of that kind, so that an option that few ordered counts while it was to be had. What papers say of
numbers is exact and puts out what days leave open. A number counts as the car's own here: what was seen tells elsewhere
whether it fits (`guide.dating.belief.apart`). Without one it is the span of the result, nine in ten, that counts.

The kinds of car left open are told in as few terms as decide: of all sets of dimensions (series, splits, interior) from
which it follows whether a kind can have a form, the smallest, and of those the first in the guide's order.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import compress, pairwise
from operator import mul

from guide.dating.belief.blocks import built_with, forms_built, spread, window_of
from guide.dating.belief.evidence import Answer, seen_forms
from guide.dating.belief.number import Numbered
from guide.dating.belief.prepare import Prepared, SpokenOf
from guide.dating.belief.span import Stretch
from guide.dating.belief.state import Cells, State
from guide.dating.few_terms import boxes, deciding

__all__ = ["Fitted", "FittedForm", "FittedMark", "FittedScope", "Known", "fitted_of", "known_of"]

Cars = Mapping[str, tuple[str, ...]]
"""Some kinds of car: for each dimension named the values allowed. Empty: all of those in question."""
Known = Mapping[str, tuple[str, ...]]
"""What is known of a car: for each dimension known the values that it may have."""
Kind = tuple[int, str]
"""A kind of car: a row of the model, and an interior; empty where the guide tells none apart."""
Case = tuple[int, int]
"""A kind of car as a mark has it: its own row of the mark's block, and which entries of the forms speak of it."""

_ALL: Cars = {}


@dataclass(frozen=True, slots=True)
class FittedScope:
    """Cars that can have a form, and which of the form's entries in the model stand behind it."""

    cars: Cars
    behind: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class FittedForm:
    """A form that the car can have been built with. ``form`` counts in the mark; ``chance`` is of all such cars."""

    form: int
    chance: float
    sure: bool  # a source of at least good trust says so
    scopes: tuple[FittedScope, ...]

    @property
    def of_some(self) -> bool:
        """Whether only some of the cars in question can have it."""
        return bool(self.scopes[0].cars)


@dataclass(frozen=True, slots=True)
class FittedMark:
    """A mark that the car can have; ``only`` the kinds of such cars that have it, `_ALL` for all of them."""

    mark: int
    only: tuple[Cars, ...]
    forms: tuple[FittedForm, ...]  # the most usual first

    @property
    def sure(self) -> bool:
        """Whether the car should have one of these, and not only probably had."""
        return all(form.sure for form in self.forms)


def known_of(prepared: Prepared, answers: Sequence[Answer]) -> dict[str, tuple[str, ...]]:
    """Return what answers tell of the kind of car: its body, its splits and its trim, taken as they were seen."""
    known = {}
    for answer in answers:
        mark = prepared.model.marks[prepared.marks_by_id[answer.mark]]
        if mark.kind != "mark" and seen_forms(mark, answer):
            known["series" if mark.kind == "body" else mark.id] = answer.forms
    return known


def fitted_of(state: State, nine: Sequence[Stretch]) -> list[FittedMark]:
    """Return what the works can have fitted to one car: by its number where that is known, else within a span of days
    in which it was very probably built."""
    prepared = state.prepared
    known = known_of(prepared, [answer for _, answer in state.answers])
    if isinstance(state.car, Numbered) and state.daily is not None and not state.elsewhere:
        weights = [weight * (1.0 - wrong) for weight, wrong in zip(state.prior, state.daily.wrong_by_cell, strict=True)]
        return Fitted(prepared, lambda _: weights, known, state.car).marks
    edges = prepared.model.edges
    inside = [
        sum(max(0.0, min(one.end, end) - max(one.start, start)) for one in nine) / (end - start)
        for start, end in pairwise(edges)
    ] * len(prepared.rows)
    held: dict[int, list[float]] = {}

    def weights_for(block: int) -> list[float]:
        cells = state.without(block)
        if id(cells) not in held:
            held[id(cells)] = list(map(mul, cells.weights, inside))
        return held[id(cells)]

    return Fitted(prepared, weights_for, known).marks


class Fitted:
    """The answer for one car. ``weights`` are those of all cells, up to a constant, as a block of marks is asked of."""

    def __init__(
        self,
        prepared: Prepared,
        weights: Callable[[int], Sequence[float]],
        known: Known | None = None,
        car: Numbered | None = None,
    ) -> None:
        self.prepared = prepared
        self.car = car
        self._weights = weights
        self._cells: dict[int, tuple[Sequence[float], Cells]] = {}
        self._known_chances: dict[int, tuple[list[float], list[list[float]]]] = {}
        self._dimensions_of: dict[Kind, dict[str, str]] = {}
        model = prepared.model
        self._trim = next((at for at, mark in enumerate(model.marks) if mark.kind == "interior"), None)
        self._known = dict(known or {})
        bodies = {one.id: one.body for one in model.series}
        if "series" in self._known:  # a body is named by the first of its series
            told = {bodies.get(one) for one in self._known["series"]}
            self._known["series"] = tuple(one.id for one in model.series if one.body in told)

    @cached_property
    def marks(self) -> list[FittedMark]:
        """Every mark that the car can have, in the model's order."""
        found = (self.at(mark) for mark in range(len(self.prepared.model.marks)))
        return [fitted for fitted in found if fitted is not None]

    def at(self, mark: int) -> FittedMark | None:
        """Return what can have been fitted at one mark; None where the car cannot have it, or of what no part is."""
        return self._mark(mark) if self.prepared.model.marks[mark].kind in ("mark", "interior") else None

    @cached_property
    def _rows(self) -> list[int]:
        """The rows that the car can be of; what is known is left out of account where no car is so."""
        prepared, bins = self.prepared, self.prepared.bins
        weights = self._weights(0)
        rows = [
            row for row in range(len(prepared.rows)) if any(w > 0.0 for w in weights[row * bins : (row + 1) * bins])
        ]
        for name, values in self._known.items():
            narrowed = [row for row in rows if self._of_row(row).get(name, values[0]) in values]
            rows = narrowed or rows
        return rows

    def _of_row(self, row: int) -> dict[str, str]:
        series, specification = self.prepared.rows[row]
        model = self.prepared.model
        return {"series": model.series[series].id, **model.specifications[specification].splits}

    @cached_property
    def _interior_factor(self) -> list[float] | None:
        """The chance of the trim that is known, per cell; None where none is, or no such car has it."""
        if self._trim is None or "interior" not in self._known:
            return None
        prepared, bins = self.prepared, self.prepared.bins
        forms = [
            at for at, one in enumerate(prepared.model.marks[self._trim].forms) if one.id in self._known["interior"]
        ]
        block = prepared.blocks[prepared.block_of[self._trim]]
        line = spread(prepared, block, built_with(prepared, self._trim, forms))
        weights = self._weights(0)
        there = any(weights[row * bins + t] * line[row * bins + t] > 0.0 for row in self._rows for t in range(bins))
        return line if there else None

    def _cells_for(self, block: int) -> Cells:
        weights = self._weights(block)
        kept = self._cells.get(id(weights))
        if kept is None:
            bins, narrowed = self.prepared.bins, [0.0] * len(weights)
            for row in self._rows:
                narrowed[row * bins : (row + 1) * bins] = weights[row * bins : (row + 1) * bins]
            if self._interior_factor is not None:
                narrowed = list(map(mul, narrowed, self._interior_factor))
            kept = self._cells[id(weights)] = weights, Cells(self.prepared, narrowed)
        return kept[1]

    @cached_property
    def _kinds(self) -> tuple[Kind, ...]:
        """The kinds of car in question."""
        if self._trim is None:
            interiors = self.prepared.model.interiors
            return tuple((row, interiors[0].id if interiors else "") for row in self._rows)
        forms, kinds = self.prepared.model.marks[self._trim].forms, self._kinds_of(self._trim)
        allowed = [self._allowed(self._trim, case) for case in self._cases(self._trim, kinds, self._of_rows)[0]]
        return tuple((row, forms[at].id) for (row, _), some in zip(kinds, allowed, strict=True) for at in some)

    def _kinds_of(self, mark: int) -> tuple[Kind, ...]:
        """The kinds of car that a mark may tell apart: the trim is not told by itself."""
        return tuple((row, "") for row in self._rows) if mark == self._trim else self._kinds

    def _dimensions(self, kind: Kind) -> dict[str, str]:
        if kind not in self._dimensions_of:
            of_row = self._of_row(kind[0])
            self._dimensions_of[kind] = {**of_row, "interior": kind[1]} if kind[1] else of_row
        return self._dimensions_of[kind]

    @cached_property
    def _of_rows(self) -> int:
        return self._number_of(tuple((row, "") for row in self._rows))

    @cached_property
    def _of_kinds(self) -> int:
        return self._number_of(self._kinds)

    def _number_of(self, kinds: tuple[Kind, ...]) -> int:
        """Return a number for a set of kinds of car: it stands for them where much is remembered of them."""
        return self.prepared.kinds.setdefault(kinds, len(self.prepared.kinds))

    def _cases(self, mark: int, kinds: tuple[Kind, ...], number: int) -> tuple[list[Case], tuple[Case, ...]]:
        """Return for each kind of car the case that it is of a mark: its own row of the block, and which entries speak
        of it; and each case once. ``number`` is that of the kinds."""
        spoken = self.prepared.spoken(mark)
        if number not in spoken.cases:
            row_of = self.prepared.blocks[self.prepared.block_of[mark]].row_of
            cases = [(row_of[kind[0]], self._entries(spoken, mark, kind)) for kind in kinds]
            spoken.cases[number] = cases, tuple(dict.fromkeys(cases))
        return spoken.cases[number]

    def _allowed(self, mark: int, case: Case) -> dict[int, tuple[int, ...]]:
        """Return of a case of a mark the forms that it can have, each with the entries that stand behind it."""
        prepared, (own, place) = self.prepared, case
        entries = prepared.spoken(mark).entries[place]
        chances, peaks = self._chances(mark)[1][own], _peaks(prepared, mark)[own]
        least = prepared.model.telling.fitted
        held = [form for form, behind in enumerate(entries) if behind]
        likely = [form for form in held if chances[form] > 0.0 and chances[form] >= least * peaks[form]]
        exact = {form: told for form in likely if (told := self._by_number(mark, form, entries[form]))}
        most = max(held, key=lambda form: chances[form], default=None)
        allowed = exact or {form: entries[form] for form in likely} or ({} if most is None else {most: entries[most]})
        if mark == self._trim and self._interior_factor is not None:
            forms, wanted = prepared.model.marks[mark].forms, self._known["interior"]
            return {form: told for form, told in allowed.items() if forms[form].id in wanted}
        return allowed

    def _chances(self, mark: int) -> tuple[list[float], list[list[float]]]:
        """Return by own row of a mark's block the weight in question, and the chance of each form."""
        if mark not in self._known_chances:
            prepared = self.prepared
            at = prepared.block_of[mark]
            cells = self._cells_for(at)
            masses, lines = cells.masses_within(at), forms_built(prepared, mark, cells.span)
            rows = window_of(prepared, at, cells.span).rows
            whole = [sum(masses[row]) for row in rows]
            chances = [
                [sum(map(mul, masses[row], line[row])) / total if total > 0.0 else 0.0 for line in lines]
                for row, total in zip(rows, whole, strict=True)
            ]
            self._known_chances[mark] = whole, chances
        return self._known_chances[mark]

    def _entries(self, spoken: SpokenOf, mark: int, kind: Kind) -> int:
        """Return which entries of each form of a mark speak of a kind of car, by their place in what is remembered."""
        car = self._dimensions(kind)
        named = tuple([car.get(name) for name in spoken.names])
        if named not in spoken.by_named:
            entries = tuple(
                tuple(at for at, one in enumerate(form.behind) if form.factory and _holds(one.on, car))
                for form in self.prepared.model.marks[mark].forms
            )
            if entries not in spoken.entries:
                spoken.entries.append(entries)
            spoken.by_named[named] = spoken.entries.index(entries)
        return spoken.by_named[named]

    def _by_number(self, mark: int, form: int, entries: Sequence[int]) -> tuple[int, ...]:
        """Return those entries of a form that the number lies within; all of them where none is known."""
        if self.car is None or self.car.position is None:
            return tuple(entries)
        position, one = self.car.position, self.prepared.model.series[self.car.series]
        if self.car.written.removesuffix(self.car.suffix) in one.strays:
            return tuple(entries)  # one built out of turn is held to no number
        behind = self.prepared.model.marks[mark].forms[form].behind
        found = []
        for at in entries:
            first, last = behind[at].numbers.get(one.id, (None, None))
            if (first is None or position >= first) and (last is None or position <= last):
                found.append(at)
        return tuple(found)

    def _mark(self, mark: int) -> FittedMark | None:
        kinds, number = self._kinds_of(mark), self._of_rows if mark == self._trim else self._of_kinds
        (cases, each), spoken = self._cases(mark, kinds, number), self.prepared.spoken(mark)
        known = {case: self._allowed(mark, case) for case in each}
        key = number, tuple([tuple(one.items()) for one in known.values()])
        if key not in spoken.told:
            allowed = {kind: known[case] for kind, case in zip(kinds, cases, strict=True) if known[case]}
            only = tuple(cars for cars, _ in self._told(mark, kinds, list(allowed))) if allowed else ()
            spoken.told[key] = only, sorted({own for (own, _), one in known.items() if one}), self._forms(mark, allowed)
        only, own, forms = spoken.told[key]
        if not forms:
            return None
        chances = self._overall(mark, own)
        told = [FittedForm(form, chances[form], sure, scopes) for form, sure, scopes in forms]
        told.sort(key=lambda one: -round(one.chance, 6))
        return FittedMark(mark, only, tuple(told))

    def _forms(
        self, mark: int, allowed: Mapping[Kind, Mapping[int, tuple[int, ...]]]
    ) -> list[tuple[int, bool, tuple[FittedScope, ...]]]:
        """Return each form that kinds of car can have, given the entries that stand behind it for each: whether it is
        sure, and which of these cars in few terms."""
        told = []
        for form in sorted({form for one in allowed.values() for form in one}):
            behind = {kind: one[form] for kind, one in allowed.items() if form in one}
            entries = self.prepared.model.marks[mark].forms[form].behind
            scopes = tuple(
                FittedScope(cars, tuple(sorted({at for kind in inside for at in behind[kind]})))
                for cars, inside in self._told(mark, list(allowed), list(behind))
            )
            told.append((form, all(entries[at].sure for one in behind.values() for at in one), scopes))
        return told

    def _overall(self, mark: int, own: Sequence[int]) -> list[float]:
        """Return the chance of each form over all cars in question that can have a mark, those of these own rows."""
        whole, chances = self._chances(mark)
        total = sum([whole[row] for row in own]) or 1.0
        return [sum([whole[row] * chances[row][form] for row in own]) / total for form in range(len(chances[0]))]

    def _told(self, mark: int, every: Sequence[Kind], some: Sequence[Kind]) -> list[tuple[Cars, list[Kind]]]:
        """Return some of the kinds of car in as few terms as tell them from the others, each with those it holds.

        Only what is stated of the mark tells its kinds of car apart: that some markets were served later does not.
        """
        if len(some) == len(every):
            return [(_ALL, list(some))]
        named = self._named(mark)
        cars = {
            kind: {name: value for name, value in self._dimensions(kind).items() if name in named} for kind in every
        }
        names = list(cars[every[0]])
        inside = {tuple(cars[kind].values()) for kind in some}
        without = {tuple(car.values()) for car in cars.values()} - inside
        if not without:
            return [(_ALL, list(some))]
        chosen = deciding(len(names), inside, without)
        ordered = [self._order_of(names[at]) for at in chosen]
        told = {tuple(one[at] for at in chosen) for one in inside}
        found: list[tuple[Cars, list[Kind]]] = []
        for box in boxes(
            sorted(told, key=lambda one: [order.index(value) for order, value in zip(ordered, one, strict=True)])
        ):
            held_by = {
                names[at]: tuple(value for value in order if value in held)
                for at, order, held in zip(chosen, ordered, box, strict=True)
                if not {car[names[at]] for car in cars.values()} <= set(held)
            }
            found.append((held_by, [kind for kind in some if _holds(held_by, cars[kind])]))
        return found

    def _named(self, mark: int) -> set[str]:
        """Return the dimensions that anything stated of a mark names."""
        entries = [one for form in self.prepared.model.marks[mark].forms for one in form.fitted]
        by_number = {"series"} if any(one.numbers for one in entries) else set()
        return by_number.union(*(one.on for one in entries))

    def _order_of(self, name: str) -> list[str]:
        model = self.prepared.model
        if name == "series":
            return [one.id for one in model.series]
        if name == "interior":
            return [one.id for one in model.interiors]
        return list(dict.fromkeys([*model.splits.get(name, ()), *(one.splits[name] for one in model.specifications)]))


def _holds(cars: Cars, car: Mapping[str, str]) -> bool:
    return all(car.get(name, values[0]) in values for name, values in cars.items())


def _peaks(prepared: Prepared, mark: int) -> list[list[float]]:
    """Return by own row of a mark's block the most that each form ever was, while such cars were built; remembered."""
    if mark not in prepared.peaks:
        at = prepared.block_of[mark]
        masses, lines = Cells(prepared, prepared.weights).masses(at), forms_built(prepared, mark)
        prepared.peaks[mark] = [
            [max(compress(line[row], masses[row]), default=0.0) for line in lines]
            for row in window_of(prepared, at, (0, prepared.bins)).rows
        ]
    return prepared.peaks[mark]
