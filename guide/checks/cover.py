"""Is some form stated for every car? A cell is one combination of the splits that a mark's forms name.

For each cell the stretches in which its forms may have been fitted, from the earliest first to the latest
last, must cover the open days on which such cars were built. A closure is no gap: nothing was built in it. Nor is what
lies between one form and the next of the declared order: the network lets it be no longer than papers leave it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from datetime import date, timedelta
from itertools import pairwise, product
from typing import NamedTuple

from guide.checks.known import Known
from guide.facts.types import FormRef, Guide, Mark, Scope
from guide.finding import Finding
from guide.limits.moments import Moments
from guide.limits.scopes import Dimensions
from guide.limits.types import DatedSpell, day_of
from guide.sentence import Value, chained, sentence

__all__ = ["check_every_time_has_a_form"]

DAY = timedelta(days=1)
Days = tuple[date, date]  # inclusive


def _uncovered(wanted: Iterable[Days], covers: Iterable[Days]) -> list[Days]:
    """Return what of the wanted stretches no cover reaches, in order."""
    left = [days for days in wanted if days[0] <= days[1]]
    for low, high in covers:
        parted = [((first, min(last, low - DAY)), (max(first, high + DAY), last)) for first, last in left]
        left = [days for beside in parted for days in beside if days[0] <= days[1]]
    return left


def _cells(mark: Mark, spells: list[DatedSpell], dimensions: Dimensions) -> Iterator[dict[str, str]]:
    named = {name for scope in (mark.scope, *(spell.scope for spell in spells)) for name, _ in scope.parts}
    ordered = [name for name in ("series", *dimensions.guide.splits, "interior") if name in named]
    for values in product(*(mark.scope.values(name) or dimensions.values[name] for name in ordered)):
        cell = dict(zip(ordered, values, strict=True))
        if dimensions.close(Scope(tuple(sorted((name, (value,)) for name, value in cell.items())))) is not None:
            yield cell


def _windows(split: str, value: str, moments: Moments) -> list[Days]:
    """Return when cars with a value of a split were built: by its own shares, or those of what settles it."""
    guide = moments.guide
    whole = (guide.production.first, guide.production.last)  # the cars of a cell are cut to their own production
    rows = [row for row in guide.shares if (row.split, row.value) == (split, value)]
    if rows:
        if any(row.share is None for row in rows):
            return [whole]
        low = min(moments.days(row.first)[0] if row.first else whole[0] for row in rows)
        high = max(moments.days(row.last)[1] if row.last else whole[1] for row in rows)
        return [(low, high)]
    settling = [
        (other.id, one.id)
        for other in guide.splits.values()
        for one in other.values.values()
        if one.settles.get(split) == value and any(row.split == other.id for row in guide.shares)
    ]
    return [days for other, one in settling for days in _windows(other, one, moments)] or [whole]


def _built(cell: Mapping[str, str], moments: Moments) -> list[Days]:
    """Return the open days on which cars of a cell were built."""
    guide = moments.guide
    first, last = guide.production.first, guide.production.last
    if "series" in cell:
        line = moments.lines[cell["series"]]
        first, last = max(first, line.day_at(0)), min(last, line.day_at(line.cars - 1))
    spans = [(first, last)]
    if "interior" in cell:
        spans = [
            (max(first, moments.days(span.first)[1]), min(last, moments.days(span.last)[0]))
            for span in guide.interiors[cell["interior"]].spans
            if _is_among(cell, span.scope)
        ]
    for split in guide.splits:
        if split in cell:
            windows = _windows(split, cell[split], moments)
            spans = [(max(low, a), min(high, b)) for a, b in spans for low, high in windows]
    series = (cell["series"],) if "series" in cell else tuple(moments.lines) or ("",)
    built = [days for one in series for days in _open(guide, one)]
    return _uncovered(spans, _uncovered([(guide.production.first, guide.production.last)], built))


def _open(guide: Guide, series: str) -> list[Days]:
    """Return the days on which a series could be built: its production without its closures."""
    made = guide.production_of((series,))
    shut = (one for one in guide.closures if not one.series or series in one.series)
    return _uncovered([(made.first, made.last)], ((one.first, one.last) for one in shut))


def _cell_said(cell: Mapping[str, str], guide: Guide) -> Value:
    """Return which cars a cell holds: "Coupé, Right-hand drive"."""
    names: list[Value] = []
    for dimension, value in cell.items():
        if dimension == "series":
            names.append(guide.series[value].name)
        elif dimension == "interior":
            names.append(guide.interiors[value].name)
        else:
            names.append(guide.splits[dimension].values[value].name)
    return chained("words.then", names) or sentence("checks.time-without-form.every-car")


def check_every_time_has_a_form(known: Known) -> Iterator[Finding]:
    """Yield a finding for each mark and cell in which cars were built for which no form is stated."""
    guide = known.guide
    moments, dimensions = known.limits.moments, Dimensions(guide)
    clashing = {one.mark for one in known.limits.clashes if one.finding is not None}  # what is left out may be told
    of_mark: defaultdict[str, list[DatedSpell]] = defaultdict(list)
    for spell in known.limits.spells:
        of_mark[spell.mark].append(spell)
    built: dict[tuple[tuple[str, str], ...], list[Days]] = {}  # many marks are told by the same cells
    for mark in (one for one in guide.marks.values() if one.id not in clashing):
        spells = [spell for spell in of_mark[mark.id] if not mark.forms[spell.form].is_option]
        if not spells:
            continue
        holes: dict[tuple[Days, ...], list[Value]] = {}
        for cell in _cells(mark, spells, dimensions):
            here = [_Cover.of(spell, guide.production.first) for spell in spells if _is_among(cell, spell.scope)]
            covers = [cover.days for cover in here]
            covers += [
                (old.days[1], new.days[0])
                for old, new in pairwise(cover for cover in here if cover.ref in mark.order)
                if old.days[1] < new.days[0]
            ]
            cars = tuple(cell.items())
            if cars not in built:
                built[cars] = _built(cell, moments)
            missing = tuple(_uncovered(built[cars], covers))
            if missing:
                holes.setdefault(missing, []).append(_cell_said(cell, guide))
        for missing, cells in holes.items():
            stretches = (
                sentence("checks.time-without-form.stretch", first=low.isoformat(), last=high.isoformat())
                for low, high in missing
            )
            yield Finding.of(
                "checks.time-without-form",
                mark.place,
                mark=mark.name,
                stretches=chained("words.and", stretches),
                cars=chained("words.then_after_stop", cells),
            )


class _Cover(NamedTuple):
    """A spell, and the days between which its form may have been fitted."""

    ref: FormRef
    days: Days

    @classmethod
    def of(cls, spell: DatedSpell, origin: date) -> _Cover:
        days = day_of(spell.first.earliest, origin), day_of(spell.last.latest, origin)
        return cls(FormRef(spell.mark, spell.form, spell.spell), days)


def _is_among(cell: Mapping[str, str], scope: Scope) -> bool:
    """Tell whether a cell's cars lie in a scope, so far as the cell tells its dimensions apart."""
    return all(cell.get(name, values[0]) in values for name, values in scope.parts)
