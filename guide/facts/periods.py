"""periods.yml: named spans of the build, in order."""

from __future__ import annotations

from guide.facts.desk import Desk
from guide.facts.fields import Field, Record, keyed_records
from guide.facts.numbers import plain_number
from guide.facts.ranges import read_range
from guide.facts.readers import day, text, texts, whole
from guide.facts.source import Node
from guide.facts.types import CarNumber, Period, Series, Text

__all__ = ["RECORDS", "read_periods"]

NAME = Field("name", text, "the period's name", True)
FROM = Field("from", day, "its first day", True)
TO = Field("to", day, "its last day", True)
CARS = Field("cars", whole, "how many cars were built in it")
NUMBERS = Field("numbers", texts, "the numbers built in it, a range for each series, as C1001..C1328")
SUMMARY = Field("summary", text, "one sentence that says how such a car is known")
ABOUT = Field("about", text, "how such a car is known, at length (Markdown)")
FORMERLY = Field("formerly", texts, "ids it had before, to keep old links alive")
PERIOD = Record(
    "a period", "periods.yml, under its id", (NAME, FROM, TO, CARS, NUMBERS, SUMMARY, ABOUT, FORMERLY)
)
RECORDS = (PERIOD,)


def read_periods(node: Node | None, desk: Desk) -> dict[str, Period]:
    """Return the periods by id, in the file's order."""
    periods = {}
    for key, value in keyed_records(node, desk, "a period"):
        row = PERIOD.open(value, desk)
        if row is None or row.incomplete:
            continue
        first, last = row.need(FROM), row.need(TO)
        if first > last:
            desk.say(
                "inverted-range",
                row.places["to"],
                f"the period {key} ends on {last}, before it begins on {first}",
                "exchange `from:` and `to:`, or correct one",
            )
            continue
        periods[str(key)] = Period(
            id=str(key),
            name=row.need(NAME),
            first=first,
            last=last,
            cars=row.find(CARS),
            numbers=_numbers(row.get(NUMBERS, ()), desk),
            summary=row.get(SUMMARY, ""),
            about=row.get(ABOUT, ""),
            formerly=row.get(FORMERLY, ()),
            place=key.place,
        )
    return periods


def _numbers(ranges: tuple[Text, ...], desk: Desk) -> dict[str, tuple[CarNumber, CarNumber]]:
    found = {}
    for one in ranges:
        series = _series_of(one, desk)
        ends = series and read_range(one, series, desk)
        if series and ends:
            first, last = ends
            if last is None:
                desk.say(
                    "bad-range",
                    one.place,
                    f"expected two numbers with .. between, found {str(one)!r}",
                    "write it as C1001..C1328",
                )
                continue
            found[series.id] = (first, last)
    return found


def _series_of(scalar: Text, desk: Desk) -> Series | None:
    """Return the series whose notation the first number of a range fits best."""
    if not desk.series:
        return None
    plain = plain_number(scalar)
    fitting = [
        series
        for series in desk.series.values()
        if any(plain.startswith(plain_number(written.split("#", 1)[0])) for written in series.written)
    ]
    return max(
        fitting,
        key=lambda series: max(
            len(plain_number(written.split("#", 1)[0]))
            for written in series.written
            if plain.startswith(plain_number(written.split("#", 1)[0]))
        ),
        default=next(iter(desk.series.values())),
    )
