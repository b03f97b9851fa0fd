"""Dates in an editor's words: "spring 1968", "about May 1968", "by June 1968", "late 1969".

Each means what the same date means in EDTF (see `edtf`); what EDTF cannot say (early, middle, late) is a
third of the year or of the month: common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date

from guide.facts.text.problem import Problem
from guide.facts.when.edtf import (
    Bounds,
    Precision,
    day_bounds,
    month_bounds,
    read_edtf,
    season_bounds,
    shift_days,
    widen,
    year_bounds,
)

__all__ = ["MONTHS", "read_date_words"]

MONTHS = {
    "january": 1,
    "february": 2,
    "march": 3,
    "april": 4,
    "may": 5,
    "june": 6,
    "july": 7,
    "august": 8,
    "september": 9,
    "october": 10,
    "november": 11,
    "december": 12,
}
_SHORT = {name[:3]: number for name, number in MONTHS.items()} | {"sept": 9, "june": 6, "july": 7}
_MONTH = "|".join(sorted({*MONTHS, *_SHORT}, key=len, reverse=True))
_SEASONS = {"spring": 21, "summer": 22, "autumn": 23, "fall": 23, "winter": 24}
_THIRDS = {"early": 0, "mid": 1, "middle": 1, "late": 2}

_Read = Bounds | Problem | None
_Overrides = Mapping[str, float]


def read_date_words(text: str, overrides: _Overrides) -> _Read:
    """Return the bounds, what is wrong, or None when the text is no date in words (nor in EDTF)."""
    plain = re.sub(r"\s+", " ", text.strip().rstrip(".").casefold())
    read = _read_plain(plain, overrides)
    if isinstance(read, Problem):  # in the editor's own letters
        return replace(read, message=str(read.message).replace(repr(plain), repr(text.strip())))
    return read


def _read_plain(plain: str, overrides: _Overrides) -> _Read:
    edtf = read_edtf(plain.upper() if re.fullmatch(r"[-+\dxtyez:?~%./]+", plain) else plain, overrides)
    if edtf is not None:
        return edtf
    for pattern, act in _PHRASES:
        match = re.fullmatch(pattern, plain)
        if match:
            read = act(match, overrides)
            if read is not None:
                return read
    return None


def _open(bound: Callable[[Bounds], Bounds]) -> Callable[[re.Match[str], _Overrides], _Read]:
    """Make the reading of "by", "from", "before" or "after": what is left of the bounds of the inner date."""

    def act(match: re.Match[str], overrides: _Overrides) -> _Read:
        inner = _read_plain(match[1], overrides)
        return bound(inner) if isinstance(inner, Bounds) else inner

    return act


def _by(inner: Bounds) -> Bounds:
    return replace(inner, earliest=None)


def _from(inner: Bounds) -> Bounds:
    return replace(inner, latest=None)


def _before(inner: Bounds) -> Bounds:
    return replace(inner, earliest=None, latest=shift_days(inner.earliest, -1))


def _after(inner: Bounds) -> Bounds:
    return replace(inner, earliest=shift_days(inner.latest, 1), latest=None)


def _about(match: re.Match[str], overrides: _Overrides) -> _Read:
    inner = _read_plain(match[1], overrides)
    return widen(inner, overrides) if isinstance(inner, Bounds) and not inner.approximate else inner


def _perhaps(match: re.Match[str], overrides: _Overrides) -> _Read:
    inner = _read_plain(match[1], overrides)
    return replace(inner, uncertain=True) if isinstance(inner, Bounds) else inner


def _between(match: re.Match[str], overrides: _Overrides) -> _Read:
    last = _read_plain(match[2], overrides)
    if not isinstance(last, Bounds):
        return last
    first_text = match[1]
    if not re.search(r"\d{4}", first_text) and last.latest:
        first_text = f"{first_text} {match[2].split()[-1]}"
    first = _read_plain(first_text, overrides)
    if not isinstance(first, Bounds):
        return first
    if first.earliest and last.latest and first.earliest > last.latest:
        return Problem("inverted-range", f"{match[0]!r} ends before it begins", "write the earlier one first")
    return Bounds(
        first.earliest,
        last.latest,
        first.precision,
        first.approximate or last.approximate,
        first.uncertain or last.uncertain,
    )


def _third(match: re.Match[str], overrides: _Overrides) -> _Read:
    inner = _read_plain(match[2], overrides)
    if not isinstance(inner, Bounds) or inner.earliest is None or inner.latest is None:
        return inner
    third = _THIRDS[match[1]]
    start = inner.earliest
    if inner.precision is Precision.YEAR:
        first, last = date(start.year, 1 + 4 * third, 1), month_bounds(start.year, 4 + 4 * third).latest
        return Bounds(first, last, Precision.SEASON)
    if inner.precision is Precision.MONTH:
        last = start.replace(day=(10, 20)[third]) if third < 2 else inner.latest
        return Bounds(start.replace(day=1 + 10 * third), last, Precision.DAY)
    if inner.precision is Precision.DECADE:
        years = ((0, 3), (4, 6), (7, 9))[third]
        return Bounds(date(start.year + years[0], 1, 1), date(start.year + years[1], 12, 31), Precision.YEAR)
    return Problem(
        "bad-date",
        f"{match[1]!r} goes with a year, a month or a decade, found {match[0]!r}",
        "write the months meant, as 1968-03/1968-05",
    )


def _half(match: re.Match[str], _: _Overrides) -> _Read:
    year, first = int(match[2]), match[1] == "first"
    start, end = (1, 6) if first else (7, 12)
    return Bounds(date(year, start, 1), month_bounds(year, end).latest, Precision.SEASON)


def _dotted(match: re.Match[str], _: _Overrides) -> _Read:
    day, month, year = int(match[1] or 0), int(match[2]), int(match[3])
    spelled = f"{year}-{month:02}" + (f"-{day:02}" if day else "")
    if not 1 <= month <= 12 or day > 31:
        return Problem("bad-date", f"expected a date, found {match[0]!r}", "write year, month and day, as 1968-05-24")
    return Problem("bad-date", f"expected the year first, found {match[0]!r}", f"write {spelled}")


def _season(match: re.Match[str], _: _Overrides) -> _Read:
    return season_bounds(int(match[2]), _SEASONS[match[1]])


def _winter(match: re.Match[str], _: _Overrides) -> _Read:
    year, next_year = int(match[1]), match[2]
    if int(next_year) != (year + 1) % (100 if len(next_year) == 2 else 10000):
        return Problem(
            "bad-date",
            f"a winter runs from one year into the next, found {match[0]!r}",
            f"write winter {year}/{(year + 1) % 100:02}",
        )
    return season_bounds(year, 24)


def _month(match: re.Match[str], _: _Overrides) -> _Read:
    return month_bounds(int(match[2]), _SHORT[match[1][:3]])


def _day(day: str, month: str, year: str) -> _Read:
    return day_bounds(int(year), _SHORT[month[:3]], int(day))


def _decade(match: re.Match[str], _: _Overrides) -> _Read:
    year = int(match[1])
    return Bounds(date(year, 1, 1), date(year + 9, 12, 31), Precision.DECADE)


def _year(match: re.Match[str], _: _Overrides) -> _Read:
    return year_bounds(int(match[1]))


def _spreadsheet(match: re.Match[str], _: _Overrides) -> _Read:
    return Problem(
        "spreadsheet-date",
        f"expected a month with its year in full, found {match[0]!r}, as spreadsheets rewrite dates",
        "write the year first, as 1968-03; in a spreadsheet format the column as text before typing",
    )


def _model_year(match: re.Match[str], _: _Overrides) -> _Read:
    return Problem(
        "not-a-build-date",
        f"expected a date of build, found the model year {match[0]!r}",
        "a model year is not a date of build: put it under `model years:` in the number series",
    )


def _two_digit_year(match: re.Match[str], _: _Overrides) -> _Read:
    return Problem("bad-date", f"expected a year of four digits, found {match[0]!r}", "write the year in full, as 1968")


def _end_of(match: re.Match[str], overrides: _Overrides) -> _Read:
    inner = _read_plain(match[2], overrides)
    if not isinstance(inner, Bounds):
        return inner
    word = {"end": "late", "start": "early", "beginning": "early"}[match[1]]
    return Problem(
        "bad-date",
        f"{match[0]!r} can be read two ways",
        f"write `{word} {match[2]}` for its last or first third, or the days meant",
    )


_TO = r"(?: to | until | and | – | - |–)"
_PHRASES: tuple[tuple[str, Callable[[re.Match[str], _Overrides], _Read]], ...] = (
    (r"(?:(?:about|around|approximately|roughly|circa) |ca?\. ?|c(?=\d{4}))(.+)", _about),
    (r"(?:perhaps|possibly|probably|thought to be) (.+)", _perhaps),
    (r"(?:by|until|till|up to|not after|no later than) (?:the end of )?(.+)", _open(_by)),
    (r"(?:from|since|not before|no earlier than) (.+)", _open(_from)),
    (r"(?:before|earlier than) (.+)", _open(_before)),
    (r"(?:after|later than) (.+)", _open(_after)),
    (rf"between (.+?){_TO}(.+)", _between),
    (rf"({_MONTH})\.?-(\d\d)", _spreadsheet),
    (rf"(\d\d)-({_MONTH})", _spreadsheet),
    (rf"(\d\d?)-({_MONTH})(?:-(\d\d))?", _spreadsheet),
    (r"(early|mid|middle|late)[ -](?:of |in )?(.+)", _third),
    (r"winter (\d{4}) ?[/–-] ?(\d{4}|\d\d)", _winter),
    (r"(?:the )?(spring|summer|autumn|fall|winter) (?:of )?(\d{4})", _season),
    (r"(?:the )?(first|second) half of (\d{4})", _half),
    (r"(?:(\d\d?)\.)?(\d\d?)\.(\d{4})", _dotted),
    (rf"({_MONTH})\.? (?:of )?(\d{{4}})", _month),
    (rf"(\d\d?)(?:st|nd|rd|th)? (?:of )?({_MONTH})\.?,? (\d{{4}})", lambda m, _: _day(m[1], m[2], m[3])),
    (rf"({_MONTH})\.? (\d\d?)(?:st|nd|rd|th)?,? (\d{{4}})", lambda m, _: _day(m[2], m[1], m[3])),
    (rf"(.+?){_TO}(.+)", _between),
    (r"(?:the )?(\d{3}0)'?s", _decade),
    (r"(?:the year )?(\d{4})", _year),
    (r"(?:the )?(end|start|beginning) of (.+)", _end_of),
    (r"(?:model year|my) ?'?\d{2,4}|'?\d{2,4} model(?: year)?", _model_year),
    (rf"(?:{_MONTH}|spring|summer|autumn|fall|winter)\.? '?\d\d", _two_digit_year),
)
