"""Likelihood of a block of marks, piece by piece.

With no set:   L(slot) = sum over stages of P(stage | slot) . product over marks of factor(mix in that stage)
With sets:     L(slot) = sum over which sets S were renewed of
                   product of (r or 1 - r) . [the above, renewed marks giving way] . product over S of donors(row)
               donors(row) = sum over donor slots d of the row of p(d) . [the above, the set's marks alone](d)

One function serves every question asked of a block, by way of each mark's three vectors (`Vectors`): the
likelihood of the answers, of one more answer, or of the answers together with how a mark was built.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from itertools import product
from operator import add, mul

from guide.dating.belief.evidence import Vectors
from guide.dating.belief.prepare import Block, Prepared

__all__ = ["block_likelihood", "built_with", "expand", "spread"]

Factor = list[float] | None  # per mix of a mark; None: 1 throughout
_REMEMBERED = 4000


def block_likelihood(prepared: Prepared, block: Block, vectors: Mapping[int, Vectors]) -> list[float]:
    """Return the likelihood of each piece of the block, for marks with vectors; the others say nothing."""
    if not block.sets:
        group = block.groups[0]
        table = _profiles(prepared, group, partial(_own, prepared, vectors))
        return [1.0] * len(block.profiles) if table is None else [table[profile] for profile in block.profiles]
    total: list[float] = []  # the first term, with no set renewed, begins it
    asked = [one for one in block.sets if any(mark in vectors for mark in prepared.model.sets[one].marks)]
    for renewed in product((False, True), repeat=len(asked)):
        chosen = {one for one, is_renewed in zip(asked, renewed, strict=True) if is_renewed}
        weight = 1.0
        for one in asked:
            share = prepared.model.sets[one].share
            weight *= share if one in chosen else 1.0 - share
        joint = _joint(prepared, block, partial(_in_place, prepared, vectors, chosen))
        if not chosen:
            total = [weight * joint[profile] for profile in block.profiles]
            continue
        by_row = [weight] * block.row_count
        for one in chosen:
            by_row = list(map(mul, by_row, _donors(prepared, block, one, vectors)))
        total = [
            value + by_row[row] * joint[profile]
            for value, row, profile in zip(total, block.rows, block.profiles, strict=True)
        ]
    return total


def built_with(prepared: Prepared, mark: int, forms: Sequence[int]) -> list[float]:
    """Return, for each piece of a mark's block, the chance that a car was built with one of ``forms``; remembered."""
    key = (mark, *forms)
    if key not in prepared.built:
        vector = [1.0 if form in forms else 0.0 for form in range(len(prepared.model.marks[mark].forms))]
        block = prepared.blocks[prepared.block_of[mark]]
        asked = {mark: Vectors(vector, vector, [1.0] * len(vector))}
        prepared.built[key] = block_likelihood(prepared, block, asked)
    return prepared.built[key]


def expand(block: Block, by_piece: list[float]) -> list[float]:
    """Return a value per piece laid out over the block's own rows, end to end."""
    cells: list[float] = []
    for start, end, value in zip(block.starts, block.ends, by_piece, strict=True):
        cells += [value] * (end - start)
    return cells


def spread(prepared: Prepared, block: Block, by_piece: list[float]) -> list[float]:
    """Return a value per piece laid out over all cells (row * bins + bin)."""
    bins, own = prepared.bins, expand(block, by_piece)
    cells: list[float] = []
    for row in block.row_of:
        cells += own[row * bins : (row + 1) * bins]
    return cells


def _factor(prepared: Prepared, mark: int, vector: Sequence[float]) -> list[float]:
    """Return a vector per form as a factor per mix; the last few thousand are remembered."""
    key = (mark, *vector)
    if key not in prepared.factors:
        if len(prepared.factors) > _REMEMBERED:
            prepared.factors.clear()
        prepared.factors[key] = [
            vector[mix] if isinstance(mix, int) else sum(a * b for a, b in zip(mix, vector, strict=True))
            for mix in prepared.model.marks[mark].mixes
        ]
    return prepared.factors[key]


def _own(prepared: Prepared, vectors: Mapping[int, Vectors], mark: int) -> Factor:
    if mark not in vectors:
        return None
    return _factor(prepared, mark, vectors[mark].own)


def _in_place(prepared: Prepared, vectors: Mapping[int, Vectors], renewed: set[int], mark: int) -> Factor:
    if mark not in vectors:
        return None
    which = vectors[mark].under if prepared.set_of[mark] in renewed else vectors[mark].own
    return _factor(prepared, mark, which)


def _donors(prepared: Prepared, block: Block, one: int, vectors: Mapping[int, Vectors]) -> list[float]:
    """Return, per row of the block, the set's likelihood averaged over donors of that row."""

    def factor(mark: int) -> Factor:
        if mark not in vectors or prepared.set_of[mark] != one:
            return None
        return _factor(prepared, mark, vectors[mark].donor)

    table = _joint(prepared, block, factor)
    by_row = [0.0] * block.row_count
    shares = map(mul, block.prior, map(table.__getitem__, block.profiles))
    for row, share in zip(block.rows, shares, strict=True):
        by_row[row] += share
    return by_row


def _joint(prepared: Prepared, block: Block, factor: Callable[[int], Factor]) -> list[float]:
    result = [1.0] * len(block.joint)
    for at, group in enumerate(block.groups):
        table = _profiles(prepared, group, factor)
        if table is not None:
            result = [value * table[joint[at]] for value, joint in zip(result, block.joint, strict=True)]
    return result


def _profiles(prepared: Prepared, group: int, factor: Callable[[int], Factor]) -> Factor:
    """Return the factor of each profile of a group; None: 1 throughout."""
    factors = [factor(mark) for mark in prepared.model.groups[group].marks]
    if len(factors) == 1:  # a lone mark's profiles are its mixes
        return factors[0]
    if all(one is None for one in factors):
        return None
    columns = prepared.columns[group]
    before, after = columns.before, columns.after
    for factor_of, (mixes_before, mixes_after) in zip(factors, columns.mixes, strict=True):
        if factor_of is not None:
            before = list(map(mul, before, map(factor_of.__getitem__, mixes_before)))
            after = list(map(mul, after, map(factor_of.__getitem__, mixes_after)))
    return list(map(add, before, after))
