"""What a car of some period, interior, series or split was built with: chances per form, from the model.

These are the very chances that the key computes with, before anything is looked at.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from math import log2

from guide.dating.belief.blocks import block_likelihood, spread
from guide.dating.belief.evidence import Session, Vectors
from guide.dating.belief.prepare import Prepared, prepare
from guide.dating.belief.state import State, chance_of_forms
from guide.pages.parts.separate import ModelKey
from guide.pages.shelf import Shelf

__all__ = ["Cars", "chances", "gain_about", "share_of"]


@dataclass(frozen=True, slots=True)
class Cars:
    """Some of the cars: those of a period, an interior, a series, with certain splits. Empty means any."""

    period: str = ""
    interior: str = ""
    series: str = ""
    splits: tuple[tuple[str, str], ...] = ()


def chances(shelf: Shelf, mark: str, cars: Cars) -> dict[str, float]:
    """Return P(built with the form) for each form the works fitted, over the cars that can have the mark at all.

    Empty when none of these cars was built, or the mark is not on any of them.
    """
    return dict(_chances(ModelKey(shelf.model), mark, cars, shelf.guide.marks[mark].scope.parts))


def share_of(shelf: Shelf, cars: Cars) -> float:
    """Return which share of the whole build these cars are."""
    return sum(_weights(ModelKey(shelf.model), cars, ()))


def gain_about(shelf: Shelf, mark: str, cars: Cars, others: Cars) -> float:
    """Return how much one look at a mark tells these cars from those others, in bits, both held equally likely.

    Replaced and misread parts are allowed for: it is the mutual information of what is reported and which of
    the two kinds the car is.
    """
    one, two = chances(shelf, mark, cars), chances(shelf, mark, others)
    if not one or not two:
        return 0.0
    prepared = prepare(shelf.model)
    at = prepared.marks_by_id[mark]
    forms = [form.id for form in shelf.model.marks[at].forms]
    gain = 0.0
    for row in prepared.reports[at]:
        p = sum(chance * one.get(form, 0.0) for chance, form in zip(row, forms, strict=True)) / 2
        q = sum(chance * two.get(form, 0.0) for chance, form in zip(row, forms, strict=True)) / 2
        gain += sum(x * log2(2 * x / (p + q)) for x in (p, q) if x > 0)
    return max(0.0, gain)


@lru_cache(maxsize=20_000)
def _chances(
    key: ModelKey, mark: str, cars: Cars, scope: tuple[tuple[str, tuple[str, ...]], ...]
) -> tuple[tuple[str, float], ...]:
    prepared = prepare(key.model)
    at = prepared.marks_by_id.get(mark)
    weights = _weights(key, cars, scope)
    if at is None or not any(weights):
        return ()
    state = State(prepared, Session(), (), None, {}, weights, {}, {})
    forms = [form.id for form in key.model.marks[at].forms]
    found = zip(forms, chance_of_forms(state, at, leave_out=True), strict=True)
    return tuple((form, chance) for form, chance in found if chance > 0)


@lru_cache(maxsize=2_000)
def _weights(key: ModelKey, cars: Cars, scope: tuple[tuple[str, tuple[str, ...]], ...]) -> tuple[float, ...]:
    """Return each cell's share of the whole build, nought for the cells that are not meant."""
    prepared = prepare(key.model)
    model, bins = key.model, prepared.bins
    period = next((one for one in model.periods if one.id == cars.period), None)
    first, end = (period.first, period.end) if period else (0, bins)
    weights = [0.0] * len(prepared.weights)
    for row, (series, specification) in enumerate(prepared.rows):
        own = {**model.specifications[specification].splits, "series": model.series[series].id}
        if (cars.series and own["series"] != cars.series) or not _meant(own, cars, scope):
            continue
        start = row * bins
        weights[start + first : start + end] = prepared.weights[start + first : start + end]
    if cars.interior and "interior" in prepared.marks_by_id:
        weights = _of_interior(prepared, weights, cars.interior)
    return tuple(weights)


def _meant(own: Mapping[str, str], cars: Cars, scope: tuple[tuple[str, tuple[str, ...]], ...]) -> bool:
    if any(own.get(name, value) != value for name, value in cars.splits):
        return False
    return all(own.get(name, values[0]) in values for name, values in scope if values)


def _of_interior(prepared: Prepared, weights: list[float], interior: str) -> list[float]:
    at = prepared.marks_by_id["interior"]
    one = [1.0 if form.id == interior else 0.0 for form in prepared.model.marks[at].forms]
    block = prepared.blocks[prepared.block_of[at]]
    likelihood = block_likelihood(prepared, block, {at: Vectors(one, one, [1.0] * len(one))})
    return [w * f for w, f in zip(weights, spread(prepared, block, likelihood), strict=True)]
