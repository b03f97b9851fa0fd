"""Small things that many pages say: limits in a few words, a source cited, how a form was fitted, how many survive."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date
from typing import Any

from guide.facts.types import Count, FittedAs, Fitting, Form, Guide, Source
from guide.facts.when.numbers import read_table_number
from guide.limits.wording import scope_said, when_said
from guide.sentence import (
    Sentence,
    Value,
    all_of,
    chained,
    day,
    in_turn,
    lower_first,
    month_span,
    month_year,
    number,
    sentence,
    upper_first,
)

__all__ = [
    "citation_said",
    "count_said",
    "fittings_said",
    "licence_said",
    "limits_said",
    "number_failure",
    "repeats_said",
    "spare_said",
    "survival_said",
]

VAGUE_DAYS = 183  # limits wider than this are printed as limits, not as "about" their middle


def limits_said(first: date, last: date) -> Value:
    """Return limits in a few words: "May 1968", "about May 1968", or both ends when they lie far apart."""
    if first == last:
        return day(first)
    if (first.year, first.month) == (last.year, last.month):
        return month_year(first)
    if (last - first).days > VAGUE_DAYS:
        return sentence("pages.when.some_time", span=month_span(first, last))
    return sentence("limits.when.about", when=month_year(first + (last - first) / 2))


def number_failure(typed: str, table: Mapping[str, Any]) -> Sentence | None:
    """Return why a number says nothing of the date, by a `number_table`; None where it does. Twin of
    `guide.numbers.failure`."""
    read = read_table_number(typed, table)
    if "by" in read:
        return sentence(f"pages.number.{read['failure']}.by", number=typed, source=read["by"])
    return sentence(f"pages.number.{read['failure']}", number=typed) if "failure" in read else None


def citation_said(source: Source | None, page: str = "") -> Value:
    """Return a source as a note cites it, with its page."""
    if source is None:
        return sentence("limits.no-source")
    if not page:
        return source.name
    if page[:1].isdigit():
        return sentence("pages.source.page", source=source.name, page=page)
    return sentence("pages.source.at", source=source.name, at=page)


def repeats_said(guide: Guide, source: str) -> Value:
    """Return that something only repeats a source; empty where it repeats none."""
    known = guide.sources.get(source)
    return sentence("pages.source.repeats", source=known.name if known else source) if source else ""


def fittings_said(guide: Guide, form: Form) -> list[Value]:
    """Return how a form came to be on cars otherwise than by the works, a sentence or two for each way.

    What was to be had on and off is said once, with the times that came after.
    """
    by_kind: dict[FittedAs, list[Fitting]] = {}
    for fitting in form.fitted_as:
        if fitting.kind is not FittedAs.FACTORY:
            by_kind.setdefault(fitting.kind, []).append(fitting)
    return [_way_said(guide, ways, also=form.dates_a_car) for ways in by_kind.values()]


def _way_said(guide: Guide, times: list[Fitting], *, also: bool) -> Value:
    """Return one way with its times; of dates that no source gives, that they are the editor's, once."""
    said = [_fitting_said(guide, one, also=also, again=at > 0) for at, one in enumerate(times)]
    whole = said[0] if len(said) == 1 else in_turn(said)
    dated = [one for one in times if one.first is not None or one.last is not None]
    without = [one for one in dated if not one.source]
    if not without:
        return whole
    return sentence(f"pages.fitted.estimated{'' if len(without) == len(dated) else '.some'}", said=whole)


def _fitting_said(guide: Guide, fitting: Fitting, *, also: bool, again: bool) -> Value:
    """Return one sentence; ``also`` where the works fitted the form too, ``again`` where its way has been said."""
    own = fitting.kind in (FittedAs.OPTION, FittedAs.CAMPAIGN)
    kind = f"pages.{'fitted_also' if also and not own else 'fitted'}.{fitting.kind.value.replace(' ', '_')}"
    ends = {"first": fitting.first, "last": fitting.last}
    stated = {end: when_said(guide, when) for end, when in ends.items() if when is not None}
    way = {(): "plain", ("first",): "from", ("last",): "to"}.get(tuple(stated), "between")
    said = sentence(f"{'pages.fitted.again' if again and stated else kind}.{way}", **stated)
    scope = scope_said(guide, fitting.scope)
    said = sentence("pages.fitted.scoped", said=said, scope=scope) if scope else said
    if fitting.over:
        parts = all_of(lower_first(guide.marks[mark].name) for mark in fitting.over if mark in guide.marks)
        said = sentence("pages.fitted.over", said=said, parts=parts)
    return sentence("pages.fitted.noted", said=said, note=upper_first(fitting.note)) if fitting.note else said


def spare_said(form: Form) -> Value:
    """Return why a form that the works never fitted dates no car; empty for one that the works fitted."""
    return "" if form.dates_a_car else sentence("pages.fitted.tells_nothing")


def licence_said(identity: str) -> str:
    """Return a licence's SPDX id as its notice is written: "CC BY-SA 4.0" for CC-BY-SA-4.0; others stay as they are.

    Creative Commons writes its notices so (creativecommons.org, "Recommended practices for attribution").
    """
    kind = re.compile(r"^CC(0|-BY[A-Z-]*)-(\d\.\d)$")
    return kind.sub(lambda found: f"CC{found[1].replace('-', ' ', 1)} {found[2]}", identity)


def survival_said(share: float) -> Value:
    """Return how many cars still have their own part."""
    for least, word in ((0.95, "nearly_all"), (0.7, "most"), (0.4, "half"), (0.0, "few")):
        if share >= least:
            return sentence(f"pages.survives.{word}")
    raise AssertionError(share)


def count_said(guide: Guide, count: Count) -> Sentence:
    """Return how many are thought to have something, of which kind, and how sure that is."""
    said = sentence(f"pages.count.{count.kind}", about=number(count.about), sure=sentence(f"pages.sure.{count.sure}"))
    source = guide.sources.get(count.source)
    more: list[Value] = [part for part in (count.words, source.name if source else "") if part]
    if more:
        return sentence("pages.count.with", said=said, more=chained("words.then_after_stop", more))
    return sentence("pages.count.plain", said=said)
