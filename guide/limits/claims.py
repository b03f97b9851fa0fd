"""What a statement ties together, in each cell it speaks for.

Theory
------
``first`` and ``last`` put a spell's first or last car at a car's own moment, or within stated days, in every
cell of their scope: what is said of all cars is said of each kind of them. ``seen`` puts a car between the
first and the last, in the one cell to which the car certainly belongs.

What becomes of each in one cell, `guide.limits.ties` says.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from guide.facts.types import Mark, Scope, Source, Statement, StatementKind, Trust
from guide.finding import Place, StepKind
from guide.limits.build import Builder, SpellKey
from guide.limits.network import Tie
from guide.limits.ties import cells_sharing_cars, joint_scope, ties_in_cell, together_ties
from guide.limits.why import Why

__all__ = ["Claim", "cells_it_may_lie_in", "declared_together", "make_claim", "scope_spoken_of", "trust_of"]

_TRUSTS = tuple(Trust)


@dataclass(frozen=True, slots=True)
class Claim:
    """Something stated, ready to be inserted: whose it is, how far it is believed, what it ties.

    ``index`` is into the mark's statements; where ``mark`` is empty, into the forms that changed together.
    ``cells`` are those it speaks for, ``statement`` is as it is read.
    """

    label: int
    mark: str
    index: int
    trust: Trust
    place: Place
    ties: tuple[Tie, ...]
    cells: tuple[int, ...] = ()
    statement: Statement | None = None

    @property
    def rank(self) -> int:
        """How far it is believed, 0 the most."""
        return _TRUSTS.index(self.trust)


def trust_of(builder: Builder, source: str) -> Trust:
    """Return how far a source is believed; one that is not described is believed least."""
    known: Source | None = builder.guide.sources.get(source)
    return known.trust if known else Trust.POOR


def _cells_spoken_for(builder: Builder, mark: Mark, statement: Statement) -> tuple[int, ...]:
    """Return the cells of its mark that a statement speaks for, by index."""
    said = scope_spoken_of(builder, mark, statement)
    if said is None:
        return ()
    dimensions = builder.dimensions
    fits = dimensions.belongs_to if statement.kind is StatementKind.SEEN else dimensions.speaks_for
    return tuple(
        index
        for index, cell in enumerate(builder.cells[mark.id])
        if fits(said, cell) and SpellKey(mark.id, statement.form, statement.spell, index) in builder.ends
    )


def cells_it_may_lie_in(builder: Builder, mark: Mark, statement: Statement) -> tuple[int, ...]:
    """Return the cells of its mark to which the car that a statement names may belong, by index."""
    said = scope_spoken_of(builder, mark, statement)
    if said is None:
        return ()
    return tuple(
        index
        for index, cell in enumerate(builder.cells[mark.id])
        if joint_scope(builder, said, cell.closed) is not None
        and SpellKey(mark.id, statement.form, statement.spell, index) in builder.ends
    )


def scope_spoken_of(builder: Builder, mark: Mark, statement: Statement) -> Scope | None:
    """Return which cars a statement speaks of, with all that is known of the car it names."""
    when = statement.when
    scopes = [statement.scope]
    if when is not None and when.car is not None:
        scopes.append(builder.dimensions.of_car(when.car))
    return builder.said_scope(mark, statement.form, statement.spell, *scopes)


def make_claim(builder: Builder, mark: Mark, statement: Statement, index: int, label: int) -> Claim:
    """Return a statement as ties; one that speaks for no cell has none."""
    cells = _cells_spoken_for(builder, mark, statement)
    ties = tuple(
        Tie(tie.tail, tie.head, tie.weight, tie.why, label)
        for cell in cells
        for tie in ties_in_cell(builder, mark, statement, cell)
    )
    trust = trust_of(builder, statement.source)
    return Claim(label, mark.id, index, trust, statement.place, ties, cells, statement)


def declared_together(builder: Builder, index: int) -> Iterator[tuple[Tie, ...]]:
    """Yield what forms declared to have come in at one moment tie together, a bundle for each pair of cells.

    A bundle can be refused by itself, where forms came in together in some cars only.
    """
    declared = builder.guide.changed_together[index]
    for one, other in pairwise(declared.forms):
        why = Why(
            StepKind.RULE,
            declared.place,
            declared.source,
            "limits.changed-together",
            {"one": one, "other": other, "name": declared.name},
        )
        for cell_index, cell in enumerate(builder.cells.get(one.mark, ())):
            ends = builder.ends.get(SpellKey(one.mark, one.form, one.spell, cell_index))
            if ends is None or joint_scope(builder, cell.closed, declared.scope) is None:
                continue
            for their_cell, theirs in cells_sharing_cars(builder, cell, other):
                if joint_scope(builder, cell.closed, their_cell.closed, declared.scope) is not None:
                    yield tuple(together_ties(builder, (cell, ends.first), (their_cell, theirs.first), why))
