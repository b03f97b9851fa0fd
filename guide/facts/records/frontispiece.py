"""The frontispiece: the car drawn, and where on each plate the parts stand that the guide speaks of."""

from __future__ import annotations

import re
from collections.abc import Mapping

from guide.facts.records.fields import Reader, key, record, records_of
from guide.facts.records.readers import mark_id, of_text, said, text
from guide.facts.text.desk import Desk
from guide.facts.text.problem import Problem
from guide.facts.text.source import Node
from guide.facts.values import Text
from guide.finding import Place
from guide.sentence import sentence

__all__ = ["Plate", "Spot", "a_spot", "plates"]

Spot = tuple[float, float]  # across and down, in the drawing's own units
_SPOT = re.compile(r"\s*(\d{1,4}(?:\.\d{1,3})?)[\s,]+(\d{1,4}(?:\.\d{1,3})?)\s*")


@of_text("spot")
def a_spot(typed: Text, _: Desk) -> Spot | Problem:
    found = _SPOT.fullmatch(typed)
    return (float(found[1]), float(found[2])) if found else Problem.of("facts.bad-spot", found=repr(typed))


def _spots(node: Node, desk: Desk) -> dict[str, Spot]:
    """Return where the marks stand that are known; a mark of another guide, or a spot that is none, is a finding."""
    read = {
        str(name): a_spot.read(typed, desk)
        for name, typed in desk.pairs_of(node, "facts.wrong-shape.spots")
        if mark_id.read(name, desk)
    }
    return {name: place for name, place in read.items() if place is not None}


@record("plate")
class Plate:
    """One drawing of the car; ``spots`` are the places of marks on it."""

    picture: str = key(text)
    name: str = key(said, default="")  # "From outside"
    spots: Mapping[str, Spot] = key(Reader(sentence("facts.shape.spots"), _spots), default_factory=dict)
    place: Place


plates: Reader[tuple[Plate, ...]] = records_of(Plate, "plates")
