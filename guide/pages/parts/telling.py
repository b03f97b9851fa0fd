"""Marks that tell two kinds of car apart, laid out: where to look, how well it tells, and what each of the two has.

The ranking is that of `guide.dating.tell_apart`. A mark is drawn with the form that most of each kind had; the
body and the trim, which the key asks for beside the guide's own marks, are told in the same way. A mark that is never
asked for is left out, because no verdict rests on it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from guide.dating.key import Cars
from guide.dating.tell_apart import Told
from guide.facts.types import Mark
from guide.pages.parts.looks import LEAST, USUAL
from guide.pages.shelf import Shelf

__all__ = ["Found", "ToldApart", "laid_out", "tells", "told_of"]

LITTLE_BITS = 0.05  # a look that tells less than this about two periods is not worth naming for it

WORDS = ((0.97, "never"), (0.8, "nearly"), (0.5, "mostly"), (0.0, "sometimes"))

Link = tuple[str, str, str]  # kind, id and part, as a template's ``to`` takes them


@dataclass(frozen=True, slots=True)
class Found:
    """One form to expect; ``share`` says how many had it, and is empty where nearly all did."""

    answer: str
    picture: str
    describes: str
    share: str
    link: Link | None


@dataclass(frozen=True, slots=True)
class ToldApart:
    """One mark that tells two things apart: ``one`` and ``other`` are what each has, most usual first."""

    id: str
    name: str
    link: Link | None
    how: str
    differs: str
    one: tuple[Found, ...]
    other: tuple[Found, ...]


def laid_out(shelf: Shelf, told: Told) -> ToldApart:
    """Return a mark that `guide.dating.tell_apart` ranked, in words and drawings."""
    how = shelf.say(f"pages.reach.how.{told.reach}")
    differs = next(word for least, word in WORDS if told.separation >= least)
    mark = shelf.guide.marks.get(told.mark)
    asked = next(one for one in shelf.model.marks if one.id == told.mark)
    forms = _forms_of(shelf, told.mark)
    return ToldApart(
        id=told.mark,
        name=asked.name,
        link=("mark", mark.id, "") if mark else None,
        how=how[:1].upper() + how[1:],
        differs=shelf.say(f"pages.apart.differs.{differs}"),
        one=_expected(shelf, forms, told.one),
        other=_expected(shelf, forms, told.other),
    )


def _forms_of(shelf: Shelf, mark: str) -> list[Found]:
    """Return every form of a mark, in the model's order, as yet without a share."""
    guide = shelf.guide
    if mark in guide.marks:
        return [
            Found(form.answer, form.picture, form.describes, "", ("mark", mark, f"form-{form.id}"))
            for form in guide.marks[mark].forms.values()
        ]
    asked = next(one for one in shelf.model.marks if one.id == mark)
    found = []
    for form in asked.forms:
        interior = guide.interiors.get(form.id) if asked.kind == "interior" else None
        link = ("interior", interior.id, "") if interior else None
        found.append(Found(form.answer, interior.picture if interior else "", "", "", link))
    return found


def told_of(shelf: Shelf, one: Cars, other: Cars, *, marks_only: bool = True) -> list[Told]:
    """Return the marks that tell two kinds of car apart, best first; with ``marks_only`` not the body or the trim."""
    marks = shelf.guide.marks
    return [
        told
        for told in shelf.key.tell_apart(one, other)
        if (marks[told.mark].ask if told.mark in marks else not marks_only)
    ]


def _expected(shelf: Shelf, forms: Sequence[Found], shares: Sequence[float]) -> tuple[Found, ...]:
    """Return the forms to expect with how many had each; one that nearly all had stands alone, without a count."""
    found = sorted(zip(forms, shares, strict=True), key=lambda pair: -round(pair[1], 6))
    if found[0][1] >= USUAL:
        return (found[0][0],)
    return tuple(replace(form, share=shelf.words.in_ten(share)) for form, share in found if share >= LEAST)


def tells(shelf: Shelf, mark: Mark) -> dict[str, object]:
    """Return which neighbouring periods a mark tells apart best, and the mark that does it best from as close.

    ``{"says": sentence, "next": mark or None}``; the sentence says so when it tells no period apart.
    """
    if not mark.ask:
        return {"says": shelf.say("pages.mark.tells_unasked"), "next": None}
    best: tuple[float, str, str] | None = None
    for one, other in pairwise(shelf.guide.periods):
        for told in told_of(shelf, Cars(period=one), Cars(period=other)):
            if told.mark == mark.id and (best is None or told.gain_bits > best[0] + 1e-9):
                best = (told.gain_bits, one, other)
    if best is None or best[0] < LITTLE_BITS:
        return {"says": shelf.say("pages.mark.tells_little"), "next": None}
    periods = shelf.guide.periods
    slots = {"one": periods[best[1]].name, "other": periods[best[2]].name}
    ranked = [
        told.mark
        for told in told_of(shelf, Cars(period=best[1]), Cars(period=best[2]))
        if shelf.guide.marks[told.mark].reach is mark.reach
    ]
    how = shelf.say(f"pages.reach.how.{mark.reach}")
    if ranked[0] == mark.id:
        runner = shelf.guide.marks[ranked[1]] if len(ranked) > 1 else None
        return {"says": shelf.say("pages.mark.tells_best", **slots, how=how), "next": runner}
    return {"says": shelf.say("pages.mark.tells_some", **slots), "next": shelf.guide.marks[ranked[0]]}
