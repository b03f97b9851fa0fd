"""What is known of a spell's first and last by number: exactly as stated, never worked back from a day.

Theory
------
"The first is C1841" says which car of its series was the first, whatever the calendar makes of it: with a usual
disorder of twenty, days tell C1840 and C1841 not apart, numbers do. So each claim that stands counts, in the kinds of
car that it speaks for, on the axis on which it was made. A first and a last say both sides; a car seen says that
the first was no later by number and the last no earlier. Where two papers name different cars and both stand, the
wider stands. A stray was built out of turn: seen, its number says nothing of the order.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

from guide.facts.types import StatementKind
from guide.limits.build import Builder, SpellKey
from guide.limits.claims import StatedClaim
from guide.limits.moments import CarMeant
from guide.limits.types import NumberLimits, SpellNumbers
from guide.limits.wording import when_said
from guide.sentence import Value, one_of, sentence

__all__ = ["numbers_of"]


def numbers_of(builder: Builder, claims: Iterable[StatedClaim]) -> dict[SpellKey, dict[str, SpellNumbers]]:
    """Return by spell and cell what the claims given say by number, by series."""
    gathered: defaultdict[tuple[SpellKey, str], _Gathered] = defaultdict(_Gathered)
    for claim in claims:
        said = claim.statement
        car = builder.moments.car(said.when) if said.when is not None else None
        if car is None or (said.kind is StatementKind.SEEN and car.position in car.line.strays):
            continue
        for cell in claim.cells:
            key = SpellKey(claim.mark, said.form, said.spell, cell)
            gathered[key, car.line.series.id].take(builder, claim, car)
    found: defaultdict[SpellKey, dict[str, SpellNumbers]] = defaultdict(dict)
    for (key, series), one in gathered.items():
        found[key][series] = SpellNumbers(one.limits(StatementKind.FIRST), one.limits(StatementKind.LAST))
    return dict(found)


class _Gathered:
    """What the claims about one spell of one cell say of the numbers of one series."""

    def __init__(self) -> None:
        self.said: dict[StatementKind, dict[Value, tuple[int, int]]] = {StatementKind.FIRST: {}, StatementKind.LAST: {}}
        self.seen: list[tuple[int, int, Value]] = []

    def take(self, builder: Builder, claim: StatedClaim, car: CarMeant) -> None:
        statement, says = claim.statement, when_said(builder.guide, claim.when)
        if statement.kind is StatementKind.SEEN:
            self.seen.append((car.low, car.high, says))
            return
        stock = statement.old_stock_cars or 0
        if stock:
            says = sentence("limits.number.with-stock", car=says, cars=stock)
        self.said[statement.kind][says] = car.low, min(car.high + stock, car.line.cars - 1)

    def limits(self, kind: StatementKind) -> NumberLimits:
        """Return the limits of the first or the last."""
        is_first, stated = kind is StatementKind.FIRST, self.said[kind]
        low = min((low for low, _ in stated.values()), default=None)
        high = max((high for _, high in stated.values()), default=None)
        seen: Value = ""
        if self.seen and is_first:
            _, nearest, seen = min(self.seen, key=lambda car: car[1])
            low, high = None if low is None else min(low, nearest), nearest if high is None else high
        elif self.seen:
            nearest, _, seen = max(self.seen, key=lambda car: car[0])
            low, high = nearest if low is None else low, None if high is None else max(high, nearest)
        return NumberLimits(low, high, one_of(stated) if len(stated) > 1 else next(iter(stated), ""), seen)
