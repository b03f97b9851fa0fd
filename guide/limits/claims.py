"""What a statement ties together, in each cell it speaks for.

Theory
------
``first`` and ``last`` put a spell's first or last car at a car's own moment, or within stated days, in every
cell of their scope: what is said of all cars is said of each kind of them. ``seen`` puts a car between the
first and the last, in the one cell to which the car certainly belongs.

What becomes of each in one cell, `guide.limits.ties` says.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise

from guide.facts.types import Mark, Scope, Statement, StatementKind, Trust, When
from guide.finding import Place, StepKind
from guide.limits.build import Builder, SpellKey
from guide.limits.network import Tie
from guide.limits.scopes import Cell
from guide.limits.ties import cells_sharing_cars, ties_in_cell, together_ties
from guide.limits.types import Said, Why

__all__ = [
    "Claim",
    "StatedClaim",
    "cells_it_may_lie_in",
    "declared_together",
    "make_claim",
    "scope_spoken_of",
    "stated_claims",
    "trust_of",
]

_TRUSTS = tuple(Trust)


@dataclass(frozen=True, slots=True)
class Claim:
    """Something stated, ready to be inserted: whose it is, how far it is believed, what it ties.

    ``index`` is into the mark's statements; where ``mark`` is empty, into the forms that changed together.
    """

    label: int
    mark: str
    index: int
    trust: Trust
    place: Place
    ties: tuple[Tie, ...]

    @property
    def rank(self) -> int:
        """How far it is believed, 0 the most."""
        return _TRUSTS.index(self.trust)


@dataclass(frozen=True, slots=True)
class StatedClaim(Claim):
    """A statement of a mark, as it is read, and the cells that it speaks for."""

    statement: Statement
    cells: tuple[int, ...]

    @property
    def when(self) -> When:
        """The time that it gives; asked only of a statement that gives one."""
        assert self.statement.when is not None
        return self.statement.when


def stated_claims(claims: Iterable[Claim]) -> Iterator[StatedClaim]:
    """Yield those of the claims that are statements of marks."""
    return (claim for claim in claims if isinstance(claim, StatedClaim))


def trust_of(builder: Builder, source: str) -> Trust:
    """Return how far a source is believed; one that is not described is believed least."""
    known = builder.guide.sources.get(source)
    return known.trust if known else Trust.POOR


def _cells_where(
    builder: Builder, mark: Mark, statement: Statement, fits: Callable[[Scope, Cell], bool]
) -> tuple[int, ...]:
    """Return the cells of its mark, by index, that the cars of a statement fit and in which its form was had."""
    said = scope_spoken_of(builder, mark, statement)
    if said is None:
        return ()
    return tuple(
        index
        for index, cell in enumerate(builder.cells[mark.id])
        if fits(said, cell) and SpellKey(mark.id, statement.form, statement.spell, index) in builder.ends
    )


def _cells_spoken_for(builder: Builder, mark: Mark, statement: Statement) -> tuple[int, ...]:
    """Return the cells of its mark, by index, that a statement speaks for: the same for all of the same cars."""
    when, is_seen = statement.when, statement.kind is StatementKind.SEEN
    told = None if when is None or when.car is None else (when.car.series, when.car.suffix)
    key = (mark.id, statement.form, statement.spell, is_seen, statement.scope, told)
    if key not in builder.spoken_for:
        fits = builder.dimensions.belongs_to if is_seen else builder.dimensions.speaks_for
        builder.spoken_for[key] = _cells_where(builder, mark, statement, fits)
    return builder.spoken_for[key]


def cells_it_may_lie_in(builder: Builder, mark: Mark, statement: Statement) -> tuple[int, ...]:
    """Return the cells of its mark to which the car that a statement names may belong, by index."""
    close = builder.dimensions.close
    return _cells_where(builder, mark, statement, lambda said, cell: close(said, cell.closed) is not None)


def scope_spoken_of(builder: Builder, mark: Mark, statement: Statement) -> Scope | None:
    """Return which cars a statement speaks of, with all that is known of the car it names; None for no cars."""
    form, when = mark.forms[statement.form], statement.when
    scopes = [one.scope for one in form.spells if one.number == statement.spell]
    scopes.append(statement.scope)
    if when is not None and when.car is not None:
        scopes.append(builder.dimensions.of_car(when.car))
    return builder.dimensions.close(mark.scope, form.scope, *scopes)


def make_claim(builder: Builder, mark: Mark, statement: Statement, index: int, label: int) -> StatedClaim:
    """Return a statement as ties; one that speaks for no cell has none."""
    cells = _cells_spoken_for(builder, mark, statement)
    ties = tuple(tie for cell in cells for tie in ties_in_cell(builder, mark, statement, cell, label))
    trust = trust_of(builder, statement.source)
    return StatedClaim(label, mark.id, index, trust, statement.place, ties, statement, cells)


def declared_together(builder: Builder, index: int) -> Iterator[tuple[Tie, ...]]:
    """Yield what forms declared to have come in at one moment tie together, a bundle for each pair of cells.

    A bundle can be refused by itself, where forms came in together in some cars only.
    """
    declared = builder.guide.changed_together[index]
    for one, other in pairwise(declared.forms):
        said: dict[str, Said] = {"one": one, "other": other, "name": declared.name}
        why = Why(StepKind.RULE, declared.place, declared.source, "limits.changed-together", said)
        for cell, ends in cells_sharing_cars(builder, declared.scope, one):
            for their_cell, theirs in cells_sharing_cars(builder, cell.closed, other):
                if builder.dimensions.close(cell.closed, their_cell.closed, declared.scope) is not None:
                    yield tuple(together_ties(builder, (cell, ends.first), (their_cell, theirs.first), why))
