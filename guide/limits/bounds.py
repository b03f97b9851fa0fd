"""What the claims about numbers put out by themselves: per form and spell, from and up to which car it can be.

Such claims ("from C2005", "the last is C1840") are exact where a day is not: a form is out for every number before
the stated first, and after the stated last, of each of its spells.
"""

from __future__ import annotations

from guide.facts.types import Form, Spell, Statement, StatementKind
from guide.limits.moments import Moments
from guide.limits.rulings import standing_statements
from guide.limits.types import LimitsResult

__all__ = ["Bounds", "bounds_by_number"]

# Per spell: series -> [first, last], positions of the series, None where no number is stated.
Bounds = dict[str, list[int | None]]


def bounds_by_number(limits: LimitsResult) -> dict[str, dict[str, list[Bounds]]]:
    """Return, for each mark and form, the bounds by number of each spell.

    Only claims that stand and speak for every car the form could be on count: one for right-hand cars alone
    puts nothing out for a number that does not tell its hand.
    """
    aside = {(clash.mark, clash.set_aside) for clash in limits.clashes}
    moments, guide = limits.moments, limits.moments.guide
    found: dict[str, dict[str, list[Bounds]]] = {}
    for mark, readings in standing_statements(guide).items():
        forms = guide.marks[mark].forms
        bounds: dict[str, list[Bounds]] = {form.id: [{} for _ in form.spells] for form in forms.values()}
        for reading in readings:
            form = forms[reading.statement.form]
            spell = form.spells[reading.statement.spell - 1]
            # a claim that a clash set aside stands after all where a ruling reads it otherwise
            if reading.ruling is None and (mark, reading.index) in aside:
                continue
            if _speaks_for_all(reading.statement, form, spell):
                _take(moments, reading.statement, bounds[form.id][spell.number - 1])
        told = {form: spells for form, spells in bounds.items() if any(spells)}
        if told:
            found[mark] = told
    return found


def _speaks_for_all(statement: Statement, form: Form, spell: Spell) -> bool:
    """Tell whether a claim about a number of one series speaks for all its cars that the form could be on."""
    return set(statement.scope.without("series").parts) <= {*form.scope.parts, *spell.scope.parts}


def _take(moments: Moments, statement: Statement, bounds: Bounds) -> None:
    when = statement.when
    car = moments.car(when) if when is not None else None
    if car is None:
        return
    series = car.line.series.id
    first, last = bounds.get(series, [None, None])
    if statement.kind is StatementKind.FIRST:
        first = car.low if first is None else min(first, car.low)
    elif statement.kind is StatementKind.LAST:
        stated = car.high + (statement.old_stock_cars or 0)
        last = stated if last is None else max(last, stated)
    else:
        return
    bounds[series] = [first, last]
