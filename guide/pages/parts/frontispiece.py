"""The frontispiece as a page shows it: each plate with numbered leaders from its margins to the parts.

Numbers stand in two columns beside the drawing, each at the height of its part as far as the others leave room, and no
two leaders cross on a side. Laying out labels so is called boundary labelling; source of the method: Bekos, Kaufmann,
Symvonis and Wolff, Boundary labeling: models and efficient algorithms for rectangular maps (2007), from memory.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from guide.facts.records.frontispiece import Plate, Spot
from guide.facts.types import Guide, Mark
from guide.finding import Finding, Place
from guide.pages.shelf import Drawing, Shelf

__all__ = ["Leader", "PlateShown", "plates_shown", "spots_outside"]

_MARGIN = 24.0  # units on either side of the drawing, for the numbers
_PITCH = 17.0  # units between two numbers: about 20 CSS pixels on a phone, where a drawing is 240 units wide


@dataclass(frozen=True, slots=True)
class Leader:
    """A number beside a drawing, and the line to the part it stands for, in the drawing's units."""

    number: int
    mark: Mark
    label: Spot
    turn: float  # across, where the line begins
    spot: Spot


@dataclass(frozen=True, slots=True)
class PlateShown:
    """A plate ready for a page: the drawing's shapes, a box that has room for the numbers, and these."""

    name: str
    box: str
    shapes: str
    leaders: tuple[Leader, ...]


def spots_outside(guide: Guide, drawings: Mapping[str, Drawing]) -> Iterator[Finding]:
    """Yield a finding for every spot, of a mark on a plate or of a form's detail, beyond the edge of its drawing."""
    for what, spot, picture, place in _spots(guide):
        drawing = drawings.get(picture)
        if drawing is not None and drawing.sides is not None and not drawing.holds(spot):
            yield Finding.of(
                "press.spot-outside",
                place,
                mark=what,
                spot=f"{spot[0]:g} {spot[1]:g}",
                picture=picture,
                box=drawing.box,
            )


def _spots(guide: Guide) -> Iterator[tuple[str, Spot, str, Place]]:
    for plate in guide.frontispiece:
        for mark, spot in plate.spots.items():
            yield mark, spot, plate.picture, plate.place
    for one in guide.marks.values():
        for form in one.forms.values():
            if form.detail is not None:
                yield form.detail.name, form.detail.spot, form.picture, form.detail.place


def plates_shown(shelf: Shelf) -> tuple[PlateShown, ...]:
    """Return the plates whose drawing is there; parts are numbered through all of them, in the guide's order."""
    plates = [one for one in shelf.guide.frontispiece if one.picture in shelf.drawings]
    numbers: dict[str, int] = {}
    for plate in plates:
        for mark in shelf.guide.marks:
            if mark in plate.spots:
                numbers.setdefault(mark, len(numbers) + 1)
    return tuple(shown for plate in plates if (shown := _shown(shelf, plate, numbers)))


def _shown(shelf: Shelf, plate: Plate, numbers: dict[str, int]) -> PlateShown | None:
    drawing = shelf.drawings[plate.picture]
    if drawing.sides is None:
        return None
    left, top, width, height = drawing.sides
    inside = sorted(
        ((spot, mark) for mark, spot in plate.spots.items() if drawing.holds(spot)),
        key=lambda one: (one[0][0], one[0][1], numbers[one[1]]),
    )
    half = (len(inside) + 1) // 2
    leaders = []
    for side, turn, row in ((-1, left, inside[:half]), (1, left + width, inside[half:])):
        heights = _spread([spot[1] for spot, _ in sorted(row, key=lambda one: one[0][1])], top, top + height)
        for down, (spot, mark) in zip(heights, _uncrossed(row, turn, heights), strict=True):
            label = (turn + side * _MARGIN / 2, down)
            leaders.append(Leader(numbers[mark], shelf.guide.marks[mark], label, turn, spot))
    tall = max([top + height, *(one.label[1] + _PITCH / 2 for one in leaders)]) - top
    return PlateShown(
        plate.name,
        f"{left - _MARGIN:g} {top:g} {width + 2 * _MARGIN:g} {tall:g}",
        drawing.shapes,
        tuple(sorted(leaders, key=lambda one: one.number)),
    )


def _spread(wanted: Sequence[float], top: float, bottom: float) -> list[float]:
    """Return heights near those wanted, in the same order, a pitch apart; what does not fit runs on below."""
    found: list[float] = []
    for one in wanted:
        found.append(max(one, found[-1] + _PITCH if found else top + _PITCH / 2))
    lowest = max(bottom - _PITCH / 2, top + _PITCH * (len(found) - 0.5))
    for at in range(len(found) - 1, -1, -1):
        found[at] = min(found[at], lowest)
        lowest = found[at] - _PITCH
    return found


def _uncrossed(row: list[tuple[Spot, str]], turn: float, heights: Sequence[float]) -> list[tuple[Spot, str]]:
    """Return what stands at each height, so that no two lines from the turn cross: each crossing that is undone makes
    all lines together shorter, so that this ends."""
    order = sorted(row, key=lambda one: (one[0][1], one[0][0]))
    crossed = True
    while crossed:
        crossed = False
        for one, other in combinations(range(len(order)), 2):
            first, second = (turn, heights[one]), (turn, heights[other])
            if _cross(first, order[one][0], second, order[other][0]):
                order[one], order[other], crossed = order[other], order[one], True
    return order


def _cross(a: Spot, b: Spot, c: Spot, d: Spot) -> bool:
    def side(p: Spot, q: Spot, r: Spot) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0
