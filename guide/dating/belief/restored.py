"""The car as a whole: as it was built, or restored with parts of another year.

Parts lost one by one are the mark's own business (`guide.dating.belief.evidence`). A car that was restored lost many at
one time, to parts that go together, of one era. That is done in two ways: with *parts* as they could be had, nearly
always those of a later year, each of the car's own left with the same chance; or with the *interior* of another car,
of any year, all that cannot be seen from outside being that car's:

    L(row, t | restored) = sum over ways w and eras e of P(w) . P(e | t, w) . product over marks of
                           [ s(mark, w) . own(row, t) + (1 - s(mark, w)) . own(row, e) ]

with ``own`` a mark's chance of its report, averaged over the cars of the era in which ``t`` lies. Marks are taken as
independent here, given both eras. A mark that always survives (a body, the side of the wheel) is always the car's own.
"""

from __future__ import annotations

from array import array
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from math import prod
from operator import add, mul, truediv

from guide.dating.belief.blocks import expand, forms_built
from guide.dating.belief.evidence import Vectors
from guide.dating.belief.prepare import ERAS, Prepared

__all__ = ["Seen", "eras_of_parts", "shares_by_era", "stays"]

_WIDE = 2 * ERAS  # parts of each era, then interiors of each era
_Table = Sequence[float]  # by era of the build, way and era of the parts, laid end to end
_Fold = tuple[list[float], list[list[float]]]  # by era of the build: where the part is the car's own; by era of others


@dataclass(frozen=True, slots=True)
class Seen:
    """What was seen of a car, if it was restored. Rows that the marks seen cannot tell apart are of one kind.

    ``prior[kind]`` is their weight by era before anything was seen, ``seen[kind]`` the likelihood of all that was.
    """

    prepared: Prepared
    kind_of: tuple[int, ...]
    members: tuple[int, ...]  # a row of each kind
    prior: tuple[_Table, ...]
    seen: tuple[_Table, ...]
    each: Mapping[int, tuple[_Table, ...]]  # per mark and kind
    folds: dict[int, dict[int, _Fold]] = field(default_factory=dict)  # per mark and its own rows, as asked for

    @classmethod
    def of(cls, prepared: Prepared, weights: Sequence[float], vectors: Mapping[int, Vectors]) -> Seen:
        """Return what follows for a restored car, given the weights before anything was seen."""
        asked = sorted({prepared.block_of[mark] for mark in vectors})
        keys = [tuple(prepared.blocks[at].row_of[row] for at in asked) for row in range(len(prepared.rows))]
        kinds = {key: at for at, key in enumerate(dict.fromkeys(keys))}
        kind_of = tuple(kinds[key] for key in keys)
        members = tuple(kind_of.index(kind) for kind in range(len(kinds)))
        prior = [[0.0] * ERAS for _ in members]
        for kind, line in zip(kind_of, _rows_by_era(prepared, weights), strict=True):
            prior[kind] = list(map(add, prior[kind], line))
        each = {
            mark: tuple(_remembered_table(prepared, mark, row, one) for row in members)
            for mark, one in sorted(vectors.items())
        }
        return cls(prepared, kind_of, members, tuple(prior), _products(prepared, members, each), each)

    def likelihoods(self, leave_out: Sequence[int] = ()) -> list[float]:
        """Return the likelihood of every cell, the answers to some marks left out."""
        by_kind = [
            [sum(table[at : at + _WIDE]) for at in range(0, ERAS * _WIDE, _WIDE)]
            for table in (self._without(kind, leave_out) for kind in range(len(self.members)))
        ]
        return [by_kind[kind][era] for kind in self.kind_of for era in self.prepared.era_of]

    def weigh(self, mark: int, vectors: Vectors) -> float:
        """Return the weight of all cars, one mark being reported and built as given by its vectors."""
        if mark not in self.folds:
            self.folds[mark] = self._fold(mark)
        total = 0.0
        for own_row, (stayed, changed) in self.folds[mark].items():
            own, under, donor = _by_eras(self.prepared, mark, own_row, vectors)
            total += sum(map(mul, stayed, own))
            total += sum(built * sum(map(mul, line, donor)) for built, line in zip(under, changed, strict=True))
        return total

    def _fold(self, mark: int) -> dict[int, _Fold]:
        """Return the weight of all cars by all but one mark, per row that this mark tells apart."""
        own_parts, own_interior = stays(self.prepared, mark)
        row_of, found = self.prepared.blocks[self.prepared.block_of[mark]].row_of, dict[int, _Fold]()
        for kind, row in enumerate(self.members):
            if not any(self.prior[kind]):
                continue
            table = self._without(kind, (mark,))
            stayed, changed = found.setdefault(row_of[row], ([0.0] * ERAS, [[0.0] * ERAS for _ in range(ERAS)]))
            for built, weight in enumerate(self.prior[kind]):
                parts = table[built * _WIDE : built * _WIDE + ERAS]
                interiors = table[built * _WIDE + ERAS : (built + 1) * _WIDE]
                stayed[built] += weight * (own_parts * sum(parts) + own_interior * sum(interiors))
                of_parts, of_interior = weight * (1.0 - own_parts), weight * (1.0 - own_interior)
                three = zip(changed[built], parts, interiors, strict=True)
                changed[built] = [sofar + of_parts * one + of_interior * two for sofar, one, two in three]
        return found

    def _without(self, kind: int, marks: Sequence[int]) -> _Table:
        """Return the likelihood of what was seen of a kind of car, some marks left out."""
        table = self.seen[kind]
        for tables in (self.each[mark][kind] for mark in marks if mark in self.each):
            if not all(tables):
                kept = [other[kind] for mark, other in self.each.items() if mark not in marks]
                return list(map(prod, zip(eras_of_parts(self.prepared), *kept, strict=True)))
            table = list(map(truediv, table, tables))
        return table


def _products(prepared: Prepared, members: Sequence[int], each: Mapping[int, tuple[_Table, ...]]) -> tuple[_Table, ...]:
    """Return, per kind, the product of what each mark says of it; of marks that part the rows alike it is worked out
    once for the kinds that they do not tell apart."""
    alike: defaultdict[tuple[int, ...], list[tuple[_Table, ...]]] = defaultdict(list)
    for mark, tables in each.items():
        alike[prepared.blocks[prepared.block_of[mark]].row_of].append(tables)
    found = [[eras_of_parts(prepared)] for _ in members]
    for row_of, some in alike.items():
        known: dict[int, _Table] = {}
        for kind, row in enumerate(members):
            if row_of[row] not in known:
                known[row_of[row]] = list(map(prod, zip(*(tables[kind] for tables in some), strict=True)))
            found[kind].append(known[row_of[row]])
    return tuple(list(map(prod, zip(*tables, strict=True))) for tables in found)


def _by_era(prepared: Prepared, line: Sequence[float]) -> list[float]:
    return [sum(line[era], 0.0) for era in prepared.eras]


def _rows_by_era(prepared: Prepared, weights: Sequence[float]) -> list[list[float]]:
    """Return the weight of each row by era; that of all cars is remembered."""
    if weights is not prepared.weights:
        bins = prepared.bins
        return [_by_era(prepared, weights[start : start + bins]) for start in range(0, len(weights), bins)]
    if not prepared.rows_by_era:
        prepared.rows_by_era.extend(_rows_by_era(prepared, list(weights)))
    return prepared.rows_by_era


def eras_of_parts(prepared: Prepared) -> _Table:
    """Return P(way, era of the parts | era of the build): of parts any later one alike, earlier ones a small share."""
    restored = prepared.model.chances.restored
    return _eras_of_parts(restored.interior, restored.earlier)


@cache
def _eras_of_parts(interior: float, earlier: float) -> _Table:
    table = []
    for built in range(ERAS):
        before = earlier if built else 0.0
        line = [before / max(built, 1)] * built + [(1.0 - before) / (ERAS - built)] * (ERAS - built)
        table += [(1.0 - interior) * share for share in line] + [interior / ERAS] * ERAS
    return table


def _remembered_table(prepared: Prepared, mark: int, row: int, vectors: Vectors) -> _Table:
    """Return `_table`, remembered: many cars show the same."""
    own_row = prepared.blocks[prepared.block_of[mark]].row_of[row]
    if own_row not in vectors.tables:
        vectors.tables[own_row] = array("d", _table(prepared, mark, own_row, vectors))  # a fourth of a list's memory
    return vectors.tables[own_row]


def _table(prepared: Prepared, mark: int, own_row: int, vectors: Vectors) -> _Table:
    """Return the likelihood of one mark by both eras: its own part, or another over whatever it was built with."""
    shares_own = stays(prepared, mark)
    own, under, donor = _by_eras(prepared, mark, own_row, vectors)
    return [
        share * mine + (1.0 - share) * built * theirs
        for mine, built in zip(own, under, strict=True)
        for share in shares_own
        for theirs in donor
    ]


def stays(prepared: Prepared, mark: int) -> tuple[float, float]:
    """Return the chance that a mark's part is the car's own, of either way: with parts, with an interior."""
    one = prepared.model.marks[mark]
    sure, outside = one.survives >= 1.0, one.reach == "outside"
    return 1.0 if sure else prepared.model.chances.restored.survives, 1.0 if sure or outside else 0.0


def _by_eras(prepared: Prepared, mark: int, own_row: int, vectors: Vectors) -> tuple[list[float], ...]:
    """Return a report's three vectors averaged over the cars of each era, of one row of the mark's block."""
    shares = shares_by_era(prepared, mark)[own_row]
    each = (vectors.own, vectors.under, vectors.donor)
    return tuple([sum(map(mul, one, vector)) for one in shares] for vector in each)


def shares_by_era(prepared: Prepared, mark: int) -> list[list[list[float]]]:
    """Return ``[own row of the mark's block][era][form]``: the share of each form as built; remembered.

    An era in which no such car was built has the shares of the nearest before it, or else after it.
    """
    if mark not in prepared.by_era:
        block = prepared.blocks[prepared.block_of[mark]]
        bins = prepared.bins
        weights = [0.0] * (block.row_count * bins)
        for row, at in enumerate(block.row_of):
            for t in range(bins):
                weights[at * bins + t] += prepared.weights[row * bins + t]
        lines = [list(map(mul, weights, expand(block, line))) for line in forms_built(prepared, mark)]
        found = []
        for start in range(0, len(weights), bins):
            made = _by_era(prepared, weights[start : start + bins])
            sums = [_by_era(prepared, line[start : start + bins]) for line in lines]
            eras = [[one[era] / made[era] for one in sums] if made[era] else [] for era in range(ERAS)]
            for order in (range(1, ERAS), range(ERAS - 2, -1, -1)):
                step = -1 if order.step > 0 else 1
                for era in order:
                    eras[era] = eras[era] or eras[era + step]
            found.append(eras)
        prepared.by_era[mark] = found
    return prepared.by_era[mark]
