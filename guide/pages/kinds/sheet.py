"""The buyer's sheet: two sides to take to a viewing, made ready for every period and every interior in it.

First what such a car should have: the marks that tell most with a drawing, in walking order, the others a line
each. Then what is often changed and how a copy is told, what to ask, to photograph and to look out for. Where the
period leaves a mark open, both forms are named with the time between them.

The common part of A4 and US Letter is 186 x 255 mm, so one page serves both papers. Heights below are in
millimetres; the style sheet sheet.css sets them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from guide.dating.fitted import FittedMark
from guide.dating.fitted_sentences import cars_said, fitted_said, trims_of
from guide.dating.key import Cars
from guide.facts.reads import remembered
from guide.facts.types import Form, Mark
from guide.finding import Finding
from guide.limits.changeovers import turns_of
from guide.pages.parts.expected import ExpectedMark, expected_of, fitted_to, most_telling
from guide.pages.parts.naming import safe_name
from guide.pages.parts.sheet_parts import LINE_LETTERS, LINED, LINES, PLACES, drawn_of, hints_of, sheet_parts
from guide.pages.shelf import Address, Context, Page, Shelf, answered
from guide.sentence import sentence

__all__ = ["PAGE", "says_expected", "too_long"]

LEAST_CARS = 0.00001  # of all cars: an interior that fewer had in a period gets no sheet


@dataclass(frozen=True, slots=True)
class SheetEntry:
    """One thing to look at: what it should be, drawn, both where two are named, and what is often found instead."""

    mark: Mark
    forms: tuple[Form, ...]
    name: str
    says: str
    hint: str


def _addresses(shelf: Shelf) -> Iterator[Address]:
    """Yield the sheets of all periods and of the interiors that were built in them."""
    for period in shelf.guide.periods.values():
        said = {"car": shelf.guide.car, "period": shelf.words.lower_first(period.name)}
        yield Address(
            "sheet", period.id, f"sheets/{safe_name(period.id, '.html')}", shelf.say("pages.sheet.title", **said)
        )
        for interior in shelf.guide.interiors.values():
            if shelf.key.share_of(Cars(period=period.id, interior=interior.id)) > LEAST_CARS:
                title = shelf.say("pages.sheet.title_trim", **said, interior=shelf.words.lower_first(interior.name))
                name = safe_name(f"{period.id}-{interior.id}", ".html")
                yield Address("sheet", f"{period.id}/{interior.id}", f"sheets/{name}", title)


def _context(shelf: Shelf, address: Address) -> Context:
    period_id, _, interior_id = address.id.partition("/")
    period = shelf.guide.periods[period_id]
    cars = Cars(period=period_id, interior=interior_id)
    fitted = fitted_to(shelf, cars)
    trims = trims_of(shelf.model, fitted)
    looks = {look.mark.id: look for look in expected_of(shelf, cars)}
    window = (period.first, period.last)
    entries = {mark: _entry(shelf, look, window, trims) for mark, look in looks.items()}
    telling, lined = _chosen(shelf, cars)
    places = []
    for place, reaches in PLACES:
        found = [entries[mark] for mark in telling if looks[mark].mark.reach in reaches]
        if found:
            places.append({"heading": shelf.say(f"pages.sheet.place.{place}"), "entries": found})
    return {
        "when": shelf.words.day_range(period.first, period.last),
        "places": places,
        "lines": [entries[mark] for mark in lined],
        "trim": None if interior_id else _trim(shelf, fitted, trims),
        **sheet_parts(shelf, [looks[mark].mark for mark in looks]),
        "findings": list(_too_long((look, entries[mark].says) for mark, look in looks.items())),
    }


@answered
def _chosen(shelf: Shelf, cars: Cars) -> tuple[list[str], list[str]]:
    """Return the marks that are drawn, and those that have a line, of the rest, in walking order."""
    looks = {look.mark.id: look for look in expected_of(shelf, cars)}
    ranked = [mark for mark in most_telling(shelf, cars) if mark in looks]
    ranked += [mark for mark in looks if mark not in ranked]
    telling = drawn_of(ranked, {mark for mark, look in looks.items() if len(_pictured(shelf, look)) > 1})
    lined = ranked[len(telling) : len(telling) + LINED]
    return [mark for mark in looks if mark in telling], [mark for mark in looks if mark in lined]


def _trim(shelf: Shelf, fitted: Sequence[FittedMark], trims: Sequence[str]) -> tuple[str, str] | None:
    """Return what the key calls the trim, and the interiors that the cars can have, most usual first."""
    for one in fitted:
        mark = shelf.model.marks[one.mark]
        if mark.kind == "interior":
            return mark.name, _said(shelf, one, trims)
    return None


def _said(shelf: Shelf, one: FittedMark, trims: Sequence[str]) -> str:
    """Return what cars should have at a mark, as an entry of the sheet; the same wherever it is asked for."""

    def said() -> tuple[FittedMark, str]:
        told = sentence("pages.sheet.either", forms=fitted_said(shelf.model, one, trims))
        return one, shelf.words.tell(told)  # with what is known by its identity, so that it lives on

    forms = tuple([(form.form, id(form.scopes)) for form in one.forms])
    return remembered(shelf.known, (_said, one.mark, forms, *trims), said)[1]


def _entry(shelf: Shelf, look: ExpectedMark, window: tuple[date, date], trims: Sequence[str]) -> SheetEntry:
    says, hint = says_expected(shelf, look, window, trims), _hint_of(shelf, look)
    if _lines(says) + _lines(hint) > LINES:
        hint = ""  # what the car should have comes first
    only = shelf.words.tell(cars_said(shelf.model, look.fitted.only, trims))
    name = (
        shelf.say("pages.sheet.only", part=look.mark.name, scope=shelf.words.lower_first(only))
        if only
        else look.mark.name
    )
    return SheetEntry(look.mark, _pictured(shelf, look), name, says, hint)


def _pictured(shelf: Shelf, look: ExpectedMark) -> tuple[Form, ...]:
    """Return the forms to draw: the usual one, or both where two are named, the older first."""
    named = tuple(form for form, _ in look.forms)
    if len(named) == 2 and all(form.picture for form in named):
        return named[::-1] if (named[1].id, named[0].id) in turns_of(shelf.limits, look.mark) else named
    return (look.usual,)


def _lines(text: str) -> int:
    """Return how many lines a text takes beside a drawing."""
    return -(-len(text) // LINE_LETTERS)


def says_expected(shelf: Shelf, look: ExpectedMark, window: tuple[date, date], trims: Sequence[str]) -> str:
    """Return what cars built within a window should have at a mark: one form, first one then another, or either.

    The days of a change stand beside the cars that papers name where they take no line more than days alone.
    """
    named = [form for form, _ in look.forms]
    two = look.fitted.forms if len(named) == 2 else ()
    apart = {name for form in two for scope in form.scopes for name in scope.cars}
    if two and apart <= {"series"}:  # one body begun later than the other tells no more than the date
        turns = turns_of(shelf.limits, look.mark)
        for before, after in (named, reversed(named)):
            turn = turns.get((before.id, after.id))
            if turn is not None and (turn.days is None or (turn.days[0] <= window[1] and turn.days[1] >= window[0])):
                middle = None if turn.days is None else turn.days[0] + (turn.days[1] - turn.days[0]) / 2
                slots = {
                    "before": before.name if look.fitted.sure else shelf.words.lower_first(before.name),
                    "after": shelf.words.lower_first(after.name),
                    "cars": shelf.words.one_of(turn.cars),
                    "when": "" if middle is None else shelf.words.month_year(middle),
                }
                name = f"pages.sheet.before_after{'' if look.fitted.sure else '_probably'}"
                said = shelf.say(f"{name}.{turn.way}", **slots)
                no_room = turn.way == "cars_days" and _lines(said) > _lines(shelf.say(f"{name}.days", **slots))
                return shelf.say(f"{name}.cars", **slots) if no_room else said
    return _said(shelf, look.fitted, trims)


def _hint_of(shelf: Shelf, look: ExpectedMark) -> str:
    """Return the first hint that is not about a form that the car may well have; empty for no warning."""
    built = {form.id for form, _ in look.forms}
    return next((says for says, about in hints_of(shelf, look.mark) if about not in built), "")


def too_long(shelf: Shelf) -> Iterator[Finding]:
    """Yield what has no room on the sheets, as their pages find it."""
    for address in _addresses(shelf):
        period, _, interior = address.id.partition("/")
        made = shelf.guide.periods[period]
        cars = Cars(period=period, interior=interior)
        trims = trims_of(shelf.model, fitted_to(shelf, cars))
        window = (made.first, made.last)
        yield from _too_long((look, says_expected(shelf, look, window, trims)) for look in expected_of(shelf, cars))


def _too_long(said: Iterable[tuple[ExpectedMark, str]]) -> Iterator[Finding]:
    for look, says in said:
        lines = _lines(says)
        if lines > LINES:
            yield Finding.of(
                "pages.sheet-entry-too-long",
                max((form for form, _ in look.forms), key=lambda form: len(form.name)).place,
                most=LINES,
                letters=LINE_LETTERS,
                found=lines,
                mark=look.mark.name,
                entry=says,
            )


PAGE = Page("sheet", _addresses, _context, "sheet.html")
