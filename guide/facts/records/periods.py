"""periods.yml: named spans of the build, in order."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from guide.facts.records.fields import Reader, key, record
from guide.facts.records.readers import day, days_in_order, said, text, texts, whole
from guide.facts.records.scopes import own_series
from guide.facts.text.desk import Desk
from guide.facts.text.source import Node
from guide.facts.values import CarNumber
from guide.facts.when.number_ranges import read_built_range
from guide.finding import Place

__all__ = ["Period"]


def _numbers(node: Node, desk: Desk) -> dict[str, tuple[CarNumber, CarNumber]]:
    """Return the first and the last number of each series."""
    found: dict[str, tuple[CarNumber, CarNumber]] = {}
    for typed in (texts.read(node, desk) or ()) if desk.series_complete else ():
        ends = read_built_range(typed, desk)
        if ends is None:
            continue
        series = ends[0].series
        if series in found:
            desk.find("facts.repeated-key.numbers", typed.place, series=desk.series[series].name)
        found.setdefault(series, ends)
    return found


@record("period")
class Period:
    """A named span of the build; ``first`` and ``last`` are days, inclusive, as are the ``numbers`` of each series."""

    id: str
    name: str = key(said)
    first: date = key(day, "from")
    last: date = key(day, "to")
    series: tuple[str, ...] = key(own_series, "for", default=())  # whose it is; empty: every series
    cars: int | None = key(whole, default=None)  # as stated, for the totals check
    numbers: Mapping[str, tuple[CarNumber, CarNumber]] = key(Reader(texts.shape, _numbers), default_factory=dict)
    summary: str = key(said, default="")
    about: str = key(text, default="")  # Markdown: how such a car is known
    formerly: tuple[str, ...] = key(texts, default=())
    place: Place

    def agrees(self, places: Mapping[str, Place], desk: Desk) -> bool:
        """Tell whether it begins before it ends."""
        return days_in_order(self.first, self.last, places["to"], "facts.inverted-range.period", desk, id=self.id)
