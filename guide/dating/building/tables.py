"""The model's tables: mixes, profiles and variants for every mark, and what makes two specifications one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import chain
from typing import TypeVar

from guide.dating.building.grid import Grid
from guide.dating.building.shares import Combination
from guide.dating.building.spelled import Spelled, Speller, Spells
from guide.dating.model import Mix, ModelGroup
from guide.facts.types import FormRef, Guide, Mark, Scope

__all__ = ["PLACES", "GroupTable", "Mixes", "Runs", "changes", "group_tables", "rounded", "run_of", "same_everywhere"]

PLACES = 4  # decimals that the model keeps of a chance


def rounded(vector: Sequence[float]) -> tuple[float, ...]:
    """Return chances that add up to one, rounded so that they still do; the largest takes the difference."""
    found = [round(max(value, 0.0), PLACES) for value in vector]
    most = max(range(len(found)), key=lambda at: found[at])
    found[most] = round(1.0 - sum(value for at, value in enumerate(found) if at != most), PLACES)
    return tuple(found)


@dataclass(slots=True)
class Mixes:
    """The different mixes of one mark, in order of use."""

    found: dict[Mix, int] = field(default_factory=dict)
    asked: dict[tuple[float, ...], int] = field(default_factory=dict)  # the same for chances as they were given

    def index(self, vector: Sequence[float]) -> int:
        """Return the index of a mix, known or new."""
        given = tuple(vector)
        known = self.asked.get(given)
        if known is None:
            exact = rounded(given)
            mix: Mix = exact.index(1.0) if 1.0 in exact else exact
            known = self.asked[given] = self.found.setdefault(mix, len(self.found))
        return known


V = TypeVar("V")
Runs = tuple[int, ...]  # (bin, value, bin, value, ...)


def changes(values: Iterable[tuple[int, V]]) -> list[tuple[int, V]]:
    """Return the values by bin that differ from the one before; the first holds from the first bin on."""
    found: list[tuple[int, V]] = []
    for t, value in values:
        if not found or found[-1][1] != value:
            found.append((t if found else 0, value))
    return found


def run_of(values: Iterable[tuple[int, int]]) -> Runs:
    """Return values by bin as the model writes them."""
    return tuple(chain.from_iterable(changes(values)))


@dataclass(slots=True)
class GroupTable:
    """One group while it is made: the runs per line and combination; None where no such car was built.

    ``missing`` are likewise those of its marks that such a car does not have.
    """

    marks: tuple[int, ...]
    passed: dict[float, int] = field(default_factory=dict)
    lines: list[list[tuple[Runs, ...] | None]] = field(default_factory=list)
    missing: list[list[tuple[int, ...]]] = field(default_factory=list)

    def finished(self, classes: Sequence[Sequence[int]]) -> ModelGroup:
        """Return the group for the model, with one variant per different set of runs."""
        runs: dict[Runs, int] = {}
        variants: dict[Runs, int] = {}
        of = []
        for line in self.lines:
            otherwise = next(one for one in line if one is not None)
            row = []
            for members in classes:
                built = next((line[at] for at in members if line[at] is not None), None) or otherwise
                variant = tuple(runs.setdefault(one, len(runs)) for one in built)
                row.append(variants.setdefault(variant, len(variants)))
            of.append(tuple(row))
        return ModelGroup(
            marks=self.marks, runs=tuple(runs), variants=tuple(variants), of=tuple(of), passed=tuple(self.passed)
        )

    def had_by(self, mark: int, classes: Sequence[Sequence[int]]) -> tuple[tuple[int, ...], ...]:
        """Return for each line the classes whose cars have a mark of the group; nothing where all have."""
        having = tuple(
            tuple(at for at, members in enumerate(classes) if any(mark not in line[one] for one in members))
            for line in self.missing
        )
        return having if any(len(line) < len(classes) for line in having) else ()


Moment = Mapping[FormRef, tuple[Scope, ...]]  # forms that came in together, each with the cars on which they did


def _grouped_marks(guide: Guide) -> list[tuple[tuple[int, ...], Moment]]:
    """Return the marks of each group, by index, with the forms that came in together; most marks stand alone.

    A mark shares one of its changeovers at most: the first that the guide names for it.
    """
    scopes: dict[FormRef, tuple[Scope, ...]] = {}
    for one in guide.changed_together:
        for ref in one.forms:
            scopes[ref] = (*scopes.get(ref, ()), one.scope)
    index = {mark: at for at, mark in enumerate(guide.marks)}
    moments: list[set[FormRef]] = []
    for one in guide.changed_together:
        refs = {ref for ref in one.forms if ref.mark in index}
        same = [moment for moment in moments if moment & refs]
        moments = [moment for moment in moments if not moment & refs] + [refs.union(*same)]
    taken: set[int] = set()
    groups = []
    for moment in moments:
        marks = sorted({index[ref.mark] for ref in moment} - taken)
        if len(marks) > 1:
            taken |= set(marks)
            groups.append((tuple(marks), {ref: scopes[ref] for ref in sorted(moment, key=str)}))
    groups += [((at,), {}) for at in range(len(index)) if at not in taken]
    return sorted(groups, key=lambda group: group[0])


def group_tables(
    guide: Guide,
    grid: Grid,
    speller: Speller,
    all_of: Sequence[Combination],
    weights: Sequence[Sequence[Sequence[float]]],
    mixes: Sequence[Mixes],
) -> list[GroupTable]:
    """Return the tables of all groups. ``weights[line][bin][combination]`` are cars."""
    marks = list(guide.marks.values())
    built = [[any(row[at] > 0.0 for row in line) for at in range(len(all_of))] for line in weights]
    tables = []
    for members, moment in _grouped_marks(guide):
        table = GroupTable(members)
        kinds = [
            [[speller.spells_of(marks[at], one.car(line.id)) for one in all_of] for line in grid.lines]
            for at in members
        ]
        silent = [
            mixes[at].index(_average(speller, marks[at], grid, kind, weights))
            if any(spells is None for line in kind for spells in line)
            else -1
            for at, kind in zip(members, kinds, strict=True)
        ]
        for at_line, line in enumerate(grid.lines):
            made: dict[tuple[object, ...], tuple[Runs, ...]] = {}
            row: list[tuple[Runs, ...] | None] = []
            missing: list[tuple[int, ...]] = []
            for at in range(len(all_of)):
                spelled_as = [kind[at_line][at] for kind in kinds]
                missing.append(tuple(mark for mark, one in zip(members, spelled_as, strict=True) if one is None))
                if not built[at_line][at]:
                    row.append(None)
                    continue
                car = all_of[at].car(line.id)
                together = frozenset(ref for ref, cars in moment.items() if any(one.holds(car) for one in cars))
                keys = (*spelled_as, together)
                if keys not in made:
                    parts = [
                        _Part(
                            marks[mark].id,
                            None if spells is None else speller.spelled(marks[mark], line, spells),
                            nothing,
                            mixes[mark],
                        )
                        for mark, spells, nothing in zip(members, spelled_as, silent, strict=True)
                    ]
                    made[keys] = _runs(table, parts, together, [t for t, cars in enumerate(line.cars) if cars > 0.0])
                row.append(made[keys])
            table.lines.append(row)
            table.missing.append(missing)
        tables.append(table)
    return tables


def _average(
    speller: Speller,
    mark: Mark,
    grid: Grid,
    kinds: Sequence[Sequence[Spells | None]],
    weights: Sequence[Sequence[Sequence[float]]],
) -> list[float]:
    """Return the mix of a mark over all cars that it applies to: what it shows where it says nothing."""
    total = [0.0] * len(mark.forms)
    for at_line, line in enumerate(grid.lines):
        cars: dict[Spells, list[float]] = {}
        for at, spells in enumerate(kinds[at_line]):
            if spells is not None:
                sums = cars.setdefault(spells, [0.0] * grid.bins)
                for t in range(grid.bins):
                    sums[t] += weights[at_line][t][at]
        for spells, sums in cars.items():
            spelled = speller.spelled(mark, line, spells)
            for t, weight in enumerate(sums):
                if weight > 0.0:
                    for form, chance in enumerate(spelled.mix(t)):
                        total[form] += weight * chance
    whole = sum(total)
    return [value / whole for value in total] if whole > 0.0 else [1.0 / len(total)] * len(total)


@dataclass(frozen=True, slots=True)
class _Part:
    """One mark of a group on one kind of car; ``nothing`` is its mix where it does not apply."""

    mark: str
    spelled: Spelled | None
    nothing: int
    mixes: Mixes

    def whole(self, built: Sequence[int]) -> list[int]:
        """Return the mix in some bins."""
        if self.spelled is None:
            return [self.nothing] * len(built)
        alike, known, found = self.spelled.alike(built[-1] + 1), dict[tuple[float, ...], int](), list[int]()
        for t in built:
            mix = known.get(alike[t])
            if mix is None:
                mix = known[alike[t]] = self.mixes.index(self.spelled.mix(t))
            found.append(mix)
        return found

    def shared(self, moment: frozenset[FormRef]) -> int | None:
        """Return which of its changeovers is the group's, if it has it on this kind of car."""
        later = () if self.spelled is None else self.spelled.places[1:]
        return next((at for at, (form, number) in enumerate(later) if FormRef(self.mark, form, number) in moment), None)


def _runs(
    table: GroupTable, parts: Sequence[_Part], moment: frozenset[FormRef], built: Sequence[int]
) -> tuple[Runs, ...]:
    """Return the runs of a group on one kind of car; bins without cars follow the one before."""
    if len(parts) == 1:
        return (run_of(zip(built, parts[0].whole(built), strict=True)),)
    shared = [part.shared(moment) for part in parts]
    passed: list[tuple[int, float]] = []
    for t in built:
        come = [
            part.spelled.changed[at][t]
            for part, at in zip(parts, shared, strict=True)
            if at is not None and part.spelled is not None
        ]
        passed.append((t, round(sum(come) / len(come), PLACES) if come else 0.0))
    runs = [run_of((t, table.passed.setdefault(chance, len(table.passed))) for t, chance in passed)]
    for part, at in zip(parts, shared, strict=True):
        if at is None or part.spelled is None:
            runs += [run_of(zip(built, part.whole(built), strict=True))] * 2
            continue
        known: dict[tuple[tuple[float, ...], float], list[int]] = {}
        either, looked_at = [], part.spelled.alike(built[-1] + 1)
        for t, chance in passed:
            alike = looked_at[t], chance
            if alike not in known:
                known[alike] = [part.mixes.index(mix) for mix in part.spelled.parted(t, at, chance)]
            either.append(known[alike])
        before = [(t, side[0]) for (t, chance), side in zip(passed, either, strict=True) if chance < 1.0]
        after = [(t, side[1]) for (t, chance), side in zip(passed, either, strict=True) if chance > 0.0]
        runs += [run_of(before or [(0, either[0][0])]), run_of(after or [(0, either[0][1])])]
    return tuple(runs)


def same_everywhere(
    tables: Sequence[GroupTable], all_of: Sequence[Combination], elsewhere: Sequence[Sequence[Sequence[bool]]]
) -> list[list[int]]:
    """Return the combinations gathered into specifications: the same splits, and no part or form tells them apart, nor
    whether they were put together elsewhere (``elsewhere[assembly][line][combination]``)."""
    classes: dict[tuple[object, ...], list[int]] = {}
    for at, one in enumerate(all_of):
        runs = (line[at] for table in tables for line in table.lines)
        put = (line[at] for of in elsewhere for line in of)
        key = (one.splits, *runs, *put, *(line[at] for table in tables for line in table.missing))
        classes.setdefault(key, []).append(at)
    return list(classes.values())
