"""numbers/*.yml: chassis numbers, one file for each series; the file name is the series' id."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import partial
from typing import ClassVar, TypeVar

from guide.facts.records.calendars import Calendar, CalendarKind, check_calendar, read_calendar, read_car_in
from guide.facts.records.fields import Field, Reader, Typed, key, list_of, open_each, open_record, raw, record
from guide.facts.records.model_years import ModelYear, read_model_years
from guide.facts.records.readers import date_only, of_text, said, source_id, text, texts, whole, yes_no
from guide.facts.records.runs import Run, read_runs
from guide.facts.records.scopes import cars
from guide.facts.text.desk import Desk
from guide.facts.text.problem import Problem
from guide.facts.text.source import Node
from guide.facts.values import CarNumber, Scope, Text, When
from guide.facts.when.number_ranges import read_plain_range
from guide.facts.when.numbers import CHASSIS, ENDLESS, number_table, plain_number, read_number, unbounded_table
from guide.finding import Place
from guide.sentence import one_of, sentence

__all__ = ["DatedCar", "OutsideCars", "Series", "Stray", "gap_of", "read_series"]

N = TypeVar("N")
R = TypeVar("R")


@of_text("text")
def _kind(scalar: Text, _: Desk) -> str | Problem:
    kind = " ".join(scalar.casefold().removesuffix("number").removesuffix("numbers").split())
    if re.fullmatch(r"[^\W\d_]+(?:[ -][^\W\d_]+)*", kind):
        return kind
    return Problem.of("facts.unknown-choice.kind", found=repr(scalar))


@of_text("text")
def _notation(scalar: Text, _: Desk) -> Text | Problem:
    if re.fullmatch(r"[^#]*#+[^#]*(?:[\s./-]#+)*", scalar):
        return scalar
    return Problem.of("facts.bad-notation", found=repr(scalar))


def _suffixes(node: Node, desk: Desk) -> Mapping[str, Scope]:
    pairs = desk.pairs_of(node, "facts.wrong-shape.suffixes", example="{L: {hand: left}}")
    read = {plain_number(suffix): cars.read(value, desk) for suffix, value in pairs}
    return {suffix: scope for suffix, scope in read.items() if scope is not None}


@record("stray")
class Stray:
    """A named car built out of order, with its own date where that is known."""

    CAR: ClassVar = Field("car", text, needed=True)
    car: CarNumber
    built: When | None = key(date_only, default=None)
    source: str = key(source_id, default="")
    printed: str = key(text, default="")
    why: str = key(said, default="")
    place: Place


@record("dated-car")
class DatedCar:
    """A car in its turn whose day of build a paper gives, as a certificate does."""

    CAR: ClassVar = Field("car", text, needed=True)
    car: CarNumber
    built: When = key(date_only)
    source: str = key(source_id, default="")
    printed: str = key(text, default="")
    place: Place


@record("outside")
class OutsideCars:
    """Named cars outside the rule: pre-production, foreign assembly. They fit no position."""

    CARS: ClassVar = Field("cars", text, needed=True)
    prefix: str
    first: int
    last: int
    name: str = key(said, "as")
    why: str = key(said, default="")
    place: Place


@record("series")
class Series:
    """Chassis numbers with a sequence of their own.

    ``written`` holds the notations, ``#`` for a digit ("C####"); several share one counter when
    ``one_counter``. ``kind`` says which of a car's numbers it is: those of another kind than the first (body, engine)
    are further numbers on the same cars, and give their order only where they say how far they are out of it.
    ``out_of_order`` is that disorder of build against number, in cars.
    """

    id: str
    name: str = key(said)
    body: str = key(said)  # what such a car is called in a sentence: "coupé"
    written: tuple[str, ...] = key(list_of(_notation.read, "texts"))
    one_counter: bool = key(yes_no, default=False)
    kind: str = key(_kind, default=CHASSIS)
    gives_build_order: bool = key(yes_no, default=True)
    check_digit: bool = key(yes_no, default=False)
    asked_as: str = key(said, default="")  # the answer that tells this series' cars from the others by eye
    picture: str = key(text, default="")
    suffixes: Mapping[str, Scope] = key(
        Reader(sentence("facts.shape.suffixes", example="{L: {hand: left}}"), _suffixes), default_factory=dict
    )
    runs: tuple[Run, ...] = key(raw("runs"))
    BUILT_BY: ClassVar = Field("built by", raw("calendar"))
    FIRST_BUILT: ClassVar = Field("first built", raw("calendar"))
    CALENDAR_SOURCE: ClassVar = Field("calendar source", source_id)
    calendar: Calendar = ()
    out_of_order: int = key(whole, default=0)
    dated_cars: tuple[DatedCar, ...] = key(raw("dated-cars"), default=())
    strays: tuple[Stray, ...] = key(raw("strays"), default=())
    outside: tuple[OutsideCars, ...] = key(raw("outside"), default=())
    model_years: tuple[ModelYear, ...] = key(raw("model-years"), default=())
    formerly: tuple[str, ...] = key(texts, default=())
    place: Place


_UNREAD: dict[str, tuple[()]] = {"runs": (), "dated_cars": (), "strays": (), "outside": (), "model_years": ()}


def read_series(series_id: str, node: Node, desk: Desk) -> Series | None:
    """Return a series, or None when too little of it can be read to place any car."""
    typed = open_record(Series, node, desk)
    bare = None if typed is None else typed.make(id=series_id, **_UNREAD)
    if typed is None or bare is None or not bare.written:
        return None
    if bare.kind != CHASSIS and not {"gives build order", "out of order"} & typed.places.keys():
        bare = replace(bare, gives_build_order=False)
    _say_widths_between(bare.written, desk)
    runs = read_runs(typed.node_of("runs"), bare, desk)
    if not runs:
        return None
    endless = replace(bare, runs=tuple(replace(run, last=run.last or ENDLESS) for run in runs))
    table = number_table({series_id: endless})
    source = typed.find(Series.CALENDAR_SOURCE) or ""
    calendar = (
        *read_calendar(typed.find(Series.BUILT_BY), CalendarKind.LAST_BY_END, source, table, desk),
        *read_calendar(typed.find(Series.FIRST_BUILT), CalendarKind.FIRST_OF, source, table, desk),
    )
    check_calendar(calendar, runs, desk)

    one_car = partial(read_car_in, table=table, desk=desk)
    dated = _numbered(DatedCar, typed.node_of("dated cars"), one_car, desk)
    strays = _numbered(Stray, typed.node_of("strays"), one_car, desk)
    outside = _numbered(OutsideCars, typed.node_of("outside"), partial(read_plain_range, desk=desk), desk)
    return replace(
        bare,
        runs=runs,
        calendar=calendar,
        dated_cars=_made(one.make(car=car) for one, car in dated),
        strays=_made(one.make(car=car) for one, car in strays),
        outside=_made(one.make(prefix=prefix, first=first, last=last) for one, (prefix, first, last) in outside),
        model_years=read_model_years(typed.node_of("model years"), endless, desk),
    )


def _say_widths_between(written: Sequence[str], desk: Desk) -> None:
    """Say which notations are missing where the numbers of one prefix grow wider by more than a digit at once."""
    signs: dict[str, list[str]] = {}
    for one in written:
        signs.setdefault(one.rstrip("#") if one.rstrip("#").count("#") == 0 else one, []).append(one)
    whole: list[str] = []
    missing: list[str] = []
    for prefix, of in signs.items():
        digits = sorted(one.count("#") for one in of)
        every = [prefix + "#" * width for width in range(digits[0], digits[-1] + 1)] if prefix not in of else of
        missing += [one for one in every if one not in of]
        whole += every
    if missing and isinstance(written[-1], Text):
        example = ", ".join(f'"{one}"' for one in whole)
        desk.find("facts.notation-widths", written[-1].place, missing=one_of(missing), whole=f"[{example}]")


def _made(records: Iterable[R | None]) -> tuple[R, ...]:
    return tuple(one for one in records if one is not None)


def _numbered(
    kind: type[R], node: Node | None, read: Callable[[Text], N | None], desk: Desk
) -> Iterator[tuple[Typed[R], N]]:
    """Yield each complete record of a list with what the numbers in it are read as."""
    for typed in open_each(kind, node, desk):
        numbers = read(typed.value_of("cars") or typed.value_of("car"))
        if numbers is not None:
            yield typed, numbers


def gap_of(number: str, every: Iterable[Series]) -> Run | None:
    """Return the run, said never to have been built, that a number lies in; None for any other number."""
    for series in every:
        read = read_number(number, unbounded_table(series, ENDLESS))
        for run in series.runs if isinstance(read, CarNumber) else ():
            assert isinstance(read, CarNumber)
            inside = run.first <= read.number <= (run.last or ENDLESS)
            if not run.built and inside and run.prefix in ("", read.prefix):
                return run
    return None
