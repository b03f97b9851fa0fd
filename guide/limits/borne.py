"""How each statement fares against the limits: borne out by others, or looser than what is known without it.

A statement bounds a first or a last from one side or both. Where its bound and the limit fall on one day, and
another statement gives that day too, each bears the other out; an echo bears nothing out, nor does one issue of a
paper another. Where every bound of a dated first or last lies strictly outside its limit, the statement decides
nothing: a note, since it may be dated more closely or left as it is. Claims that name a car are exempt, for a number
says more than the days it stands for.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from datetime import date
from itertools import product
from typing import NamedTuple

from guide.facts.types import Guide, Statement, StatementKind
from guide.finding import Finding
from guide.limits.build import ORIGIN, Builder
from guide.limits.claims import StatedClaim, stated_claims
from guide.limits.rulings import echo_of, witness_of
from guide.limits.solve import Solved
from guide.limits.types import day_of
from guide.limits.wording import bounds_said, when_said
from guide.sentence import Value, all_of, sentence

__all__ = ["weigh"]


class _Bound(NamedTuple):
    """One bound of a claim: the point it bounds, whether from above, its day, and the limit's day."""

    point: int
    upper: bool
    day: date
    limit: date

    @property
    def slack(self) -> int:
        """How many days the bound lies outside the limit; nought where it is the limit."""
        return (self.day - self.limit).days if self.upper else (self.limit - self.day).days


def _bounds(solved: Solved, claim: StatedClaim) -> Iterator[_Bound]:
    builder = solved.problem.builder
    first, ends = builder.origin_day, builder.spell_of
    for tie in claim.ties:
        for point, other, upper in ((tie.head, tie.tail, True), (tie.tail, tie.head, False)):
            if point not in ends or other in ends:
                continue
            day = _day_of_bound(builder, other, tie.weight, upper)
            limit = day_of(solved.latest_of(point) if upper else solved.earliest_of(point), first)
            if day is not None:
                yield _Bound(point, upper, day, limit)


def _day_of_bound(builder: Builder, other: int, weight: int, upper: bool) -> date | None:
    """Return the day of a bound by itself: its date, or what the calendar alone allows the car it names."""
    if other == ORIGIN:
        return day_of(weight if upper else -weight, builder.origin_day)
    days = builder.days_of(other)
    return None if days is None else days[1] if upper else days[0]


def weigh(solved: Solved) -> tuple[dict[tuple[str, int], Value], list[Finding]]:
    """Return what is borne out, by mark and index of the statement, and a finding for each that is looser."""
    builder = solved.problem.builder
    at_limit: defaultdict[tuple[int, bool], dict[int, StatedClaim]] = defaultdict(dict)
    findings = []
    for claim in sorted(stated_claims(solved.standing), key=lambda one: one.label):
        bounds = list(_bounds(solved, claim))
        for bound in bounds:
            if bound.slack == 0:
                at_limit[bound.point, bound.upper][claim.label] = claim
        if bounds and min(bound.slack for bound in bounds) > 0 and _is_dated_end(claim.statement):
            findings.append(_looser(builder.guide, claim, bounds))
    borne: defaultdict[tuple[str, int], dict[str, None]] = defaultdict(dict)
    for claims in at_limit.values():
        for claim, other in product(claims.values(), repeat=2):
            if claim.mark == other.mark and _is_witness_for(builder.guide, other.statement, claim.statement):
                known = builder.guide.sources.get(other.statement.source)
                borne[claim.mark, claim.index][known.name if known else other.statement.source] = None
    return {key: sentence("limits.borne-out", sources=all_of(names)) for key, names in borne.items()}, findings


def _is_witness_for(guide: Guide, other: Statement, statement: Statement) -> bool:
    """Tell whether the other is nobody's echo, and another's word than the statement's own."""
    return not echo_of(guide, other) and witness_of(guide, other) != witness_of(guide, statement)


def _is_dated_end(statement: Statement) -> bool:
    ends = (StatementKind.FIRST, StatementKind.LAST)
    return statement.kind in ends and statement.when is not None and statement.when.is_date


def _looser(guide: Guide, claim: StatedClaim, bounds: list[_Bound]) -> Finding:
    mark = guide.marks[claim.mark]
    low = max((bound.limit for bound in bounds if not bound.upper), default=None)
    high = min((bound.limit for bound in bounds if bound.upper), default=None)
    return Finding.of(
        "limits.bound-looser",
        claim.place,
        mark=mark.name,
        form=mark.forms[claim.statement.form].name,
        kind=str(claim.statement.kind),
        when=when_said(guide, claim.when, taken_as=True),
        limits=bounds_said(low, high if low is None or high is None else max(low, high)),
    )
