"""Dates in an editor's words: "spring 1968", "about May 1968", "by June 1968", "late 1969".

Each means what the same date means in EDTF (see `edtf`); what EDTF cannot say (early, middle, late) is a
third of the year or of the month: common practice, no source.
"""

from __future__ import annotations

import difflib
import re
import unicodedata
from collections.abc import Callable, Mapping
from dataclasses import replace

from guide.facts.text.problem import Problem
from guide.facts.when.edtf import (
    Bounds,
    Precision,
    day_bounds,
    read_edtf,
    season_bounds,
    shift_days,
    spanning,
    week_bounds,
    whole_months,
    widen,
)
from guide.sentence import sentence

__all__ = ["read_date_words"]

_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_MONTH = (
    "january|february|march|april|june|july|august|september|october|november|december|"
    "jan|feb|mar|apr|may|jun|jul|aug|sept|sep|oct|nov|dec"
)
_SEASONS = {"spring": 21, "summer": 22, "autumn": 23, "fall": 23, "winter": 24}
_THIRDS = {"early": 0, "mid": 1, "middle": 1, "late": 2}
_THIRD_OF_TEN = ((0, 4), (4, 3), (7, 3))  # where a third of ten years begins, and how many years it has
_DATED = re.IGNORECASE | re.ASCII

_Read = Bounds | Problem | None
_Overrides = Mapping[str, float]
_Act = Callable[[re.Match[str], _Overrides], _Read]


def read_date_words(text: str, overrides: _Overrides) -> _Read:
    """Return the bounds, what is wrong, or None when the text is no date in words (nor in EDTF)."""
    plain = re.sub(r"\s+", " ", unicodedata.normalize("NFKC", text)).strip()
    return _read(re.sub(r"(?<=\w)\.+$", "", plain), overrides)


def _read(plain: str, overrides: _Overrides) -> _Read:
    edtf = read_edtf(plain, overrides)
    if edtf is not None:
        return edtf
    matches = ((re.fullmatch(pattern, plain, _DATED), act) for pattern, act in _PHRASES)
    return next((read for match, act in matches if match and (read := act(match, overrides)) is not None), None)


def _of_inner(change: Callable[[Bounds, _Overrides], Bounds]) -> _Act:
    """Make the reading of a word before a date ("by", "about"): what it makes of the bounds of that date."""

    def act(match: re.Match[str], overrides: _Overrides) -> _Read:
        inner = _read(match[1], overrides)
        return change(inner, overrides) if isinstance(inner, Bounds) else inner

    return act


def _refused(name: str) -> _Act:
    return lambda match, _: Problem.of(name, found=repr(match[0]))


def _between(match: re.Match[str], overrides: _Overrides) -> _Read:
    last = _read(match[2], overrides)
    if not isinstance(last, Bounds):
        return last
    first_text = match[1]
    if not re.search(r"\d{4}", first_text) and last.latest:
        first_text = f"{first_text} {match[2].split()[-1]}"
    first = _read(first_text, overrides)
    if not isinstance(first, Bounds):
        return first
    return spanning(first, last) or Problem.of("facts.inverted-range.earlier-first", found=repr(match[0]))


def _third(match: re.Match[str], overrides: _Overrides) -> _Read:
    inner = _read(match[2], overrides)
    if not isinstance(inner, Bounds) or inner.earliest is None or inner.latest is None:
        return inner
    start, third = inner.earliest, _THIRDS[match[1].casefold()]
    if inner.precision is Precision.YEAR:
        return whole_months(start.year, 1 + 4 * third, Precision.SEASON, 4)
    if inner.precision is Precision.MONTH:
        last = start.replace(day=(10, 20)[third]) if third < 2 else inner.latest
        return Bounds(start.replace(day=1 + 10 * third), last, Precision.DAY)
    if inner.precision is Precision.DECADE:
        begins, years = _THIRD_OF_TEN[third]
        return whole_months(start.year + begins, 1, Precision.YEAR, 12 * years)
    return Problem.of("facts.bad-date.third", part=repr(match[1]), found=repr(match[0]))


def _dotted(match: re.Match[str], _: _Overrides) -> _Read:
    day, month, year = match[1] or "", match[2], match[3]
    if not 1 <= int(month) <= 12 or int(day or 0) > 31:
        return Problem.of("facts.bad-date.dotted", found=repr(match[0]))
    better = f"{year}-{month:0>2}" + (f"-{day:0>2}" if int(day or 0) else "")
    return Problem.of("facts.bad-date.year-last", found=repr(match[0]), better=better)


def _dotted_short(match: re.Match[str], _: _Overrides) -> _Read:
    day, month, year = (int(match[part]) for part in ("day", "month", "year"))
    if day > 31:
        day, year = year, day  # the year typed first
    elif month > 12:
        day, month = month, day
    if not 1 <= month <= 12 or not 1 <= day <= 31:
        return Problem.of("facts.bad-date.dotted", found=repr(match[0]))
    century = 1900 if year >= _FIRST_OF_1900S else 2000
    better, other = (f"{first + year}-{month:02}-{day:02}" for first in (century, 3900 - century))
    return Problem.of("facts.bad-date.dotted-short", found=repr(match[0]), better=better, other=other)


def _month_abroad(match: re.Match[str], _: _Overrides) -> _Read:
    """Refuse a month in another language, or misspelt in any, saying how it is written here."""
    plain = "".join(one for one in unicodedata.normalize("NFKD", match["month"].casefold()) if one.isalpha())
    month = next((number for number, names in enumerate(_ABROAD, 1) if plain in names.split()), 0)
    name = "other-language" if month else "misspelt"
    month = month or _month_nearest(plain)
    if not month:
        return None
    better = f"{match['year']}-{month:02}" + (f"-{int(match['day']):02}" if match["day"] else "")
    return Problem.of(f"facts.bad-date.{name}", found=repr(match[0]), better=better)


def _month_nearest(plain: str) -> int:
    """Return the month that a misspelt word is nearest to, from 1; 0 where none is near."""
    months = {name: number for number, names in enumerate(_ABROAD, 1) for name in names.split()}
    months |= {name: _month_of(name) for name in _MONTH.split("|")}
    near = difflib.get_close_matches(plain, months, n=1, cutoff=_MISSPELT)
    return months[near[0]] if near else 0


def _winter(match: re.Match[str], _: _Overrides) -> _Read:
    year, next_year = int(match[1]), match[2]
    if int(next_year) != (year + 1) % (100 if len(next_year) == 2 else 10000):
        better = f"{year}/{(year + 1) % 100:02}"
        return Problem.of("facts.bad-date.winter", found=repr(match[0]), better=better)
    return season_bounds(year, 24)


def _day(day: str, month: str, year: str) -> _Read:
    return day_bounds(int(year), _month_of(month), int(day))


def _month_of(name: str) -> int:
    return _MONTHS.index(name[:3].casefold()) + 1


def _end_of(match: re.Match[str], overrides: _Overrides) -> _Read:
    inner = _read(match[2], overrides)
    if not isinstance(inner, Bounds):
        return inner
    way = "end" if match[1].casefold() == "end" else "start"
    put_right = sentence(f"facts.bad-date.two-ways.{way}", of=match[2])
    return Problem.of("facts.bad-date.two-ways", put_right=put_right, found=repr(match[0]))


_MISSPELT = 0.75  # the least ratio of `difflib` at which a word is a month misspelt: common practice, no source
_FIRST_OF_1900S = 40  # years of two digits from here on are taken for the last century's: common practice, no source

# Months as editors of other lands type them (German, French, Dutch, Spanish, Italian, Portuguese, Swedish,
# Danish, Norwegian, Polish, Czech), accents off
_ABROAD = (
    "januar janner jan janvier janv januari enero ene gennaio gen janeiro stycznia styczen leden ledna",
    "februar feber fevrier fevr februari febrero febbraio fevereiro lutego luty unor unora",
    "marz maerz mars maart mrt marzo mar marco marts marzec marca brezen brezna",
    "april avril avr abril abr aprile kwietnia kwiecien duben dubna",
    "mai mei mayo maggio mag maio maj maja kveten kvetna",
    "juni juin junio giugno giu junho czerwca czerwiec cerven cervna",
    "juli juillet juil julio luglio lug julho lipca lipiec cervenec cervence",
    "august aout augustus agosto ago augusti sierpnia sierpien srpen srpna",
    "september septembre septiembre settembre set setembro wrzesnia wrzesien zari",
    "oktober okt octobre octubre ottobre ott outubro out pazdziernika pazdziernik rijen rijna",
    "november novembre noviembre novembro listopada listopad listopadu",
    "dezember dez decembre diciembre dic dicembre dezembro december desember grudnia grudzien prosinec prosince",
)
_TO = r"(?: to | until | and | – | - |–)"
_PHRASES: tuple[tuple[str, _Act], ...] = (
    (
        r"(?:(?:about|around|approximately|roughly|circa) |ca?\. ?|c(?=\d{4}))(.+)",
        _of_inner(lambda date, overrides: date if date.approximate else widen(date, overrides)),
    ),
    (r"(?:perhaps|possibly|probably|thought to be) (.+)", _of_inner(lambda date, _: replace(date, uncertain=True))),
    (
        r"(?:by|until|till|up to|not after|no later than) (?:the end of )?(.+)",
        _of_inner(lambda date, _: replace(date, earliest=None)),
    ),
    (r"(?:from|since|not before|no earlier than) (.+)", _of_inner(lambda date, _: replace(date, latest=None))),
    (
        r"(?:before|earlier than) (.+)",
        _of_inner(lambda date, _: replace(date, earliest=None, latest=shift_days(date.earliest, -1))),
    ),
    (
        r"(?:after|later than) (.+)",
        _of_inner(lambda date, _: replace(date, earliest=shift_days(date.latest, 1), latest=None)),
    ),
    (rf"between (.+?){_TO}(.+)", _between),
    (rf"(?:{_MONTH})\.?-\d\d|\d\d?-(?:{_MONTH})(?:-\d\d)?", _refused("facts.spreadsheet-date")),
    (r"(early|mid|middle|late)[ -](?:of |in )?(.+)", _third),
    (r"winter (\d{4}) ?[/–-] ?(\d{4}|\d\d)", _winter),
    (
        r"(?:the )?(spring|summer|autumn|fall|winter) (?:of )?(\d{4})",
        lambda match, _: season_bounds(int(match[2]), _SEASONS[match[1].casefold()]),
    ),
    (
        r"(?:week|wk) (\d\d?)(?: of |, ?| )(\d{4})|(?:the )?(\d\d?)(?:st|nd|rd|th) week of (\d{4})",
        lambda match, _: week_bounds(int(match[2] or match[4]), int(match[1] or match[3])),
    ),
    (r"(?:the )?first half of (\d{4})", lambda match, _: whole_months(int(match[1]), 1, Precision.SEASON, 6)),
    (r"(?:the )?second half of (\d{4})", lambda match, _: whole_months(int(match[1]), 7, Precision.SEASON, 6)),
    (r"(?:(\d\d?)\.)?(\d\d?)\.(\d{4})", _dotted),
    (r"(?P<day>\d\d?)(?P<sign>[.-])(?P<month>\d\d?)(?P=sign)(?P<year>\d\d)", _dotted_short),
    (rf"({_MONTH})\.? (?:of )?(\d{{4}})", lambda match, _: whole_months(int(match[2]), _month_of(match[1]))),
    (rf"(\d\d?)(?:st|nd|rd|th)? (?:of )?({_MONTH})\.?,? (\d{{4}})", lambda m, _: _day(m[1], m[2], m[3])),
    (rf"({_MONTH})\.? (\d\d?)(?:st|nd|rd|th)?,? (\d{{4}})", lambda m, _: _day(m[2], m[1], m[3])),
    (r"(?:(?P<day>\d\d?)(?:\.|er|º)? (?:de )?)?(?P<month>[^\s\d.]{3,12})\.?,? (?:de )?(?P<year>\d{4})", _month_abroad),
    (r"(?P<month>[^\s\d.]{3,12})\.? (?P<day>\d\d?)(?:st|nd|rd|th)?,? (?P<year>\d{4})", _month_abroad),
    (rf"(.+?){_TO}(.+)", _between),
    (r"(?:the )?(\d{3}0)'?s", lambda match, _: whole_months(int(match[1]), 1, Precision.DECADE)),
    (r"(?:the year )?(\d{4})", lambda match, _: whole_months(int(match[1]), 1, Precision.YEAR)),
    (r"(?:the )?(end|start|beginning) of (.+)", _end_of),
    (r"(?:model year|my) ?'?\d{2,4}|'?\d{2,4} model(?: year)?", _refused("facts.not-a-build-date.model-year")),
    (rf"(?:{_MONTH}|spring|summer|autumn|fall|winter)\.? '?\d\d", _refused("facts.bad-date.short-year-in-words")),
)
