"""What to expect at each mark on cars of one kind, in words and drawings, for pages and sheets."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from guide.facts.types import Form, Mark
from guide.pages.parts.expected import Cars, chances, gain_about
from guide.pages.shelf import Shelf

__all__ = ["LEAST", "USUAL", "Look", "looks_of", "most_telling"]

LEAST = 0.02  # a form that fewer of these cars had is not spoken of
USUAL = 0.95  # a form that at least so many had stands alone


@dataclass(frozen=True, slots=True)
class Look:
    """One mark as these cars had it: the forms built, most usual first, each with its chance."""

    mark: Mark
    forms: tuple[tuple[Form, float], ...]

    @property
    def usual(self) -> Form:
        """The form that most of these cars had."""
        return self.forms[0][0]

    @property
    def open(self) -> bool:
        """Whether more than one form has to be reckoned with."""
        return len(self.forms) > 1


def looks_of(shelf: Shelf, cars: Cars) -> list[Look]:
    """Return what to expect at every mark that these cars can have, in walking order."""
    looks = []
    for mark in shelf.guide.marks.values():
        found = [(mark.forms[form], chance) for form, chance in chances(shelf, mark.id, cars).items()]
        found.sort(key=lambda pair: -round(pair[1], 6))  # stable: ties keep the editor's order
        kept = [pair for pair in found if pair[1] >= LEAST]
        if kept and kept[0][1] >= USUAL:
            kept = kept[:1]
        if kept:
            looks.append(Look(mark, tuple(kept)))
    return looks


def most_telling(shelf: Shelf, cars: Cars, others: Iterable[Cars], count: int) -> list[str]:
    """Return the ids of the marks that best tell these cars from those others, best first, ``count`` at most.

    A mark that is never asked for, because no verdict may rest on it, is not among them.
    A mark's worth is the sum of what it tells from each of the others.
    """
    against = tuple(others)
    worth = {
        mark.id: sum(gain_about(shelf, mark.id, cars, other) for other in against)
        for mark in shelf.guide.marks.values()
        if mark.ask
    }
    ranked = sorted(worth, key=lambda mark: -round(worth[mark], 6))
    return [mark for mark in ranked[:count] if worth[mark] > 0.001]
