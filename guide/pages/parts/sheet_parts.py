"""What the ready-made buyer's sheets and the one made to order have in common: room, places, hints, common parts."""

from __future__ import annotations

from collections.abc import Container, Iterator, Sequence
from typing import Any

from guide.facts.types import FittedAs, Mark, Reach
from guide.pages.shelf import Shelf, once
from guide.words.typography import typographic

__all__ = [
    "BOTH",
    "DRAWN",
    "LINED",
    "LINES",
    "LINE_LETTERS",
    "PLACES",
    "drawn_of",
    "first_sentences",
    "hints_of",
    "sheet_parts",
]

DRAWN = 15  # marks with a drawing that a side has room for; the rest get a line
BOTH = 1.55  # the room that one takes of which two forms are drawn
LINED = 27  # at most so many lines: what two sides hold
LINE_LETTERS, LINES = 34, 3  # letters to a line beside a drawing, and lines below the part's name
OFTEN = 0.6  # a part of which fewer cars still have their own is often changed
CHANGED_LINES, WRONG_LINES = 6, 6
TELL_LETTERS = 110  # of how a copy is told
_FOUND_INSTEAD = {  # and how it is called in a hint
    FittedAs.REPRODUCTION: "copy",
    FittedAs.SERVICE_PART: "spare",
    FittedAs.AFTERMARKET: "spare",
}
PLACES: tuple[tuple[str, tuple[Reach, ...]], ...] = (
    ("outside", (Reach.PHOTOGRAPHS, Reach.OUTSIDE, Reach.GLASS)),
    ("door", (Reach.DOOR,)),
    ("seat", (Reach.SEAT,)),
    ("leave", (Reach.BONNET, Reach.HANDS)),
)


def sheet_parts(shelf: Shelf, marks: Sequence[Mark]) -> dict[str, Any]:
    """Return what every sheet says besides the entries: changed parts, questions, photographs, what goes wrong."""
    changed = [line for mark in marks for line in _changed(shelf, mark)]
    return {
        "changed": changed[:CHANGED_LINES],
        "wrong": [note.summary or note.title for note in shelf.guide.care.values()][:WRONG_LINES],
        "areas": [area.name for area in shelf.guide.areas.values()],
    }


def _changed(shelf: Shelf, mark: Mark) -> Iterator[str]:
    """Yield how copies and later parts of a mark are told: "Bonnet badge, remade: flat back"."""
    for form in mark.forms.values():
        for taken in form.taken_for:
            what = taken.what or (mark.forms[taken.form].name if taken.form in mark.forms else "")
            tell = typographic(first_sentences(taken.tell), shelf.guide.language)
            if what and tell:
                yield shelf.say("pages.sheet.changed", part=mark.name, what=shelf.words.lower_first(what), tell=tell)
                return


def drawn_of(ranked: Sequence[str], both: Container[str]) -> list[str]:
    """Return the marks that are drawn, of those that tell most, until the room is taken; ``both`` have two drawings."""
    left, drawn = float(DRAWN), list[str]()
    for mark in ranked:
        left -= BOTH if mark in both else 1
        if left < 0:
            break
        drawn.append(mark)
    return drawn


def first_sentences(text: str, letters: int = TELL_LETTERS) -> str:
    """Return as many of a text's first sentences as ``letters`` have room for; empty where the first is too long."""
    plain = " ".join(text.replace("*", "").split())
    ends = [at + 1 for at, sign in enumerate(plain) if sign in ".!?" and plain[at + 1 : at + 2] in ("", " ")]
    if not ends or ends[-1] < len(plain):
        ends.append(len(plain))
    return plain[: max((end for end in ends if end <= letters), default=0)]


@once
def hints_of(shelf: Shelf, mark: Mark) -> list[tuple[str, str]]:
    """Return a few words on each thing that is often found instead, with the form they are about, best first; last of
    all, about no form, that the part is often changed where that is so."""
    hints = []
    for form in mark.forms.values():
        how = next((_FOUND_INSTEAD[one.kind] for one in form.fitted_as if one.kind in _FOUND_INSTEAD), None)
        if how is not None:
            hints.append((shelf.say(f"pages.sheet.hint.{how}", form=shelf.words.lower_first(form.name)), form.id))
    if mark.survives_share < OFTEN:
        hints.append((shelf.say("pages.sheet.hint.often"), ""))
    return hints
