"""Telling two forms of one mark apart: both drawings at one scale, what differs, and what else on the car tells.

Neighbours have a page: forms that followed one another at the works, and forms that the editor says are taken for one
another. Any two others are told apart on the mark's page (`guide.pages.parts.pairs`), whose chooser does in the browser
what is done here.

What else tells is asked of cars *built* with the one or the other, and ranked by `guide.dating.tell_apart`; a form
that the works never fitted goes with nothing, so there the page says so instead.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date
from typing import Any

from guide.dating.belief.evidence import Answer
from guide.dating.key import Cars
from guide.facts.reads import Question, resting
from guide.facts.recall import recalled
from guide.facts.types import Form, Mark, TakenFor
from guide.limits.courses import courses_of
from guide.limits.wording import scope_said
from guide.pages.parts.changes import changes_of
from guide.pages.parts.naming import safe_name
from guide.pages.parts.pairs import LEAST_BITS, Pair, pair_heading, pair_title, pairs_of
from guide.pages.parts.spells import spans_of
from guide.pages.parts.to_be_had import form_lines
from guide.pages.parts.told_apart import ToldApart, rows_apart, split_drawn
from guide.pages.parts.wording import fittings_said, spare_said
from guide.pages.shelf import Address, Context, Page, Shelf, answered
from guide.sentence import upper_first

__all__ = ["DRAWN", "PAGE", "addresses_left", "forms_told"]

DRAWN = 6  # other marks shown with both drawings; further ones get a line


def _address(shelf: Shelf, pair: Pair) -> Address:
    name = safe_name(f"{pair.mark.id}-{pair.one.id}-or-{pair.other.id}", ".html")
    return Address("forms", pair.id, f"forms/{name}", pair_title(shelf, pair))


def _addresses(shelf: Shelf) -> Iterable[Address]:
    for mark in shelf.guide.marks.values():
        yield from (_address(shelf, pair) for pair in pairs_of(mark) if pair.neighbours)


def addresses_left(shelf: Shelf) -> Iterator[tuple[Address, Address]]:
    """Yield the addresses at which two forms that are no neighbours once had a page, each with where they are told
    apart now."""
    for mark in shelf.guide.marks.values():
        for pair in pairs_of(mark):
            if not pair.neighbours:
                kind, identity, part = pair.link
                there = shelf.places[kind, identity]
                title = pair_title(shelf, pair)
                yield _address(shelf, pair), replace(there, path=f"{there.path}#{part}", title=title)


def _context(shelf: Shelf, address: Address) -> Context:
    pair = next(pair for pair in pairs_of(shelf.guide.marks[address.id.split("/")[0]]) if pair.id == address.id)
    mark = pair.mark
    rows = forms_told(shelf, pair)
    how = shelf.say(f"pages.reach.how.{mark.reach}")
    return {
        "mark": mark,
        "heading": pair_heading(shelf, pair),
        "how": upper_first(how),
        "sides": [_side(shelf, mark, form) for form in (pair.one, pair.other)],
        "taken_for": _taken_for(pair),
        "changes": _changes(shelf, pair),
        "lead": _lead(shelf, pair, bool(rows)),
        **split_drawn(rows, DRAWN),
        "one_words": pair.one.name,
        "other_words": pair.other.name,
        "others": [other for other in pairs_of(mark) if other.id != pair.id],
    }


def forms_told(shelf: Shelf, pair: Pair) -> list[ToldApart]:
    """Return what tells cars built with one form from cars built with the other, best first, but for what misleads as
    often as it helps; nothing where the works never fitted one of the two."""
    if not (pair.one.dates_a_car and pair.other.dates_a_car):
        return []
    one, other = (Cars(built=(pair.mark.id, form.id)) for form in (pair.one, pair.other))
    return rows_apart(shelf, one, other, LEAST_BITS, False)


def _side(shelf: Shelf, mark: Mark, form: Form) -> dict[str, Any]:
    """Return one of the two: its drawing, its own words, and what it says of the date."""
    spans = spans_of(shelf, courses_of(shelf.limits, mark), form)
    if not form.dates_a_car or form.is_option:  # an option's own sentence says when it was offered
        spans = []
    return {
        "form": form,
        "lines": form_lines(shelf, form),
        "spans": spans,
        "fittings": fittings_said(shelf.guide, form),
        "spare": spare_said(form),
        "scope": "" if spans else upper_first(scope_said(shelf.guide, form.scope)),
        "today": _today(shelf, mark, form),
    }


def _today(shelf: Shelf, mark: Mark, form: Form) -> str:
    """Return when nine in ten of the cars that show a form today were built; empty where it dates none."""
    if not form.dates_a_car or not mark.ask:
        return ""
    spans = [shelf.words.span(*days) for days in _nine_in_ten(shelf, Answer(mark.id, (form.id,)))]
    return shelf.say("pages.forms.today", span=shelf.words.one_of(spans)) if spans else ""


@answered
def _nine_in_ten(shelf: Shelf, answer: Answer) -> tuple[tuple[date, date], ...]:
    def found() -> tuple[tuple[date, date], ...]:
        with resting("key"):
            shelf.key.rest_on(answer.mark)
            return shelf.key.nine_in_ten(answer)

    return recalled(Question(f"{__name__}.nine_in_ten", (answer,)), found)


def _taken_for(pair: Pair) -> list[TakenFor]:
    """Return what the editor says of taking one of the two for the other."""
    return [
        taken
        for form, other in ((pair.one, pair.other), (pair.other, pair.one))
        for taken in form.taken_for
        if taken.form == other.id
    ]


def _changes(shelf: Shelf, pair: Pair) -> list[dict[str, Any]]:
    """Return when one of the two gave way to the other, where they followed one another."""
    return [change for change in changes_of(shelf, pair.mark) if set(change["forms"]) == {pair.one.id, pair.other.id}]


def _lead(shelf: Shelf, pair: Pair, told: bool) -> str:
    if told:
        return shelf.say("pages.forms.lead")
    never = [form.answer for form in (pair.one, pair.other) if not form.dates_a_car]
    if never:
        return shelf.say("pages.forms.never_fitted", forms=shelf.words.all_of(f"“{answer}”" for answer in never))
    return shelf.say("pages.forms.nothing")


PAGE = Page("forms", _addresses, _context, "forms.html")
