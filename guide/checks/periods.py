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
from guide.facts.types import CarModel, Guide, Period
from guide.finding import Finding, Related
from guide.sentence import sentence

__all__ = ["check_periods_follow", "check_periods_told_apart"]

DAY = timedelta(days=1)


def _is_closed(guide: Guide, model: CarModel, first: date, last: date) -> bool:
    """Tell whether every day from first to last lies in some closure of all that a model's series are built in."""
    of = set(model.series)
    day = first
    while day <= last:
        shut = (one for one in guide.closures if not one.series or of <= set(one.series))
        closure = next((one for one in shut if one.first <= day <= one.last), None)
        if closure is None:
            return False
        day = closure.last + DAY
    return True


def _stands_here(period: Period) -> tuple[Related, ...]:
    return (Related(period.place, sentence("checks.stands-here", period=period.id)),)


def _overlap(guide: Guide, earlier: Period, later: Period) -> Finding:
    may_be_two = len(guide.ordered_series) > 1 and not (earlier.series or later.series)
    return Finding.of(
        "checks.periods-overlap.or-models" if may_be_two else "checks.periods-overlap",
        later.place,
        related=_stands_here(earlier),
        earlier=earlier.name,
        later=later.name,
        ends=earlier.last.isoformat(),
        begins=later.first.isoformat(),
        next=(earlier.last + DAY).isoformat(),
        earlier_id=earlier.id,
        later_id=later.id,
        example=f"for: {{series: {next(iter(guide.ordered_series), '')}}}",
    )


def check_periods_follow(known: Known) -> Iterator[Finding]:
    """Yield a finding for periods of one model that overlap, stand out of order, or leave open days to nobody."""
    guide = known.guide
    found = (finding for model in guide.models for finding in _within_model(guide, model))
    yield from dict.fromkeys(found)  # models may have periods in common


def _within_model(guide: Guide, model: CarModel) -> Iterator[Finding]:
    for earlier, later in pairwise(model.periods):
        if later.first <= earlier.last:
            yield _overlap(guide, earlier, later)
            continue
        gap = (earlier.last + DAY, later.first - DAY)
        if gap[0] <= gap[1] and not _is_closed(guide, model, *gap):
            yield Finding.of(
                "checks.period-gap.between",
                later.place,
                related=(Related(earlier.place, sentence("checks.period-gap.before", period=earlier.id)),),
                first=gap[0].isoformat(),
                last=gap[1].isoformat(),
                earlier=earlier.id,
                later=later.id,
            )
    if model.periods:
        yield from _ends_of_production(guide, model)


def _ends_of_production(guide: Guide, model: CarModel) -> Iterator[Finding]:
    made, periods = model.production, model.periods
    for period, gap, reach in (
        (periods[0], (made.first, periods[0].first - DAY), made.first),
        (periods[-1], (periods[-1].last + DAY, made.last), made.last),
    ):
        if gap[0] <= gap[1] and not _is_closed(guide, model, *gap):
            yield Finding.of(
                "checks.period-gap.production",
                period.place,
                related=(Related(made.place, sentence("checks.production-here")),),
                first=gap[0].isoformat(),
                last=gap[1].isoformat(),
                period=period.id,
                reach=reach.isoformat(),
            )


def check_periods_told_apart(known: Known) -> Iterator[Finding]:
    """Yield a finding for each pair of neighbouring periods that no mark tells apart."""
    guide = known.guide
    bound = value_of("told_apart", guide.overrides)
    of_cars = {
        period.id for period in known.key.model.periods
    }  # one that lies outside production has none, and is told
    neighbours = {
        (earlier.id, later.id): (earlier, later)
        for model in guide.models
        for earlier, later in pairwise([period for period in model.periods if period.id in of_cars])
    }
    for earlier, later in neighbours.values():
        ranked = known.key.tell_apart(Cars(period=earlier.id), Cars(period=later.id))
        best = max((row.separation for row in ranked), default=0.0)
        if best < bound:
            yield Finding.of(
                "checks.periods-not-told-apart",
                later.place,
                related=_stands_here(earlier),
                earlier=earlier.name,
                later=later.name,
                percent=round(best * 100),
                day=later.first.isoformat(),
            )
