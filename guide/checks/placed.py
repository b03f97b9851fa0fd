"""Checks that every dated claim lies within production, that of the model it speaks of."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from guide.checks.known import Known
from guide.facts.types import StatementKind
from guide.facts.values import When
from guide.finding import Finding, Related
from guide.sentence import sentence

__all__ = ["check_statements_within_production"]

_OF_BUILD = (StatementKind.FIRST, StatementKind.LAST, StatementKind.SEEN)


def check_statements_within_production(known: Known) -> Iterator[Finding]:
    """Yield a finding for each first, last or car seen that is dated wholly outside production."""
    guide = known.guide
    for mark in guide.marks.values():
        for statement in mark.statements:
            when = statement.when
            scopes = (statement.scope, mark.forms[statement.form].scope, mark.scope)
            named = next((found for scope in scopes if (found := scope.values("series"))), ())
            production = guide.production_of(named)
            if statement.kind not in _OF_BUILD or when is None or not when.is_date:
                continue
            first, last = when.days()
            if last < production.first or first > production.last:
                better = _in_another_century(when, production.first, production.last)
                yield Finding.of(
                    "checks.outside-production.century" if better else "checks.outside-production",
                    when.place,
                    related=(Related(production.place, sentence("checks.production-here")),),
                    form=mark.forms[statement.form].name,
                    began=production.first.isoformat(),
                    ended=production.last.isoformat(),
                    when=when.text,
                    better=better,
                )


def _in_another_century(when: When, began: date, ended: date) -> str:
    """Return a date as it would be a hundred years off, where that lies within production; else nothing."""
    first, last = when.days()
    for hundred in (100, -100):
        there = str(first.year + hundred)
        if str(first.year) in when.text and began.year <= first.year + hundred <= last.year + hundred <= ended.year:
            return when.text.replace(str(first.year), there).replace(str(last.year), str(last.year + hundred))
    return ""
