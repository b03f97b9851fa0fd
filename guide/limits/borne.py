"""How each statement fares against the limits: borne out by others, or looser than what is known without it.

A statement bounds a first or a last from one side or both. Where its bound and the limit fall on one day, and
another statement gives that day too, each bears the other out. Where every bound of a dated first or last
lies strictly outside its limit, the statement decides nothing: a note, since it may be dated more closely or
left as it is. Claims that name a car are exempt, for a number says more than the days it stands for.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from datetime import date
from typing import NamedTuple

from guide.facts.types import Guide, StatementKind
from guide.finding import Finding
from guide.limits.build import ORIGIN, Builder
from guide.limits.claims import Claim
from guide.limits.solve import Solved
from guide.limits.types import day_of
from guide.limits.wording import when_said
from guide.sentence import Value, all_of, day_range, sentence
from guide.sentence import day as said_day

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


def _bounds(solved: Solved, claim: Claim, ends: set[int]) -> Iterator[_Bound]:
    builder = solved.problem.builder
    first = builder.guide.production.first
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
        return day_of(weight if upper else -weight, builder.guide.production.first)
    days = builder.days_of(other)
    return None if days is None else days[1] if upper else days[0]


def weigh(solved: Solved) -> tuple[dict[tuple[str, int], Value], list[Finding]]:
    """Return what is borne out, by mark and index of the statement, and a finding for each that is looser."""
    builder = solved.problem.builder
    ends = {point for one in builder.ends.values() for point in (one.first, one.last)}
    at_limit: defaultdict[tuple[int, bool], list[Claim]] = defaultdict(list)
    findings = []
    for claim in sorted(solved.standing, key=lambda one: one.label):
        bounds = list(_bounds(solved, claim, ends)) if claim.mark else []
        if not bounds:
            continue
        for bound in bounds:
            if bound.slack == 0 and claim not in at_limit[bound.point, bound.upper]:
                at_limit[bound.point, bound.upper].append(claim)
        if min(bound.slack for bound in bounds) > 0 and _is_dated_end(claim):
            findings.append(_looser(builder.guide, claim, bounds))
    borne: defaultdict[tuple[str, int], dict[str, None]] = defaultdict(dict)
    for claims in at_limit.values():
        for claim in claims:
            for other in claims:
                if _is_another_voice(claim, other):
                    assert other.statement is not None
                    known = builder.guide.sources.get(other.statement.source)
                    borne[claim.mark, claim.index][known.name if known else other.statement.source] = None
    corroborated: dict[tuple[str, int], Value] = {
        key: sentence("limits.borne-out", sources=all_of(names)) for key, names in borne.items()
    }
    return corroborated, findings


def _is_another_voice(claim: Claim, other: Claim) -> bool:
    """Tell whether another claim is of the same mark and from another source."""
    mine, theirs = claim.statement, other.statement
    if mine is None or theirs is None:
        return False
    return claim.mark == other.mark and mine.source != theirs.source


def _is_dated_end(claim: Claim) -> bool:
    statement = claim.statement
    return (
        statement is not None
        and statement.kind in (StatementKind.FIRST, StatementKind.LAST)
        and statement.when is not None
        and statement.when.is_date
    )


def _looser(guide: Guide, claim: Claim, bounds: list[_Bound]) -> Finding:
    statement = claim.statement
    assert statement is not None
    assert statement.when is not None
    mark = guide.marks[claim.mark]
    low = max((bound.limit for bound in bounds if not bound.upper), default=None)
    high = min((bound.limit for bound in bounds if bound.upper), default=None)
    if low is not None and high is not None:
        limits: Value = day_range(low, max(low, high))
    else:
        end = low or high
        assert end is not None
        limits = sentence("limits.when.by" if low is None else "limits.when.from", day=said_day(end))
    return Finding.of(
        "limits.bound-looser",
        claim.place,
        mark=mark.name,
        form=mark.forms[statement.form].name,
        kind=str(statement.kind),
        when=when_said(guide, statement.when, taken_as=True),
        limits=limits,
    )
