"""What share of the cars of each series and bin has each combination of splits and each interior.

Splits are independent unless one settles another (a market may settle the hand), and interiors independent of
splits unless their scope says so; what stated shares leave goes to the value or interior named as the rest.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta
from itertools import product

from guide.constants import value_of
from guide.dating.building.grid import Grid
from guide.facts.types import CountKind, Guide, Interior, ShareRow
from guide.limits.moments import Moments

__all__ = ["Combination", "combinations", "share_out"]


@dataclass(frozen=True, slots=True)
class Combination:
    """One value for every split, and an interior (None where the guide names none)."""

    splits: tuple[tuple[str, str], ...]
    interior: str | None

    def car(self, series: str) -> dict[str, str]:
        """Return every dimension of such a car of a series, for `Scope.holds`."""
        known = {**dict(self.splits), "series": series}
        return known if self.interior is None else {**known, "interior": self.interior}


def combinations(guide: Guide) -> list[Combination]:
    """Return every combination that the splits allow, in the guide's order."""
    names = list(guide.splits)
    found = []
    for values in product(*(guide.splits[name].values for name in names)):
        chosen = dict(zip(names, values, strict=True))
        if all(
            chosen.get(other, value) == value
            for name in names
            for other, value in guide.splits[name].values[chosen[name]].settles.items()
        ):
            found += [Combination(tuple(chosen.items()), interior) for interior in guide.interiors or [None]]
    return found


def share_out(moments: Moments, grid: Grid) -> list[list[list[float]]]:
    """Return ``shares[line][bin][combination]``; in each bin with cars they add up to one."""
    guide = moments.guide
    all_of = combinations(guide)
    rows = [_Row.read(row, moments, grid) for row in guide.shares]
    spans = [_Spans.read(one, moments, grid) for one in guide.interiors.values()]
    result = []
    for line in grid.lines:
        opened = set(line.open_days)
        per_bin = []
        for t in range(grid.bins):
            days = [day for day in range(grid.edges[t], grid.edges[t + 1]) if day in opened]
            total = [0.0] * len(all_of)
            for (split_shares, interior_shares), count in _kinds(guide, days, rows, spans):
                for at, one in enumerate(all_of):
                    total[at] += count * _of(guide, one, line.id, split_shares, interior_shares)
            whole = sum(total)
            per_bin.append([value / whole for value in total] if whole > 0 else [1 / len(all_of)] * len(all_of))
        result.append(per_bin)
    return result


Kind = tuple[Mapping[tuple[str, str], float], Sequence["_Spans"]]


def _kinds(guide: Guide, days: Sequence[int], rows: Sequence[_Row], spans: Sequence[_Spans]) -> list[tuple[Kind, int]]:
    """Return the different states of affairs among some days, each with the number of its days."""
    counted: dict[tuple[tuple[bool, ...], tuple[tuple[bool, ...], ...]], list[int]] = {}
    for day in days:
        key = (tuple(row.holds(day) for row in rows), tuple(one.on(day) for one in spans))
        counted.setdefault(key, []).append(day)
    return [
        ((_split_shares(guide, rows, same[0]), tuple(one.at(same[0]) for one in spans)), len(same))
        for same in counted.values()
    ]


def _of(
    guide: Guide, one: Combination, series: str, splits: Mapping[tuple[str, str], float], spans: Sequence[_Spans]
) -> float:
    chosen = dict(one.splits)
    settled = {other for name, value in one.splits for other in guide.splits[name].values[value].settles}
    share = 1.0
    for name, value in one.splits:
        if name not in settled:
            share *= splits[name, value]
    if one.interior is None or share == 0.0:
        return share
    car = {**chosen, "series": series}
    here = [each for each in spans if each.holds(car)]
    return share * _interior_shares(here).get(one.interior, 0.0)


@dataclass(frozen=True, slots=True)
class _Row:
    row: ShareRow
    first: int
    last: int

    @classmethod
    def read(cls, row: ShareRow, moments: Moments, grid: Grid) -> _Row:
        return cls(
            row,
            grid.day(moments.end_of_stretch(row.first, last=False)),
            grid.day(moments.end_of_stretch(row.last, last=True)),
        )

    def holds(self, day: int) -> bool:
        return self.first <= day <= self.last


def _split_shares(guide: Guide, rows: Sequence[_Row], day: int) -> dict[tuple[str, str], float]:
    """Return the share of each value of each split on a day; a later row overrides an earlier one."""
    shares: dict[tuple[str, str], float] = {}
    for name, split in guide.splits.items():
        stated: dict[str, float | None] = {}
        for row in rows:
            if row.row.split == name and row.holds(day):
                stated[row.row.value] = row.row.share
        known = {value: share for value, share in stated.items() if share is not None}
        rest = [value for value, share in stated.items() if share is None]
        rest = rest or [value for value in split.values if value not in known]
        left = max(1.0 - sum(known.values()), 0.0)
        whole = sum(known.values()) + (left if rest else 0.0)
        for value in split.values:
            share = known.get(value, left / len(rest) if value in rest else 0.0)
            shares[name, value] = share / whole
    return shares


@dataclass(frozen=True, slots=True)
class _Spans:
    """An interior's spans as days, its share while it was built, and those that hold on the day looked at."""

    interior: Interior
    days: tuple[tuple[int, int], ...]
    share: float | None
    now: tuple[bool, ...] = ()

    @classmethod
    def read(cls, one: Interior, moments: Moments, grid: Grid) -> _Spans:
        days = tuple(
            (
                grid.day(moments.end_of_stretch(span.first, last=False)),
                grid.day(moments.end_of_stretch(span.last, last=True)),
            )
            for span in one.spans
        )
        return cls(one, days, one.share if one.rest else _stated_share(one, moments.guide, days, grid))

    def on(self, day: int) -> tuple[bool, ...]:
        return tuple(first <= day <= last for first, last in self.days)

    def at(self, day: int) -> _Spans:
        return _Spans(self.interior, self.days, self.share, self.on(day))

    def holds(self, car: Mapping[str, str]) -> bool:
        return any(
            on and span.scope.holds({**car, "interior": self.interior.id})
            for on, span in zip(self.now, self.interior.spans, strict=True)
        )


def _stated_share(one: Interior, guide: Guide, days: Sequence[tuple[int, int]], grid: Grid) -> float | None:
    """Return the stated share, or the cars thought built over all that its spans cover."""
    if one.share is not None:
        return one.share
    built = next((count.about for count in one.counts if count.kind is CountKind.BUILT), None)
    if built is not None:
        covered = 0.0
        for (first, last), span in zip(days, one.spans, strict=True):
            allowed = span.scope.values("series")
            for line in grid.lines:
                if line.numbered is None or (allowed is not None and line.id not in allowed):
                    continue
                numbered = line.numbered
                before = grid.origin + timedelta(days=first - 1)
                start = numbered.cars_by(before) if before >= grid.origin else 0.0
                covered += numbered.cars_by(grid.origin + timedelta(days=last)) - start
        if covered > 0:
            return min(built / covered, 1.0)
    return value_of("option_share", guide.overrides) if one.option else None


def _interior_shares(here: Sequence[_Spans]) -> dict[str, float]:
    known = {each.interior.id: each.share for each in here if each.share is not None and not each.interior.rest}
    rest = [each.interior.id for each in here if each.interior.id not in known]
    stated = sum(known.values())
    left = max(1.0 - stated, 0.0)
    whole = stated + (left if rest else 0.0)
    if whole <= 0.0:
        return {}
    shares = {name: share / whole for name, share in known.items()}
    return shares | {name: left / len(rest) / whole for name in rest}
