"""The runs of a number series, in the order they were built: from where to where, and how far that is known.

A table of first numbers alone is typed as it stands: each such run ends before the next one of its counter begins, and
the last goes on. How far a run without an end is known to go hangs on every car that the guide names in it
(`known_ends`); what lies beyond is "beyond the last number known", and no error of anybody's.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, ClassVar

from guide.facts.records.fields import Field, Typed, key, open_each, record
from guide.facts.records.readers import date_only, of_text, source_id, text
from guide.facts.records.rivals import EndCar, RivalEnd, end_cars, end_rulings, settled
from guide.facts.text.desk import Desk
from guide.facts.text.problem import Problem
from guide.facts.text.source import Node, items_of
from guide.facts.values import CarNumber, Text, When
from guide.facts.when.number_ranges import read_end, read_range
from guide.facts.when.numbers import ENDLESS
from guide.finding import Place
from guide.sentence import sentence

if TYPE_CHECKING:
    from guide.facts.records.series import Series

__all__ = ["Run", "known_ends", "read_runs"]


@of_text("text")
def _never(scalar: Text, _: Desk) -> bool | Problem:
    if scalar.casefold() == "never":
        return False
    return Problem.of("facts.unknown-choice.never", found=repr(scalar))


@record("run")
class Run:
    """A run of numbers in build order. ``last`` None: the end is not stated, and ``known`` is the highest number that
    is known in it; ``built`` False: a declared gap.

    An empty ``prefix`` under a series with one counter holds every prefix of that counter.
    """

    CARS: ClassVar = Field("cars", text)
    FROM: ClassVar = Field("from", text)
    TO: ClassVar = Field("to", end_cars)
    RULING: ClassVar = Field("ruling", end_rulings)
    KNOWN_TO: ClassVar = Field("known to", text)
    prefix: str
    first: int
    last: int | None
    known: int | None = None
    built: bool = key(_never, default=True)
    dated: When | None = key(date_only, default=None)
    source: str = key(source_id, default="")
    printed: str = key(text, default="")
    rivals: tuple[RivalEnd, ...] = ()  # what papers say of its end, where several do; `last` is the highest that stands
    place: Place


@dataclass(frozen=True, slots=True)
class _Ends:
    """The numbers typed for one run; ``ends_at_next``: its end is where the next begins."""

    typed: Text
    first: CarNumber
    last: CarNumber | None
    known: CarNumber | None
    ends_at_next: bool
    rivals: tuple[RivalEnd, ...] = ()

    def before(self, others: Iterable[_Ends], one_counter: bool) -> int | None:
        """Return the last number of the run, None where that is not stated."""
        if not self.ends_at_next:
            return None if self.last is None else self.last.number
        same = (one.first for one in others if one_counter or one.first.prefix == self.first.prefix)
        return min((one.number - 1 for one in same if one.number > self.first.number), default=None)


def read_runs(node: Node | None, series: Series, desk: Desk) -> tuple[Run, ...]:
    """Return the runs that can be read; where one cannot, the series is not complete."""
    opened = [(typed, _ends_of(typed, series, desk)) for typed in open_each(Run, node, desk)]
    if len(opened) < len(items_of(node)) or any(ends is None for _, ends in opened):
        desk.series_complete = False
    every = [ends for _, ends in opened if ends is not None]
    runs: list[Run] = []
    for typed, ends in opened:
        if ends is None:
            continue
        one_prefix = ends.last is None or ends.last.prefix == ends.first.prefix
        run = typed.make(
            prefix=ends.first.prefix if one_prefix else "",
            first=ends.first.number,
            last=ends.before(every, series.one_counter),
            known=None if ends.known is None else ends.known.number,
            rivals=ends.rivals,
        )
        if run is None:
            continue
        for other in runs:
            if _overlap(run, other, series.one_counter):
                earlier = (other.place, sentence("facts.related.earlier-run"))
                desk.find("facts.overlapping-runs", run.place, related=(earlier,), run=str(ends.typed))
        runs.append(run)
    return tuple(runs)


def _ends_of(typed: Typed[Run], series: Series, desk: Desk) -> _Ends | None:
    """Return the numbers that a run goes from and to: in one, as `C1001..C2900`, or each by itself."""
    cars, begins = typed.find(Run.CARS), typed.find(Run.FROM)
    if (cars is None) == (begins is None):
        if not (typed.unread("cars") or typed.unread("from") or typed.has_unknown):
            desk.find("facts.one-of.run", typed.place, example=f"{{from: {series.written[0].replace('#', '1')}}}")
        return None
    known = typed.find(Run.KNOWN_TO)
    highest = None if known is None else read_end(known, series, desk)
    ends = None if cars is None else read_range(cars, series, desk)
    if cars is not None:
        return None if ends is None else _Ends(cars, *ends, highest, ends_at_next=False)
    assert begins is not None
    said = typed.find(Run.TO)
    if said is None:
        first = read_end(begins, series, desk)
        return None if first is None else _Ends(begins, first, None, highest, ends_at_next=True)
    read = [(one, read_range(Text(f"{begins}..{one.car}", one.place), series, desk)) for one in said]
    ends_read = [(one, both[0], both[1]) for one, both in read if both is not None and both[1] is not None]
    if len(ends_read) < len(read):
        return None
    usual = str(typed.value_of("source") or "")
    rivals = settled([_rival(one, last, usual) for one, _, last in ends_read], typed.find(Run.RULING) or (), desk)
    widest = next(one.at for one in rivals if one.is_widest)
    _, first, last = next(one for one in ends_read if one[2].number == widest)
    return _Ends(begins, first, last, highest, ends_at_next=False, rivals=rivals if len(rivals) > 1 else ())


def _rival(one: EndCar, last: CarNumber, source: str) -> RivalEnd:
    return RivalEnd(
        end="last",
        written=last.written,
        at=last.number,
        source=one.source or source,
        page=one.page,
        printed=one.printed,
        place=one.place,
    )


def _overlap(one: Run, other: Run, one_counter: bool) -> bool:
    same = one_counter or one.prefix == other.prefix
    return same and one.first <= (other.last or ENDLESS) and other.first <= (one.last or ENDLESS)


def known_ends(series: Series, named: Iterable[CarNumber]) -> Series:
    """Return a series whose runs without an end are known to go as far as the cars named in them, wherever that is."""
    mine = [car for car in named if car.series == series.id]

    def known(run: Run) -> int | None:
        if run.last is not None:
            return None
        held = [car.number for car in mine if run.prefix in ("", car.prefix) and car.number >= run.first]
        return max([*held, *([] if run.known is None else [run.known])], default=None)

    return replace(series, runs=tuple(replace(run, known=known(run)) for run in series.runs))
