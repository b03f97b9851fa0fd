"""Dates as ISO 8601-2:2019 writes them (EDTF, levels 0 and 1), read into first and last possible day.

Source: Extended Date/Time Format Specification, Library of Congress, 4 February 2019; week dates (``1969-W14``) as
ISO 8601-1:2019 has them. Departures, on purpose: winter (season 24) is December to February of the next year, which the
specification leaves open; years beyond four digits, negative years and times of day are refused as no dates of build;
an interval is one moment *somewhere in* it. An approximate date (``~``) is widened by a stated amount per precision.
"""

from __future__ import annotations

import calendar
import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from enum import StrEnum

from guide.constants import value_of
from guide.facts.text.problem import Problem
from guide.sentence import month_year

__all__ = [
    "Bounds",
    "Precision",
    "day_bounds",
    "read_edtf",
    "season_bounds",
    "shift_days",
    "spanning",
    "week_bounds",
    "whole_months",
    "widen",
]


class Precision(StrEnum):
    """How finely a date is stated."""

    DAY = "day"
    WEEK = "week"
    MONTH = "month"
    SEASON = "season"
    YEAR = "year"
    DECADE = "decade"
    CENTURY = "century"


_MONTHS_OF = {
    Precision.MONTH: 1,
    Precision.SEASON: 3,
    Precision.YEAR: 12,
    Precision.DECADE: 120,
    Precision.CENTURY: 1200,
}


@dataclass(frozen=True, slots=True)
class Bounds:
    """First and last possible day, both inclusive; None is open or unknown."""

    earliest: date | None
    latest: date | None
    precision: Precision
    approximate: bool = False
    uncertain: bool = False


_SINGLE = re.compile(
    r"(?P<year>\d{4}|\d{3}[Xx]|\d\d[Xx]{2})"
    r"(?:-(?P<month>\d\d|[Xx]{2})(?:-(?P<day>\d\d|[Xx]{2}))?)?(?P<mark>[?~%]?)"
)

_WEEK = re.compile(r"(?P<year>\d{4})-?W(?P<week>\d\d)(?:-?(?P<day>\d))?(?P<mark>[?~%]?)", re.IGNORECASE)

# What looks like such a date and is none: its sentence, and what to write instead, made of the groups.
_MISTAKEN = (
    (r"(\d{4}) ?[-–] ?(\d{4})", "facts.bad-date.two-years", "{1}/{2}"),
    (r"'?\d\d", "facts.bad-date.short-year", ""),
    (r".*\d{4}-\d\d-\d\d[T ]\d.*", "facts.not-a-build-date.time-of-day", ""),
    (r"((?:18|19|20)\d\d)(0[1-9]|1[0-2])", "facts.bad-date.no-dashes", "{1}-{2}"),
    (r"Y-?\d+(?:E\d+)?|-\d{4,}.*|\d{5,7}(?:-\d\d)*", "facts.not-a-build-date.long-year", ""),
    (r"(\d{4})(\d\d)(\d\d)", "facts.bad-date.no-dashes", "{1}-{2}-{3}"),
    (r"(\d{4})-(\d{1,2})-(\d{1,2})([?~%]?)", "facts.bad-date.short-day", "{1}-{2:0>2}-{3:0>2}{4}"),
    (r"(\d{4})-(\d)([?~%]?)", "facts.bad-date.short-month", "{1}-0{2}{3}"),
    (r"([?~%])(.+)", "facts.bad-date.sign-first", "{2}{1}"),
    (r"[\d X-]+[?~%]{2,}", "facts.bad-date.two-signs", ""),
    (r"(\d\d?)-(1[3-9]|2\d|3[01])-(\d{4})", "facts.bad-date.year-last", "{3}-{1:0>2}-{2}"),
    (r"(1[3-9]|2\d|3[01])-(\d\d?)-(\d{4})", "facts.bad-date.year-last", "{3}-{2:0>2}-{1}"),
    (r"(?:0?[1-9]|1[0-2])-(?:0?[1-9]|1[0-2])-(?:\d{4}|\d\d)", "facts.slashed-date", ""),
    (r"(?=-?[\dXu]{2})(?!\d\d?-\d\d?-\d\d$)[-\dXuZT:?~%]+", "facts.bad-date", ""),
)

# Years that a paper about cars can speak of; what lies outside is a slip, and no day is so near the ends of the
# calendar that reckoning with it could leave it. Common practice, no source.
FIRST_YEAR, LAST_YEAR = 1800, 2199

# Spreadsheets store a day as its number, counted so that 1 March 1900 is 61: common practice, no source.
_DAY_NOUGHT = date(1899, 12, 30)
_FIRST_COUNT, _LAST_COUNT = 10_000, 73_000  # 1927 to 2099


def read_edtf(text: str, overrides: Mapping[str, float]) -> Bounds | Problem | None:
    """Return the bounds, what is wrong, or None when the text is no attempt at such a date."""
    if match := _SINGLE.fullmatch(text):
        return _read_single(match, overrides)
    if match := _WEEK.fullmatch(text):
        year, week, day = (int(match[part] or 0) for part in ("year", "week", "day"))
        return _marked(week_bounds(year, week, day), match["mark"], overrides)
    if "/" in text:
        return _read_interval(text, overrides)
    if re.fullmatch(r"\d{5}", text) and _FIRST_COUNT <= int(text) <= _LAST_COUNT:
        meant = _DAY_NOUGHT + timedelta(days=int(text))
        return Problem.of("facts.spreadsheet-date.counted", found=repr(text), better=meant.isoformat())
    for pattern, name, better in _MISTAKEN:
        if match := re.fullmatch(pattern, text, re.IGNORECASE | re.DOTALL):
            return Problem.of(name, found=repr(text), better=better.format("", *match.groups()))
    return None


def _read_interval(text: str, overrides: Mapping[str, float]) -> Bounds | Problem | None:
    parts = [part.strip() for part in text.split("/")]
    if match := re.fullmatch(r"(\d{1,2})/(\d{4})", text):
        return Problem.of("facts.slashed-date.month-first", found=repr(text), better=f"{match[2]}-{match[1]:0>2}")
    if match := re.fullmatch(r"(\d{4})/(0[1-9]|1[0-2])", text):
        return Problem.of("facts.slashed-date.dash", found=repr(text), better=f"{match[1]}-{match[2]}")
    if match := re.fullmatch(r"(\d\d)(\d\d) ?/ ?(1[3-9]|[2-9]\d)", text):  # "1962/63"
        return Problem.of(
            "facts.bad-date.two-years", found=repr(text), better=f"{match[1]}{match[2]}/{match[1]}{match[3]}"
        )
    if len(parts) == 3 and all(re.fullmatch(r"\d{1,2}|\d{4}", part) for part in parts):
        return Problem.of("facts.slashed-date", found=repr(text))
    dates = ((part, _SINGLE.fullmatch(part) or _WEEK.fullmatch(part)) for part in parts)
    singles = [None if part in ("", "..") else match or part for part, match in dates]
    if len(parts) != 2 or any(isinstance(single, str) for single in singles):
        attempt = re.fullmatch(r"[\dXx./?~% -]+", text) or not any(isinstance(single, str) for single in singles)
        return Problem.of("facts.bad-date.interval", found=repr(text)) if attempt else None
    ends: list[Bounds | None] = []
    for single in singles:
        end = read_edtf(single[0], overrides) if isinstance(single, re.Match) else None
        if isinstance(end, Problem):
            return end
        ends.append(end)
    first, last = ends
    if first is None and last is None:
        return Problem.of("facts.bad-date.open", found=repr(text))
    inverted = Problem.of("facts.inverted-range.swap", found=repr(text), better=f"{parts[1]}/{parts[0]}")
    return spanning(first, last) or inverted


def spanning(first: Bounds | None, last: Bounds | None) -> Bounds | None:
    """Return from the first day of one to the last day of the other, None for an open end.

    None where it ends before it begins. Raises AssertionError where both ends are open.
    """
    known = first or last
    assert known, "a stretch has one end at least"
    given = [end for end in (first, last) if end]
    earliest, latest = first.earliest if first else None, last.latest if last else None
    if earliest and latest and earliest > latest:
        return None
    signs = any(end.approximate for end in given), any(end.uncertain for end in given)
    return Bounds(earliest, latest, known.precision, *signs)


def _read_single(match: re.Match[str], overrides: Mapping[str, float]) -> Bounds | Problem:
    found, year, mark = repr(match[0]), match["year"].upper(), match["mark"]
    month, day = ("" if part is None or part.upper() == "XX" else part for part in (match["month"], match["day"]))
    bounds: Bounds | Problem
    if "X" in year:
        if match["month"]:
            return Problem.of("facts.bad-date.month-of-no-year", found=found)
        coarse = Precision.CENTURY if year.count("X") == 2 else Precision.DECADE
        bounds = whole_months(int(year.replace("X", "0")), 1, coarse)
    elif day and not month:
        return Problem.of("facts.bad-date.day-of-no-month", found=found)
    elif not month:
        bounds = whole_months(int(year), 1, Precision.YEAR)
    elif 21 <= int(month) <= 24 and match["day"] is None:
        bounds = season_bounds(int(year), int(month))
    elif 25 <= int(month) <= 41 and match["day"] is None:
        return Problem.of("facts.bad-date.other-season", found=found)
    elif not 1 <= int(month) <= 12:
        return Problem.of("facts.impossible-date.month", month=int(month), found=found)
    else:
        bounds = day_bounds(int(year), int(month), int(day)) if day else whole_months(int(year), int(month))
    return _marked(bounds, mark, overrides)


def _marked(bounds: Bounds | Problem, mark: str, overrides: Mapping[str, float]) -> Bounds | Problem:
    """Return bounds as the sign after a date qualifies them."""
    if isinstance(bounds, Problem):
        return bounds
    bounds = replace(bounds, uncertain=mark in ("?", "%"))
    return widen(bounds, overrides) if mark in ("~", "%") else bounds


def whole_months(year: int, month: int, precision: Precision = Precision.MONTH, months: int = 0) -> Bounds | Problem:
    """Return the days from the first of a month on, as many months as the precision has, or as many as are given."""
    if not FIRST_YEAR <= year <= LAST_YEAR:
        return Problem.of("facts.not-a-build-date.year", first=FIRST_YEAR, last=LAST_YEAR, found=repr(f"{year:04}"))
    years, before = divmod(month - 1 + (months or _MONTHS_OF[precision]) - 1, 12)
    last_year, last_month = year + years, before + 1
    last = date(last_year, last_month, calendar.monthrange(last_year, last_month)[1])
    return Bounds(date(year, month, 1), last, precision)


def day_bounds(year: int, month: int, day: int) -> Bounds | Problem:
    """Return one day as bounds, or that there is no such day."""
    whole = whole_months(year, month)
    if isinstance(whole, Problem):
        return whole
    assert whole.latest
    days = whole.latest.day
    if not 1 <= day <= days:
        return Problem.of("facts.impossible-date.day", day=day, month=month_year(whole.latest), days=days)
    return Bounds(date(year, month, day), date(year, month, day), Precision.DAY)


def week_bounds(year: int, week: int, day: int = 0) -> Bounds | Problem:
    """Return the seven days of a week, or one of them, Monday being 1, or that there is no such week or day.

    Source: ISO 8601-1:2019, week dates: week 1 is the one with the year's first Thursday.
    """
    whole = whole_months(year, 1)
    if isinstance(whole, Problem):
        return whole
    try:
        first, last = (date.fromisocalendar(year, week, day or end) for end in (1, 7))
    except ValueError:
        if day > 7 or (day and 1 <= week <= 52):
            return Problem.of("facts.impossible-date.week-day", day=day)
        weeks = 53 if _has_53_weeks(year) else 52
        return Problem.of("facts.impossible-date.week", week=week, year=f"{year:04}", weeks=weeks)
    return Bounds(first, last, Precision.DAY if day else Precision.WEEK)


def _has_53_weeks(year: int) -> bool:
    return date(year, 12, 28).isocalendar().week == 53


def season_bounds(year: int, season: int) -> Bounds | Problem:
    """Return a season's days: 21 spring (March to May), 22 summer, 23 autumn, 24 winter (from December)."""
    return whole_months(year, 3 * (season - 20), Precision.SEASON)


def shift_days(day: date | None, days: int) -> date | None:
    """Return a day moved by some days, kept within what a date can hold."""
    return day and date.fromordinal(min(max(day.toordinal() + days, 1), date.max.toordinal()))


def widen(bounds: Bounds, overrides: Mapping[str, float]) -> Bounds:
    """Return bounds widened both ways by what "about" means at their precision."""
    days = int(value_of(f"about_{bounds.precision}_days", overrides))
    earliest, latest = shift_days(bounds.earliest, -days), shift_days(bounds.latest, days)
    return replace(bounds, earliest=earliest, latest=latest, approximate=True)
