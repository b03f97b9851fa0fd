"""How we know: the method in plain words, the numbers and the calendar it rests on, and every default."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import Any

from guide.constants import CONSTANTS
from guide.facts.types import (
    Assembly,
    CalendarEntry,
    CalendarKind,
    Closure,
    DatedCar,
    Guide,
    ModelYear,
    RivalEnd,
    Run,
    Series,
    Stray,
)
from guide.limits.wording import bounds_said, scope_said, when_said, word_of
from guide.pages.parts.open_data import number_written
from guide.pages.shelf import Context, Shelf, one_page
from guide.sentence import Sentence, Value, all_of, chained, day_range, sentence, upper_first
from guide.sentence import day as said_day

__all__ = ["PAGE"]

_OF_NUMBERS = ("about_cars_share", "about_car_cars", "number_wrong", "calendar_uneven", "assembled_after")
METHOD = ("statements", "numbers", "network", "rulings", "share", "own", "result", "apart", "card", "tally")


def _context(shelf: Shelf) -> Context:
    guide = shelf.guide
    return {
        "method": [part for part in METHOD if part != "numbers" or guide.ordered_series],
        "series": [_series(shelf, series) for series in guide.series.values()],
        "splits": [
            sentence("pages.know.split", name=split.name, values=all_of(one.name for one in split.values.values()))
            for split in guide.splits.values()
        ],
        "ordered": list(guide.ordered_series.values()),
        "calendar": _calendar(shelf),
        "assembled": [_assembly_said(guide, one) for one in guide.assembled],
        "years": [_noted(guide, _year_said(row), row) for row in guide.model_years],
        "ends": [_end_said(shelf, one) for made in guide.productions for one in made.rivals],
        "lines": [
            _noted(guide, _line_said(guide, entry), entry)
            for series in guide.series.values()
            for entry in series.calendar
            if entry.printed
        ],
        "closures": [_closure_said(guide, closure) for closure in guide.closures],
        "constants": list(_constants(shelf)),
    }


def _closure_said(guide: Guide, closure: Closure) -> Sentence:
    """Return when the works stood still, in some cars alone where it is said so, why, and on whose word."""
    said: dict[str, Value] = {"when": day_range(closure.first, closure.last), "why": closure.why}
    if closure.series and set(closure.series) != set(guide.series):
        said["when"] = sentence("pages.know.closure_when", when=said["when"], cars=_cars_of(guide, closure.series))
    source = guide.sources.get(closure.source)
    if source is None:
        return sentence("pages.know.closure", **said)
    return sentence("pages.know.closure_by", **said, source=source.name)


def _cars_of(guide: Guide, series: Sequence[str]) -> Value:
    """Return what cars of some series are called: by their model's name, where they are all of a model that has one."""
    model = next((made.name for made in guide.productions if made.name and set(made.series) == set(series)), "")
    return model or all_of(guide.series[one].name for one in series)


def _assembly_said(guide: Guide, one: Assembly) -> Sentence:
    """Return which cars were put together elsewhere, where, how long after or before their number, on whose word."""
    cars, way = upper_first(scope_said(guide, one.scope)), "after" if one.is_after else "before"
    said = sentence(f"pages.know.assembled.{way}", cars=cars, span=one.span)
    if one.plant:
        said = sentence("pages.know.assembled.at", said=said, plant=one.plant)
    source = guide.sources.get(one.source)
    return sentence(
        "pages.know.assembled.by" if source else "pages.know.assembled.plain",
        said=said,
        source=source.name if source else "",
    )


def _series(shelf: Shelf, series: Series) -> dict[str, Any]:
    guide, line = shelf.guide, shelf.limits.moments.every.get(series.id)
    return {
        "series": series,
        "runs": [
            _noted(guide, _run_said(series, run), run, dated=None if run.dated is None else when_said(guide, run.dated))
            for run in series.runs
        ],
        "cars": shelf.words.number(line.cars) if line else "",
        "goes_on": any(run.built and run.last is None for run in series.runs),
        "strays": [_noted(guide, _stray_said(guide, stray), stray, why=stray.why) for stray in series.strays],
        "ends": [_end_said(shelf, one) for run in series.runs for one in run.rivals],
        "years": [_noted(guide, _year_said(row), row) for row in series.model_years],
        "dated": [
            _noted(guide, sentence("pages.know.dated_car", car=one.car.written, when=when_said(guide, one.built)), one)
            for one in series.dated_cars
        ],
    }


def _run_said(series: Series, run: Run) -> Sentence:
    """Return which numbers a run takes up; one whose last is not known goes on."""
    way, first = "run" if run.built else "gap", number_written(series, run.prefix, run.first)
    if run.last is not None:
        return sentence(f"pages.know.{way}", first=first, last=number_written(series, run.prefix, run.last))
    if run.known is not None and run.built:
        return sentence("pages.know.run_known", first=first, known=number_written(series, run.prefix, run.known))
    return sentence(f"pages.know.{way}_on", first=first)


def _end_said(shelf: Shelf, one: RivalEnd) -> Sentence:
    """Return what one of several papers says of an end, and whether it stands."""
    said: dict[str, Value] = {"at": said_day(one.at) if isinstance(one.at, date) else one.written}
    given = "day" if isinstance(one.at, date) else "car"
    if one.when is not None:
        said["at"], given = when_said(shelf.guide, one.when), "as"
    said["by"] = word_of(shelf.guide, one.source, one.page)
    way = "stands" if one.is_widest else "agrees" if one.agrees else "wider"
    if one.ruling is not None:
        way = "aside_by" if one.ruling.by else "aside"
        said |= {"why": one.ruling.why, "on": said_day(one.ruling.on), "whose": one.ruling.by}
    end = sentence(f"pages.know.end_{given}_{one.end}", **said)
    end = sentence(f"pages.know.end_{way}", said=end, **said)
    return sentence("pages.know.end_printed", said=end, printed=one.printed) if one.printed else end


def _line_said(guide: Guide, entry: CalendarEntry) -> Sentence:
    """Return a line of the calendar."""
    return sentence(
        f"pages.know.line_{entry.kind.replace('-', '_')}", car=entry.car.written, time=when_said(guide, entry.time)
    )


def _year_said(row: ModelYear) -> Sentence:
    """Return which cars, or which days, a maker's table gives to a model year."""
    if row.first is not None and row.last is not None:
        return sentence("pages.know.model_year", year=row.year, first=row.first.written, last=row.last.written)
    if row.first is not None:
        return sentence("pages.know.model_year_on", year=row.year, first=row.first.written)
    return sentence("pages.know.model_year_days", year=row.year, when=bounds_said(row.begins, row.ends))


def _stray_said(guide: Guide, stray: Stray) -> Sentence:
    if stray.built is None:
        return sentence("pages.know.stray_undated", car=stray.car.written)
    return sentence("pages.know.stray", car=stray.car.written, when=when_said(guide, stray.built))


def _noted(
    guide: Guide,
    said: Sentence,
    one: Run | Stray | DatedCar | ModelYear | CalendarEntry,
    *,
    dated: Value | None = None,
    why: str = "",
) -> Sentence:
    """Return what a paper says of numbers with its date, the reason it gives, who says it, and what it prints."""
    notes: list[Value] = [] if dated is None else [sentence("pages.know.dated", when=dated)]
    notes += [why] if why else []
    notes += [guide.sources[one.source].name] if one.source in guide.sources else []
    notes += [sentence("pages.know.printed", printed=one.printed)] if one.printed else []
    return sentence("pages.know.noted", said=said, notes=chained("words.then", notes)) if notes else said


def _calendar(shelf: Shelf) -> list[dict[str, Any]]:
    """Return the calendar by date: for each, the last number of every series built by then."""
    rows: dict[date, dict[str, str]] = {}
    for series in shelf.guide.ordered_series.values():
        for entry in series.calendar:
            if entry.kind is CalendarKind.LAST_BY_END:
                rows.setdefault(entry.end, {})[series.id] = entry.car.written
    return [
        {"day": said_day(day), "numbers": [rows[day].get(one, "") for one in shelf.guide.ordered_series]}
        for day in sorted(rows)
    ]


def _constants(shelf: Shelf) -> Iterator[dict[str, Any]]:
    for name, constant in CONSTANTS.items():
        if name in _OF_NUMBERS and not shelf.guide.ordered_series:
            continue
        said = shelf.guide.overrides.get(name)
        yield {
            "constant": constant,
            "meaning": upper_first(constant.meaning),
            "value": shelf.words.figure(constant.value if said is None else said),
            "default": shelf.words.figure(constant.value),
            "overridden": said is not None and said != constant.value,
        }


PAGE = one_page("how-we-know", "pages.know.title", _context)
