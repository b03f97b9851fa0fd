"""The model made ready for computing: rows, blocks and pieces. `guide.dating.key.Key` does it once.

A *block* is everything that hangs together: groups joined by sets. A *piece* of a block is a run of bins of one
period in which the block's profiles stay the same, so its likelihood is worked out once for all its slots.
Rows of a series that a block cannot tell apart share its pieces; where a set is renewed each row keeps its own, because
donors are drawn from the car's own specification.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, fields, replace
from itertools import accumulate, groupby, pairwise
from operator import itemgetter
from typing import Any, NamedTuple, TypeVar

from guide.dating.belief.delay import Span, delayed_cars
from guide.dating.belief.evidence import Vectors, reported
from guide.dating.model import Model, ModelGroup, ModelSeries

__all__ = ["ERAS", "Block", "Prepared", "SpokenOf", "Stages", "Window", "prepare"]

V = TypeVar("V")
ERAS = 12  # of equal length, in which a restored car's parts may have been made: these are told apart by year at best


@dataclass(frozen=True, slots=True)
class Block:
    """Marks that are computed together.

    ``row_of[row]`` is the block's own row, of series ``series_of[own row]``, in which cars were built in bins
    ``spans[own row]`` (first, end).
    Piece ``i`` spans cells ``starts[i]`` up to ``ends[i]`` of the block's rows laid end to end (``row * bins +
    bin``), and has joint profile ``profiles[i]`` (an index into ``joint``, one profile per group), period
    ``periods[i]`` and row ``rows[i]``. ``prior[i]`` is its share of the prior weight of its row.
    """

    marks: tuple[int, ...]
    groups: tuple[int, ...]
    sets: tuple[int, ...]
    row_of: tuple[int, ...]
    row_count: int
    lone: bool  # one mark by itself, whose profiles are its mixes
    series_of: tuple[int, ...]
    spans: tuple[tuple[int, int], ...]
    joint: tuple[tuple[int, ...], ...]
    starts: tuple[int, ...]
    ends: tuple[int, ...]
    rows: tuple[int, ...]
    periods: tuple[int, ...]
    profiles: tuple[int, ...]
    prior: tuple[float, ...]
    cuts: Callable[[Sequence[float]], Sequence[float]]  # from something at each cell, what it is where pieces meet


class Window(NamedTuple):
    """The pieces of a block that lie in a span of bins, ``pieces``; ``rows`` says which of them are of each own row.

    ``starts`` and ``ends`` take from something at each cell what it is where each begins and ends; once more at last.
    """

    pieces: list[int]
    rows: list[slice]
    starts: Callable[[Sequence[float]], Sequence[float]]
    ends: Callable[[Sequence[float]], Sequence[float]]


@dataclass(slots=True)
class SpokenOf:
    """Of a mark, what is remembered: which entries of each form speak of a kind of car, each such case once, by the
    dimensions that the entries name; sets of kinds as cases, and each case once; and what forms they can have in few
    terms."""

    names: tuple[str, ...]
    entries: list[tuple[tuple[int, ...], ...]] = field(default_factory=list)
    by_named: dict[tuple[str | None, ...], int] = field(default_factory=dict)
    cases: dict[int, tuple[list[tuple[int, int]], tuple[tuple[int, int], ...]]] = field(default_factory=dict)
    told: dict[Any, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Prepared:
    """A model with everything derived from it that does not depend on the car."""

    model: Model
    bins: int
    rows: tuple[tuple[int, int], ...]  # (series, specification)
    weights: tuple[float, ...]  # per cell row * bins + bin, summing to one
    period_of: tuple[tuple[int, ...], ...]  # per series and bin; the count of periods means none
    stretches: tuple[tuple[tuple[int, int, int], ...], ...]  # the same by stretches of bins: first, end, period
    era_of: tuple[int, ...]  # per bin: which of `ERAS` its middle lies in
    eras: tuple[slice, ...]  # the bins of each era
    before: tuple[tuple[float, ...], ...]  # per series: cars built before each bin's start
    numbered: tuple[ModelSeries, ...]  # the series, then those of further numbers
    cars_a_day: tuple[tuple[float, ...], ...]  # per such series and day: even within a bin
    assembled: tuple[Span | None, ...]  # per row: how long after its number a car was built
    blocks: tuple[Block, ...]
    block_of: dict[int, int]  # per mark
    set_of: dict[int, int | None]  # per mark
    stages: tuple[Stages, ...]  # per group
    reports: tuple[tuple[tuple[float, ...], ...], ...]  # per mark: chance of reporting f, per form built
    fine_runs: tuple[tuple[int, ...], ...]  # periods that a span just fine enough can touch
    marks_by_id: dict[str, int]
    factors: dict[tuple[float, ...], list[float]] = field(default_factory=dict)  # what blocks.py remembers: of vectors
    by_era: dict[int, list[list[list[float]]]] = field(default_factory=dict)  # what restored.py remembers, per mark
    rows_by_era: list[list[float]] = field(default_factory=list)  # and of all cars, per row
    said: dict[tuple[int, ...], Vectors] = field(default_factory=dict)  # what state.py remembers: of a mark and forms
    built: dict[tuple[int, ...], list[float]] = field(default_factory=dict)  # what blocks.py remembers, per mark, forms
    windows: dict[tuple[int, int, int], Window] = field(default_factory=dict)  # of a block and a span of bins
    forms_built: dict[tuple[int, int, int], list[list[float]]] = field(default_factory=dict)  # of a mark and a span
    by_number: dict[Any, tuple[int, list[float]] | None] = field(default_factory=dict)  # what number.py remembers
    # what fitted.py remembers: the sets of kinds of car asked for, numbered; the most of each form, which entries speak
    kinds: dict[tuple[tuple[int, str], ...], int] = field(default_factory=dict)
    peaks: dict[int, list[list[float]]] = field(default_factory=dict)
    spoken_of: dict[int, SpokenOf] = field(default_factory=dict)

    def spoken(self, mark: int) -> SpokenOf:
        """Return what is remembered of a mark."""
        if mark not in self.spoken_of:
            behind = (one.on for form in self.model.marks[mark].forms for one in form.behind)
            self.spoken_of[mark] = SpokenOf(tuple(dict.fromkeys(name for on in behind for name in on)))
        return self.spoken_of[mark]

    @property
    def alone(self) -> Prepared:
        """It with nothing of what is remembered."""
        made = {one.name: one.default_factory for one in fields(self)}
        return replace(self, **{name: new() for name, new in made.items() if callable(new)})


@dataclass(frozen=True, slots=True)
class Stages:
    """A group over the bins: ``profiles[variant][bin]`` numbers what can be there. Of each such profile, the chances of
    being ``before`` and ``after`` the shared changeover, and for each mark the ``mixes`` at either stage."""

    profiles: tuple[tuple[int, ...], ...]
    before: list[float]
    after: list[float]
    mixes: list[tuple[list[int], list[int]]]


def prepare(model: Model) -> Prepared:
    """Return the model made ready."""
    bins = len(model.edges) - 1
    period_of = tuple(_periods_of(model, series, bins) for series in range(len(model.series)))
    rows, cells, assembled = _weigh(model, bins)
    total = sum(cells)
    weights = tuple(cell / total for cell in cells)
    era_of = tuple(ERAS * (start + end) // (2 * model.edges[-1]) for start, end in pairwise(model.edges))
    stages = tuple(_stages(model, group, bins) for group in model.groups)
    group_of = {mark: at for at, group in enumerate(model.groups) for mark in group.marks}
    in_sets = {mark: at for at, one in enumerate(model.sets) for mark in one.marks}
    alike: dict[tuple[int, ...], tuple[int, ...]] = {}  # blocks that part the rows alike share how they do
    blocks = tuple(_block(model, parts, rows, weights, period_of, stages, alike) for parts in _joined(model, group_of))
    return Prepared(
        model=model,
        bins=bins,
        rows=rows,
        weights=weights,
        period_of=period_of,
        stretches=tuple(tuple(_stretches(line)) for line in period_of),
        era_of=era_of,
        eras=tuple(slice(bisect_left(era_of, era), bisect_left(era_of, era + 1)) for era in range(ERAS)),
        before=tuple(tuple(accumulate(series.cars, initial=0.0)) for series in model.series),
        numbered=(*model.series, *model.further),
        cars_a_day=tuple(tuple(_a_day(model, series)) for series in (*model.series, *model.further)),
        assembled=assembled,
        blocks=blocks,
        block_of={mark: at for at, block in enumerate(blocks) for mark in block.marks},
        set_of={mark: in_sets.get(mark) for mark in range(len(model.marks))},
        stages=stages,
        reports=tuple(
            tuple(tuple(reported(mark, (form,))[0]) for form in range(len(mark.forms))) for mark in model.marks
        ),
        fine_runs=_fine_runs(model, period_of),
        marks_by_id={mark.id: at for at, mark in enumerate(model.marks)},
    )


def _periods_of(model: Model, series: int, bins: int) -> tuple[int, ...]:
    line = [len(model.periods)] * bins
    for at, period in enumerate(model.periods):
        if period.holds(series):
            line[period.first : period.end] = [at] * (period.end - period.first)
    return tuple(line)


def _stretches(line: Sequence[int]) -> Iterator[tuple[int, int, int]]:
    cuts = [0, *(t for t in range(1, len(line)) if line[t] != line[t - 1]), len(line)]
    yield from ((first, end, line[first]) for first, end in pairwise(cuts))


def _a_day(model: Model, series: ModelSeries) -> Iterator[float]:
    for cars, (start, end) in zip(series.cars, pairwise(model.edges), strict=True):
        yield from [cars / (end - start)] * (end - start)


def _fine_runs(model: Model, period_of: Sequence[tuple[int, ...]]) -> tuple[tuple[int, ...], ...]:
    runs: dict[tuple[int, ...], None] = {}
    bins, lines = len(model.edges) - 1, tuple(dict.fromkeys(period_of))
    for t in range(bins):
        end = bisect_left(model.edges, model.edges[t + 1] + model.stop.fine_days, hi=bins)
        run = tuple(dict.fromkeys(period for line in lines for period in line[t:end]))
        if len(run) > 1 or model.stop.period > model.telling.widest:
            runs[run] = None
    return tuple(runs)


def _weigh(model: Model, bins: int) -> tuple[tuple[tuple[int, int], ...], list[float], tuple[Span | None, ...]]:
    rows: list[tuple[int, int]] = []
    cells: list[float] = []
    assembled: list[Span | None] = []
    for s, series in enumerate(model.series):
        shares = _laid_out(series.shares, bins)
        for c in range(len(model.specifications)):
            row = [cars * share[c] for cars, share in zip(series.cars, shares, strict=True)]
            if any(row):
                span = _assembled(model, s, c)
                rows.append((s, c))
                cells += row if span is None else delayed_cars(model.edges, row, span)
                assembled.append(span)
    return tuple(rows), cells, tuple(assembled)


def _assembled(model: Model, series: int, specification: int) -> Span | None:
    return next(((one.least, one.most) for one in model.assembled if specification in one.of[series]), None)


def _stages(model: Model, group: ModelGroup, bins: int) -> Stages:
    """Return the profiles of a group: for a lone mark its mixes, otherwise what each slot has at either stage."""
    runs = [_laid_out(list(zip(run[::2], run[1::2], strict=True)), bins) for run in group.runs]
    if len(group.marks) == 1:
        mixes = list(range(len(model.marks[group.marks[0]].mixes)))
        profiles = tuple(tuple(runs[variant[0]]) for variant in group.variants)
        return Stages(profiles, [1.0] * len(mixes), [0.0] * len(mixes), [(mixes, mixes)])
    found: dict[tuple[float, tuple[int, ...], tuple[int, ...]], int] = {}
    lines = []
    for variant in group.variants:
        line = []
        for t in range(bins):
            come = group.passed[runs[variant[0]][t]]
            before, after = (tuple(runs[run][t] for run in variant[first::2]) for first in (1, 2))
            if come <= 0.0 or come >= 1.0:  # only one stage can be: there it is the same, whichever it is
                come, before, after = 0.0, *(before if come <= 0.0 else after,) * 2
            line.append(found.setdefault((come, before, after), len(found)))
        lines.append(tuple(line))
    return Stages(
        tuple(lines),
        [1.0 - come for come, _, _ in found],
        [come for come, _, _ in found],
        [([one[at] for _, one, _ in found], [one[at] for _, _, one in found]) for at in range(len(group.marks))],
    )


def _joined(model: Model, group_of: Mapping[int, int]) -> list[tuple[list[int], list[int]]]:
    """Return the blocks as (groups, sets): groups that some set joins belong together."""
    blocks: list[tuple[set[int], list[int]]] = [({group}, []) for group in range(len(model.groups))]
    for at, one in enumerate(model.sets):
        own = {group_of[mark] for mark in one.marks}
        met = [block for block in blocks if block[0] & own]
        joined = own.union(*(groups for groups, _ in met)), [*(other for _, sets in met for other in sets), at]
        blocks = [block for block in blocks if not block[0] & own] + [joined]
    return sorted((sorted(groups), sorted(sets)) for groups, sets in blocks)


def _block(
    model: Model,
    parts: tuple[list[int], list[int]],
    rows: tuple[tuple[int, int], ...],
    weights: tuple[float, ...],
    period_of: Sequence[tuple[int, ...]],
    stages: Sequence[Stages],
    alike: dict[tuple[int, ...], tuple[int, ...]],
) -> Block:
    groups, sets = parts
    bins = len(model.edges) - 1
    keys = [(row if sets else s, *(model.groups[g].of[s][c] for g in groups)) for row, (s, c) in enumerate(rows)]
    distinct = list(dict.fromkeys(keys))
    joint: dict[tuple[int, ...], int] = {}
    if len(groups) == 1:  # a lone group's profiles keep their numbers
        joint = {(profile,): profile for profile in range(len(stages[groups[0]].before))}
    pieces: list[tuple[int, int, int, int, int]] = []
    series_of: list[int] = []
    spans: list[tuple[int, int]] = []
    for at, key in enumerate(distinct):
        members = [row for row, own in enumerate(keys) if own == key]
        built = [t for t in range(bins) if any(weights[row * bins + t] > 0.0 for row in members)]
        series_of.append(rows[members[0]][0])
        spans.append((built[0], built[-1] + 1))
        lines = [stages[g].profiles[v] for g, v in zip(groups, key[1:], strict=True)]
        start = 0
        for (period, *profile), cells in groupby(zip(period_of[series_of[-1]], *lines, strict=True)):
            end = start + len(list(cells))
            index = joint.setdefault(tuple(profile), len(joint))
            pieces.append((at * bins + start, at * bins + end, at, period, index))
            start = end
    prior: list[float] = []
    if sets:
        running = list(accumulate(weights, initial=0.0))
        for start, end, at, _, _ in pieces:
            whole = running[(at + 1) * bins] - running[at * bins]
            prior.append((running[end] - running[start]) / whole)
    columns = list(zip(*pieces, strict=True))
    row_of = tuple(distinct.index(key) for key in keys)
    return Block(
        marks=tuple(sorted(mark for group in groups for mark in model.groups[group].marks)),
        groups=tuple(groups),
        sets=tuple(sets),
        row_of=alike.setdefault(row_of, row_of),
        row_count=len(distinct),
        joint=tuple(joint),
        lone=len(groups) == 1 and len(model.groups[groups[0]].marks) == 1,
        series_of=tuple(series_of),
        spans=tuple(spans),
        starts=columns[0],
        ends=columns[1],
        rows=columns[2],
        periods=columns[3],
        profiles=columns[4],
        prior=tuple(prior),
        cuts=itemgetter(0, *columns[1]),  # each begins where the one before ends
    )


def _laid_out(runs: Sequence[tuple[int, V]], bins: int) -> list[V]:
    """Return a value per bin from those that hold from a bin on."""
    ends = [first for first, _ in runs[1:]] + [bins]
    return [value for (first, value), end in zip(runs, ends, strict=True) for _ in range(first, end)]
