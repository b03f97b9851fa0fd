"""How a stated moment, a form, the cars of a scope and a statement are said: one way each, for findings and pages.

Everything here is a sentence yet to be said (`guide.sentence`). What the editor wrote in words, as "spring 1969", is
said as it was written, in another language by its days.
"""

from __future__ import annotations

import re
from calendar import monthrange
from collections.abc import Sequence
from datetime import date

from guide.facts.types import CarNumber, FormRef, Guide, Scope, Statement, StatementKind, When, WhenKind
from guide.sentence import (
    Sentence,
    Value,
    chained,
    day,
    day_range,
    lower_first,
    month_range,
    month_year,
    one_of,
    sentence,
)

__all__ = [
    "bounds_said",
    "claim_said",
    "form_said",
    "in_words",
    "is_end_of_production",
    "number_said",
    "scope_said",
    "statement_said",
    "when_said",
    "word_of",
]

_CODED = re.compile(r"[\dWX?~%./\-]+", re.IGNORECASE)
_WEEK = re.compile(r"(\d{4})-?W(\d\d)[?~%]?", re.IGNORECASE)
_ABOUT = re.compile(r"(\d{4})(?:-(\d\d)(?:-(\d\d))?)?[~%?]")


def when_said(guide: Guide, when: When, *, taken_as: bool = False) -> Value:
    """Return a when as it stands inside a sentence: "March 1968", "about May 1968", "10 cars after C1840".

    ``taken_as``: with the days that an "about" is taken for.
    """
    if when.is_date:
        said = _date_said(when, taken_as=taken_as)
        return sentence("limits.when.probably", when=said) if when.uncertain and said != when.text else said
    if when.car is not None:
        return _car_said(when, number_said(guide, when.car))
    if when.kind is WhenKind.MODEL_YEAR:
        if when.earliest is None or when.latest is None:
            return sentence("limits.when.model-year", year=when.year)
        span = _days_said(when.earliest, when.latest)
        return sentence("limits.when.model-year-loose", year=when.year, span=span)
    end = str(when.kind)
    if when.of is None:
        return sentence(f"limits.when.{end}")
    if when.of in guide.periods:
        period = guide.periods[when.of]
        edge = period.first if when.kind is WhenKind.START else period.last
        return sentence(f"limits.when.{end}-of", name=period.name, month=month_year(edge))
    return sentence(f"limits.when.{end}-of-series", name=lower_first(guide.series[when.of].name))


def number_said(guide: Guide, car: CarNumber) -> Value:
    """Return a number as it stands inside a sentence, with its kind where that is not what cars are known by."""
    if car.series not in guide.further_numbers:
        return car.written
    return sentence("limits.number-of-kind", kind=guide.series[car.series].kind, number=car.written)


def _car_said(when: When, car: Value) -> Value:
    """Return a car counted from another; one more or less makes no difference to an "about"."""
    after = when.cars_after
    if abs(after) > 1:
        counted = sentence(f"limits.when.cars-{'after' if after > 0 else 'before'}", cars=abs(after), car=car)
        return sentence("limits.when.about", when=counted) if when.approximate else counted
    if when.approximate:
        return sentence("limits.when.about", when=car)
    return sentence(f"limits.when.just-{'after' if after > 0 else 'before'}", car=car) if after else car


def in_words(when: When) -> bool:
    """Tell whether the editor wrote a date in words, as "spring 1969", which are kept in the language they are in."""
    bounded = when.earliest is not None and when.latest is not None
    return bounded and not _CODED.fullmatch(when.text) and not getattr(when.text, "language", "")


def is_end_of_production(when: When) -> bool:
    """Tell whether a when is the start or end of production itself, which goes without saying."""
    return when.kind in (WhenKind.START, WhenKind.END) and when.of is None


def _date_said(when: When, *, taken_as: bool) -> Value:
    low, high = when.earliest, when.latest
    if in_words(when) or (low is None and high is None):
        return when.text
    if low is None or high is None:
        return bounds_said(low, high)
    span = _days_said(low, high)
    if not when.approximate:
        return _week_of(when) or span
    named = _named(when)
    if taken_as:
        return sentence("limits.when.taken-as", when=named, span=span) if named else span
    return sentence("limits.when.about", when=named or month_year(low + (high - low) / 2))


def bounds_said(low: date | None, high: date | None) -> Value:
    """Return a first and a last day, one of which may be open: "1 May to 3 June 1968", "by 3 June 1968"."""
    if low is not None and high is not None:
        return day_range(low, high)
    if low is not None:
        return sentence("limits.when.from", day=day(low))
    assert high is not None
    return sentence("limits.when.by", day=day(high))


def _days_said(low: date, high: date) -> Value:
    if (low.month, low.day, high.month, high.day) == (1, 1, 12, 31) and low.year < high.year:
        return sentence("limits.when.years", first=str(low.year), last=str(high.year))
    whole = low.day == 1 and high.day == monthrange(high.year, high.month)[1]
    return month_range(low, high) if whole else day_range(low, high)


def _week_of(when: When) -> Value:
    """Return the week that a date is typed as, "week 14 of 1969"; empty where it is not."""
    week = _WEEK.fullmatch(when.text)
    return "" if week is None else sentence("limits.when.week", week=int(week[2]), year=week[1])


def _named(when: When) -> Value:
    """Return the day, week, month or year that an approximate date names, "May 1968"; empty where it names none."""
    found = _ABOUT.fullmatch(when.text)
    if found is None:
        return _week_of(when)
    year, month, number = (int(part) if part else 0 for part in found.groups())
    named = date(year, month or 1, number or 1)
    return day(named) if number else month_year(named) if month else str(year)


def form_said(guide: Guide, ref: FormRef, mark: str = "") -> Sentence:
    """Return a form's name in quotation marks, with its mark's name where the talk is of another mark."""
    owner = guide.marks[ref.mark]
    name = owner.forms[ref.form].name
    if ref.mark == mark:
        return sentence("limits.form", form=name)
    return sentence("limits.form-of", form=name, mark=owner.name)


def scope_said(guide: Guide, scope: Scope, *, series: bool = True) -> Value:
    """Return the cars of a scope as inside a sentence, "coupé, right-hand drive"; empty for every car.

    ``series``: say which series they belong to.
    """
    said: list[Value] = []
    for dimension, values in sorted(scope.parts, key=lambda part: part[0] != "series"):
        if dimension == "series":
            said += [one_of(lower_first(guide.series[value].name) for value in values)] if series else []
        elif dimension == "interior":
            said += _interiors_said(guide, values, scope.values("series"))
        else:
            said.append(one_of(guide.splits[dimension].values[value].name for value in values))
    return chained("words.then", said)


def _interiors_said(guide: Guide, values: Sequence[str], series: Sequence[str] | None) -> list[Value]:
    """Return interiors by name, or "any interior but ..." where most of those to be had in the series are meant.

    Nothing where all of them are: then the interior says nothing.
    """
    left_out = [
        one
        for one in guide.interiors.values()
        if one.id not in values
        and (
            not one.spans
            or any(series is None or set(series) & set(span.scope.values("series") or series) for span in one.spans)
        )
    ]
    if not left_out:
        return []
    most = len(values) > max(2, len(left_out))
    names = one_of(lower_first(one.name) for one in (left_out if most else (guide.interiors[one] for one in values)))
    return [sentence("limits.scope.all_but", interiors=names) if most else names]


# Statements


def word_of(guide: Guide, source: str, page: str = "") -> Value:
    """Return whose word something is, as a sentence begins with it: "Bulletin 7 (page 3)", or "a statement without a
    source"."""
    known = guide.sources.get(source)
    word = known.name if known else source or sentence("limits.without-source")
    if not page:
        return word
    return sentence("limits.page" if page[:1].isdigit() else "limits.page-words", source=word, page=page)


def statement_said(guide: Guide, statement: Statement) -> Sentence:
    """Return a statement as a clause: "Bulletin 7 (page 3) gives C1840 as the last with “Toggles” (coupé)"."""
    by = word_of(guide, statement.source, statement.page)
    form = form_said(guide, FormRef(statement.mark, statement.form), statement.mark)
    return _said(guide, statement, "limits.stated", source=by, form=form)


def claim_said(guide: Guide, statement: Statement) -> Sentence:
    """Return what a statement says beside its form and its source: "Last: C1840 (right-hand drive)"."""
    return _said(guide, statement, "limits.claim")


def _said(guide: Guide, statement: Statement, family: str, **values: Value) -> Sentence:
    when: Value = ""
    if statement.when is not None:
        when = when_said(guide, statement.when)
    elif statement.other is not None:
        when = form_said(guide, statement.other, statement.mark)
    way = str(statement.kind).replace(" ", "-")
    if statement.kind is StatementKind.SEEN and statement.when is not None and statement.when.car is None:
        way = "seen-day"
    if statement.superlative:
        way += "-ever"
    said = sentence(f"{family}.{way}", when=when, **values)
    scope = scope_said(guide, _beside_when(statement))
    return sentence("limits.claim.scoped", claim=said, scope=scope) if scope else said


def _beside_when(statement: Statement) -> Scope:
    """Return a statement's scope without the series that its time names already: "the first open car"."""
    when, scope = statement.when, statement.scope
    if when is None or when.kind not in (WhenKind.START, WhenKind.END) or scope.values("series") != (when.of,):
        return scope
    return scope.without("series")
