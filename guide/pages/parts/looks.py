"""What to expect at each mark on cars of one kind, in words and drawings, for pages and sheets."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from guide.dating.key import Cars
from guide.facts.types import Form, Mark
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
        found = [(mark.forms[form], chance) for form, chance in shelf.key.chances(mark, cars).items()]
        found.sort(key=lambda pair: -round(pair[1], 6))  # stable: ties keep the editor's order
        kept = [pair for pair in found if pair[1] >= LEAST]
        if kept and kept[0][1] >= USUAL:
            kept = kept[:1]
        if kept:
            looks.append(Look(mark, tuple(kept)))
    return looks


def most_telling(shelf: Shelf, cars: Cars, others: Sequence[Cars]) -> list[str]:
    """Return the ids of the marks that tell these cars from those others, best first.

    A mark that is never asked for, because no verdict may rest on it, is not among them.
    """
    return shelf.key.most_telling([mark for mark in shelf.guide.marks.values() if mark.ask], cars, others)
