"""numbers/*.yml: chassis numbers, one file for each series; the file name is the series' id."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from guide.facts.records.calendars import check_calendar, read_calendar, read_car_in
from guide.facts.records.fields import Field, Record, items_of, open_all, raw, shape_of
from guide.facts.records.readers import date_only, said, source_id, text, texts, whole, yes_no
from guide.facts.records.scopes import scope
from guide.facts.text.desk import Desk
from guide.facts.text.source import Keyed, Node
from guide.facts.types import CalendarKind, ModelYear, OutsideCars, Run, Scope, Series, Stray, Text
from guide.facts.when.numbers import number_table, plain_number
from guide.facts.when.ranges import ENDLESS, read_plain_range, read_range

__all__ = ["RECORDS", "read_series"]

CARS = Field("cars", text, "the run, first and last number; without a last one its end is not stated", True)
BUILT = Field("built", text, "`never` for numbers that were never built")
DATED = Field("dated", date_only, "when the run was built, where a paper says only that")
SOURCE = Field("source", source_id, "whose word it is")
RUN = Record(
    "a run of numbers", "numbers/*.yml, under `runs:`, in the order they were built", (CARS, BUILT, DATED, SOURCE)
)

STRAY_CAR = Field("car", text, "its number", True)
STRAY_BUILT = Field("built", date_only, "when it was built", True)
WHY = Field("why", said, "what is known of the reason")
STRAY = Record(
    "a stray", "numbers/*.yml, under `strays:`: a car built out of order", (STRAY_CAR, STRAY_BUILT, SOURCE, WHY)
)

OUTSIDE_CARS = Field("cars", text, "the numbers, as CX1..CX6", True)
AS = Field("as", said, "what such cars are called", True)
OUTSIDE = Record(
    "cars outside the rule", "numbers/*.yml, under `outside:`: they fit no position", (OUTSIDE_CARS, AS, WHY)
)

YEAR_CARS = Field("cars", text, "its first and last number", True)
YEAR = Field("year", text, "the maker's model year", True)
MODEL_YEAR = Record(
    "a model year", "numbers/*.yml, under `model years:`; never used as a date of build", (YEAR, YEAR_CARS, SOURCE)
)

NAME = Field("name", said, "the series' name", True)
BODY = Field("body", said, "what such a car is called in a sentence", True)
WRITTEN = Field(
    "written",
    texts,
    'how a number is written: # for a digit, ? for a letter or digit that does not count, as "C####"',
    True,
)
ONE_COUNTER = Field("one counter", yes_no, "several notations share one run of numbers")
ORDER = Field("gives build order", yes_no, "`no` for a second kind of number on the same cars")
CHECK = Field("check digit", yes_no, "17 characters with the check digit of 49 CFR 565.15")
ASKED_AS = Field("asked as", said, "the answer that tells this series' cars by eye")
PICTURE = Field("picture", text, "a file in pictures/ for that answer")
SUFFIXES = Field("suffixes", raw("suffix and cars, as {L: {hand: left}}"), "letters after a number and what they tell")
RUNS = Field("runs", raw("a list of runs"), "the numbers, in the order they were built", True)
BUILT_BY = Field("built by", raw("a time and a car on each line"), "the last car built by the end of that time")
FIRST_BUILT = Field("first built", raw("a time and a car on each line"), "the first car built in that time")
CALENDAR_SOURCE = Field("calendar source", source_id, "whose word `built by` and `first built` are")
OUT_OF_ORDER = Field("out of order", whole, "the usual disorder of build against number, in cars")
STRAYS = Field("strays", raw("a list of strays"), "named cars built out of order")
OUTSIDES = Field("outside", raw("cars outside the rule, or a list"), "pre-production and other cars that fit no rule")
MODEL_YEARS = Field(
    "model years", raw("a list of model years"), "the maker's table, shown but never used to date a car"
)
SERIES = Record(
    "a number series",
    "`numbers/<id>.yml`",
    (
        NAME,
        BODY,
        WRITTEN,
        ONE_COUNTER,
        ORDER,
        CHECK,
        ASKED_AS,
        PICTURE,
        SUFFIXES,
        RUNS,
        BUILT_BY,
        FIRST_BUILT,
        CALENDAR_SOURCE,
        OUT_OF_ORDER,
        STRAYS,
        OUTSIDES,
        MODEL_YEARS,
    ),
)
RECORDS = (SERIES, RUN, STRAY, OUTSIDE, MODEL_YEAR)


def read_series(series_id: str, node: Node, desk: Desk) -> Series | None:
    """Return a series, or None when too little of it can be read to place any car."""
    row = SERIES.open(node, desk)
    if row is None or row.incomplete:
        return None
    written = _written(row.need(WRITTEN), desk)
    if not written:
        return None
    bare = Series(
        id=series_id,
        name=row.need(NAME),
        body=row.need(BODY),
        written=written,
        one_counter=row.get(ONE_COUNTER, False),
        gives_build_order=row.get(ORDER, True),
        check_digit=row.get(CHECK, False),
        suffixes=_suffixes(row.find(SUFFIXES), desk),
        runs=(),
        out_of_order=row.get(OUT_OF_ORDER, 0),
        asked_as=row.get(ASKED_AS, ""),
        picture=row.get(PICTURE, ""),
        place=row.place,
    )
    runs = _runs(row.need(RUNS), bare, desk)
    if not runs:
        return None
    endless = replace(bare, runs=tuple(replace(run, last=run.last or ENDLESS) for run in runs))
    table = number_table({series_id: endless})
    source = row.get(CALENDAR_SOURCE, "")
    calendar = (
        *read_calendar(row.find(BUILT_BY), CalendarKind.LAST_BY_END, source, table, desk),
        *read_calendar(row.find(FIRST_BUILT), CalendarKind.FIRST_OF, source, table, desk),
    )
    check_calendar(calendar, runs, desk)
    return replace(
        bare,
        runs=runs,
        calendar=calendar,
        strays=_strays(row.find(STRAYS), table, desk),
        outside=_outside(row.find(OUTSIDES), desk),
        model_years=_model_years(row.find(MODEL_YEARS), endless, desk),
    )


def _written(given: tuple[Text, ...], desk: Desk) -> tuple[str, ...]:
    good = []
    for notation in given:
        if not re.fullmatch(r"[^#]*#+[^#]*(?:[\s./-]#+)*", notation):
            desk.say(
                "bad-notation",
                notation.place,
                f"expected a notation with # for each digit, found {str(notation)!r}",
                'write it as "C####": letters as they stand, # for each digit, all digits together',
            )
        else:
            good.append(str(notation))
    return tuple(good)


def _suffixes(node: Node | None, desk: Desk) -> Mapping[str, Scope]:
    if node is None:
        return {}
    if not isinstance(node, Keyed):
        desk.say(
            "wrong-shape",
            node.place,
            f"expected suffixes and their cars, found {shape_of(node)}",
            "write it as {L: {hand: left}}",
        )
        return {}
    read = {plain_number(key): scope.read(value, desk) for key, value in node.pairs}
    return {key: value for key, value in read.items() if value is not None}


def _runs(node: Node, series: Series, desk: Desk) -> tuple[Run, ...]:
    runs: list[Run] = []
    rows = open_all(node, RUN, desk)
    if len(rows) < len(items_of(node)):
        desk.series_complete = False
    for row in rows:
        ends = read_range(row.need(CARS), series, desk)
        if ends is None:
            desk.series_complete = False
            continue
        first, last = ends
        built = row.find(BUILT)
        if built is not None and built.casefold() != "never":
            desk.say(
                "unknown-choice",
                built.place,
                f"expected `never` after `built:`, found {str(built)!r}",
                "write `built: never` for numbers never used, or `dated:` for when they were built",
            )
        prefix = first.prefix if last is None or last.prefix == first.prefix else ""
        run = Run(
            prefix=prefix,
            first=first.number,
            last=None if last is None else last.number,
            built=built is None,
            source=row.get(SOURCE, ""),
            dated=row.find(DATED),
            place=row.place,
        )
        for other in runs:
            if _overlap(run, other, series.one_counter):
                desk.say(
                    "overlapping-runs",
                    run.place,
                    f"the run {row.need(CARS)} has numbers of an earlier run in it",
                    "let each number stand in one run",
                    ((other.place, "the earlier run"),),
                )
        runs.append(run)
    return tuple(runs)


def _overlap(one: Run, other: Run, one_counter: bool) -> bool:
    same = one_counter or one.prefix == other.prefix
    return same and one.first <= (other.last or ENDLESS) and other.first <= (one.last or ENDLESS)


def _strays(node: Node | None, table: Mapping[str, Any], desk: Desk) -> tuple[Stray, ...]:
    strays = []
    for row in open_all(node, STRAY, desk):
        number = read_car_in(row.need(STRAY_CAR), table, desk)
        if number is not None:
            strays.append(
                Stray(
                    car=number,
                    built=row.need(STRAY_BUILT),
                    source=row.get(SOURCE, ""),
                    why=row.get(WHY, ""),
                    place=row.place,
                )
            )
    return tuple(strays)


def _outside(node: Node | None, desk: Desk) -> tuple[OutsideCars, ...]:
    found = []
    for row in open_all(node, OUTSIDE, desk):
        cars = read_plain_range(row.need(OUTSIDE_CARS), desk)
        if cars is not None:
            prefix, first, last = cars
            found.append(
                OutsideCars(
                    prefix=prefix, first=first, last=last, name=row.need(AS), why=row.get(WHY, ""), place=row.place
                )
            )
    return tuple(found)


def _model_years(node: Node | None, series: Series, desk: Desk) -> tuple[ModelYear, ...]:
    found = []
    for row in open_all(node, MODEL_YEAR, desk):
        ends = read_range(row.need(YEAR_CARS), series, desk)
        if ends is not None:
            found.append(
                ModelYear(year=row.need(YEAR), first=ends[0], last=ends[1], source=row.get(SOURCE, ""), place=row.place)
            )
    return tuple(found)
