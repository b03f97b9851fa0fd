"""Dates as ISO 8601-2:2019 writes them (EDTF, levels 0 and 1), read into first and last possible day.

Source: Extended Date/Time Format Specification, Library of Congress, 4 February 2019. Departures, on
purpose: winter (season 24) is December to February of the next year, which the specification leaves open;
years beyond four digits, negative years and times of day are refused as no dates of build; an interval is
one moment *somewhere in* it. An approximate date (``~``) is widened by a stated amount per precision.
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

__all__ = ["Bounds", "Precision", "month_bounds", "read_edtf", "season_bounds", "shift_days", "widen", "year_bounds"]


class Precision(StrEnum):
    """How finely a date is stated."""

    DAY = "day"
    MONTH = "month"
    SEASON = "season"
    YEAR = "year"
    DECADE = "decade"
    CENTURY = "century"


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
_LOOKS_LIKE = re.compile(r"[?~%]?-?(?:Y-?\d+|[\dXxu]{2,}(?:E\d+)?(?:[-/T:.\dXxuWZ?~%]|\.\.|$))", re.IGNORECASE)
_HOW = "write 1968, 1968-05, 1968-05-24, 1968-21 (spring), 1968-05~ (about) or 1968-03/1968-05 (somewhere in)"

# Spreadsheets store a day as its number, counted so that 1 March 1900 is 61: common practice, no source.
_DAY_NOUGHT = date(1899, 12, 30)
_FIRST_COUNT, _LAST_COUNT = 10_000, 73_000  # 1927 to 2099


def read_edtf(text: str, overrides: Mapping[str, float]) -> Bounds | Problem | None:
    """Return the bounds, what is wrong, or None when the text is no attempt at such a date."""
    if match := re.fullmatch(r"(\d{1,2})/(\d{4})", text):
        return Problem(
            "slashed-date",
            f"expected the year first, found {text!r}",
            f"write {match[2]}-{int(match[1]):02}, or the month as a word",
        )
    if match := re.fullmatch(r"(\d{4}) ?[-–] ?(\d{4})", text):
        return Problem(
            "bad-date",
            f"expected one date, found {text!r}",
            f"write {match[1]}/{match[2]} for somewhere in those years",
        )
    if re.fullmatch(r"'?\d\d", text):
        return Problem("bad-date", f"expected a year of four digits, found {text!r}", "write it in full, as 1968")
    if "/" in text:
        return _read_interval(text, overrides)
    match = _SINGLE.fullmatch(text)
    if match:
        return _read_single(match, text, overrides)
    if re.search(r"\d{4}-\d\d-\d\d[T ]\d", text):
        return Problem(
            "not-a-build-date",
            f"expected a day, found a time of day in {text!r}",
            "leave the time out: cars are dated to the day at best",
        )
    if re.fullmatch(r"\d{5}", text) and _FIRST_COUNT <= int(text) <= _LAST_COUNT:
        meant = (_DAY_NOUGHT + timedelta(days=int(text))).isoformat()
        return Problem(
            "spreadsheet-date",
            f"expected a date, found {text!r}, which is how a spreadsheet counts days",
            f"write {meant} if that day is meant; in a spreadsheet format the column as text before typing",
        )
    if re.fullmatch(r"Y-?\d+(E\d+)?|-\d{4,}.*|\d{5,7}(-\d\d)*", text):
        return Problem("not-a-build-date", f"expected a year of four digits, found {text!r}", _HOW)
    if re.fullmatch(r"\d{8}", text):
        spelled = f"{text[:4]}-{text[4:6]}-{text[6:]}"
        return Problem("bad-date", f"expected dashes in a date, found {text!r}", f"write {spelled}")
    if match := re.fullmatch(r"(\d{4})-(\d{1,2})-(\d{1,2})([?~%]?)", text):
        spelled = f"{match[1]}-{int(match[2]):02}-{int(match[3]):02}{match[4]}"
        return Problem("bad-date", f"expected two digits for month and day, found {text!r}", f"write {spelled}")
    if match := re.fullmatch(r"(\d{4})-(\d)([?~%]?)", text):
        return Problem(
            "bad-date", f"expected two digits for the month, found {text!r}", f"write {match[1]}-0{match[2]}{match[3]}"
        )
    if match := re.fullmatch(r"[?~%](.+)", text):
        return Problem(
            "bad-date", f"expected ?, ~ or % at the end of a date, found {text!r}", f"write {match[1]}{text[0]}"
        )
    if re.fullmatch(r"[\d Xx-]+[?~%]{2,}", text):
        return Problem(
            "bad-date",
            f"expected one of ?, ~ or % after a date, found {text!r}",
            "% means uncertain and approximate at once",
        )
    if _LOOKS_LIKE.match(text) and re.fullmatch(r"[-\dXxuWZT:?~%]+", text):
        return Problem("bad-date", f"expected a date, found {text!r}", _HOW)
    return None


def _read_interval(text: str, overrides: Mapping[str, float]) -> Bounds | Problem | None:
    parts = [part.strip() for part in text.split("/")]
    if all(re.fullmatch(r"\d{1,2}|\d{4}", part) for part in parts) and len(parts) == 3:
        return Problem(
            "slashed-date",
            f"expected a date, found {text!r}, which is read differently in different lands",
            "write the year first, with dashes: 1968-04-03; or the month as a word: 3 April 1968",
        )
    if any(part not in ("", "..") and not _SINGLE.fullmatch(part) for part in parts):
        return None if not re.fullmatch(r"[\dXx./?~% -]+", text) else _bad_interval(text)
    if len(parts) != 2:
        return _bad_interval(text)
    ends: list[Bounds | None] = []
    for part in parts:
        if part in ("", ".."):
            ends.append(None)
            continue
        match = _SINGLE.fullmatch(part)
        assert match
        single = _read_single(match, part, overrides)
        if isinstance(single, Problem):
            return single
        ends.append(single)
    first, last = ends
    known = first or last
    if known is None:
        return Problem("bad-date", f"{text!r} leaves both ends open and so says nothing", "leave the date out")
    earliest = first.earliest if first else None
    latest = last.latest if last else None
    if earliest and latest and earliest > latest:
        return Problem("inverted-range", f"{text!r} ends before it begins", f"write {parts[1]}/{parts[0]}")
    given = [end for end in ends if end]
    return Bounds(
        earliest, latest, known.precision, any(end.approximate for end in given), any(end.uncertain for end in given)
    )


def _bad_interval(text: str) -> Problem:
    return Problem(
        "bad-date",
        f"expected two dates with / between, found {text!r}",
        "1968-03/1968-05 means somewhere from March to May; ../1968-05 means by the end of May",
    )


def _read_single(match: re.Match[str], text: str, overrides: Mapping[str, float]) -> Bounds | Problem:
    year, month, day, mark = match["year"].upper(), match["month"], match["day"], match["mark"]
    if "X" in year:
        if month:
            return Problem("bad-date", f"a month makes no sense with an unknown year in {text!r}", "leave it out")
        first, last = int(year.replace("X", "0")), int(year.replace("X", "9"))
        if first == 0:
            return _no_year_nought(text)
        spanned = Bounds(
            date(first, 1, 1), date(last, 12, 31), Precision.CENTURY if year.count("X") == 2 else Precision.DECADE
        )
        return _qualify(spanned, mark, overrides)
    if int(year) == 0:
        return _no_year_nought(text)
    if day and day.upper() != "XX" and (month or "").upper() == "XX":
        return Problem("bad-date", f"a day makes no sense with an unknown month in {text!r}", "leave it out")
    bounds: Bounds | Problem
    if month is None or month.upper() == "XX":
        bounds = year_bounds(int(year))
    elif 21 <= int(month) <= 24 and day is None:
        bounds = season_bounds(int(year), int(month))
    elif 25 <= int(month) <= 41 and day is None:
        return Problem(
            "bad-date",
            f"{text!r} is a season, quarter or half that is not used here",
            "the seasons are 21 spring, 22 summer, 23 autumn, 24 winter",
        )
    elif not 1 <= int(month) <= 12:
        return Problem("impossible-date", f"there is no month {int(month)} in {text!r}", "months go from 01 to 12")
    elif day is None or day.upper() == "XX":
        bounds = month_bounds(int(year), int(month))
    else:
        bounds = day_bounds(int(year), int(month), int(day))
    return bounds if isinstance(bounds, Problem) else _qualify(bounds, mark, overrides)


def _no_year_nought(text: str) -> Problem:
    return Problem("not-a-build-date", f"no car was built in the year nought, found {text!r}", _HOW)


def year_bounds(year: int) -> Bounds:
    """Return the first and last day of a year."""
    return Bounds(date(year, 1, 1), date(year, 12, 31), Precision.YEAR)


def month_bounds(year: int, month: int) -> Bounds:
    """Return the first and last day of a month."""
    return Bounds(date(year, month, 1), date(year, month, calendar.monthrange(year, month)[1]), Precision.MONTH)


def day_bounds(year: int, month: int, day: int) -> Bounds | Problem:
    """Return one day as bounds, or that there is no such day."""
    days = calendar.monthrange(year, month)[1]
    if not 1 <= day <= days:
        return Problem(
            "impossible-date",
            f"there is no day {day} in {calendar.month_name[month]} {year}",
            f"days go from 1 to {days}",
        )
    return Bounds(date(year, month, day), date(year, month, day), Precision.DAY)


def season_bounds(year: int, season: int) -> Bounds:
    """Return a season's days: 21 spring (March to May), 22 summer, 23 autumn, 24 winter (from December)."""
    start = {21: 3, 22: 6, 23: 9, 24: 12}[season]
    end = month_bounds(year, start + 2) if season != 24 else month_bounds(year + 1, 2)
    return Bounds(date(year, start, 1), end.latest, Precision.SEASON)


def shift_days(day: date | None, days: int) -> date | None:
    """Return a day moved by some days, kept within what a date can hold."""
    if day is None:
        return None
    return date.fromordinal(min(max(day.toordinal() + days, 1), date.max.toordinal()))


def widen(bounds: Bounds, overrides: Mapping[str, float]) -> Bounds:
    """Return bounds widened both ways by what "about" means at their precision."""
    days = int(value_of(f"about_{bounds.precision}_days", overrides))
    return replace(
        bounds, earliest=shift_days(bounds.earliest, -days), latest=shift_days(bounds.latest, days), approximate=True
    )


def _qualify(bounds: Bounds, mark: str, overrides: Mapping[str, float]) -> Bounds:
    if mark in ("?", "%"):
        bounds = replace(bounds, uncertain=True)
    return widen(bounds, overrides) if mark in ("~", "%") else bounds
