"""The strip on which a mark's forms stand: the build along one axis, and where on it each form begins and ends."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

__all__ = ["PERIODS", "YEARS", "DrawnSpell", "Strip", "middle", "name_rooms", "slope"]

YEARS, PERIODS = 26, 24  # heights in pixels of the years and of the periods beneath a strip


@dataclass(frozen=True, slots=True)
class DrawnSpell:
    """One form's time on the strip: limits of its first and of its last car, as places on it, inclusive.

    ``starts`` and ``ends`` tell whether that end is a changeover at all or the edge of production. Where
    ``last_is_stated`` is False nobody says when the last was: it is drawn with the next form's first, no ticks.
    ``first_says`` and ``last_says`` are what the strip's labels say of them. ``figure`` is the form's number on its
    plate, ``share`` the share of cars that had it while the form before was fitted too, where that is stated.
    """

    name: str
    first: tuple[int, int]
    last: tuple[int, int]
    starts: bool = True
    ends: bool = True
    first_says: str = ""
    last_says: str = ""
    last_is_stated: bool = True
    figure: int = 1
    share: float | None = None


@dataclass(frozen=True, slots=True)
class Strip:
    """What all bands along one axis share: its first and last place, long stoppages, and what names places beneath.

    ``stretches`` are named in their middle, as years are; ``marks`` where they begin, as periods and numbers are.
    """

    first: int
    last: int
    breaks: tuple[tuple[int, int], ...] = ()
    stretches: tuple[tuple[str, int, int], ...] = ()
    marks: tuple[tuple[str, int], ...] = ()

    def share(self, place: int, *, after: bool = False) -> float:
        """Return where a place stands, from 0 at the start of the strip to 1 at its end."""
        whole = self.last - self.first + 1
        return min(1.0, max(0.0, (place - self.first + (1 if after else 0)) / whole))

    @property
    def below(self) -> int:
        """The height of what stands beneath it, in pixels."""
        return (YEARS if self.stretches else 0) + (PERIODS if self.marks else 0)


def slope(strip: Strip, old: DrawnSpell, new: DrawnSpell) -> tuple[float, float]:
    """Return where the slope between two spells stands at the foot and at the head, in thousandths."""
    foot = middle(strip, new.first)
    top = middle(strip, old.last, after=True)
    if top <= foot:  # a clean break: nothing between, or only a stoppage
        return foot * 1000, foot * 1000
    return foot * 1000, top * 1000


def middle(strip: Strip, limits: tuple[int, int], *, after: bool = False) -> float:
    return (strip.share(limits[0], after=after) + strip.share(limits[1], after=after)) / 2


def name_rooms(strip: Strip, spells: Sequence[DrawnSpell]) -> list[list[tuple[float, float]]]:
    """Return from where to where on the strip, from 0 to 1, what a form is called may stand: of each form the stretches
    that stoppages leave of it, the longest first, which holds its name; the others hold its number."""
    rooms = []
    for at, spell in enumerate(spells):
        left = slope(strip, spells[at - 1], spell)[1] / 1000 if at else strip.share(spell.first[0])
        right = (
            slope(strip, spell, spells[at + 1])[0] / 1000
            if at + 1 < len(spells)
            else strip.share(spell.last[1], after=True)
        )
        sides = []
        for first, last in strip.breaks:
            a, b = strip.share(first), strip.share(last, after=True)
            if left < a and b < right:
                sides.append((left, a))
                left = b
        rooms.append(sorted([*sides, (left, right)], key=lambda side: side[0] - side[1]))
    return rooms
