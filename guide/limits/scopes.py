"""Which cars a statement speaks for, and how far a mark's cars have to be told apart.

Theory
------
A *dimension* is a split of the guide, ``series`` or ``interior``. Some values settle others: a market may
settle the hand, and an interior is built in some series only. *Closing* a scope drops every value that
nothing in the other dimensions allows (arc consistency; Mackworth 1977), so that a left-hand car is known to
be for no right-hand market.

A mark's *cells* are the combinations of those dimensions that its own statements, forms and spells name,
values that are always named together left together. A cell has one first and one last per spell; telling
cells apart any further would say nothing more, telling them less apart would make true details clash.
``first`` and ``last`` speak for every cell in their scope; a car seen speaks only for a cell to which it
certainly belongs.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import product
from typing import NamedTuple

from guide.facts.types import Assembly, CarNumber, Guide, Scope

__all__ = ["Cell", "Dimensions", "intersect"]

EVERY_CAR = Scope()


def intersect(*scopes: Scope) -> Scope | None:
    """Return the scope of the cars that lie in all of several, or None when a dimension leaves no value."""
    parts: dict[str, tuple[str, ...]] = {}
    for scope in scopes:
        for dimension, values in scope.parts:
            known = parts.get(dimension, values)
            parts[dimension] = tuple(value for value in known if value in values)
    if not all(parts.values()):
        return None
    return Scope(tuple(sorted(parts.items())))


class Cell(NamedTuple):
    """One combination of a mark's cars: ``scope`` as it is shown, ``closed`` with all that follows."""

    scope: Scope
    closed: Scope
    series: tuple[str, ...]  # those that its cars can belong to, in declared order


class Dimensions:
    """The dimensions of one guide, with what their values settle of each other."""

    def __init__(self, guide: Guide) -> None:
        self.guide = guide
        self.values: dict[str, tuple[str, ...]] = {
            **{split.id: tuple(split.values) for split in guide.splits.values()},
            "series": tuple(guide.ordered_series),
            "interior": tuple(guide.interiors),
        }
        self._allows: dict[tuple[str, str], dict[str, frozenset[str]]] = {}
        for split in guide.splits.values():
            for value in split.values.values():
                self._allows[split.id, value.id] = {
                    other: frozenset((settled,)) for other, settled in value.settles.items()
                }
        for interior in guide.interiors.values():
            self._allows["interior", interior.id] = self._allowed_by_spans([s.scope for s in interior.spans])
        self._closed: dict[tuple[Scope, ...], Scope | None] = {}
        self._of_car: dict[tuple[str, str], Scope] = {}

    def _allowed_by_spans(self, scopes: Sequence[Scope]) -> dict[str, frozenset[str]]:
        allowed = {}
        for dimension in self.values:
            named = [scope.values(dimension) for scope in scopes]
            if named and None not in named:
                allowed[dimension] = frozenset(value for values in named for value in values or ())
        return allowed

    def close(self, *scopes: Scope) -> Scope | None:
        """Return what scopes have in common, with everything that follows from it, or None when that is no car."""
        try:
            return self._closed[scopes]
        except KeyError:
            joint = intersect(*scopes)
            closed = self._closed[scopes] = None if joint is None else self._close(joint)
            return closed

    def _close(self, scope: Scope) -> Scope | None:
        named = dict(scope.parts)
        left = {
            dimension: [value for value in values if value in named.get(dimension, values)]
            for dimension, values in self.values.items()
        }
        before = -1
        while before != (before := sum(map(len, left.values()))):
            for dimension, values in left.items():
                left[dimension] = [value for value in values if self._is_allowed(dimension, value, left)]
        if any(not left[dimension] for dimension in left if self.values[dimension]):
            return None
        parts = {
            dimension: tuple(values)
            for dimension, values in left.items()
            if dimension in named or len(values) < len(self.values[dimension])
        }
        return Scope(tuple(sorted(parts.items())))

    def _is_allowed(self, dimension: str, value: str, left: Mapping[str, Sequence[str]]) -> bool:
        """Tell whether a value is compatible with what is left of every other dimension."""
        mine = self._allows.get((dimension, value), {})
        for other, values in left.items():
            if other == dimension or not values:
                continue
            allowed = mine.get(other)
            if allowed is not None and not allowed.intersection(values):
                return False
            theirs = (self._allows.get((other, one), {}).get(dimension) for one in values)
            if all(settled is not None and value not in settled for settled in theirs):
                return False
        return True

    def of_car(self, car: CarNumber) -> Scope:
        """Return what a car's number tells of it for certain: what its suffix says, and its series, unless it is a
        further number on cars of whichever series."""
        key = (car.series, car.suffix)
        if key not in self._of_car:
            own = Scope((("series", (car.series,)),)) if car.series in self.values["series"] else EVERY_CAR
            by_suffix = self.guide.series[car.series].suffixes.get(car.suffix, EVERY_CAR)
            self._of_car[key] = intersect(own, by_suffix) or own
        return self._of_car[key]

    def assembly_of(self, scope: Scope | None) -> Assembly | None:
        """Return how long after its number a car of a closed scope was built, where it certainly is of such cars."""
        certain = (one for one in self.guide.assembled if scope is not None and scope.within(one.scope))
        return next(certain, None)

    def may_be_assembled(self, scope: Scope) -> bool:
        """Tell whether some car of a closed scope was built otherwise than its number has it."""
        return any(self.close(scope, one.scope) is not None for one in self.guide.assembled)

    def cells(self, mark_scope: Scope, named: Iterable[Scope], *, by_series: bool) -> tuple[Cell, ...]:
        """Return the cells of a mark whose statements, forms and spells name these scopes, in declared order.

        ``by_series``: tell the series apart, since cars are given as first or last.
        """
        named = list(dict.fromkeys(named))
        within = self.close(mark_scope)
        if within is None:
            return ()
        groups: list[list[tuple[str, tuple[str, ...]]]] = []
        for dimension, every in self.values.items():
            values = [value for value in every if value in (within.values(dimension) or every)]
            parted = self._groups(dimension, values, named, apart=by_series and dimension == "series")
            if len(parted) > 1:
                groups.append([(dimension, group) for group in parted])
        cells = []
        for chosen in product(*groups):
            scope = Scope(tuple(sorted(chosen)))
            closed = self.close(scope, mark_scope)
            if closed is not None:
                kept = dict(closed.parts)
                shown = Scope(tuple((dimension, kept[dimension]) for dimension, _ in scope.parts))
                cells.append(Cell(shown, closed, kept.get("series", self.values["series"])))
        return tuple(cells)

    def _groups(
        self, dimension: str, values: Sequence[str], named: Sequence[Scope], *, apart: bool
    ) -> list[tuple[str, ...]]:
        """Part the values of a dimension into those that no named scope tells apart."""
        spoken = [set(found) for scope in named if (found := scope.values(dimension)) is not None]
        groups: dict[tuple[object, ...], list[str]] = {}
        for value in values:
            key = (value,) if apart else tuple(value in one for one in spoken)
            groups.setdefault(key, []).append(value)
        return [tuple(group) for group in groups.values()]

    def speaks_for(self, said: Scope, cell: Cell) -> bool:
        """Tell whether a claim about the cars of a closed scope is a claim about all cars of a cell."""
        for dimension, values in cell.scope.parts:
            if not set(values) <= set(said.values(dimension) or values):
                return False
        return all(set(values) & set(cell.closed.values(dimension) or values) for dimension, values in said.parts)

    def belongs_to(self, said: Scope, cell: Cell) -> bool:
        """Tell whether a car of a closed scope certainly belongs to a cell."""
        return said.within(cell.scope)
