"""One mark that tells two things apart, laid out: where to look, how well it tells, and what each of the two has.

The ranking is that of `guide.dating.tell_apart`. A mark is drawn with the form that most of each kind had; the
body and the trim, which the key asks for beside the guide's own marks, are told in the same way.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from guide.dating.tell_apart import Told
from guide.pages.parts.looks import LEAST, USUAL
from guide.pages.shelf import Shelf

__all__ = ["Found", "Row", "row_of"]

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
class Row:
    """One mark that tells two things apart: ``one`` and ``other`` are what each has, most usual first."""

    id: str
    name: str
    link: Link | None
    how: str
    differs: str
    one: tuple[Found, ...]
    other: tuple[Found, ...]


def row_of(shelf: Shelf, told: Told) -> Row:
    """Return a mark that `guide.dating.tell_apart` ranked, in words and drawings."""
    how = shelf.say(f"pages.reach.how.{told.reach}")
    differs = next(word for least, word in WORDS if told.separation >= least)
    mark = shelf.guide.marks.get(told.mark)
    asked = next(one for one in shelf.model.marks if one.id == told.mark)
    forms = _forms_of(shelf, told.mark)
    return Row(
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


def _expected(shelf: Shelf, forms: Sequence[Found], shares: Sequence[float]) -> tuple[Found, ...]:
    """Return the forms to expect with how many had each; one that nearly all had stands alone, without a count."""
    found = sorted(zip(forms, shares, strict=True), key=lambda pair: -round(pair[1], 6))
    if found[0][1] >= USUAL:
        return (found[0][0],)
    return tuple(
        Found(form.answer, form.picture, form.describes, shelf.words.in_ten(share), form.link)
        for form, share in found
        if share >= LEAST
    )
