"""What can be told apart: every two forms of one mark, every two periods, every two interiors.

Two forms have a page where they followed one another at the works or are easily taken for one another; any others are
told apart on the mark's own page, in the browser, so that many forms do not make very many pages.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations, pairwise
from typing import Any
from urllib.parse import quote

from guide.facts.types import Form, Interior, Mark, Period
from guide.pages.parts.models import car_models
from guide.pages.shelf import Shelf

__all__ = ["LEAST_BITS", "Pair", "pair_heading", "pair_title", "pairs_of", "pairs_of_things", "pairs_with"]

LEAST_BITS = 0.15  # a look at another mark that tells less of two forms is not named: it would mislead as often


@dataclass(frozen=True, slots=True)
class Pair:
    """Two forms of one mark, in the editor's order."""

    mark: Mark
    one: Form
    other: Form
    neighbours: bool

    @property
    def id(self) -> str:
        """The id of the pair's page."""
        return f"{self.mark.id}/{self.one.id}/{self.other.id}"

    @property
    def link(self) -> tuple[str, str, str]:
        """Where the two are told apart: kind, id and part, as a template's ``to`` takes them."""
        if self.neighbours:
            return "forms", self.id, ""
        return "mark", self.mark.id, f"two={quote(self.one.id)},{quote(self.other.id)}"


def pairs_of(mark: Mark) -> list[Pair]:
    """Return every two forms of a mark, neighbours first, each part in the editor's order.

    Neighbours are forms that followed one another at the works, and those that the editor says are taken for one
    another.
    """
    near = {frozenset(pair) for pair in pairwise(ref.form for ref in mark.order)}
    near |= {frozenset((form.id, taken.form)) for form in mark.forms.values() for taken in form.taken_for if taken.form}
    pairs = [
        Pair(mark, one, other, frozenset((one.id, other.id)) in near)
        for one, other in combinations(mark.forms.values(), 2)
    ]
    return sorted(pairs, key=lambda pair: not pair.neighbours)


def pair_heading(shelf: Shelf, pair: Pair) -> str:
    """Return the question that two forms put, as their page is headed."""
    return shelf.say("pages.forms.pair", one=pair.one.name, other=shelf.words.lower_first(pair.other.name))


def pair_title(shelf: Shelf, pair: Pair) -> str:
    """Return the question that two forms put, with their part before it."""
    return shelf.say("pages.forms.title", mark=pair.mark.name, pair=shelf.words.lower_first(pair_heading(shelf, pair)))


def pairs_of_things(shelf: Shelf) -> Iterator[tuple[str, Any, Any]]:
    """Yield every two periods of a model and every two interiors, with what kind they are, in the guide's order."""
    pairs = ((one, other) for model in car_models(shelf) for one, other in combinations(model.periods, 2))
    for one, other in {(one.id, other.id): (one, other) for one, other in pairs}.values():
        yield "period", one, other
    for first, second in combinations(shelf.guide.interiors.values(), 2):
        yield "interior", first, second


def pairs_with(shelf: Shelf, thing: Period | Interior) -> list[dict[str, Any]]:
    """Return every other period, or interior, with the identity of the page that tells the two apart."""
    return [
        {"id": f"{one.id}/{two.id}", "other": two if one is thing else one}
        for _, one, two in pairs_of_things(shelf)
        if one is thing or two is thing
    ]
