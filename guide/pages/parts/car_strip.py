"""A strip of cars by number: where cars were seen with a form on the line of a series, and the share of later forms.

Where the guide masks numbers, cars stand in whole hundreds, and taller the more of them there are; else each stands
where it was built. The drawing is stretched over the width that it is given, lines keeping their thickness; all figures
stand in a table beneath, so it is hidden from those who hear the page.
"""

from __future__ import annotations

from collections.abc import Sequence

__all__ = ["car_strip", "rising_line"]

_WIDE, _DEEP = 1000, 24


def car_strip(stretches: Sequence[tuple[float, float, int]], most: int, line: str = "") -> str:
    """Return a strip as SVG: a bar for each stretch, from and to as shares of the strip, with its cars; the tallest for
    ``most``. ``line`` is what `rising_line` gives."""
    bars = "".join(
        f"M{_WIDE * first:.1f} {_DEEP}v-{max(3.0, _DEEP * cars / most):.1f}h{max(2.0, _WIDE * (last - first) - 1):.1f}"
        f"V{_DEEP}z"
        for first, last, cars in stretches
        if cars
    )
    return (
        f'<svg class="car-strip" viewBox="0 0 {_WIDE} {_DEEP}" width="100%" height="{_DEEP}" '
        f'preserveAspectRatio="none" aria-hidden="true"><path d="{bars}"/>{line}</svg>'
    )


def rising_line(steps: Sequence[tuple[float, float]]) -> str:
    """Return the share of later forms along a strip, none at its foot and all at its head, of steps (place, share)."""
    if not steps:
        return ""
    path, height = f"M0 {_DEEP - 1}", _DEEP - 2
    for place, share in steps:
        path += f"H{_WIDE * place:.1f}V{_DEEP - 1 - height * share:.1f}"
    return f'<path class="rising" d="{path}H{_WIDE}"/>'
