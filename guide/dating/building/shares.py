"""What share of the cars of each series and bin has each combination of splits and each interior.

Splits are independent unless one settles another (a market may settle the hand), and interiors independent of
splits unless their scope says so; what stated shares leave goes to the value or interior named as the rest.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta
from itertools import compress, product
from math import prod

from guide.constants import value_of
from guide.dating.building.grid import Grid
from guide.facts.types import CountKind, Guide, Interior, ShareRow, Span
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


def share_out(moments: Moments, grid: Grid, all_of: Sequence[Combination]) -> list[list[list[float]]]:
    """Return ``shares[line][bin][combination]``; in each bin with cars they add up to one."""
    guide = moments.guide
    rows = [(row, _days_of(row, moments, grid)) for row in guide.shares]
    spans = [(one, span, _days_of(span, moments, grid)) for one in guide.interiors.values() for span in one.spans]
    usual = {
        one.id: _usual_share(one, [days for other, _, days in spans if other is one], guide, grid)
        for one in guide.interiors.values()
    }
    result = []
    for line in grid.lines:
        known: dict[tuple[tuple[bool, ...], tuple[bool, ...]], list[float]] = {}  # by which rows and spans hold
        per_bin = []
        for days in line.open_in:
            states = Counter(
                (tuple(day in held for _, held in rows), tuple(day in held for _, _, held in spans))
                for day in (line.open_days[at] for at in days)
            )
            total = [0.0] * len(all_of)
            for state, count in states.items():
                if state not in known:
                    splits = _split_shares(guide, [row for row, _ in compress(rows, state[0])])
                    here = [(one, span) for one, span, _ in compress(spans, state[1])]
                    known[state] = [_share_of(guide, one, line.id, splits, here, usual) for one in all_of]
                total = [so_far + count * share for so_far, share in zip(total, known[state], strict=True)]
            whole = sum(total)
            per_bin.append([value / whole for value in total] if whole > 0 else [1 / len(all_of)] * len(all_of))
        result.append(per_bin)
    return result


def _days_of(stated: ShareRow | Span, moments: Moments, grid: Grid) -> range:
    """Return the days, counted from the origin, in which a row or a span holds."""
    first, last = moments.end_of_stretch(stated.first, last=False), moments.end_of_stretch(stated.last, last=True)
    return range(grid.day(first), grid.day(last) + 1)


def _share_of(
    guide: Guide,
    one: Combination,
    series: str,
    splits: Mapping[tuple[str, str], float],
    spans: Sequence[tuple[Interior, Span]],
    usual: Mapping[str, float | None],
) -> float:
    """Return the share of a combination, given the share of each value of each split and the spans that hold."""
    settled = {other for name, value in one.splits for other in guide.splits[name].values[value].settles}
    share = prod(splits.get(chosen, 0.0) for chosen in one.splits if chosen[0] not in settled)
    if one.interior is None or share == 0.0:
        return share
    car = {**dict(one.splits), "series": series}
    here = {each.id: usual[each.id] for each, span in spans if span.scope.holds({**car, "interior": each.id})}
    return share * _with_rest(here).get(one.interior, 0.0)


def _split_shares(guide: Guide, rows: Sequence[ShareRow]) -> dict[tuple[str, str], float]:
    """Return the share of each value of each split, given the rows that hold; a later row overrides an earlier one."""
    shares: dict[tuple[str, str], float] = {}
    for name, split in guide.splits.items():
        stated = {row.value: row.share for row in rows if row.split == name}
        if None not in stated.values():
            stated |= {value: None for value in split.values if value not in stated}
        shares |= {(name, value): share for value, share in _with_rest(stated).items()}
    return shares


def _with_rest(stated: Mapping[str, float | None]) -> dict[str, float]:
    """Return shares that add up to one: as they are stated, what they leave even over those that state none."""
    known = {name: share for name, share in stated.items() if share is not None}
    rest = [name for name, share in stated.items() if share is None]
    left = max(1.0 - sum(known.values()), 0.0)
    whole = sum(known.values()) + (left if rest else 0.0)
    if whole <= 0.0:
        return {}
    return {name: share / whole for name, share in known.items()} | {name: left / len(rest) / whole for name in rest}


def _usual_share(one: Interior, spans: Sequence[range], guide: Guide, grid: Grid) -> float | None:
    """Return an interior's share while it was built: as it is stated, or the cars thought built over all that its
    spans cover. None: what the others leave."""
    if one.rest or one.share is not None:
        return None if one.rest else one.share
    built = next((count.about for count in one.counts if count.kind is CountKind.BUILT), None)
    if built is not None:
        covered = 0.0
        for days, span in zip(spans, one.spans, strict=True):
            allowed = span.scope.values("series")
            for line in grid.lines:
                if line.numbered is None or (allowed is not None and line.id not in allowed):
                    continue
                before = grid.origin + timedelta(days=days.start - 1)
                start = line.numbered.cars_by(before) if before >= grid.origin else 0.0
                covered += line.numbered.cars_by(grid.origin + timedelta(days=days.stop - 1)) - start
        if covered > 0:
            return min(built / covered, 1.0)
    return value_of("option_share", guide.overrides) if one.option else None
