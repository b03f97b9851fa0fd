"""From facts and limits to the model: the one step that dating takes before any car is looked at.

Source of the method: design and measurements of this project; what it computes is held against brute force by
tests/dating, and against published values by tests/published.
"""

from __future__ import annotations

import dataclasses
from bisect import bisect_left
from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import timedelta
from itertools import accumulate

from guide.constants import value_of
from guide.dating.building.askable import body_mark, interior_mark, plain_mark, split_marks
from guide.dating.building.behind import Behind, behind_forms, behind_interiors
from guide.dating.building.formerly import former_answers
from guide.dating.building.grid import Grid, GridLine, cars_in, lay_grid
from guide.dating.building.shares import combinations, share_out
from guide.dating.building.spelled import Speller
from guide.dating.building.tables import PLACES, Mixes, changes, group_tables, rounded, same_everywhere
from guide.dating.model import (
    Chances,
    Model,
    ModelAssembly,
    ModelInterior,
    ModelMark,
    ModelPeriod,
    ModelSeries,
    ModelSet,
    ModelYears,
    Named,
    Restored,
    Specification,
    Stop,
)
from guide.facts.types import Guide, Reach, Series
from guide.facts.when.edtf import Precision
from guide.facts.when.numbers import number_table
from guide.limits.model_years import rows_of_model_years
from guide.limits.positions import SeriesLine
from guide.limits.types import LimitsResult

__all__ = ["build_model"]


def build_model(guide: Guide, limits: LimitsResult) -> Model:
    """Return the model of a guide. The same facts give the same model, to the last digit."""
    grid = lay_grid(guide, limits.lines, limits.moments.further)
    all_of = combinations(guide)
    shares = share_out(limits.moments, grid, all_of)
    weights = [
        [[line.cars[t] * share for share in shares[at][t]] for t in range(grid.bins)]
        for at, line in enumerate(grid.lines)
    ]
    mixes = [Mixes() for _ in guide.marks]
    tables = group_tables(guide, grid, Speller(guide, limits, grid), all_of, weights, mixes)
    elsewhere = [
        [[by.scope.holds(one.car(line.id)) for one in all_of] for line in grid.lines] for by in guide.assembled
    ]
    classes = same_everywhere(tables, all_of, elsewhere)
    had_by = {at: table.had_by(at, classes) for table in tables for at in table.marks}
    marks = [
        dataclasses.replace(plain_mark(mark, limits.moments, mixes[at]), had_by=had_by[at])
        for at, mark in enumerate(guide.marks.values())
    ]
    groups = [table.finished(classes) for table in tables]
    # Marks of our own stand before the guide's, so that they are asked first where two are worth the same.
    found = [body_mark(guide, grid, classes), *split_marks(guide, grid, classes, all_of)]
    found.append(interior_mark(guide, grid, classes, all_of, shares))
    ours = [made for made in found if made is not None and made[0].id not in guide.marks]
    marks = [mark for mark, _ in ours] + marks
    moved = [dataclasses.replace(one, marks=tuple(at + len(ours) for at in one.marks)) for one in groups]
    groups = [dataclasses.replace(group, marks=(at,)) for at, (_, group) in enumerate(ours)] + moved
    behind = {**behind_forms(limits), **behind_interiors(guide, limits.moments)}
    marks = [_with_behind(mark, behind) for mark in marks]
    index = {mark.id: at for at, mark in enumerate(marks)}

    def stated(name: str) -> float:
        return float(value_of(name, guide.overrides))

    return Model(
        edition=guide.edition,
        language=guide.language,
        car=guide.car,
        origin=grid.origin.isoformat(),
        edges=grid.edges,
        periods=_periods(guide, grid),
        interiors=tuple(ModelInterior(one.id, one.name, one.colour, one.material) for one in guide.interiors.values()),
        areas=tuple(Named(one.id, one.name) for one in guide.areas.values()),
        specifications=tuple(Specification(dict(all_of[members[0]].splits)) for members in classes),
        series=tuple(_series(guide, grid, at, classes, shares) for at in range(len(grid.lines))),
        marks=tuple(marks),
        groups=tuple(groups),
        sets=tuple(
            ModelSet(
                id=one.id, name=one.name, marks=tuple(index[mark] for mark in one.marks), share=round(one.share, PLACES)
            )
            for one in guide.renewed_together
            if len(one.marks) > 1
        ),
        stop=Stop(
            period=stated("stop_period"),
            fine_days=float(guide.fine_enough_days),
            gain_bits=stated("stop_gain"),
            bit_effort=stated("bit_effort"),
        ),
        reaches={reach: stated(f"effort_{reach}") for reach in Reach},
        chances=Chances(
            number_wrong=stated("number_wrong"),
            uneven=stated("calendar_uneven"),
            pace_unknown=stated("pace_unknown"),
            paper_wrong=stated("paper_wrong"),
            stray_days=stated("paper_stray"),
            lag_days={kind: stated(f"{kind}_after") for kind in ("registered", "despatched", "titled")},
            part_lag_days=stated("part_before"),
            assembled_days=int(stated("assembled_after")),
            about_days={precision.value: int(stated(f"about_{precision}_days")) for precision in Precision},
            restored=Restored(
                share=stated("restored"),
                known=stated("restored_known"),
                survives=stated("restored_survives"),
                interior=stated("restored_interior"),
                earlier=stated("restored_earlier"),
            ),
        ),
        splits={one.id: {value.id: value.name for value in one.values.values()} for one in guide.splits.values()},
        further=tuple(
            _further(series, limits.moments.further.get(series.id), grid) for series in guide.further_numbers.values()
        ),
        assembled=tuple(
            ModelAssembly(
                tuple(tuple(at for at, members in enumerate(classes) if line[members[0]]) for line in of),
                one.least_days,
                one.most_days,
            )
            for one, of in zip(guide.assembled, elsewhere, strict=True)
        ),
        formerly=former_answers(guide),
        numbers=number_table(
            {**guide.ordered_series, **guide.further_numbers},
            sources={source.id: source.name for source in guide.sources.values()},
        ),
    )


def _with_behind(mark: ModelMark, behind: Behind) -> ModelMark:
    forms = (dataclasses.replace(form, fitted=behind.get((mark.id, form.id), ())) for form in mark.forms)
    return dataclasses.replace(mark, forms=tuple(forms))


def _periods(guide: Guide, grid: Grid) -> tuple[ModelPeriod, ...]:
    """Return the periods; a guide that names none is asked about its years."""
    found = []
    for period in guide.periods.values():
        first, end = grid.day(period.first), grid.day(period.last) + 1
        bins = [t for t in range(grid.bins) if first <= grid.edges[t] and grid.edges[t + 1] <= end]
        own = tuple(at for at, line in enumerate(grid.lines) if line.id in period.series)
        if bins and (own or not period.series):
            everybody = len(own) == len(grid.lines)
            found.append(ModelPeriod(period.id, period.name, bins[0], bins[-1] + 1, () if everybody else own))
    if found:
        return tuple(found)
    years = Counter((grid.origin + timedelta(days=edge)).year for edge in grid.edges[:-1])
    return tuple(
        ModelPeriod(str(year), str(year), end - years[year], end)
        for year, end in zip(years, accumulate(years.values()), strict=True)
    )


def _series(
    guide: Guide, grid: Grid, at: int, classes: Sequence[Sequence[int]], shares: Sequence[Sequence[Sequence[float]]]
) -> ModelSeries:
    line = grid.lines[at]
    runs = changes(
        (t, rounded([sum(shares[at][t][one] for one in members) for members in classes]))
        for t, cars in enumerate(line.cars)
        if cars > 0.0
    )
    if line.numbered is None:
        years = _model_years(guide, grid, line)
        return ModelSeries(
            id=line.id, name=guide.title, body=guide.car, cars=line.cars, shares=tuple(runs), model_years=years
        )
    numbered = _numbered(line.numbered, line.cars, grid)
    return dataclasses.replace(numbered, shares=tuple(runs), model_years=_model_years(guide, grid, line))


def _further(series: Series, line: SeriesLine | None, grid: Grid) -> ModelSeries:
    """Return a series of further numbers, which says nothing of the time where it gives no order."""
    if line is None:
        return ModelSeries(id=series.id, name=series.name, body=series.body, cars=(0.0,) * grid.bins, shares=())
    return _numbered(line, cars_in(line, grid), grid)


def _numbered(line: SeriesLine, cars: tuple[float, ...], grid: Grid) -> ModelSeries:
    """Return a series of numbers but for the shares of its cars."""
    series = line.series
    return ModelSeries(
        id=series.id,
        name=series.name,
        body=series.body,
        cars=cars,
        shares=(),
        runs=tuple((run.prefix, first, last - first + 1) for run, first, last, _ in line.runs),
        tolerance_cars=series.out_of_order,
        knots=tuple(_knots(line, grid)),
        since=tuple((at, grid.day(day)) for at, day, upper in line.bounds if not upper),
        until=tuple((at, grid.day(day)) for at, day, upper in line.bounds if upper),
        cuts=tuple(last + 1 for last in line.cuts),
        suffixes={suffix: dict(scope.parts) for suffix, scope in series.suffixes.items()},
        strays={
            line.car_at(position).written: (grid.day(first), grid.day(last))
            for position, (first, last) in line.own_days.items()
        },
    )


def _knots(line: SeriesLine, grid: Grid) -> Iterator[tuple[float, float]]:
    for passed, cars in line.knots:
        whole = int(passed)
        past = whole >= len(line.open_days)
        yield cars, float(grid.edges[-1]) if past else grid.day(line.open_days[whole]) + passed - whole


def _model_years(guide: Guide, grid: Grid, line: GridLine) -> tuple[ModelYears, ...]:
    """Return the rows of the tables of model years, of the series by numbers or else by days, as places in its line."""
    by_cars = [] if line.numbered is None else list(rows_of_model_years(line.numbered))
    rows = [ModelYears(year, first, last + 1) for year, first, last in by_cars]
    own = () if line.numbered is None else line.numbered.series.model_years
    for row in (*own, *guide.model_years):
        if row.begins is not None and row.year not in {one.year for one in rows}:
            end = grid.day(row.ends or guide.production.last) + 1
            first = _cars_before(line, grid.day(row.begins))
            rows.append(ModelYears(row.year, first, _cars_before(line, end), by_days=True))
    return tuple(rows)


def _cars_before(line: GridLine, day: int) -> float:
    """Return how many cars of a line were built before a day, counted from the origin."""
    passed = bisect_left(line.open_days, day)
    shares = ((min(max(passed - days.start, 0), len(days)), len(days)) for days in line.open_in)
    return round(sum(cars * open_ / every for cars, (open_, every) in zip(line.cars, shares, strict=True) if every), 3)
