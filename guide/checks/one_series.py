"""Does a number tell the series, and is a changeover stated by number of one series only?

A number speaks for the cars of its own series, so that nothing is then known of the others, and every car of theirs
passes for having either form.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from itertools import combinations, pairwise

from guide.checks.known import Known
from guide.facts.types import CarNumber, FormRef, Guide, Mark, Run, Scope, Series, Statement, StatementKind
from guide.facts.when.numbers import number_table, read_number, write_number
from guide.finding import Finding, Related
from guide.limits.courses import courses_of
from guide.limits.rulings import standing_statements
from guide.sentence import all_of

__all__ = ["check_every_series_stated", "check_numbers_tell_the_series"]


@dataclass(slots=True)
class _Changeover:
    """One form giving way to another: the series whose cars had both, and of which something is stated."""

    had_by: set[str] = field(default_factory=set)
    told: set[str] = field(default_factory=set)
    by_number: list[tuple[str, Statement]] = field(default_factory=list)  # by series, its first or last, for any car


def check_numbers_tell_the_series(known: Known) -> Iterator[Finding]:
    """Yield a finding for each series with a run of numbers that an earlier one of that kind has too: a car of such a
    number is taken for one of the earlier."""
    every = known.guide.series.values()
    for first, then in combinations(every, 2):
        shared = _shared(first, then) if first.kind == then.kind else None
        if shared is not None:
            theirs, ours = shared
            yield Finding.of(
                "checks.number-of-two-series",
                ours.place,
                related=(Related(theirs.place, first.name),),
                series=then.name,
                other=first.name,
                file=then.place.file,
            )


def _shared(first: Series, then: Series) -> tuple[Run, Run] | None:
    """Return the runs of two series that have a number in common: where two do, an end of one is in the other."""
    for mine in (run for run in first.runs if run.built):
        for other in (run for run in then.runs if run.built):
            if _has_end_of(first, mine, then, other) or _has_end_of(then, other, first, mine):
                return mine, other
    return None


def _has_end_of(series: Series, run: Run, other: Series, others: Run) -> bool:
    table = number_table({series.id: replace(series, runs=(run,))}, endless=True)
    ends = (others.first, others.first if others.last is None else others.last)
    written = (write_number(other, others.prefix, end).written for end in ends)
    return any(isinstance(read_number(one, table), CarNumber) for one in written)


def check_every_series_stated(known: Known) -> Iterator[Finding]:
    """Yield a finding for each mark of which a changeover is stated by number of some series, and of others not at
    all."""
    guide = known.guide
    standing = standing_statements(guide)
    for mark in guide.marks.values() if len(guide.ordered_series) > 1 else ():
        stated = [one.statement for one in standing[mark.id]]
        for (old, new), one in _changeovers(known, mark, stated).items():
            without = [name for name in guide.ordered_series if name in one.had_by - one.told]
            if not (one.by_number and without):
                continue
            series, said = one.by_number[0]
            number = said.when.text if said.when is not None else ""
            other = next(iter(guide.series[without[0]].written), "")
            yield Finding.of(
                "checks.stated-of-one-series",
                said.place,
                mark=mark.name,
                old=mark.forms[old].name,
                new=mark.forms[new].name,
                series=all_of(guide.series[name].name for name in dict.fromkeys(name for name, _ in one.by_number)),
                without=all_of(guide.series[name].name for name in without),
                both=f"[{number}, {other}]",
                alone=f"for: {{series: {series}}}",
            )
            break


def _changeovers(known: Known, mark: Mark, stated: list[Statement]) -> dict[tuple[str, str], _Changeover]:
    guide, found = known.guide, dict[tuple[str, str], _Changeover]()
    for course in courses_of(known.limits, mark):
        for old, new in pairwise(course.spells):
            one = found.setdefault((old.form, new.form), _Changeover())
            if any(FormRef(mark.id, new.form, new.spell) in joint.forms for joint in guide.changed_together):
                one.told |= set(guide.ordered_series)  # as the changes of other marks with it have it
            ends = {(old.form, old.spell): StatementKind.LAST, (new.form, new.spell): StatementKind.FIRST}
            tells = [said for said in stated if ends.get((said.form, said.spell)) in (said.kind, *_tells_first(said))]
            for scope in (course.scope, *course.also):
                for series in scope.values("series") or mark.scope.values("series") or tuple(guide.ordered_series):
                    one.had_by.add(series)
                    of = Scope((("series", (series,)),))
                    one.told |= {
                        series for said in tells if _series_of(guide, said) in ("", series) and said.scope.meets(of)
                    }
            dated = [said for said in tells if said.kind is not StatementKind.SEEN]
            if not any(said.scope.values("series") for said in dated):  # else the editor says whom a number speaks for
                one.by_number += [(series, said) for said in dated if (series := _series_of(guide, said))]
    return found


def _tells_first(said: Statement) -> tuple[StatementKind, ...]:
    """Return which end a statement speaks of besides that of its own kind: a car seen of either, what is said beside
    another form of the first."""
    if said.kind is StatementKind.SEEN:
        return (StatementKind.FIRST, StatementKind.LAST)
    return () if said.kind is StatementKind.LAST else (StatementKind.FIRST,)


def _series_of(guide: Guide, said: Statement) -> str:
    """Return the series for which alone a statement speaks, by the number in it; empty where it names none."""
    car = said.when.car if said.when is not None else None
    return car.series if car is not None and car.series in guide.ordered_series else ""
