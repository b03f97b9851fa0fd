"""How sure a count makes us: the 95 % interval of a proportion, checked in tests/published/test_tally.py.

Wilson's score interval without continuity correction; method 3 in Newcombe, Statistics in Medicine 17, 1998, 857-872.
"""

from __future__ import annotations

from math import sqrt

__all__ = ["wilson"]

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
