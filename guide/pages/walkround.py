"""The walk-round card: on paper two sides with drawings and columns to add down; on the screen it adds itself up.

On the screen no script is needed: each answer is a radio button, and a style sheet made here gives every set of
points a rule that moves the counters of the periods, one counter each, while its button is pressed.

Paper is laid out here and not by the browser: a strip is a column of entries with its own sum at the foot, two
strips stand on a side, and an entry is never parted. Heights are in millimetres, of the common part of A4 and US
Letter.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

from guide.dating.card import Card, CardMark, make_card
from guide.dating.model import Model, dump_model, load_model
from guide.facts.types import Form, Mark, Reach
from guide.pages.shelf import Address, Context, Page, Shelf

__all__ = ["PAGE", "card_of", "data_files", "lay_out"]

MARKS = 14                     # how many fit on two sides with three answers to most
ENTRY_MM, ANSWER_MM = 6.5, 20.0  # a mark's own line, and each of its answers with its drawing
STRIPS_MM = (205.0, 205.0, 180.0, 180.0)   # what is left for entries in each strip, two on a side


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer: the form, its points per period, and the class of its rule in the style sheet."""

    form: Form
    points: tuple[int, ...]

    @property
    def rule(self) -> str:
        """The class that carries these points."""
        return "p" + "-".join(str(points) for points in self.points)


@dataclass(frozen=True, slots=True)
class Entry:
    """One mark of the card with its answers; ``place`` is how close one must get where that changes here."""

    mark: Mark
    answers: tuple[Answer, ...]
    place: str = ""


def _addresses(shelf: Shelf) -> Iterable[Address]:
    yield Address("card", "", "card.html", shelf.say("pages.card.title"))


def _context(shelf: Shelf, _address: Address) -> Context:
    card = card_of(shelf)
    entries = _entries(shelf, card)
    return {
        "sides": _sides(lay_out(entries)), "periods": list(shelf.guide.periods.values()), "start": card.start,
        "right": shelf.say(
            "pages.card.right", right=round(card.right * 100), key=round(card.key_right * 100), cars=card.cars,
        ),
        "start_rule": "p" + "-".join(str(points) for points in card.start),
    }


def card_of(shelf: Shelf) -> Card:
    """Return the guide's card, with fewer marks where that is what two sides hold."""
    count = MARKS
    while True:
        card = _card(dump_model(shelf.model), count)
        if count <= 4 or all(lay_out(_entries(shelf, card))):
            return card
        count -= 1


@lru_cache(maxsize=4)
def _card(dumped: str, count: int) -> Card:
    model: Model = load_model(dumped)
    return make_card(model, marks=count)


def _entries(shelf: Shelf, card: Card) -> list[Entry]:
    entries: list[Entry] = []
    reach: Reach | None = None
    for one in _by_reach(shelf, card.marks):
        mark = shelf.guide.marks[one.mark]
        place = "" if mark.reach is reach else shelf.say(f"pages.reach.sentence.{mark.reach}")
        reach = mark.reach
        entries.append(Entry(
            mark, tuple(Answer(mark.forms[answer.form], answer.points) for answer in one.answers), place,
        ))
    return entries


def _by_reach(shelf: Shelf, marks: Sequence[CardMark]) -> list[CardMark]:
    """Return the marks in walking order, but what can be seen from outside before what needs a door open."""
    order = list(Reach)
    return sorted(marks, key=lambda one: order.index(shelf.guide.marks[one.mark].reach))


def lay_out(entries: Sequence[Entry], strips: Sequence[float] = STRIPS_MM) -> list[list[Entry]]:
    """Return the entries in strips, none longer than its strip; an empty list when they do not fit.

    Strips are filled as evenly as the entries' order allows: the least limit that still fits is looked for.
    """
    heights = [_height(entry) for entry in entries]
    least = sum(heights) / max(1, sum(strips))
    for percent in range(int(least * 100), 101):
        filled = _fill(entries, heights, [strip * percent / 100 for strip in strips])
        if filled is not None:
            return filled
    return []


def _height(entry: Entry) -> float:
    return ENTRY_MM * (2 if entry.place else 1) + ANSWER_MM * len(entry.answers)


def _fill(
    entries: Sequence[Entry], heights: Sequence[float], strips: Sequence[float]
) -> list[list[Entry]] | None:
    filled: list[list[Entry]] = [[] for _ in strips]
    at, used = 0, 0.0
    for entry, height in zip(entries, heights, strict=True):
        while used + height > strips[at]:
            at, used = at + 1, 0.0
            if at == len(strips):
                return None
        filled[at].append(entry)
        used += height
    return filled


def _sides(strips: Sequence[Sequence[Entry]]) -> list[list[Sequence[Entry]]]:
    """Return the strips two to a side, sides with nothing on them left out."""
    sides = [list(strips[at:at + 2]) for at in range(0, len(strips), 2)]
    return [side for side in sides if any(side)]


def data_files(shelf: Shelf) -> dict[str, bytes]:
    """Return the style sheet that lets the card add itself up."""
    card = card_of(shelf)
    names = [f"period-{at + 1}" for at in range(len(shelf.guide.periods))]
    rules = [f".adds-up {{ counter-reset: {_counters(names, card.start)}; }}"]
    seen = {answer.points for one in card.marks for answer in one.answers}
    for points in sorted(seen):
        if any(points):
            rule = "p" + "-".join(str(value) for value in points)
            rules.append(f".{rule}:checked {{ counter-increment: {_counters(names, points)}; }}")
    rules += [
        f".sum-{at + 1}::after {{ content: counter({name}); }}" for at, name in enumerate(names)
    ]
    return {"data/card.css": ("\n".join(rules) + "\n").encode()}


def _counters(names: Sequence[str], points: Sequence[int]) -> str:
    return " ".join(f"{name} {value}" for name, value in zip(names, points, strict=True))


PAGE = Page("card", _addresses, _context, "card.html")
