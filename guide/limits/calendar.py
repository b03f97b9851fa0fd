"""What holds of the cars of a series whatever anybody states: their order, their place in production, their calendar.

Lines of a calendar go in one by one; one that cannot stand beside the rest is left out with a finding.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import pairwise

from guide.facts.types import When
from guide.finding import Finding, Related, StepKind
from guide.limits.build import ORIGIN, Builder
from guide.limits.chain import Chain, shortest_chain
from guide.limits.entries import DatedAt, DatedRun, Entry
from guide.limits.network import Tie
from guide.limits.positions import SeriesLine
from guide.limits.types import Why
from guide.limits.wording import when_said
from guide.sentence import sentence

__all__ = ["insert_rules"]


def insert_rules(builder: Builder) -> tuple[Finding, ...]:
    """Insert everything that holds whatever is stated; findings are for calendars that contradict themselves.

    The rest must be feasible: that it is not would be a fault of the program.
    """
    rules = list(_line_rules(builder))
    met = builder.network.insert(sorted(rules, key=lambda tie: -builder.network.potential[tie.tail]))
    assert met, "the order of numbers within production cannot be met"
    findings = [finding for line in builder.lines.values() for finding in _insert_calendar(builder, line)]
    met = builder.network.insert(builder.rules)
    assert met, "the rules alone cannot be met"
    return tuple(findings)


def _line_rules(builder: Builder) -> Iterable[Tie]:
    """Yield the order of each series between the positions in use, and its place in production."""
    for series, line in builder.lines.items():
        if not line.cars:
            continue
        for entry in line.entries:
            for position in sorted(bound.position for bound in line.bounds_of(entry)):
                builder.nominal(series, position)
        first, last = builder.nominal(series, 0), builder.nominal(series, line.cars - 1)
        yield from builder.within_production(first, last, (series,))
        in_use = sorted(builder.nominals[series].items())
        for (low, before), (high, after) in pairwise(in_use):
            yield Tie(after, before, low - high)


def _insert_calendar(builder: Builder, line: SeriesLine) -> Iterator[Finding]:
    """Insert a series' calendar, dated runs and dated cars, with a finding for each that cannot be."""
    for entry in line.entries:
        if isinstance(entry, DatedAt):
            bundle = builder.dated_car(line, entry)
            if not builder.network.insert(bundle):
                chain = shortest_chain(builder.network, bundle)
                yield _contradiction(builder, line, entry, chain)
            continue
        source = entry.run.source if isinstance(entry, DatedRun) else entry.source
        why = Why(StepKind.CALENDAR, entry.place, source, "limits.calendar")
        ties = []
        for position, day, upper in line.bounds_of(entry):
            point = builder.nominal(line.series.id, position)
            to_origin = Tie(point, ORIGIN, -builder.start_of(day), why)
            ties.append(Tie(ORIGIN, point, builder.end_of(day), why) if upper else to_origin)
        if not builder.network.insert(ties):
            yield _contradiction(builder, line, entry, shortest_chain(builder.network, ties))


def _contradiction(builder: Builder, line: SeriesLine, entry: Entry, chain: Chain | None) -> Finding:
    time: When | None
    says = "limits.calendar-contradicts"
    if isinstance(entry, DatedAt):
        cars, time, says = entry.car.car.written, entry.car.built, "limits.dated-car-contradicts"
    elif isinstance(entry, DatedRun):
        cars, time = f"{line.car_at(entry.first).written}..{line.car_at(entry.last).written}", entry.run.dated
    else:
        cars, time = entry.car.written, entry.time
    assert time is not None
    reasons = [tie.why for tie in chain.ties[1:] if tie.why is not None] if chain is not None else []
    against = dict.fromkeys(why.place for why in reasons if why.place != entry.place)
    return Finding.of(
        says,
        entry.place,
        related=tuple(Related(other, sentence("limits.calendar-contradicts.against")) for other in against),
        cars=cars,
        time=when_said(builder.guide, time) if isinstance(entry, DatedAt) else repr(str(time.text)),
    )
