"""Cars dated to days on which none can have been built, outside production or while the works stood shut; and those
typed both as a dated car in its turn and as a stray out of it."""

from __future__ import annotations

from collections.abc import Iterator

from guide.facts.types import DatedCar, Stray
from guide.finding import Finding, Related
from guide.limits.moments import Moments
from guide.limits.positions import SeriesLine
from guide.limits.wording import when_said
from guide.sentence import day, sentence

__all__ = ["check_built"]


def check_built(moments: Moments) -> Iterator[Finding]:
    """Yield a finding for each stray or dated car that cannot have been built when it is said to have been."""
    for line in moments.lines.values():
        named: tuple[Stray | DatedCar, ...] = (*line.series.strays, *line.series.dated_cars)
        for car in named:
            if car.built is not None and line.open_days_of(car.built) is None:
                yield _finding(moments, line, car)
        strays = {stray.car: stray for stray in line.series.strays}
        for dated in line.series.dated_cars:
            if (stray := strays.get(dated.car)) is not None:
                here = Related(stray.place, sentence("limits.dated-car-contradicts.stray.here"))
                name = "limits.dated-car-contradicts.stray"
                yield Finding.of(name, dated.place, related=(here,), car=dated.car.written)


def _finding(moments: Moments, line: SeriesLine, car: Stray | DatedCar) -> Finding:
    assert car.built is not None
    production = line.production
    first, last = car.built.days(production.first, production.last)
    way, related = "after", [Related(production.place, sentence("limits.built-outside-production.here"))]
    if last < production.first:
        way = "before"
    elif first <= production.last:
        way = "shut"
        shut = [one for one in line.closures if one.first <= last and first <= one.last]
        related = [Related(one.place, one.why) for one in shut]
    return Finding.of(
        f"limits.built-outside-production.{way}",
        car.place,
        related=tuple(related),
        car=car.car.written,
        when=when_said(moments.guide, car.built, taken_as=True),
        began=day(production.first),
        ended=day(production.last),
    )
