"""The model's tables: mixes, profiles and variants for every mark, and what makes two specifications one."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from guide.dating.grid import Grid
from guide.dating.model import Mix, ModelGroup
from guide.dating.shares import Combination
from guide.dating.spelled import Key, Speller, Spelled
from guide.facts.types import Guide, Mark

__all__ = [
    "GroupTable", "Mixes", "PLACES", "group_tables", "grouped_marks", "rounded",
    "same_everywhere",
]

PLACES = 4           # decimals that the model keeps of a chance


def rounded(vector: Sequence[float], places: int = PLACES) -> tuple[float, ...]:
    """Return chances that add up to one, rounded so that they still do; the largest takes the difference."""
    found = [round(max(value, 0.0), places) for value in vector]
    most = max(range(len(found)), key=lambda at: found[at])
    found[most] = round(1.0 - sum(value for at, value in enumerate(found) if at != most), places)
    return tuple(found)


@dataclass(slots=True)
class Mixes:
    """The different mixes of one mark, in order of use."""

    found: dict[Mix, int] = field(default_factory=dict)

    def index(self, vector: Sequence[float]) -> int:
        """Return the index of a mix, known or new."""
        exact = rounded(vector)
        mix: Mix = exact.index(1.0) if 1.0 in exact else exact
        return self.found.setdefault(mix, len(self.found))


@dataclass(slots=True)
class GroupTable:
    """One group while it is made: a profile index per line, combination and bin."""

    marks: tuple[int, ...]
    profiles: dict[tuple[tuple[float, ...], ...], int] = field(default_factory=dict)
    runs: list[list[tuple[int, ...]]] = field(default_factory=list)      # [line][combination]

    def finished(self, classes: Sequence[Sequence[int]]) -> ModelGroup:
        """Return the group for the model, with one variant per different run."""
        variants: dict[tuple[int, ...], int] = {}
        of = tuple(
            tuple(variants.setdefault(line[members[0]], len(variants)) for members in classes)
            for line in self.runs
        )
        lone = len(self.marks) == 1
        return ModelGroup(marks=self.marks, variants=tuple(variants), of=of,
                          profiles=() if lone else tuple(self.profiles))


def grouped_marks(guide: Guide) -> list[tuple[int, ...]]:
    """Return the marks of each group, by index: those that changed together, and every other mark alone."""
    index = {mark: at for at, mark in enumerate(guide.marks)}
    leader = list(range(len(index)))

    def find(at: int) -> int:
        while leader[at] != at:
            at = leader[at]
        return at

    for one in guide.changed_together:
        marks = [index[ref.mark] for ref in one.forms if ref.mark in index]
        for mark in marks[1:]:
            first, other = sorted((find(marks[0]), find(mark)))
            leader[other] = first
    members: dict[int, list[int]] = {}
    for at in range(len(index)):
        members.setdefault(find(at), []).append(at)
    return [tuple(marks) for marks in members.values()]


def group_tables(
    guide: Guide, grid: Grid, speller: Speller, all_of: Sequence[Combination],
    weights: Sequence[Sequence[Sequence[float]]], mixes: Sequence[Mixes],
) -> list[GroupTable]:
    """Return the tables of all groups. ``weights[line][bin][combination]`` are cars."""
    marks = list(guide.marks.values())
    tables = []
    for members in grouped_marks(guide):
        table = GroupTable(members)
        kinds = [_kinds(speller, marks[at], grid, all_of) for at in members]
        silent = [
            mixes[at].index(_average(speller, marks[at], grid, kind, weights))
            if any(key is None for line in kind for key in line) else -1
            for at, kind in zip(members, kinds, strict=True)
        ]
        for at_line, line in enumerate(grid.lines):
            built = [cars > 0.0 for cars in line.cars]
            made: dict[tuple[Key | None, ...], tuple[int, ...]] = {}
            row = []
            for at in range(len(all_of)):
                keys = tuple(kind[at_line][at] for kind in kinds)
                if keys not in made:
                    spelled = [
                        None if key is None else speller.spelled(marks[mark], line, key)
                        for mark, key in zip(members, keys, strict=True)
                    ]
                    made[keys] = _runs(table, members, spelled, silent, mixes, built)
                row.append(made[keys])
            table.runs.append(row)
        tables.append(table)
    return tables


def _kinds(speller: Speller, mark: Mark, grid: Grid, all_of: Sequence[Combination]) -> list[list[Key | None]]:
    return [[speller.key(mark, one.car(line.id)) for one in all_of] for line in grid.lines]


def _average(
    speller: Speller, mark: Mark, grid: Grid, kinds: Sequence[Sequence[Key | None]],
    weights: Sequence[Sequence[Sequence[float]]],
) -> list[float]:
    """Return the mix of a mark over all cars that it applies to: what it shows where it says nothing."""
    total = [0.0] * len(mark.forms)
    for at_line, line in enumerate(grid.lines):
        cars: dict[Key, list[float]] = {}
        for at, key in enumerate(kinds[at_line]):
            if key is not None:
                sums = cars.setdefault(key, [0.0] * grid.bins)
                for t in range(grid.bins):
                    sums[t] += weights[at_line][t][at]
        for key, sums in cars.items():
            spelled = speller.spelled(mark, line, key)
            for t, weight in enumerate(sums):
                if weight > 0.0:
                    for form, chance in enumerate(spelled.mix(t, spelled.chances(t))):
                        total[form] += weight * chance
    whole = sum(total)
    return [value / whole for value in total] if whole > 0.0 else [1.0 / len(total)] * len(total)


def _runs(
    table: GroupTable, members: Sequence[int], spelled: Sequence[Spelled | None], silent: Sequence[int],
    mixes: Sequence[Mixes], built: Sequence[bool],
) -> tuple[int, ...]:
    """Return ``(bin, profile, bin, profile, ...)`` for one kind of car; bins without cars follow the one before."""
    profile: Callable[[int], int]
    if len(members) == 1:
        one = spelled[0]

        def profile(t: int) -> int:
            return silent[0] if one is None else mixes[members[0]].index(one.mix(t, one.chances(t)))
    else:
        def profile(t: int) -> int:
            stages = _stages(members, spelled, silent, mixes, t)
            return table.profiles.setdefault(stages, len(table.profiles))

    runs: list[int] = []
    for t in (t for t, is_built in enumerate(built) if is_built):
        now = profile(t)
        if not runs:
            runs += [0, now]
        elif runs[-1] != now:
            runs += [t, now]
    return tuple(runs or [0, profile(0)])


def _stages(
    members: Sequence[int], spelled: Sequence[Spelled | None], silent: Sequence[int], mixes: Sequence[Mixes], t: int
) -> tuple[tuple[float, ...], ...]:
    """Return the stages of a group in a bin: the marks' spells between the cuts at their sorted G."""
    passed = [
        [] if one is None else [round(row[t], PLACES) for row in one.changed] for one in spelled
    ]
    cuts = sorted({0.0, 1.0, *(value for rows in passed for value in rows)}, reverse=True)
    stages: dict[tuple[int, ...], float] = {}
    for high, low in zip(cuts, cuts[1:], strict=False):
        chosen = []
        for mark, one, rows, nothing in zip(members, spelled, passed, silent, strict=True):
            if one is None:
                chosen.append(nothing)
                continue
            spell = sum(1 for value in rows if value >= high)
            chosen.append(mixes[mark].index(one.mix(t, [float(k == spell) for k in range(len(one.chain))])))
        stages[tuple(chosen)] = stages.get(tuple(chosen), 0.0) + high - low
    chances = rounded(list(stages.values()))
    return tuple(
        (chance, *(float(mix) for mix in chosen)) for chance, chosen in zip(chances, stages, strict=True)
    )


def same_everywhere(tables: Sequence[GroupTable], all_of: Sequence[Combination]) -> list[list[int]]:
    """Return the combinations gathered into specifications: the same splits, and no form tells them apart."""
    classes: dict[tuple[object, ...], list[int]] = {}
    for at, one in enumerate(all_of):
        key = (one.splits, *(line[at] for table in tables for line in table.runs))
        classes.setdefault(key, []).append(at)
    return list(classes.values())
