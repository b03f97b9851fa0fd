"""The buyer's sheet: two sides to take to a viewing, made ready for every period and every interior in it.

First what such a car should have: the marks that tell most with a drawing, in walking order, the others a line
each. Then what is often changed and how a copy is told, what to ask, to photograph and to look out for. Where the
period leaves a mark open, both forms are named with the time between them.

The common part of A4 and US Letter is 186 x 255 mm, so one page serves both papers. Heights below are in
millimetres; the style sheet sheet.css sets them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import pairwise
from typing import Any

from guide.dating.key import Cars
from guide.dating.model import ModelMark
from guide.facts.types import FittedAs, Form, Mark, Reach
from guide.finding import Finding
from guide.limits.wording import scope_said
from guide.pages.parts.expected import ExpectedMark, expected_of, most_telling, usual_first
from guide.pages.parts.naming import safe_name
from guide.pages.parts.spells import courses_of, days_of
from guide.pages.shelf import Address, Context, Page, Shelf
from guide.words.say import lower_first
from guide.words.typography import typographic

__all__ = [
    "DRAWN",
    "LINED",
    "LINES",
    "LINE_LETTERS",
    "PAGE",
    "PLACES",
    "asked_trim",
    "hints_of",
    "says_expected",
    "sheet_parts",
    "turns_of",
]

DRAWN = 18  # marks with a drawing; the rest get a line
LINED = 27  # at most so many lines: what two sides hold
LINE_LETTERS, LINES = 34, 3  # letters to a line beside a drawing, and lines below the part's name
LEAST_CARS = 0.00001  # of all cars: an interior that fewer had in a period gets no sheet
APART_DAYS = 45  # a changeover further apart than this between kinds of car gets no one date
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


@dataclass(frozen=True, slots=True)
class SheetEntry:
    """One thing to look at: what it should be, and a word on what is often found instead."""

    mark: Mark
    form: Form
    name: str
    says: str
    hint: str


def _addresses(shelf: Shelf) -> Iterator[Address]:
    """Yield the sheets of all periods and of the interiors that were built in them."""
    for period in shelf.guide.periods.values():
        said = {"car": shelf.guide.car, "period": lower_first(period.name)}
        yield Address(
            "sheet", period.id, f"sheets/{safe_name(period.id, '.html')}", shelf.say("pages.sheet.title", **said)
        )
        for interior in shelf.guide.interiors.values():
            if shelf.key.share_of(Cars(period=period.id, interior=interior.id)) > LEAST_CARS:
                title = shelf.say("pages.sheet.title_trim", **said, interior=lower_first(interior.name))
                name = safe_name(f"{period.id}-{interior.id}", ".html")
                yield Address("sheet", f"{period.id}/{interior.id}", f"sheets/{name}", title)


def _context(shelf: Shelf, address: Address) -> Context:
    period_id, _, interior_id = address.id.partition("/")
    period = shelf.guide.periods[period_id]
    cars = Cars(period=period_id, interior=interior_id)
    looks = {look.mark.id: look for look in expected_of(shelf, cars)}
    ranked = [mark for mark in most_telling(shelf, cars) if mark in looks]
    ranked += [mark for mark in looks if mark not in ranked]
    telling = set(ranked[:DRAWN])
    window = (period.first, period.last)
    entries = {mark: _entry(shelf, look, window) for mark, look in looks.items()}
    places = []
    for place, reaches in PLACES:
        found = [entries[mark] for mark in looks if mark in telling and looks[mark].mark.reach in reaches]
        if found:
            places.append({"heading": shelf.say(f"pages.sheet.place.{place}"), "entries": found})
    return {
        "when": shelf.words.day_range(period.first, period.last),
        "places": places,
        "lines": [entries[mark] for mark in looks if mark in ranked[DRAWN : DRAWN + LINED]],
        "trim": None if interior_id else _trim(shelf, period_id),
        **sheet_parts(shelf, [looks[mark].mark for mark in looks]),
        "findings": list(_too_long(entries.values())),
    }


def _trim(shelf: Shelf, period: str) -> tuple[str, str] | None:
    """Return what the key calls the trim, and the interiors that cars of a period had, most usual first."""
    asked = asked_trim(shelf)
    if asked is None:
        return None
    cars = Cars(period=period)
    shares = {form.name: shelf.key.share_of(replace(cars, interior=form.id), cars) for form in asked.forms}
    names = [name for name, _ in usual_first(shares)]
    return asked.name, shelf.say("pages.sheet.either", forms=shelf.words.one_of_names(names))


def asked_trim(shelf: Shelf) -> ModelMark | None:
    """Return the mark as which the key asks for the trim, where it does."""
    return next((one for one in shelf.model.marks if one.kind == "interior"), None)


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
            tell = typographic(_first_sentences(taken.tell), shelf.guide.language)
            if what and tell:
                yield shelf.say("pages.sheet.changed", part=mark.name, what=lower_first(what), tell=tell)
                return


def _first_sentences(text: str) -> str:
    """Return as many of a text's first sentences as there is room for; empty where the first alone is too long."""
    plain = " ".join(text.replace("*", "").split())
    ends = [at + 1 for at, sign in enumerate(plain) if sign in ".!?" and plain[at + 1 : at + 2] in ("", " ")]
    if not ends or ends[-1] < len(plain):
        ends.append(len(plain))
    return plain[: max((end for end in ends if end <= TELL_LETTERS), default=0)]


def _entry(shelf: Shelf, look: ExpectedMark, window: tuple[date, date]) -> SheetEntry:
    says, hint = says_expected(shelf, look, window), _hint_of(shelf, look)
    if _lines(says) + _lines(hint) > LINES:
        hint = ""  # what the car should have comes first
    only = shelf.words.tell(scope_said(shelf.guide, look.mark.scope))
    name = shelf.say("pages.sheet.only", part=look.mark.name, scope=lower_first(only)) if only else look.mark.name
    return SheetEntry(look.mark, look.usual, name, says, hint)


def _lines(text: str) -> int:
    """Return how many lines a text takes beside a drawing."""
    return -(-len(text) // LINE_LETTERS)


def says_expected(shelf: Shelf, look: ExpectedMark, window: tuple[date, date]) -> str:
    """Return what cars built within a window should have at a mark: one form, first one then another, or either."""
    if not look.open:
        return f"{look.usual.answer}."
    named = [form for form, _ in look.forms][:3]
    if len(named) == 2:
        turns = turns_of(shelf, look.mark)
        for before, after in (named, reversed(named)):
            days = turns.get((before.id, after.id))
            if days is not None and days[0] <= window[1] and days[1] >= window[0]:
                when = shelf.words.month_year(days[0] + (days[1] - days[0]) / 2)
                return shelf.say(
                    "pages.sheet.before_after", before=before.name, after=lower_first(after.name), when=when
                )
    return shelf.say("pages.sheet.either", forms=shelf.words.one_of_names(form.name for form in named))


def turns_of(shelf: Shelf, mark: Mark) -> dict[tuple[str, str], tuple[date, date]]:
    """Return between which days one form gave way to the next, by both ids, where that was so on every car."""
    days: dict[tuple[str, str], list[date]] = {}
    for course in courses_of(shelf, mark):
        for old, new in pairwise(course.spells):
            first, last = days_of(shelf, new.first)
            days.setdefault((old.form, new.form), []).append(first + (last - first) / 2)
    return {
        pair: (min(found), max(found))
        for pair, found in days.items()
        if (max(found) - min(found)).days <= APART_DAYS and (pair[1], pair[0]) not in days
    }


def hints_of(shelf: Shelf, mark: Mark) -> Iterator[tuple[str, str]]:
    """Yield a few words on each thing that is often found instead, with the form they are about, best first; last of
    all, about no form, that the part is often changed where that is so."""
    for form in mark.forms.values():
        how = next((_FOUND_INSTEAD[one.kind] for one in form.fitted_as if one.kind in _FOUND_INSTEAD), None)
        if how is not None:
            yield shelf.say(f"pages.sheet.hint.{how}", form=lower_first(form.name)), form.id
    if mark.survives_share < OFTEN:
        yield shelf.say("pages.sheet.hint.often"), ""


def _hint_of(shelf: Shelf, look: ExpectedMark) -> str:
    """Return the first hint that is not about a form that the car may well have; empty for no warning."""
    built = {form.id for form, _ in look.forms}
    return next((says for says, about in hints_of(shelf, look.mark) if about not in built), "")


def _too_long(entries: Iterable[SheetEntry]) -> Iterator[Finding]:
    for entry in entries:
        lines = _lines(entry.says)
        if lines > LINES:
            yield Finding.of(
                "pages.sheet-entry-too-long",
                entry.form.place,
                most=LINES,
                letters=LINE_LETTERS,
                found=lines,
                mark=entry.mark.name,
                entry=entry.says,
            )


PAGE = Page("sheet", _addresses, _context, "sheet.html")
