"""periods.yml: named spans of the build, in order."""

from __future__ import annotations

from guide.facts.records.fields import Field, Record, keyed_records
from guide.facts.records.readers import day, said, text, texts, whole
from guide.facts.text.desk import Desk
from guide.facts.text.source import Node
from guide.facts.types import CarNumber, Period, Text
from guide.facts.when.ranges import read_built_range

__all__ = ["RECORDS", "read_periods"]

NAME = Field("name", said, "the period's name", True)
FROM = Field("from", day, "its first day", True)
TO = Field("to", day, "its last day", True)
CARS = Field("cars", whole, "how many cars were built in it")
NUMBERS = Field("numbers", texts, "the numbers built in it, a range for each series, as C1001..C1328")
SUMMARY = Field("summary", said, "one sentence that says how such a car is known")
ABOUT = Field("about", text, "how such a car is known, at length (Markdown)")
FORMERLY = Field("formerly", texts, "ids it had before, to keep old links alive")
PERIOD = Record("a period", "periods.yml, under its id", (NAME, FROM, TO, CARS, NUMBERS, SUMMARY, ABOUT, FORMERLY))
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
    found: dict[str, tuple[CarNumber, CarNumber]] = {}
    for one in ranges if desk.series_complete else ():
        ends = read_built_range(one, desk)
        if ends is None:
            continue
        series = ends[0].series
        if series in found:
            desk.say(
                "repeated-key",
                one.place,
                f"numbers of {desk.series[series].name} stand twice in one period",
                "give one range for each series",
            )
        found.setdefault(series, ends)
    return found
