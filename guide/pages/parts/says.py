"""Small things in words that many pages share: a time, a scope, a source cited, how a form was fitted."""

from __future__ import annotations

import re
from datetime import date, timedelta

from guide.facts.types import FittedAs, Fitting, Form, Scope, Source, Statement, When, WhenKind
from guide.limits.says import about_words, in_words, scope_words
from guide.limits.types import Clash
from guide.pages.shelf import Shelf
from guide.words.say import lower_first

__all__ = [
    "about_when",
    "say_citation",
    "say_claim",
    "say_fittings",
    "say_licence",
    "say_scope",
    "say_spare",
    "say_stated",
    "say_survival",
    "say_when",
    "standing_of",
]

_VAGUE_DAYS = 183  # limits wider than this are printed as limits, not as "about" their middle


def say_when(shelf: Shelf, when: When) -> str:
    """Return a stated time as one would say it: "March 1968", "about May 1968", "car C1840", "the start"."""
    if when.kind is WhenKind.CAR:
        assert when.car is not None
        if not when.cars_after:
            return when.car.written
        side = "after" if when.cars_after > 0 else "before"
        if abs(when.cars_after) == 1:
            return shelf.say(f"pages.when.car_{side}", car=when.car.written)
        return shelf.say(f"pages.when.cars_{side}", cars=abs(when.cars_after), car=when.car.written)
    if when.kind in (WhenKind.START, WhenKind.END):
        edge = "start" if when.kind is WhenKind.START else "end"
        guide = shelf.guide
        if when.of and when.of in guide.periods:
            return shelf.say(f"pages.when.{edge}_of_period", of=guide.periods[when.of].name)
        if when.of and when.of in guide.series:
            return shelf.say(f"pages.when.{edge}_of_series", of=lower_first(guide.series[when.of].name))
        return shelf.say(f"pages.when.{edge}")
    return _say_date(shelf, when)


def _say_date(shelf: Shelf, when: When) -> str:
    words, first, last = shelf.words, when.earliest, when.latest
    if in_words(when):
        return when.text
    if first is None and last is None:
        return when.text
    if first is None:
        assert last is not None
        return shelf.say("pages.when.by", when=words.day(last))
    if last is None:
        return shelf.say("pages.when.after", when=words.day(first))
    if when.approximate:
        middle = first + (last - first) / 2
        return shelf.say("pages.when.about", when=about_words(words, when) or words.month_year(middle))
    if first == last:
        return words.day(first)
    if (first.month, first.day, last.month, last.day) == (1, 1, 12, 31):
        return f"{first.year}" if first.year == last.year else f"{first.year}–{last.year}"
    if first.day == 1 and (last + timedelta(days=1)).day == 1:
        return words.range(first, last)
    return words.day_range(first, last)


def about_when(shelf: Shelf, first: date, last: date) -> str:
    """Return limits in a few words: "May 1968", "about May 1968", or both ends when they lie far apart."""
    words = shelf.words
    if first == last:
        return words.day(first)
    if (first.year, first.month) == (last.year, last.month):
        return words.month_year(first)
    if (last - first).days > _VAGUE_DAYS:
        return shelf.say("pages.when.some_time", span=words.span(first, last))
    return shelf.say("pages.when.about", when=words.month_year(first + (last - first) / 2))


def say_scope(shelf: Shelf, scope: Scope) -> str:
    """Return which cars a scope holds, as inside a sentence: "coupé, right-hand drive"; empty for every car."""
    return scope_words(shelf.words, shelf.guide, scope)


def say_citation(shelf: Shelf, source: Source | None, page: str = "") -> str:
    """Return a source as a note cites it, with its page."""
    if source is None:
        return shelf.say("pages.source.none")
    if not page:
        return source.name
    if page[:1].isdigit():
        return shelf.say("pages.source.page", source=source.name, page=page)
    return shelf.say("pages.source.at", source=source.name, at=page)


def say_claim(shelf: Shelf, statement: Statement) -> str:
    """Return what one statement says, beside its form and its source: "Last: C1840 (right-hand drive)"."""
    return _said(shelf, statement, "pages.claim")


def say_stated(shelf: Shelf, statement: Statement, form: Form) -> str:
    """Return what one statement says as a clause: "Bulletin 7 (page 3) gives C1840 as the last with “Toggles”"."""
    source = say_citation(shelf, shelf.guide.sources.get(statement.source))
    if statement.page:
        way = "limits.page" if statement.page[:1].isdigit() else "limits.page-words"
        source = shelf.say(way, source=source, page=statement.page)
    return _said(shelf, statement, "pages.stated", source=source, form=form.name)


def _said(shelf: Shelf, statement: Statement, family: str, **slots: str) -> str:
    if statement.when is not None:
        when = say_when(shelf, statement.when)
    elif statement.other is not None:
        other = shelf.guide.marks.get(statement.other.mark)
        form = other.forms.get(statement.other.form) if other else None
        when = shelf.say(
            "pages.claim.other",
            mark=other.name if other else statement.other.mark,
            form=form.name if form else statement.other.form,
        )
    else:
        when = ""
    kind = statement.kind.value.replace(" ", "_")
    if kind == "seen" and statement.when is not None and statement.when.car is None:
        kind = "seen_day"
    if statement.superlative:
        kind += "_ever"
    said = shelf.say(f"{family}.{kind}", when=when, **slots)
    scope = say_scope(shelf, _beside_when(statement))
    return shelf.say(f"{family}.scoped", claim=said, scope=scope) if scope else said


def _beside_when(statement: Statement) -> Scope:
    """Return a statement's scope without the series that its time names already: "the first open car"."""
    when, scope = statement.when, statement.scope
    if when is None or when.kind not in (WhenKind.START, WhenKind.END) or scope.values("series") != (when.of,):
        return scope
    return Scope(tuple(part for part in scope.parts if part[0] != "series"))


def say_fittings(shelf: Shelf, form: Form) -> list[str]:
    """Return how a form came to be on cars otherwise than by the works, one sentence each."""
    return [
        _say_fitting(shelf, fitting, also=form.dates_a_car)
        for fitting in form.fitted_as
        if fitting.kind is not FittedAs.FACTORY
    ]


def _say_fitting(shelf: Shelf, fitting: Fitting, *, also: bool) -> str:
    """Return one sentence; ``also`` where the works fitted the form too."""
    own = fitting.kind in (FittedAs.OPTION, FittedAs.CAMPAIGN)
    kind = f"{'fitted_also' if also and not own else 'fitted'}.{fitting.kind.value.replace(' ', '_')}"
    first = say_when(shelf, fitting.first) if fitting.first else ""
    last = say_when(shelf, fitting.last) if fitting.last else ""
    if first and last:
        said = shelf.say(f"pages.{kind}.between", first=first, last=last)
    elif first:
        said = shelf.say(f"pages.{kind}.from", first=first)
    else:
        said = shelf.say(f"pages.{kind}.plain")
    scope = say_scope(shelf, fitting.scope)
    return shelf.say("pages.fitted.scoped", said=said, scope=scope) if scope else said


def say_spare(shelf: Shelf, form: Form) -> str:
    """Return why a form that the works never fitted dates no car; empty for one that the works fitted."""
    return "" if form.dates_a_car else shelf.say("pages.fitted.tells_nothing")


def say_licence(identity: str) -> str:
    """Return a licence's SPDX id as its notice is written: "CC BY-SA 4.0" for CC-BY-SA-4.0; others stay as they are.

    Creative Commons writes its notices so (creativecommons.org, "Recommended practices for attribution").
    """
    kind = re.compile(r"^CC(0|-BY[A-Z-]*)-(\d\.\d)$")
    return kind.sub(lambda found: f"CC{found[1].replace('-', ' ', 1)} {found[2]}", identity)


def say_survival(shelf: Shelf, share: float) -> str:
    """Return how many cars still have their own part, in words."""
    for least, word in ((0.95, "nearly_all"), (0.7, "most"), (0.4, "half"), (0.0, "few")):
        if share >= least:
            return shelf.say(f"pages.survives.{word}")
    raise AssertionError(share)


def standing_of(clash: Clash) -> str:
    """Return how the statement stands that a clash without a ruling disputes, as the end of its sentence's id."""
    return "clash" if clash.leaves_out else "mixed" if clash.fits_by_date else "mixed_number_only"
