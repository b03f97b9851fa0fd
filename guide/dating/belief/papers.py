"""What papers and part dates say of the build, each used only as what it is.

*assembled*: the car was built then. *registered*, *despatched*, *titled*: the car was built no later than that, and how
long before is a lag with a stated mean (exponential); the despatch of a kit follows its number and not its build.
*model-year*: the maker's own table of numbers, which go before the build of a car put together elsewhere, or of days; a
model year that is in no table says nothing, for it is not a date.
*part:<mark>*: the part was made before the car, by up to a stated lag, if it is the car's own; of one that is said to
have been changed the date says nothing. Each leaves a small chance that the paper is another car's or misdated.
"""

from __future__ import annotations

import math
import re
from datetime import date
from itertools import pairwise

from guide.dating.belief.prepare import Prepared
from guide.dating.model import Model, ModelMark
from guide.facts.when.edtf import Bounds, read_edtf

__all__ = [
    "ASSEMBLED",
    "DESPATCHED",
    "PAPERS",
    "PART",
    "RESTORED",
    "days_of_known",
    "days_of_model_year",
    "part_lag",
    "read_days",
]

ASSEMBLED, DESPATCHED = "assembled", "despatched"
PAPERS = (ASSEMBLED, "registered", DESPATCHED, "titled", "model-year")  # what may be known of a car besides its parts
RESTORED = "restored"  # known with "yes": of the whole car
PART = "part:"  # before a mark: the date on that part

_ONE = r"[0-9]{4}(-(0[1-9]|1[0-2])(-[0-9]{2})?)?"
_DATE = re.compile(rf"{_ONE}(/{_ONE})?")


def read_days(text: str) -> tuple[date, date] | None:
    """Return the first and last day of ``1968``, ``1968-03``, ``1968-03-12`` or of two of them with a stroke between;
    None for anything else."""
    stated = read_edtf(text.strip(), {}) if _DATE.fullmatch(text.strip()) else None
    if not isinstance(stated, Bounds) or stated.earliest is None or stated.latest is None:
        return None
    return stated.earliest, stated.latest


def days_of_known(prepared: Prepared, kind: str, text: str, *, is_own: bool = True) -> list[float]:
    """Return the likelihood of a paper or a part's date, day by day from the origin; ``is_own`` False: of a part that
    is known to have been changed.

    Raises KeyError for a kind that is neither a paper nor a part of the guide, ValueError for what is no date.
    """
    days = read_days(text)
    if days is None:
        raise ValueError(text)
    origin = date.fromisoformat(prepared.model.origin)
    first, end = (days[0] - origin).days, (days[1] - origin).days + 1
    chances, span = prepared.model.chances, prepared.model.edges[-1]
    right = 1.0 - chances.paper_wrong
    if kind == ASSEMBLED:
        line = [1.0 if first <= day < end else 0.0 for day in range(span)]
    elif kind in chances.lag_days:
        mean = chances.lag_days[kind]
        line = [_later(day, day + 1, first, mean) - _later(day, day + 1, end, mean) for day in range(span)]
    else:
        mark = prepared.model.marks[prepared.marks_by_id[kind.removeprefix(PART)]]
        line = _before_build(span, first, end, part_lag(prepared.model, mark))
        right *= mark.survives if is_own else 0.0
    flat = (1.0 - right) * (end - first) / chances.stray_days
    return [flat + right * value for value in line]


def part_lag(model: Model, mark: ModelMark) -> float:
    """Return how many days before the car a part can have been made, at most."""
    return model.chances.part_lag_days if mark.dated_before is None else float(mark.dated_before)


def _later(start: int, stop: int, day: int, mean: float) -> float:
    """Return the integral over builds from ``start`` to ``stop`` of P(the paper is of ``day`` or later).

    What is left of a lag decades long is tiny, so it is summed by itself and never as a difference of days.
    """
    built = min(stop, day)  # of cars built after that day every paper is later
    sure = float(max(stop - max(start, day), 0))
    return sure if built <= start else sure + mean * (math.exp((built - day) / mean) - math.exp((start - day) / mean))


def _before_build(span: int, first: int, end: int, lag: float) -> list[float]:
    """Return, per day, the chance that a part made 0 to ``lag`` days before the car, each as likely, has this date."""
    # the part's date is even over [build - lag, build], the build even over its day
    swept = [_swept(day, end, lag) - _swept(day, first, lag) for day in range(span + 1)]
    return [after - before for before, after in pairwise(swept)]


def _swept(day: int, made: int, lag: float) -> float:
    """Return the integral over builds up to ``day`` of P(part's date < made), up to a constant."""
    # P = 1 for build <= made, falls evenly to 0 at build = made + lag
    if day <= made:
        return float(day - made)
    part = min(float(day - made), lag)
    return part - part * part / (2.0 * lag)


def days_of_model_year(prepared: Prepared, year: str, series: int) -> tuple[list[float], bool]:
    """Return the likelihood of a model year for cars of a series, day by day, and whether these are days of build: by
    a table of numbers they are days on which numbers were given out."""
    model = prepared.model
    named = {row.year for one in model.series for row in one.model_years}
    if year not in named:
        return [1.0] * model.edges[-1], True
    wrong = model.chances.paper_wrong / len(named)
    rows = [row for row in model.series[series].model_years if row.year == year]
    line: list[float] = []
    counts = zip(model.series[series].cars, pairwise(prepared.before[series]), pairwise(model.edges), strict=True)
    for cars, (before, after), (start, end) in counts:
        inside = sum(max(0.0, min(after, row.end) - max(before, row.first)) for row in rows)
        chance = wrong + (1.0 - model.chances.paper_wrong) * (inside / cars if cars > 0 else 0.0)
        line += [chance] * (end - start)
    return line, all(row.by_days for row in rows)
