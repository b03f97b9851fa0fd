"""The walk-round card: on paper two sides with drawings and columns to add down; on the screen it adds itself up.

On the screen no script is needed: each answer is a radio button, and a style sheet made here gives every set of
points a rule that moves the counters of the periods, one counter each, while its button is pressed.

Paper is laid out here and not by the browser: a strip is a column of entries with its own sum at the foot, two
strips stand on a side, and an entry is never parted. Heights are in millimetres, of the common part of A4 and US
Letter.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from guide.dating.card import Card, CardMaker, CardMark
from guide.dating.model import ModelPeriod
from guide.facts.types import Form, Mark, Period, Reach
from guide.pages.parts.models import car_models
from guide.pages.shelf import Context, Shelf, once, one_page
from guide.sentence import Value, sentence, upper_first

__all__ = ["PAGE", "cards_of", "data_files", "lay_out"]

MARKS, LEAST_MARKS = 12, 4  # how many fit on two sides with three answers to most, and are on any card
ENTRY_MM, ANSWER_MM = 6.5, 19.8  # a mark's own line, and each of its answers with its drawing
STRIPS_MM = (188.0, 197.0, 188.0, 188.0)  # what is left for entries in each strip, two on a side


@dataclass(frozen=True, slots=True)
class CardChoice:
    """One answer: the form, its points per period, and the class of its rule in the style sheet."""

    form: Form
    points: tuple[int, ...]

    @property
    def rule(self) -> str:
        """The class that carries these points."""
        return _rule(self.points)


@dataclass(frozen=True, slots=True)
class CardEntry:
    """One mark of the card with its answers; ``first`` of those that need one to get so close."""

    mark: Mark
    answers: tuple[CardChoice, ...]
    first: bool = False


@dataclass(frozen=True, slots=True)
class ModelCard:
    """The card of one model: ``name`` is its name where a guide has several, ``first`` the number of its first column
    among those of all."""

    name: Value
    card: Card
    periods: tuple[Period | ModelPeriod, ...]  # a guide that names none has its years
    at: int
    first: int

    @property
    def adds(self) -> str:
        """The class of what adds itself up with these columns; a guide of one model needs only one."""
        return f"adds-up-{self.at + 1}" if self.name else ""


@once
def cards_of(shelf: Shelf) -> list[ModelCard]:
    """Return the card of each model."""
    models, cards, first = car_models(shelf), list[ModelCard](), 1
    for at, model in enumerate(models):
        name = upper_first(model.name) if len(models) > 1 else ""
        columns = model.periods or shelf.model.periods
        cards.append(ModelCard(name, _fitting(shelf, shelf.key.card_of(model.series)), columns, at, first))
        first += len(columns)
    return cards


def _context(shelf: Shelf) -> Context:
    return {"cards": [_laid_out(shelf, one) for one in cards_of(shelf)]}


def _laid_out(shelf: Shelf, one: ModelCard) -> dict[str, Any]:
    card = one.card
    right = sentence("pages.card.right", right=round(card.right * 100), key=round(card.key_right * 100), cars=card.cars)
    return {
        "name": one.name,
        "adds": one.adds,
        "sides": _sides(lay_out(_entries(shelf, card.marks))),
        "periods": one.periods,
        "first": one.first,
        "start": card.start,
        "right": right,
    }


def _fitting(shelf: Shelf, made: CardMaker) -> Card:
    """Return a card, with fewer marks where that is what two sides hold."""
    counts = (count for count in range(MARKS, LEAST_MARKS, -1) if lay_out(_entries(shelf, made.marks(count))))
    return made.card(next(counts, LEAST_MARKS))


def _entries(shelf: Shelf, chosen: Sequence[CardMark]) -> list[CardEntry]:
    """Return the entries in walking order, but what needs a door open after what does not."""
    order = list(Reach)
    marks = sorted(chosen, key=lambda one: order.index(shelf.guide.marks[one.mark].reach))
    return [
        CardEntry(
            shelf.guide.marks[one.mark],
            tuple(CardChoice(shelf.guide.marks[one.mark].forms[form], points) for form, points in one.points.items()),
        )
        for one in marks
    ]


def lay_out(entries: Sequence[CardEntry], strips: Sequence[float] = STRIPS_MM) -> list[list[CardEntry]]:
    """Return the entries in strips, none longer than its strip; an empty list when they do not fit.

    Strips are filled as evenly as can be: the least part of their length that still fits is looked for. Within
    one reach a short entry may step forward where a long one leaves room. The first entry of each reach is told
    so (``first``): it carries the heading.
    """
    least = sum(_height(entry) for entry in entries) / max(1.0, sum(strips))
    for percent in range(int(least * 100), 101):
        filled = _fill(entries, [strip * percent / 100 for strip in strips])
        if filled is not None:
            return filled
    return []


def _height(entry: CardEntry) -> float:
    return ENTRY_MM + ANSWER_MM * len(entry.answers)


def _fill(entries: Sequence[CardEntry], strips: Sequence[float]) -> list[list[CardEntry]] | None:
    left = list(entries)
    filled: list[list[CardEntry]] = []
    reach: Reach | None = None
    for strip in strips:
        column: list[CardEntry] = []
        used = 0.0
        while left:
            heading = 0.0 if left[0].mark.reach is reach else ENTRY_MM
            fits = [
                entry
                for entry in left
                if entry.mark.reach is left[0].mark.reach and used + heading + _height(entry) <= strip
            ]
            if not fits:
                break
            left = [entry for entry in left if entry is not fits[0]]  # by itself: to compare would read all of a mark
            used += heading + _height(fits[0])
            reach = fits[0].mark.reach
            column.append(replace(fits[0], first=bool(heading)))
        filled.append(column)
    return None if left else filled


def _sides(strips: Sequence[Sequence[CardEntry]]) -> list[list[Sequence[CardEntry]]]:
    """Return the strips two to a side, those with nothing on them left out: a first entry may fit the longest only."""
    filled = [strip for strip in strips if strip]
    return [filled[at : at + 2] for at in range(0, len(filled), 2)]


def data_files(shelf: Shelf) -> dict[str, bytes]:
    """Return the style sheet that lets the card add itself up."""
    rules = [rule for one in cards_of(shelf) for rule in _rules(one)]
    return {"data/card.css": ("\n".join(rules) + "\n").encode()}


def _rules(one: ModelCard) -> list[str]:
    card, names = one.card, [f"period-{one.first + at}" for at in range(len(one.periods))]
    worth = sorted({points for mark in card.marks for points in mark.points.values() if any(points)})
    adds, within = (f".{one.adds}", f".{one.adds} ") if one.adds else (".adds-up", "")
    rules = [f"{adds} {{ counter-reset: {_counters(names, card.start)}; }}"]
    rules += [
        f"{within}.{_rule(points)}:checked {{ counter-increment: {_counters(names, points)}; }}" for points in worth
    ]
    rules += [f".sum-{one.first + at}::after {{ content: counter({name}); }}" for at, name in enumerate(names)]
    return rules


def _rule(points: Sequence[int]) -> str:
    return "p" + "-".join(str(value) for value in points)


def _counters(names: Sequence[str], points: Sequence[int]) -> str:
    return " ".join(f"{name} {value}" for name, value in zip(names, points, strict=True))


PAGE = one_page("card", "pages.card.title", _context)
