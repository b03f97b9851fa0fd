"""Checks that every dated claim lies within production, that of the model it speaks of."""

from __future__ import annotations

from collections.abc import Iterator

from guide.checks.known import Known
from guide.facts.types import StatementKind
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
                yield Finding.of(
                    "checks.outside-production",
                    when.place,
                    related=(Related(production.place, sentence("checks.production-here")),),
                    form=mark.forms[statement.form].name,
                    began=production.first.isoformat(),
                    ended=production.last.isoformat(),
                    when=when.text,
                )
