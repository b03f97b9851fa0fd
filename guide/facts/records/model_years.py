"""`model years:`: a maker's table of which cars, or which days of build, belonged to which model year.

In the file of a number series a row goes by its numbers or by days; in guide.yml by days, for every series without a
table of its own. A model year is no date of build: a statement that names one means the cars or days in its row.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING, ClassVar

from guide.facts.records.fields import Field, Reader, Typed, key, open_each, record
from guide.facts.records.readers import date_only, source_id, text
from guide.facts.text.desk import Desk
from guide.facts.text.source import Node
from guide.facts.values import CarNumber, Text
from guide.facts.when.number_ranges import read_range
from guide.facts.when.numbers import ENDLESS, read_number, unbounded_table
from guide.finding import Place
from guide.sentence import sentence

if TYPE_CHECKING:
    from guide.facts.records.series import Series

__all__ = ["ModelYear", "model_years_by_days", "read_model_years"]


@record("model-year")
class ModelYear:
    """A row of a maker's model-year table, by cars (``first``, ``last``) or by days (``begins``, ``ends``).

    A last car or day that is not stated is the one before the next row begins, or the last of all.
    """

    year: str = key(text)
    CARS: ClassVar = Field("cars", text)
    FROM: ClassVar = Field("from", text)
    TO: ClassVar = Field("to", text)
    first: CarNumber | None = None
    last: CarNumber | None = None
    begins: date | None = None
    ends: date | None = None
    source: str = key(source_id, default="")
    printed: str = key(text, default="")
    place: Place


def read_model_years(node: Node | None, series: Series | None, desk: Desk) -> tuple[ModelYear, ...]:
    """Return the rows that can be read; without a series all of them go by days."""
    rows = [row for typed in open_each(ModelYear, node, desk) if (row := _row(typed, series, desk)) is not None]
    starts = sorted(row.begins for row in rows if row.begins is not None)
    return tuple(
        row if row.begins is None else replace(row, ends=row.ends or _before_next(row, starts)) for row in rows
    )


def _before_next(row: ModelYear, starts: Sequence[date]) -> date | None:
    """Return the day before the next row begins; None for the last one."""
    return next((one - timedelta(days=1) for one in starts if row.begins is not None and one > row.begins), None)


def _row(typed: Typed[ModelYear], series: Series | None, desk: Desk) -> ModelYear | None:
    desk.years_named[str(typed.value_of("year"))] = None
    cars, begins, ends = (typed.find(one) for one in (ModelYear.CARS, ModelYear.FROM, ModelYear.TO))
    if (cars is None) == (begins is None) or (cars is not None and series is None):
        if not typed.has_unknown:
            way = "" if series else ".by-days"
            desk.find(f"facts.one-of.model-year{way}", typed.place, example="{year: 1972, from: 1971-08}")
        return None
    if begins is not None and series is not None:
        read = read_number(begins, unbounded_table(series, ENDLESS))
        if isinstance(read, CarNumber):
            cars = Text(begins if ends is None else f"{begins}..{ends}", begins.place)
            if ends is None:
                return typed.make(first=read)
    if cars is not None:
        assert series is not None
        found = read_range(cars, series, desk)
        return None if found is None else typed.make(first=found[0], last=found[1])
    assert begins is not None
    first, last = date_only.read(begins, desk), None if ends is None else date_only.read(ends, desk)
    if first is None or (ends is not None and last is None):
        return None
    if first.earliest is None or (last is not None and last.latest is None):
        desk.refuse("facts.bad-date.calendar", begins if first.earliest is None else ends or begins)
        return None
    if last is not None and last.latest is not None and last.latest < first.earliest:
        desk.find("facts.inverted-range.whens", begins.place, last=repr(str(ends)), first=repr(str(begins)))
        return None
    return typed.make(begins=first.earliest, ends=None if last is None else last.latest)


def _by_days(node: Node, desk: Desk) -> tuple[ModelYear, ...]:
    return read_model_years(node, None, desk)


model_years_by_days: Reader[tuple[ModelYear, ...]] = Reader(sentence("facts.shape.model-years"), _by_days)
