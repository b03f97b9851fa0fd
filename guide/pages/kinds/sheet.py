"""The buyer's sheet: two sides to take to a viewing, made ready for every period and every interior in it.

First what such a car should have: the marks that tell most with a drawing, in walking order, the others a line
each. Then what is often changed and how a copy is told, what to ask, to photograph and to look out for. Where the
period leaves a mark open, both forms are named with the time between them.

The common part of A4 and US Letter is 186 x 255 mm, so one page serves both papers. Heights below are in
millimetres; the style sheet sheet.css sets them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date

from guide.dating.key import Cars
from guide.facts.types import Form, Mark
from guide.finding import Finding
from guide.limits.courses import turns_of
from guide.limits.wording import scope_said
from guide.pages.parts.expected import ExpectedMark, expected_of, most_telling, usual_first
from guide.pages.parts.naming import safe_name
from guide.pages.parts.sheet_parts import DRAWN, LINE_LETTERS, LINED, LINES, PLACES, asked_trim, hints_of, sheet_parts
from guide.pages.shelf import Address, Context, Page, Shelf
from guide.words.say import lower_first

__all__ = ["PAGE", "says_expected"]

LEAST_CARS = 0.00001  # of all cars: an interior that fewer had in a period gets no sheet


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
        turns = turns_of(shelf.limits, look.mark)
        for before, after in (named, reversed(named)):
            days = turns.get((before.id, after.id))
            if days is not None and days[0] <= window[1] and days[1] >= window[0]:
                when = shelf.words.month_year(days[0] + (days[1] - days[0]) / 2)
                return shelf.say(
                    "pages.sheet.before_after", before=before.name, after=lower_first(after.name), when=when
                )
    return shelf.say("pages.sheet.either", forms=shelf.words.one_of_names(form.name for form in named))


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
