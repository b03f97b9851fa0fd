"""When cars were built, and when nothing was: production, closures, and the models that a guide has in it.

A guide has one production, or several of which each says whose it is (`for: {series: van}`). The series that share one,
and the same periods, are one *model*; models may be built side by side and may share parts.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any, ClassVar

from guide.facts.records.fields import Field, Reader, Typed, key, open_record, record
from guide.facts.records.periods import Period
from guide.facts.records.readers import day, days_in_order, said, series_ids, source_id, whole
from guide.facts.records.rivals import EndDay, RivalEnd, end_days, end_rulings, settled
from guide.facts.records.scopes import own_series
from guide.facts.records.series import Series
from guide.facts.text.desk import Desk
from guide.facts.text.source import Items, Node
from guide.facts.values import When
from guide.finding import Place
from guide.sentence import Value, all_of, sentence

__all__ = [
    "CarModel",
    "Closure",
    "Production",
    "check_series_have_production",
    "models_of",
    "production_of",
    "productions",
    "whole_of",
]


@record("production")
class Production:
    """When cars were built: first and last day, and the stated number of them. Empty ``series``: all of the guide's.

    ``rivals`` are what papers say of its ends, where several do; ``first`` and ``last`` are the widest that stand.
    """

    FIRST: ClassVar = Field("first", end_days, needed=True)
    LAST: ClassVar = Field("last", end_days, needed=True)
    RULING: ClassVar = Field("ruling", end_rulings)
    first: date
    last: date
    first_as: When | None = None  # what is given in place of one day: a month or a year, which `first` begins
    last_as: When | None = None  # likewise, which `last` ends
    rivals: tuple[RivalEnd, ...] = ()
    made: int | None = key(whole, default=None)
    source: str = key(source_id, default="")
    series: tuple[str, ...] = key(own_series, "for", default=())
    name: str = key(said, default="")  # what the model is called, where the guide has several
    place: Place

    @classmethod
    def beside_keys(cls, typed: Typed[Production], desk: Desk) -> dict[str, Any] | None:
        """Return its ends, the widest that papers claim and no ruling sets aside."""
        stated = {"first": typed.find(cls.FIRST), "last": typed.find(cls.LAST)}
        if None in stated.values():
            return None
        usual = typed.value_of("source") or ""
        read = [_end_of(end, one, usual, desk) for end, every in stated.items() for one in every or ()]
        claims = [one for one in read if one is not None]
        rivals = settled(claims, typed.find(cls.RULING) or (), desk)
        widest = {one.end: one for one in rivals if one.is_widest}
        if widest.keys() < stated.keys():
            return None
        return {
            **{end: one.at for end, one in widest.items()},
            **{f"{end}_as": one.when for end, one in widest.items()},
            "rivals": rivals if len(claims) > len(stated) else (),
        }

    def agrees(self, places: Mapping[str, Place], desk: Desk) -> bool:
        """Tell whether it begins before it ends."""
        return days_in_order(self.first, self.last, places["last"], "facts.inverted-range.production", desk)

    def source_of(self, end: str) -> str:
        """Return whose word an end is: that of the widest claim, or of the production as a whole."""
        return next((one.source for one in self.rivals if one.end == end and one.is_widest), self.source)


def _end_of(end: str, one: EndDay, usual: str, desk: Desk) -> RivalEnd | None:
    """Return what a paper says of an end: the first day that it leaves for a first, the last for a last."""
    at = one.day.earliest if end == "first" else one.day.latest
    if at is None:
        desk.find(f"facts.day-needed.{end}", one.day.place, found=repr(one.day.text))
        return None
    exact = one.day.earliest == one.day.latest
    return RivalEnd(
        end=end,
        written=at.isoformat() if exact else one.day.text,
        at=at,
        source=one.source or usual,
        page=one.page,
        printed=one.printed,
        place=one.place,
        when=None if exact else one.day,
    )


@record("closure")
class Closure:
    """Days, inclusive, when nothing was built. Empty ``series``: none of them built anything."""

    first: date = key(day, "from")
    last: date = key(day, "to")
    why: str = key(said)
    source: str = key(source_id, default="")
    series: tuple[str, ...] = key(series_ids, default=())
    FOR: ClassVar = Field("for", own_series)  # the same, as productions and periods have it
    place: Place

    @classmethod
    def beside_keys(cls, typed: Typed[Closure], desk: Desk) -> dict[str, Any]:
        """Return whose it is, which is said once."""
        if typed.find(cls.FOR) and typed.value_of("series"):
            desk.find("facts.one-of.closure", typed.places["for"])
        return {"series": typed.find(cls.FOR) or typed.value_of("series") or ()}

    def agrees(self, places: Mapping[str, Place], desk: Desk) -> bool:
        """Tell whether it begins before it ends."""
        return days_in_order(self.first, self.last, places["to"], "facts.inverted-range.closure", desk)


@dataclass(frozen=True, kw_only=True, slots=True)
class CarModel:
    """The series that share a production and periods: one model of car, which has those periods and no other."""

    series: tuple[str, ...]
    production: Production
    periods: tuple[Period, ...]
    name: Value


def _productions(node: Node, desk: Desk) -> tuple[Production, ...] | None:
    """Return one production, or each model's own; None where one cannot be read, or none can be told whose it is."""
    opened = [open_record(Production, one, desk) for one in (node.items if isinstance(node, Items) else (node,))]
    read = [None if typed is None or typed.unread("for") else typed.make() for typed in opened]
    made = [one for one in read if one is not None]
    if not made or len(made) < len(read):
        return None
    stands: dict[str, Production] = {}
    for one in made:
        if not one.series and len(made) > 1:
            desk.find("facts.production-of-whom", one.place, example="for: {series: van}")
        for series in one.series:
            if series in stands:
                related = [(stands[series].place, sentence("facts.related.here"))]
                desk.find("facts.production-of-whom.twice", one.place, related, series=series)
            stands.setdefault(series, one)
    return tuple(made)


productions: Reader[tuple[Production, ...]] = Reader(sentence("facts.shape.production"), _productions)


def whole_of(some: Sequence[Production]) -> Production:
    """Return the production of several models together, from the first day of any to the last of any."""
    if len(some) == 1:
        return some[0]
    made = [one.made for one in some]
    total = sum(each for each in made if each is not None) if None not in made else None
    began, ended = min(some, key=lambda one: one.first), max(some, key=lambda one: one.last)
    return replace(began, last=ended.last, last_as=ended.last_as, made=total, series=(), name="")


def production_of(stated: Sequence[Production], series: Collection[str]) -> Production:
    """Return the build of some series together; of all where none is named, or none is known of them."""
    own = [one for one in stated if not series or set(one.series) & set(series)]
    return whole_of(own or stated)


def models_of(
    stated: Sequence[Production], series: Mapping[str, Series], periods: Mapping[str, Period]
) -> tuple[CarModel, ...]:
    """Return the models of a guide in the order of their productions; one where nothing is some series' own."""
    found: dict[tuple[Production, tuple[str, ...]], list[str]] = {}
    for one in series or ("",):
        own = production_of(stated, (one,))
        named = tuple(each.id for each in periods.values() if not each.series or one in each.series)
        found.setdefault((own, named), []).append(one)
    return tuple(
        CarModel(
            series=tuple(of),
            production=own,
            periods=tuple(periods[each] for each in named),
            name=own.name or all_of(series[one].name for one in of if one in series),
        )
        for (own, named), of in sorted(
            found.items(), key=lambda one: stated.index(one[0][0]) if one[0][0] in stated else 0
        )
    )


def check_series_have_production(stated: Sequence[Production], series: Mapping[str, Series], desk: Desk) -> None:
    """Find each series that no production is stated of, where every one says whose it is."""
    of = {each for one in stated for each in one.series}
    if stated and all(one.series for one in stated) and desk.series_complete:
        for one in series.values():
            if one.id not in of:
                desk.find("facts.production-of-whom.none", stated[-1].place, series=one.id)
