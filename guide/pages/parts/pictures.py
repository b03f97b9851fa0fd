"""What is shown beside a form's drawing, what on it is named, and whose each picture is."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from guide.facts.records.frontispiece import Spot
from guide.facts.records.pictures import own_photograph
from guide.facts.types import Form, Mark, Picture
from guide.pages.parts.wording import licence_said
from guide.pages.shelf import Shelf, once
from guide.sentence import Value, in_turn, sentence

__all__ = ["Pointed", "credited", "credits_listed", "further_pictures", "pointed_out", "shown_with"]

_INWARDS = 0.05  # of a drawing's width: how far from its side a line begins that leads from the first or last letter


@dataclass(frozen=True, slots=True)
class Pointed:
    """A detail named beneath its drawing: at which ``side`` the name stands, and the line from there to the detail, in
    the drawing's own ``box``; no box and no line where what is shown is no drawing."""

    name: str
    side: str  # left, middle or right
    box: str = ""
    line: str = ""
    spot: Spot = (0.0, 0.0)


def pointed_out(shelf: Shelf, form: Form) -> Pointed | None:
    """Return what names a form's detail, where its facts name one."""
    detail, drawing = form.detail, shelf.drawings.get(form.picture)
    if detail is None or drawing is None or drawing.sides is None or not drawing.holds(detail.spot):
        return None if detail is None else Pointed(detail.name, "left")
    left, top, width, height = drawing.sides
    across, down = detail.spot
    third = min(int(3 * (across - left) / width), 2)
    side, begins = (("left", _INWARDS), ("middle", 0.5), ("right", 1 - _INWARDS))[third]
    line = f"M{left + begins * width:g} {top + height:g}L{across:g} {down:g}"
    return Pointed(detail.name, side, drawing.box, line, detail.spot)


@once
def _listed(shelf: Shelf) -> Mapping[str, Picture]:
    """Return every picture of which something is said, by its file."""
    guide = shelf.guide
    marks = guide.marks.values()
    stated = (
        *guide.pictures,
        *(one for mark in marks for one in mark.pictures),
        *(one for mark in marks for form in mark.forms.values() for one in form.pictures),
    )
    return {one.file: one for one in stated}


def _said(picture: Picture | None) -> Value:
    """Return whose a picture is, from when, and on what terms; nothing where none of it is known."""
    if picture is None:
        return ""
    parts: list[Value] = []
    if picture.credit:
        way = "credit_year" if picture.year else "credit"
        parts.append(sentence(f"pages.picture.{way}", credit=picture.credit, year=picture.year))
    elif picture.year:
        parts.append(sentence("pages.picture.year", year=picture.year))
    if picture.licence:
        parts.append(sentence("pages.picture.licence", licence=licence_said(picture.licence)))
    return in_turn(parts) if parts else ""


def credited(shelf: Shelf, file: str) -> Value:
    """Return whose the picture of a file is, where that is known."""
    return _said(_listed(shelf).get(file))


def _row(shelf: Shelf, file: str, describes: str, picture: Picture | None) -> dict[str, Any]:
    """Return one picture laid out: its file, itself in words, what stands beneath it, whose it is."""
    return {
        "file": file,
        "describes": (picture.describes if picture else "") or describes,
        "caption": picture.caption if picture else "",
        "credit": credited(shelf, file),
    }


def _there(shelf: Shelf, file: str) -> bool:
    return file in shelf.drawings or file in shelf.photographs


def shown_with(shelf: Shelf, mark: Mark, form: Form) -> list[dict[str, Any]]:
    """Return the pictures of a form besides its first: those that it lists, and the photograph of its own name."""
    own = own_photograph(mark.id, form.id, shelf.photographs)
    listed = {one.file: one for one in form.pictures}
    files = [*listed, *([own] if own and form.picture in shelf.drawings else [])]
    return [
        _row(shelf, file, form.describes or form.answer, _listed(shelf).get(file))
        for file in dict.fromkeys(files)
        if file != form.picture and _there(shelf, file)
    ]


def further_pictures(shelf: Shelf, mark: Mark) -> list[dict[str, Any]]:
    """Return the pictures of a mark as a whole."""
    return [_row(shelf, one.file, mark.name, one) for one in mark.pictures if _there(shelf, one.file)]


def credits_listed(shelf: Shelf) -> list[dict[str, Any]]:
    """Return every picture whose maker or terms are known, in the guide's order: what it shows, and whose it is."""
    return list(_credits(shelf))


def _credits(shelf: Shelf) -> Iterator[dict[str, Any]]:
    guide = shelf.guide
    of_form = {
        file: (mark, form.name)
        for mark in guide.marks.values()
        for form in mark.forms.values()
        for file in (form.picture, *(one.file for one in form.pictures))
    }
    of_mark = {one.file: (mark, "") for mark in guide.marks.values() for one in mark.pictures}
    for file, picture in _listed(shelf).items():
        says = _said(picture)
        if says and _there(shelf, file):
            mark, form = (of_mark | of_form).get(file, (None, ""))
            shown = (picture.caption or picture.describes).removesuffix(".")  # never the file's name: the editor's own
            yield {"mark": mark, "form": form, "shown": shown, "says": says}
