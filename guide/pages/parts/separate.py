"""What a mark tells apart best, in a sentence, from the ranking that `guide.dating.tell_apart` makes."""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise

from guide.dating.model import Model
from guide.dating.tell_apart import Told, rank_periods
from guide.facts.types import Mark
from guide.pages.shelf import Shelf

__all__ = ["LITTLE_BITS", "ModelKey", "periods_told", "tells"]

LITTLE_BITS = 0.05  # a look that tells less than this about two periods is not worth naming for it


class ModelKey:
    """A model as a key of the cache: the same model is the same key."""

    __slots__ = ("model",)

    def __init__(self, model: Model) -> None:
        self.model = model

    def __eq__(self, other: object) -> bool:
        return isinstance(other, ModelKey) and other.model is self.model

    def __hash__(self) -> int:
        return id(self.model)


@lru_cache(maxsize=400)
def _told(box: ModelKey, one: str, other: str) -> tuple[Told, ...]:
    return tuple(rank_periods(box.model, one, other))


def periods_told(shelf: Shelf, one: str, other: str) -> tuple[Told, ...]:
    """Return the guide's marks that tell two periods apart, best first.

    The body and the trim are left out, and so is a mark that is never asked for: no verdict rests on it.
    """
    marks = shelf.guide.marks
    return tuple(
        told for told in _told(ModelKey(shelf.model), one, other) if told.mark in marks and marks[told.mark].ask
    )


def tells(shelf: Shelf, mark: Mark) -> dict[str, object]:
    """Return which neighbouring periods a mark tells apart best, and the mark that does it best from as close.

    ``{"says": sentence, "next": mark or None}``; the sentence says so when it tells no period apart.
    """
    if not mark.ask:
        return {"says": shelf.say("pages.mark.tells_unasked"), "next": None}
    best: tuple[float, str, str] | None = None
    for one, other in pairwise(shelf.guide.periods):
        for told in periods_told(shelf, one, other):
            if told.mark == mark.id and (best is None or told.gain_bits > best[0] + 1e-9):
                best = (told.gain_bits, one, other)
    if best is None or best[0] < LITTLE_BITS:
        return {"says": shelf.say("pages.mark.tells_little"), "next": None}
    periods = shelf.guide.periods
    slots = {"one": periods[best[1]].name, "other": periods[best[2]].name}
    ranked = [
        told.mark for told in periods_told(shelf, best[1], best[2]) if shelf.guide.marks[told.mark].reach is mark.reach
    ]
    how = shelf.say(f"pages.reach.how.{mark.reach}")
    if ranked[0] == mark.id:
        runner = shelf.guide.marks[ranked[1]] if len(ranked) > 1 else None
        return {"says": shelf.say("pages.mark.tells_best", **slots, how=how), "next": runner}
    return {"says": shelf.say("pages.mark.tells_some", **slots), "next": shelf.guide.marks[ranked[0]]}
