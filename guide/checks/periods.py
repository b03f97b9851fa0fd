"""Checks on the periods: that they follow one another, and that the marks can tell them apart.

Two periods are told apart by a mark when the forms that their cars were built with differ. How well is the
total variation between the two, from 0 (alike) to 1 (never alike): half the sum of the differences of the
shares. Source: the usual definition in probability; the bound under which a pair counts as not told
apart is a constant.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from itertools import pairwise

from guide.checks.known import Known
from guide.constants import value_of
from guide.dating.key import Cars
from guide.facts.types import Guide, Period
from guide.finding import Finding, Related

__all__ = ["check_periods_follow", "check_periods_told_apart"]


def _is_closed(guide: Guide, first: date, last: date) -> bool:
    """Tell whether every day from first to last lies in some closure of the whole works."""
    day = first
    while day <= last:
        closure = next((c for c in guide.closures if not c.series and c.first <= day <= c.last), None)
        if closure is None:
            return False
        day = closure.last + timedelta(days=1)
    return True


def _overlap(earlier: Period, later: Period) -> Finding:
    return Finding(
        "periods-overlap",
        later.place,
        f"expected '{later.name}' to begin after '{earlier.name}' ends on {earlier.last.isoformat()}, "
        f"found {later.first.isoformat()}",
        f"begin '{later.id}' on {(earlier.last + timedelta(days=1)).isoformat()} or end '{earlier.id}' sooner",
        related=(Related(earlier.place, f"'{earlier.id}' stands here"),),
    )


def check_periods_follow(known: Known) -> Iterator[Finding]:
    """Yield a finding for periods that overlap, stand out of order, or leave open days to nobody."""
    guide = known.guide
    periods = list(guide.periods.values())
    for earlier, later in pairwise(periods):
        if later.first <= earlier.last:
            yield _overlap(earlier, later)
            continue
        gap = (earlier.last + timedelta(days=1), later.first - timedelta(days=1))
        if gap[0] <= gap[1] and not _is_closed(guide, *gap):
            yield Finding(
                "period-gap",
                later.place,
                f"expected a period for every open day, found none from {gap[0].isoformat()} to {gap[1].isoformat()}",
                f"let '{earlier.id}' end later or '{later.id}' begin sooner; if nothing was built then, "
                "say so under 'closed' in guide.yml",
                related=(Related(earlier.place, f"'{earlier.id}' ends before it"),),
            )
    if periods:
        yield from _ends_of_production(guide, periods)


def _ends_of_production(guide: Guide, periods: list[Period]) -> Iterator[Finding]:
    day = timedelta(days=1)
    for period, gap in (
        (periods[0], (guide.production.first, periods[0].first - day)),
        (periods[-1], (periods[-1].last + day, guide.production.last)),
    ):
        if gap[0] <= gap[1] and not _is_closed(guide, *gap):
            yield Finding(
                "period-gap",
                period.place,
                f"expected the periods to span all production, found none from {gap[0].isoformat()} "
                f"to {gap[1].isoformat()}",
                f"let '{period.id}' reach {guide.production.first.isoformat()} or "
                f"{guide.production.last.isoformat()}, or correct 'production' in guide.yml",
                related=(Related(guide.production.place, "production stands here"),),
            )


def check_periods_told_apart(known: Known) -> Iterator[Finding]:
    """Yield a finding for each pair of neighbouring periods that no mark tells apart."""
    guide = known.guide
    bound = value_of("told_apart", guide.overrides)
    for earlier, later in pairwise(guide.periods.values()):
        ranked = known.key.tell_apart(Cars(period=earlier.id), Cars(period=later.id))
        best = max((row.separation for row in ranked), default=0.0)
        if best < bound:
            yield Finding(
                "periods-not-told-apart",
                later.place,
                f"expected some mark to tell '{later.name}' from '{earlier.name}', found none that does better "
                f"than {best:.0%}",
                f"add a mark that changed about {later.first.isoformat()}, one whose old form had gone and whose "
                "new form had come by then, or make the two one period",
                related=(Related(earlier.place, f"'{earlier.id}' stands here"),),
            )
