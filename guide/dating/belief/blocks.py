"""Likelihood of a block of marks, piece by piece.

With no set:   L(slot) = sum over stages of P(stage | slot) . product over marks of factor(mix in that stage)
With sets:     L(slot) = sum over which sets S were renewed of
                   product of (r or 1 - r) . [the above, renewed marks giving way] . product over S of donors(row)
               donors(row) = sum over donor slots d of the row of p(d) . [the above, the set's marks alone](d)

One function serves every question asked of a block, by way of each mark's three vectors (`Vectors`): the
likelihood of the answers, of one more answer, or of the answers together with how a mark was built.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import product
from math import prod
from operator import add, itemgetter, mul

from guide.dating.belief.evidence import Vector, Vectors
from guide.dating.belief.prepare import Block, Prepared, Window

__all__ = ["block_likelihood", "built_with", "expand", "forms_built", "of_mixes", "spread", "together", "window_of"]

_REMEMBERED = 4000
_PIECES, _CELLS = "pieces", "cells"  # what is remembered of an answer


def block_likelihood(prepared: Prepared, block: Block, vectors: Mapping[int, Vectors]) -> list[float]:
    """Return the likelihood of each piece of the block, for marks with vectors; the others say nothing."""
    here = {mark: vectors[mark] for mark in block.marks if mark in vectors}
    if not block.sets:
        table = _profiles(prepared, block.groups[0], {mark: one.own for mark, one in here.items()})
        return [1.0] * len(block.profiles) if table is None else [table[profile] for profile in block.profiles]
    total: list[float] = []  # the first term, with no set renewed, begins it
    asked = [one for one in block.sets if any(mark in here for mark in prepared.model.sets[one].marks)]
    for renewed in product((False, True), repeat=len(asked)):
        chosen = {one for one, is_renewed in zip(asked, renewed, strict=True) if is_renewed}
        weight = 1.0
        for one in asked:
            share = prepared.model.sets[one].share
            weight *= share if one in chosen else 1.0 - share
        giving_way = {mark: one.under if prepared.set_of[mark] in chosen else one.own for mark, one in here.items()}
        joint = _joint(prepared, block, giving_way)
        if not chosen:
            total = [weight * joint[profile] for profile in block.profiles]
            continue
        by_row = [weight] * block.row_count
        for one in chosen:
            donated = {mark: here[mark].donor for mark in prepared.model.sets[one].marks if mark in here}
            by_row = list(map(mul, by_row, _donors(prepared, block, donated)))
        total = [
            value + by_row[row] * joint[profile]
            for value, row, profile in zip(total, block.rows, block.profiles, strict=True)
        ]
    return total


def told_of(prepared: Prepared, block: Block, vectors: Mapping[int, Vectors]) -> list[float]:
    """Return `block_likelihood` of answers; that of a mark by itself is remembered with its answer."""
    if not _is_alone(block):
        return block_likelihood(prepared, block, vectors)
    known = vectors[block.marks[0]].known
    if _PIECES not in known:
        known[_PIECES] = block_likelihood(prepared, block, vectors)
    return known[_PIECES]


def _is_alone(block: Block) -> bool:
    return block.lone and not block.sets


def built_with(prepared: Prepared, mark: int, forms: Sequence[int]) -> list[float]:
    """Return, for each piece of a mark's block, the chance that a car was built with one of ``forms``; remembered."""
    key = (mark, *forms)
    if key not in prepared.built:
        vector = [1.0 if form in forms else 0.0 for form in range(len(prepared.model.marks[mark].forms))]
        block = prepared.blocks[prepared.block_of[mark]]
        asked = {mark: Vectors(vector, vector, [1.0] * len(vector))}
        prepared.built[key] = block_likelihood(prepared, block, asked)
    return prepared.built[key]


def window_of(prepared: Prepared, block: int, span: tuple[int, int]) -> Window:
    """Return the pieces of a block that lie in a span of bins; remembered."""
    key = block, *span
    if key not in prepared.windows:
        one, (first, end), bins = prepared.blocks[block], span, prepared.bins
        pieces, rows = list[int](), list[slice]()
        for row in range(one.row_count):
            start = len(pieces)
            pieces += range(bisect_right(one.ends, row * bins + first), bisect_left(one.starts, row * bins + end))
            rows.append(slice(start, len(pieces)))
        starts, ends = (itemgetter(*map(of.__getitem__, pieces), 0) for of in (one.starts, one.ends))
        prepared.windows[key] = Window(pieces, rows, starts, ends)
    return prepared.windows[key]


def forms_built(prepared: Prepared, mark: int, span: tuple[int, int] | None = None) -> list[list[float]]:
    """Return `built_with` of each form of a mark, in the pieces within a span of bins; remembered."""
    key = mark, *(span or (0, prepared.bins))
    if key not in prepared.forms_built:
        pieces = window_of(prepared, prepared.block_of[mark], key[1:]).pieces
        lines = [built_with(prepared, mark, (form,)) for form in range(len(prepared.model.marks[mark].forms))]
        prepared.forms_built[key] = [[line[piece] for piece in pieces] for line in lines]
    return prepared.forms_built[key]


def expand(block: Block, by_piece: list[float]) -> list[float]:
    """Return a value per piece laid out over the block's own rows, end to end."""
    cells: list[float] = []
    for start, end, value in zip(block.starts, block.ends, by_piece, strict=True):
        cells += [value] * (end - start)
    return cells


def spread(prepared: Prepared, block: Block, by_piece: list[float]) -> list[float]:
    """Return a value per piece laid out over all cells (row * bins + bin)."""
    return _over_rows(prepared, block.row_of, expand(block, by_piece))


def together(
    prepared: Prepared, blocks: Sequence[Block], vectors: Mapping[int, Vectors], told: Iterable[list[float]]
) -> Iterator[list[float]]:
    """Yield what was ``told`` of some blocks by answers laid out over all cells, multiplied for blocks that part the
    rows alike."""
    alike: defaultdict[tuple[int, ...], list[list[float]]] = defaultdict(list)
    for block, line in zip(blocks, told, strict=True):
        known = vectors[block.marks[0]].known if _is_alone(block) else {}
        if _CELLS not in known:
            known[_CELLS] = expand(block, line)
        alike[block.row_of].append(known[_CELLS])
    return (_over_rows(prepared, row_of, list(map(prod, zip(*own, strict=True)))) for row_of, own in alike.items())


def _over_rows(prepared: Prepared, row_of: Sequence[int], own: Sequence[float]) -> list[float]:
    bins = prepared.bins
    cells: list[float] = []
    for row in row_of:
        cells += own[row * bins : (row + 1) * bins]
    return cells


def of_mixes(prepared: Prepared, mark: int, vector: Vector) -> list[float]:
    """Return a vector per form as a factor per mix; the last few thousand are remembered."""
    key = (mark, *vector)
    found = prepared.factors.get(key)
    if found is None:
        if len(prepared.factors) > _REMEMBERED:
            prepared.factors.clear()
        found = prepared.factors[key] = [
            vector[mix] if isinstance(mix, int) else sum(map(mul, mix, vector))
            for mix in prepared.model.marks[mark].mixes
        ]
    return found


def _donors(prepared: Prepared, block: Block, said: Mapping[int, Vector]) -> list[float]:
    """Return, per row of the block, a set's likelihood averaged over donors of that row."""
    table = _joint(prepared, block, said)
    by_row = [0.0] * block.row_count
    shares = map(mul, block.prior, map(table.__getitem__, block.profiles))
    for row, share in zip(block.rows, shares, strict=True):
        by_row[row] += share
    return by_row


def _joint(prepared: Prepared, block: Block, said: Mapping[int, Vector]) -> list[float]:
    result = [1.0] * len(block.joint)
    for at, group in enumerate(block.groups):
        table = _profiles(prepared, group, said)
        if table is not None:
            result = [value * table[joint[at]] for value, joint in zip(result, block.joint, strict=True)]
    return result


def _profiles(prepared: Prepared, group: int, said: Mapping[int, Vector]) -> list[float] | None:
    """Return the factor of each profile of a group; None: 1 throughout."""
    marks = prepared.model.groups[group].marks
    factors = [of_mixes(prepared, mark, said[mark]) if mark in said else None for mark in marks]
    if len(factors) == 1:  # a lone mark's profiles are its mixes
        return factors[0]
    if all(one is None for one in factors):
        return None
    stages = prepared.stages[group]
    before, after = stages.before, stages.after
    for factor, (mixes_before, mixes_after) in zip(factors, stages.mixes, strict=True):
        if factor is not None:
            before = list(map(mul, before, map(factor.__getitem__, mixes_before)))
            after = list(map(mul, after, map(factor.__getitem__, mixes_after)))
    return list(map(add, before, after))
