"""What stands apart: of a mark, never of a car.

A mark stands apart so far as the car was *built* with a form other than the one reported. That splits in two:
*replaced*, the car truly has what was reported; *misread*, it has something else.

    replaced = P(built not in A, found in A | everything),  misread = P(built not in A, found not in A | everything)
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from operator import mul

from guide.dating.belief.blocks import block_likelihood, built_with, expand
from guide.dating.belief.evidence import Answer, Vectors, reported, seen_forms
from guide.dating.belief.state import State, chance_of_forms

__all__ = ["Apart", "stands_apart"]


@dataclass(frozen=True, slots=True)
class Apart:
    """One answered mark: how far it stands apart, and what the car was expected to have by all the rest."""

    mark: int
    answer: Answer
    chance: float
    replaced: float
    misread: float
    expected: tuple[float, ...]  # per form
    looks: tuple[int, int] | None  # bins, first and last, when the reported form was the usual one
    offered: tuple[int, int] | None  # the same, when one that was never the usual one was to be had at all

    @property
    def fitted(self) -> tuple[int, int] | None:
        """The bins, first and last, when what was reported was being fitted."""
        return self.looks or self.offered


def stands_apart(state: State) -> list[Apart]:
    """Return every answered mark, most likely to stand apart first; ties in the guide's order."""
    found = [_one(state, mark, answer) for mark, answer in state.answers]
    return sorted(found, key=lambda one: (-round(one.chance * 1e7), one.mark))


def _one(state: State, mark: int, answer: Answer) -> Apart:
    chance, replaced = _shares(state, mark, answer)
    expected = tuple(chance_of_forms(state, mark, leave_out=True))
    forms = seen_forms(state.prepared.model.marks[mark], answer)
    when = _looks_like(state, mark, forms) if forms else (None, None)
    return Apart(mark, answer, chance, replaced, chance - replaced, expected, *when)


def _shares(state: State, mark: int, answer: Answer) -> tuple[float, float]:
    """Return the chance that a mark stands apart, and that of its part having been replaced."""
    one = state.prepared.model.marks[mark]
    forms = seen_forms(one, answer)
    if not forms:
        replaced = 1.0 if answer.kind in ("changed", "none") else 0.0
        return replaced, replaced
    whole = _weigh(state, mark, state.vectors[mark])
    apart, replaced = (_weigh_built_otherwise(state, mark, forms, each) for each in reported(one, forms))
    chance = min(apart / whole, 1.0)
    return chance, min(replaced / whole, chance)


def _weigh_built_otherwise(state: State, mark: int, forms: Sequence[int], report: Sequence[float]) -> float:
    other = [0.0 if form in forms else 1.0 for form in range(len(report))]
    return _weigh(state, mark, Vectors(list(map(mul, report, other)), other, report))


def _weigh(state: State, mark: int, vectors: Vectors) -> float:
    at = state.prepared.block_of[mark]
    block = state.prepared.blocks[at]
    line = block_likelihood(state.prepared, block, {**state.vectors, mark: vectors})
    chance, restored = math.fsum(map(mul, state.as_built[at].masses(at), line)), state.restored
    if restored is None:
        return chance
    return (1.0 - state.share_restored) * chance + state.share_restored * restored.weigh(mark, vectors)


def _looks_like(state: State, mark: int, forms: Sequence[int]) -> tuple[tuple[int, int] | None, tuple[int, int] | None]:
    """Return the first and last bin in which such a car was more likely than not built with one of ``forms``.

    Rows whose cars have the part count by what is believed of them. None when none of the forms was the works' usual
    one at any time: then those in which at least half as many cars were built with them as ever.
    """
    prepared, bins = state.prepared, state.prepared.bins
    block = prepared.blocks[prepared.block_of[mark]]
    cells = expand(block, built_with(prepared, mark, forms))
    by_row, had_by = [0.0] * block.row_count, prepared.model.marks[mark].had_by
    for weight, at, (s, c) in zip(state.by_row, block.row_of, prepared.rows, strict=True):
        by_row[at] += weight if not had_by or c in had_by[s] else 0.0
    fitted, built = [0.0] * bins, [0.0] * bins
    for at, (first, end) in enumerate(block.spans):
        for t in range(first, end):
            fitted[t] += by_row[at] * cells[at * bins + t]
            built[t] += by_row[at]
    shares = {t: fitted[t] / built[t] for t in range(bins) if built[t] > 1e-9}
    usual = [t for t, share in shares.items() if share >= 0.5 - 1e-9]
    if usual:
        return (usual[0], usual[-1]), None
    weights = prepared.weights
    open_bins = {
        t: one for t, one in shares.items() if any(weights[at + t] > 0.0 for at in range(0, len(weights), bins))
    }
    most = max(open_bins.values(), default=0.0)
    offered = [t for t, share in open_bins.items() if share >= (0.5 - 1e-9) * most] if most > 0.0 else []
    return None, (offered[0], offered[-1]) if offered else None
