"""What holds of the cars of a series whatever anybody states: their order, their place in production, their calendar.

Lines of a calendar go in one by one; one that cannot stand beside the rest is left out with a finding.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import pairwise

from guide.facts.types import CalendarEntry, CalendarKind, When
from guide.finding import Finding, Place, Related, StepKind
from guide.limits.build import DAY, ORIGIN, Builder
from guide.limits.network import Tie
from guide.limits.positions import DatedRun, SeriesLine
from guide.limits.why import Why
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
    for tie in builder.rules:
        if not builder.network.insert((tie,)):
            raise AssertionError(f"the rules alone cannot be met: {tie}")
    return tuple(findings)


def _line_rules(builder: Builder) -> Iterable[Tie]:
    """Yield the order of each series between the positions in use, and its place in production."""
    for series, line in builder.lines.items():
        if not line.cars:
            continue
        for entry in line.series.calendar:
            cut = line.cut_of(entry)
            for position in (cut[0], cut[0] + 1) if cut else ():
                if 0 <= position < line.cars:
                    builder.nominal(series, position)
        for dated in line.dated_runs:
            builder.nominal(series, dated.first)
            builder.nominal(series, dated.last)
        first, last = builder.nominal(series, 0), builder.nominal(series, line.cars - 1)
        yield from builder.within_production(first, last)
        in_use = sorted(builder.nominals[series].items())
        for (low, before), (high, after) in pairwise(in_use):
            yield Tie(after, before, low - high)


def _insert_calendar(builder: Builder, line: SeriesLine) -> Iterator[Finding]:
    """Insert the lines of a series' calendar and its dated runs, with a finding for each that cannot be."""
    for entry in line.series.calendar:
        ties = list(_entry_ties(builder, line, entry))
        yield from _insert_days(builder, ties, entry.place, entry.car.written, entry.time)
    for dated in line.dated_runs:
        assert dated.run.dated is not None
        ends = "..".join(line.car_at(position).written for position in (dated.first, dated.last))
        yield from _insert_days(builder, list(_run_ties(builder, line, dated)), dated.run.place, ends, dated.run.dated)


def _insert_days(builder: Builder, ties: list[Tie], place: Place, cars: str, time: When) -> list[Finding]:
    if builder.network.insert(ties):
        return []
    chain = builder.network.shortest_chain(ties)
    reasons = [tie.why for tie in chain.ties[1:] if tie.why is not None] if chain is not None else []
    against = dict.fromkeys(why.place for why in reasons if why.place != place)
    return [
        Finding.of(
            "limits.calendar-contradicts",
            place,
            related=tuple(Related(other, sentence("limits.calendar-contradicts.against")) for other in against),
            cars=cars,
            time=repr(str(time.text)),
        )
    ]


def _entry_ties(builder: Builder, line: SeriesLine, entry: CalendarEntry) -> Iterable[Tie]:
    cut = line.cut_of(entry)
    if cut is None:
        return
    last, day = cut
    series = line.series.id
    why = Why(StepKind.CALENDAR, entry.place, entry.source, "limits.calendar")
    if 0 <= last < line.cars:
        yield Tie(ORIGIN, builder.nominal(series, last), builder.end_of(line.day_before_closure(day)), why)
    if last + 1 < line.cars:
        following = builder.nominal(series, last + 1)
        yield Tie(following, ORIGIN, -builder.start_of(line.day_after_closure(day + DAY)), why)
        if entry.kind is CalendarKind.FIRST_OF:
            yield Tie(ORIGIN, following, builder.end_of(line.day_before_closure(entry.time.days()[1])), why)


def _run_ties(builder: Builder, line: SeriesLine, dated: DatedRun) -> Iterable[Tie]:
    series, run = line.series.id, dated.run
    why = Why(StepKind.CALENDAR, run.place, run.source, "limits.calendar")
    latest, earliest = line.day_before_closure(dated.latest), line.day_after_closure(dated.earliest)
    yield Tie(ORIGIN, builder.nominal(series, dated.last), builder.end_of(latest), why)
    yield Tie(builder.nominal(series, dated.first), ORIGIN, -builder.start_of(earliest), why)
