"""Some combinations of values told from all others in as few terms as decide."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

__all__ = ["boxes", "deciding"]


def deciding(size: int, inside: set[tuple[str, ...]], without: set[tuple[str, ...]]) -> tuple[int, ...]:
    """Return the fewest places by which tuples inside differ from all those without, the first such in order."""
    for count in range(1, size):
        for chosen in combinations(range(size), count):
            told = {tuple(one[at] for at in chosen) for one in inside}
            if not any(tuple(one[at] for at in chosen) in told for one in without):
                return chosen
    return tuple(range(size))


def boxes(tuples: Sequence[tuple[str, ...]]) -> list[tuple[tuple[str, ...], ...]]:
    """Return combinations of values as products of sets of values, those alike in all but the first joined."""
    if not any(tuples):
        return [()]
    rest: dict[str, list[tuple[str, ...]]] = {}
    for first, *others in tuples:
        rest.setdefault(first, []).append(tuple(others))
    alike: dict[tuple[tuple[str, ...], ...], list[str]] = {}
    for value, combined in rest.items():
        alike.setdefault(tuple(combined), []).append(value)
    return [(tuple(values), *box) for combined, values in alike.items() for box in boxes(combined)]
