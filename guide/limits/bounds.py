"""What the claims about numbers put out by themselves: per spell and kind of car, from and up to which car it can be.

Such claims ("from C2005", "the last is C1840") are exact where a day is not: a form is out for every number before
the stated first, and after the stated last, of each of its spells.
"""

from __future__ import annotations

from guide.facts.types import Statement, StatementKind
from guide.limits.moments import Moments
from guide.limits.rulings import standing_statements
from guide.limits.scopes import Dimensions
from guide.limits.types import DatedSpell, LimitsResult

__all__ = ["Bounds", "bounds_by_number"]

# Series -> first, last: positions of the series, None where no number is stated.
Bounds = dict[str, tuple[int | None, int | None]]


def bounds_by_number(limits: LimitsResult) -> list[Bounds]:
    """Return the bounds by number of each spell of the limits, in their order.

    Only claims that stand and speak for every car of the spell's scope count: one for right-hand cars alone puts
    nothing out where the hand makes no difference to the mark.
    """
    aside = {(clash.mark, clash.set_aside) for clash in limits.clashes}
    guide = limits.moments.guide
    dimensions = Dimensions(guide)
    said: dict[tuple[str, str, int], list[Statement]] = {}
    for mark, readings in standing_statements(guide).items():
        for reading in readings:
            # a claim that a clash set aside stands after all where a ruling reads it otherwise
            if reading.ruling is not None or (mark, reading.index) not in aside:
                one = reading.statement
                said.setdefault((mark, one.form, one.spell), []).append(one)
    found = []
    for spell in limits.spells:
        bounds: Bounds = {}
        for statement in said.get((spell.mark, spell.form, spell.spell), ()):
            if _speaks_for_all(dimensions, statement, spell):
                _take(limits.moments, statement, bounds)
        found.append(bounds)
    return found


def _speaks_for_all(dimensions: Dimensions, statement: Statement, spell: DatedSpell) -> bool:
    """Tell whether a claim about a number of one series speaks for all its cars in the scope of a spell."""
    mark = dimensions.guide.marks[spell.mark]
    form = mark.forms[spell.form]
    own = next(one.scope for one in form.spells if one.number == spell.spell)
    closed = dimensions.close(mark.scope, form.scope, own, spell.scope)
    return closed is not None and closed.within(statement.scope.without("series"))


def _take(moments: Moments, statement: Statement, bounds: Bounds) -> None:
    when = statement.when
    car = moments.car(when) if when is not None else None
    if car is None:
        return
    series = car.line.series.id
    first, last = bounds.get(series, (None, None))
    if statement.kind is StatementKind.FIRST:
        first = car.low if first is None else min(first, car.low)
    elif statement.kind is StatementKind.LAST:
        stated = car.high + (statement.old_stock_cars or 0)
        last = stated if last is None else max(last, stated)
    else:
        return
    bounds[series] = (first, last)
