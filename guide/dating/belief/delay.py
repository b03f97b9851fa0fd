"""Cars put together long after, or before, their number was given out: what was known of the one time, at the other.

A number, and the despatch of a kit, date the time when the number was given out. The car was built from ``least`` to
``most`` days later (earlier where these are below nought), each day as likely. So a likelihood by that time becomes one
by the day of build as its mean over the times that the build leaves it; and cars by that time become cars by the day of
build as each spreads over the days that it leaves.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate, pairwise

__all__ = ["Span", "delayed", "delayed_cars"]

Span = tuple[int, int]  # least and most days from number to build


def delayed(line: Sequence[float], span: Span, beyond: float) -> list[float]:
    """Return a likelihood by the day of build, given that by the number's; outside it is ``beyond``."""
    least, most = span
    running, days = list(accumulate(line, initial=0.0)), len(line)
    found = []
    for day in range(days):
        low, high = max(0, day - most), min(days, day - least + 1)
        inside = max(0, high - low)
        held = running[high] - running[low] if inside else 0.0
        found.append((held + (most - least + 1 - inside) * beyond) / (most - least + 1))
    return found


def delayed_cars(edges: Sequence[int], cars: Sequence[float], span: Span) -> list[float]:
    """Return cars per bin by the day of build, given those by the day of their number; none is lost beyond the ends."""
    by_day = [
        one / (end - start) for one, (start, end) in zip(cars, pairwise(edges), strict=True) for _ in range(start, end)
    ]
    running = list(accumulate(delayed(by_day, span, 0.0), initial=0.0))
    moved = [max(running[end] - running[start], 0.0) for start, end in pairwise(edges)]
    left, whole = sum(moved), sum(cars)
    return [one * whole / left for one in moved] if left > 0.0 else list(cars)
