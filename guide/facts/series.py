"""numbers/*.yml: chassis numbers, one file for each series; the file name is the series' id."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from guide.facts.desk import Desk
from guide.facts.fields import (
    Field,
    Reader,
    Record,
    Row,
    date_only,
    is_blank,
    shape_of,
    source_id,
    text,
    texts,
    whole,
    yes_no,
)
from guide.facts.numbers import number_table, plain_number
from guide.facts.problem import Problem
from guide.facts.scopes import scope
from guide.facts.source import Items, Keyed, Node
from guide.facts.types import (
    CalendarEntry,
    CalendarKind,
    CarNumber,
    ModelYear,
    OutsideCars,
    Run,
    Scope,
    Series,
    Stray,
    Text,
)
from guide.facts.whens import read_car

__all__ = ["RECORDS", "read_range", "read_series"]

_RANGE = re.compile(r"\s*(?:\.\.+|…| to )\s*")


def _raw(shape: str) -> Reader[Node]:
    return Reader(shape, lambda node, _: node)


CARS = Field("cars", text, "the run, first and last number; without a last one its end is not stated", True)
BUILT = Field("built", text, "`never` for numbers that were never built")
DATED = Field("dated", date_only, "when the run was built, where a paper says only that")
SOURCE = Field("source", source_id, "whose word it is")
RUN = Record("a run of numbers", "numbers/*.yml, under `runs:`, in the order they were built",
             (CARS, BUILT, DATED, SOURCE))

STRAY_CAR = Field("car", text, "its number", True)
STRAY_BUILT = Field("built", date_only, "when it was built", True)
WHY = Field("why", text, "what is known of the reason")
STRAY = Record("a stray", "numbers/*.yml, under `strays:`: a car built out of order", (STRAY_CAR, STRAY_BUILT, SOURCE, WHY))

AS = Field("as", text, "what such cars are called", True)
OUTSIDE = Record("cars outside the rule", "numbers/*.yml, under `outside:`: they fit no position",
                 (Field("cars", text, "the numbers, as CX1..CX6", True), AS, WHY))

YEAR = Field("year", text, "the maker's model year", True)
MODEL_YEAR = Record("a model year", "numbers/*.yml, under `model years:`; never used as a date of build",
                    (YEAR, Field("cars", text, "its first and last number", True), SOURCE))

NAME = Field("name", text, "the series' name", True)
BODY = Field("body", text, "what such a car is called in a sentence", True)
WRITTEN = Field("written", texts, "how a number is written: # for a digit, ? for a letter or digit that does not "
                "count, as \"C####\"", True)
ONE_COUNTER = Field("one counter", yes_no, "several notations share one run of numbers")
ORDER = Field("gives build order", yes_no, "`no` for a second kind of number on the same cars")
CHECK = Field("check digit", yes_no, "17 characters with the check digit of 49 CFR 565.15")
ASKED_AS = Field("asked as", text, "the answer that tells this series' cars by eye")
PICTURE = Field("picture", text, "a file in pictures/ for that answer")
SUFFIXES = Field("suffixes", _raw("suffix and cars, as {L: {hand: left}}"), "letters after a number and what they tell")
RUNS = Field("runs", _raw("a list of runs"), "the numbers, in the order they were built", True)
BUILT_BY = Field("built by", _raw("a time and a car on each line"), "the last car built by the end of that time")
FIRST_BUILT = Field("first built", _raw("a time and a car on each line"), "the first car built in that time")
CALENDAR_SOURCE = Field("calendar source", source_id, "whose word `built by` and `first built` are")
OUT_OF_ORDER = Field("out of order", whole, "the usual disorder of build against number, in cars")
STRAYS = Field("strays", _raw("a list of strays"), "named cars built out of order")
OUTSIDES = Field("outside", _raw("cars outside the rule, or a list"), "pre-production and other cars that fit no rule")
MODEL_YEARS = Field("model years", _raw("a list of model years"), "the maker's table, shown but never used to date a car")
SERIES = Record(
    "a number series", "numbers/<id>.yml",
    (NAME, BODY, WRITTEN, ONE_COUNTER, ORDER, CHECK, ASKED_AS, PICTURE, SUFFIXES, RUNS, BUILT_BY, FIRST_BUILT,
     CALENDAR_SOURCE, OUT_OF_ORDER, STRAYS, OUTSIDES, MODEL_YEARS),
)
RECORDS = (SERIES, RUN, STRAY, OUTSIDE, MODEL_YEAR)
_ENDLESS = 10**12


def read_series(series_id: str, node: Node, desk: Desk) -> Series | None:
    """Return a series, or None when too little of it can be read to place any car."""
    row = SERIES.open(node, desk)
    if row is None or row.incomplete:
        return None
    written = _written(row.need(WRITTEN), desk)
    if not written:
        return None
    bare = Series(
        id=series_id, name=row.need(NAME), body=row.need(BODY), written=written,
        one_counter=row.get(ONE_COUNTER, False), gives_build_order=row.get(ORDER, True),
        check_digit=row.get(CHECK, False), suffixes=_suffixes(row.find(SUFFIXES), desk), runs=(),
        out_of_order=row.get(OUT_OF_ORDER, 0), asked_as=row.get(ASKED_AS, ""), picture=row.get(PICTURE, ""),
        place=row.place,
    )
    runs = _runs(row.need(RUNS), bare, desk)
    if not runs:
        return None
    endless = replace(bare, runs=tuple(replace(run, last=run.last or _ENDLESS) for run in runs))
    table = number_table({series_id: endless})
    calendar = (*_calendar(row.find(BUILT_BY), CalendarKind.LAST_BY_END, row, table, desk),
                *_calendar(row.find(FIRST_BUILT), CalendarKind.FIRST_OF, row, table, desk))
    _check_calendar(calendar, runs, desk)
    return replace(
        bare, runs=runs, calendar=calendar, strays=_strays(row.find(STRAYS), table, desk),
        outside=_outside(row.find(OUTSIDES), bare, desk), model_years=_model_years(row.find(MODEL_YEARS), endless, desk),
    )


def _written(given: tuple[Text, ...], desk: Desk) -> tuple[str, ...]:
    good = []
    for notation in given:
        if not re.fullmatch(r"[^#]*#+[^#]*(?:[\s./-]#+)*", notation):
            desk.say("bad-notation", notation.place, f"expected a notation with # for each digit, found {str(notation)!r}",
                     'write it as "C####": letters as they stand, # for each digit, all digits together')
        else:
            good.append(str(notation))
    return tuple(good)


def _suffixes(node: Node | None, desk: Desk) -> Mapping[str, Scope]:
    if node is None:
        return {}
    if not isinstance(node, Keyed):
        desk.say("wrong-shape", node.place, f"expected suffixes and their cars, found {shape_of(node)}",
                 "write it as {L: {hand: left}}")
        return {}
    read = {plain_number(key): scope.read(value, desk) for key, value in node.pairs}
    return {key: value for key, value in read.items() if value is not None}


def read_range(scalar: Text, series: Series, desk: Desk) -> tuple[CarNumber, CarNumber | None] | None:
    """Return first and last number of a range such as ``C1001..C2900``; the last is None when it is not given."""
    parts = _RANGE.split(scalar)
    free = replace(series, runs=(Run(prefix="", first=0, last=_ENDLESS, built=True, source="", place=scalar.place),),
                   outside=())
    table = number_table({series.id: free})
    ends: list[CarNumber | None] = []
    for part in parts[:2]:
        if not part:
            ends.append(None)
            continue
        number = read_car(Text(part.strip(), scalar.place), table)
        if isinstance(number, Problem):
            desk.problem(number, scalar.place)
            return None
        ends.append(number)
    if len(parts) > 2 or not ends or ends[0] is None:
        desk.say("bad-range", scalar.place, f"expected two numbers with .. between, found {str(scalar)!r}",
                 "write it as C1001..C2900")
        return None
    first, last = ends[0], ends[-1]
    if last is not None and last.prefix != first.prefix and not series.one_counter:
        desk.say("bad-range", scalar.place, f"{str(scalar)!r} begins with one prefix and ends with another",
                 "write a run for each prefix, or say `one counter: yes`")
        return None
    if last is not None and last.number < first.number:
        desk.say("inverted-range", scalar.place, f"{str(scalar)!r} ends before it begins",
                 f"write {last.text}..{first.text}")
        return None
    return first, last


def _records(node: Node | None, record: Record, desk: Desk) -> list[Row]:
    if node is None:
        return []
    nodes = node.items if isinstance(node, Items) else (node,)
    rows = [record.open(one, desk) for one in nodes if not is_blank(one)]
    return [row for row in rows if row is not None and not row.incomplete]


def _runs(node: Node, series: Series, desk: Desk) -> tuple[Run, ...]:
    runs: list[Run] = []
    for row in _records(node, RUN, desk):
        ends = read_range(row.need(CARS), series, desk)
        if ends is None:
            continue
        first, last = ends
        built = row.find(BUILT)
        if built is not None and built.casefold() != "never":
            desk.say("unknown-choice", built.place, f"expected `never` after `built:`, found {str(built)!r}",
                     "write `built: never` for numbers never used, or `dated:` for when they were built")
        prefix = first.prefix if last is None or last.prefix == first.prefix else ""
        run = Run(prefix=prefix, first=first.number, last=last and last.number, built=built is None,
                  source=row.get(SOURCE, ""), dated=row.find(DATED), place=row.place)
        for other in runs:
            if _overlap(run, other):
                desk.say("overlapping-runs", run.place, f"the run {row.need(CARS)} has numbers of an earlier run in it",
                         "let each number stand in one run", ((other.place, "the earlier run"),))
        runs.append(run)
    return tuple(runs)


def _overlap(one: Run, other: Run) -> bool:
    same = "" in (one.prefix, other.prefix) or one.prefix == other.prefix
    return same and one.first <= (other.last or _ENDLESS) and other.first <= (one.last or _ENDLESS)


def _calendar(node: Node | None, kind: CalendarKind, row: Row, table: Mapping[str, Any],
              desk: Desk) -> tuple[CalendarEntry, ...]:
    if node is None:
        return ()
    if not isinstance(node, Keyed):
        desk.say("wrong-shape", node.place, f"expected a time and a car on each line, found {shape_of(node)}",
                 "write lines such as `1968-05: C1866`")
        return ()
    entries = []
    for key, value in node.pairs:
        time = date_only.read(key, desk)
        number = _car_of(value, table, desk)
        if time is None or number is None:
            continue
        if time.earliest is None or time.latest is None or time.approximate:
            desk.say("bad-date", key.place, f"expected a day, month or year, found {str(key)!r}",
                     "write it as 1968-05 or 1968-05-24: a calendar line is exact")
            continue
        entries.append(CalendarEntry(kind=kind, time=time, car=number, source=row.get(CALENDAR_SOURCE, ""),
                                     place=key.place))
    return tuple(entries)


def _car_of(node: Node, table: Mapping[str, Any], desk: Desk) -> CarNumber | None:
    scalar = text.read(node, desk)
    if scalar is None:
        return None
    number = read_car(scalar, table)
    if isinstance(number, Problem):
        desk.problem(number, scalar.place)
        return None
    return number


def _rank(number: CarNumber, runs: tuple[Run, ...]) -> tuple[int, int]:
    for index, run in enumerate(runs):
        if run.prefix in ("", number.prefix) and run.first <= number.number <= (run.last or _ENDLESS):
            return index, number.number
    return len(runs), number.number


def _check_calendar(calendar: tuple[CalendarEntry, ...], runs: tuple[Run, ...], desk: Desk) -> None:
    """Say where a later time has a lower number: such lines cannot both be true of one counter."""
    for kind in CalendarKind:
        entries = sorted((entry for entry in calendar if entry.kind is kind), key=lambda entry: _time_key(entry, kind))
        for before, after in zip(entries, entries[1:], strict=False):
            if _rank(after.car, runs) <= _rank(before.car, runs) and _time_key(before, kind) < _time_key(after, kind):
                desk.say("calendar-out-of-order", after.place,
                         f"{after.time.text} has {after.car.written}, which does not come after {before.car.written} "
                         f"of {before.time.text}", "correct one of the two lines",
                         ((before.place, f"{before.time.text}: {before.car.written}"),))


def _time_key(entry: CalendarEntry, kind: CalendarKind) -> int:
    bound = entry.time.latest if kind is CalendarKind.LAST_BY_END else entry.time.earliest
    assert bound
    return bound.toordinal()


def _strays(node: Node | None, table: Mapping[str, Any], desk: Desk) -> tuple[Stray, ...]:
    strays = []
    for row in _records(node, STRAY, desk):
        number = _car_of(row.need(STRAY_CAR), table, desk)
        if number is not None:
            strays.append(Stray(car=number, built=row.need(STRAY_BUILT), source=row.get(SOURCE, ""),
                                why=row.get(WHY, ""), place=row.place))
    return tuple(strays)


def _outside(node: Node | None, series: Series, desk: Desk) -> tuple[OutsideCars, ...]:
    found = []
    for row in _records(node, OUTSIDE, desk):
        scalar = row.need(OUTSIDE.fields[0])
        ends = [re.fullmatch(r"(.*?)(\d+)", plain_number(part)) for part in _RANGE.split(scalar)]
        first, last = ends[0], ends[-1]
        if len(ends) > 2 or first is None or last is None or first[1] != last[1] or int(first[2]) > int(last[2]):
            desk.say("bad-range", scalar.place, f"expected two numbers with .. between, found {str(scalar)!r}",
                     "write it as CX1..CX6")
            continue
        found.append(OutsideCars(prefix=first[1], first=int(first[2]), last=int(last[2]), name=row.need(AS),
                                 why=row.get(WHY, ""), place=row.place))
    return tuple(found)


def _model_years(node: Node | None, series: Series, desk: Desk) -> tuple[ModelYear, ...]:
    found = []
    for row in _records(node, MODEL_YEAR, desk):
        ends = read_range(row.need(MODEL_YEAR.fields[1]), series, desk)
        if ends is not None:
            found.append(ModelYear(year=row.need(YEAR), first=ends[0], last=ends[1], source=row.get(SOURCE, ""),
                                   place=row.place))
    return tuple(found)


