"""Estimates from counts, each checked against published values in tests/published/test_tally.py.

`wilson`: the 95 % interval of a proportion (Wilson's score interval without continuity correction; method 3 in
Newcombe, Statistics in Medicine 17, 1998, 857-872). `monotone`: the rising sequence nearest to others in weighted least
squares (pool adjacent violators; Barlow et al., Statistical Inference under Order Restrictions, 1972).
"""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt

__all__ = ["monotone", "wilson"]

_Z95 = 1.959963984540054  # standard normal deviate that leaves 2.5 % on either side


def wilson(found: int, of: int) -> tuple[float, float]:
    """Return the lower and upper 95 % limit of a proportion. Raises ValueError unless 0 <= found <= of > 0."""
    if not 0 <= found <= of or of == 0:
        raise ValueError(f"expected 0 <= found <= of and of > 0, found {found} of {of}")
    share = found / of
    spread = _Z95 * sqrt(share * (1 - share) / of + _Z95**2 / (4 * of**2))
    centre = share + _Z95**2 / (2 * of)
    scale = 1 + _Z95**2 / of
    low, high = (centre - spread) / scale, (centre + spread) / scale
    return (0.0 if found == 0 else low), (1.0 if found == of else high)


def monotone(values: Sequence[float], weights: Sequence[float] | None = None) -> list[float]:
    """Return the rising sequence nearest to ``values`` in weighted least squares, of the same length.

    Raises ValueError when the lengths differ or a weight is not positive.
    """
    given = list(weights) if weights is not None else [1.0] * len(values)
    if len(given) != len(values) or any(weight <= 0 for weight in given):
        raise ValueError("expected one positive weight for each value")
    blocks: list[tuple[float, float, int]] = []  # mean, weight, length; means rise strictly
    for value, weight in zip(values, given, strict=True):
        mean, total, length = float(value), weight, 1
        while blocks and blocks[-1][0] >= mean:
            before, before_total, before_length = blocks.pop()
            mean = (before * before_total + mean * total) / (before_total + total)
            total, length = before_total + total, before_length + length
        blocks.append((mean, total, length))
    return [mean for mean, _, length in blocks for _ in range(length)]
