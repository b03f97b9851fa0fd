"""A *when*: a date, a car, or the start or end of production, of a period or of a series."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

from guide.constants import value_of
from guide.facts.text.meant import digits_meant, nearest
from guide.facts.text.problem import Problem
from guide.facts.values import CarNumber, NumberFailure, Text, When, WhenKind
from guide.facts.when.dates_in_words import read_date_words
from guide.facts.when.edtf import Bounds, Precision
from guide.facts.when.numbers import CHASSIS, completions, of_kind, plain_number, read_number
from guide.sentence import listed, one_of, sentence

__all__ = ["NO_CARS", "car_meant", "read_car", "read_day", "read_when", "usual_model_year"]

NO_CARS: Mapping[str, Any] = {"series": []}
_ABOUT = r"(?:about|around|roughly|approximately|circa|ca?\.) ?"
_FROM_CAR = re.compile(
    rf"(?P<about>{_ABOUT}|some ?)?(?P<count>\d{{1,9}}|one|a|two|three) cars? (?P<way>after|before) (?P<car>.+)",
    re.IGNORECASE,
)
_ABOUT_CAR = re.compile(rf"(?P<about>{_ABOUT})?(?P<car>.+)", re.IGNORECASE | re.DOTALL)
_MODEL_YEAR = re.compile(
    r"(?:the )?(?:(?:model year|my) (?P<after>\S+)|(?P<before>\S+) model(?: year)?)", re.IGNORECASE
)
# Signs for "about" that are used of dates, or beside them, typed of a car:
_SOMEWHERE = re.compile(
    r"[~±≈] ?(?P<before>\S+)|(?P<after>\S+?) ?(?:[~≈]|\(?(?:approx(?:\.|imately)?|or so|roughly|about|ca?\.|circa)\)?)",
    re.IGNORECASE,
)
_ABOUT_BEHIND = re.compile(r"(.+?),? \(?(?:approx(?:\.|imately)?|or so|roughly|about|ca?\.?|circa)\)?", re.IGNORECASE)
_DAY_SPOKEN = re.compile(
    r"(?:(?:mon|tues|wednes|thurs|fri|satur|sun)day,? )?(?:the )?(?P<day>\d\d?)(?:st|nd|rd|th)?,?(?: of)? "
    r"(?P<month>[^\W\d]{3,}\.?),? (?P<year>\d{4})",
    re.IGNORECASE,
)
_SPACED = re.compile(r"(\d\d?)\. ?(\d\d?)\. ?(\d{4})")
_YEAR_FIRST = re.compile(r"(\d{4}),? ([^\W\d]{3,}\.?)")
_QUARTER = re.compile(
    r"(?:(?:Q(?=\d)|(?=\d\.? ?Q))(?P<n>[1-4])(?:\.? ?Quartal)?[ /-]*(?P<year>\d{4})|(?P<of>\d{4})[ /-]*Q(?P<at>[1-4]))",
    re.IGNORECASE,
)
_TWO_CARS = re.compile(r" *(?:\.\.+|[-–/,]| (?:or|and|to|oder|und|bis) ) *", re.IGNORECASE)
_SIGNS = {"#": r"\d", "?": "[A-Z0-9?]"}
_FIRST_CAR_YEAR, _LAST_CAR_YEAR = 1885, 2100  # outside these four digits alone are a number, not a year
_FEWEST_DIGITS, _FEWEST_IN_PART = 5, 3  # fewer may be a year, or a part of one
_COUNTS = {"one": 1, "a": 1, "two": 2, "three": 3}


def read_when(
    text: Text,
    table: Mapping[str, Any] = NO_CARS,
    names: Collection[str] = (),
    overrides: Mapping[str, float] | None = None,
    model_years: Collection[str] | None = None,
) -> When | Problem:
    """Return what a text says of when, or what is wrong with it.

    ``table`` is `numbers.number_table`, ``names`` the ids of periods and series that ``start of`` and ``end of``
    may name, ``overrides`` the guide's own constants, ``model_years`` those that tables name, None where none can
    stand.
    """
    constants = overrides or {}
    plain = re.sub(r"\s+", " ", text.strip())
    ends = re.fullmatch(r"(?:the )?(start|beginning|end)(?: of (?:the )?(.+))?", plain, re.IGNORECASE)
    if ends and (ends[2] is None or ends[2] in names or not re.search(r"\d", ends[2])):
        return _read_end("end" if ends[1].casefold() == "end" else "start", ends[2], text, names)
    if plain in names:
        return Problem.of("facts.bad-when.period", found=repr(text), of=plain)
    year = None if model_years is None else _read_model_year(plain, text, model_years, constants)
    if year is not None:
        return year
    car = _read_car_when(plain, text, table, constants)
    somewhere = None if isinstance(car, When) else _SOMEWHERE.fullmatch(plain)
    near = read_number(somewhere["before"] or somewhere["after"], table) if somewhere else None
    if isinstance(near, CarNumber):
        return Problem.of("facts.bad-when.about-car", found=repr(text), car=near.written)
    if car is not None:
        return car
    since = plain[5:] if plain[:5].casefold() == "from " else ""
    named = _read_car_when(since, Text(since, text.place), table, constants) if since else None
    if isinstance(named, When):
        return Problem.of("facts.bad-when.from-car", found=repr(text), car=since)
    bounds = read_date_words(plain, constants)
    no_year = re.fullmatch(r"\d{4}", plain) and not _FIRST_CAR_YEAR <= int(plain) <= _LAST_CAR_YEAR
    bare = _read_bare_number(plain, text, table, constants) if no_year or not isinstance(bounds, Bounds) else None
    if bare is not None:
        return bare
    like_a_number = re.fullmatch(r"[A-Za-z]\d{3,}", plain) is not None and bool(table["series"])
    if isinstance(bounds, Problem) and not like_a_number:
        return bounds
    number = read_number(plain, table)
    failure = number if isinstance(number, NumberFailure) else NumberFailure.NOT_A_NUMBER
    if no_year:
        if table["series"]:
            return _car_problem(plain, failure, table)
        return Problem.of("facts.not-a-build-date", found=plain)
    if bounds is not None and not isinstance(bounds, Problem):
        span = bounds.earliest, bounds.latest, bounds.approximate, bounds.uncertain
        return When(WhenKind.DATE, str(text), text.place, *span)
    like_a_car = failure in (NumberFailure.SHORT, NumberFailure.REGISTRATION)
    if like_a_car or re.fullmatch(r"[A-Za-z]{1,3}[ -]?\d+\w*", plain):
        return _car_problem(plain, failure, table)
    for better in _perhaps(plain, constants):
        if isinstance(read_date_words(better, constants), Bounds):
            return Problem.of("facts.bad-when.perhaps", found=repr(text), better=better)
    example = next((written.replace("#", "1") for written in _notations(table)), "C1840")
    return Problem.of("facts.bad-when", found=repr(text), car=example)


def _perhaps(plain: str, overrides: Mapping[str, float]) -> Iterator[str]:
    """Yield dates that a text may be meant for: out of its brackets, its month before its year, its "about" in front,
    of a quarter its months."""
    yield plain.strip("()[]")
    if spoken := _DAY_SPOKEN.fullmatch(plain):
        day = read_date_words(f"{spoken['day']} {spoken['month']} {spoken['year']}", overrides)
        yield day.earliest.isoformat() if isinstance(day, Bounds) and day.earliest else ""
    if spaced := _SPACED.fullmatch(plain):
        yield f"{spaced[3]}-{int(spaced[2]):02}-{int(spaced[1]):02}"
    if year_first := _YEAR_FIRST.fullmatch(plain):
        month = read_date_words(f"{year_first[2]} {year_first[1]}", overrides)
        yield f"{month.earliest:%Y-%m}" if isinstance(month, Bounds) else ""
    if about := _ABOUT_BEHIND.fullmatch(plain):
        yield f"about {about[1]}"
    if quarter := _QUARTER.fullmatch(plain):
        year, last = quarter["year"] or quarter["of"], 3 * int(quarter["n"] or quarter["at"])
        yield f"{year}-{last - 2:02}/{year}-{last:02}"


def _read_bare_number(
    plain: str, text: Text, table: Mapping[str, Any], overrides: Mapping[str, float]
) -> When | Problem | None:
    """Read what is no date and has no letters as the number of a car, where some notation has room for it.

    What is short of its letters or noughts says which cars it may be; None for what can be no number.
    """
    spoken = _ABOUT_CAR.fullmatch(plain)
    if spoken is None or not re.fullmatch(r"\d[\d ./-]*", spoken["car"]):
        return None
    number = read_number(spoken["car"], table)
    if isinstance(number, CarNumber):
        about = bool(spoken["about"])
        slack = int(value_of("about_car_cars", overrides)) if about else 0
        car = replace(number, text=str(text), place=text.place)
        return When(WhenKind.CAR, str(text), text.place, approximate=about, car=car, cars_slack=slack)
    digits = len(re.sub(r"\D", "", spoken["car"])) if re.fullmatch(r"[\d ]+", spoken["car"]) else 0
    in_part = number is NumberFailure.SHORT and digits >= _FEWEST_IN_PART and completions(spoken["car"], table)
    in_no_run = number in _IN_NO_RUN and digits >= _FEWEST_DIGITS
    return _car_problem(Text(spoken["car"], text.place), number, table) if in_part or in_no_run else None


def usual_model_year(year: str, overrides: Mapping[str, float]) -> tuple[date, date]:
    """Return the days that a model year is taken for where no table says which cars or days it is.

    A stated span about the first of January of its year: visibly loose. Raises ValueError for a name of no year.
    """
    turn = date(int(year[:4]), 1, 1)
    before, after = (int(value_of(f"model_year_{side}", overrides)) for side in ("before", "after"))
    return turn - timedelta(days=before), turn + timedelta(days=after - 1)


def _read_model_year(
    plain: str, text: Text, known: Collection[str], overrides: Mapping[str, float]
) -> When | Problem | None:
    """Read a model year that a table names or, where no table names any, of four digits; None for anything else."""
    named = _MODEL_YEAR.fullmatch(plain)
    year = named and (named["after"] or named["before"])
    if year and re.fullmatch(r"'?\d\d", year) and year not in known:
        return Problem.of("facts.not-a-build-date.model-year-short", found=repr(plain))
    if not year or not (year in known or re.fullmatch(r"\d{4}", year)):
        return None
    if known and year not in known:
        return Problem.of("facts.unknown-model-year", found=repr(year), known=listed(known))
    if known:
        return When(WhenKind.MODEL_YEAR, str(text), text.place, year=year)
    span = usual_model_year(year, overrides)
    return When(WhenKind.MODEL_YEAR, str(text), text.place, *span, approximate=True, year=year)


def _notations(table: Mapping[str, Any]) -> list[str]:
    return [notation["written"] for row in table["series"] for notation in row["notations"]]


def _read_end(kind: str, of: str | None, text: Text, names: Collection[str]) -> When | Problem:
    of = None if of == "production" else of
    if of is None or of in names:
        return When(WhenKind(kind), str(text), text.place, of=of)
    near = nearest(of, names)
    put_right = sentence("facts.write-end-of", kind=kind, of=near) if near else None
    return Problem.of("facts.unknown-period", put_right=put_right, kind=kind, found=repr(of))


def _read_car_when(
    plain: str, text: Text, table: Mapping[str, Any], overrides: Mapping[str, float]
) -> When | Problem | None:
    """Read a car, or so many cars from one; None when the text speaks of no car."""
    if re.fullmatch(r"c\d{4}|[cC]\. ?\d{4}", plain):
        number = read_number(plain, table)
        if isinstance(number, CarNumber):
            return Problem.of("facts.bad-when.car-or-year", found=repr(text), car=number.written, year=plain[-4:])
    from_car = _FROM_CAR.fullmatch(plain)
    spoken = from_car or _ABOUT_CAR.fullmatch(plain)
    if spoken is None:
        return None
    named = re.fullmatch(rf"({'|'.join(_kinds(table))}):? +(?:no\.? +|number +)?(.+)", spoken["car"], re.IGNORECASE)
    among = of_kind(table, named[1].casefold()) if named and named[1].casefold() != "car" else table
    alone = re.sub(r"^(?:no|nr|number)\.? +(?=\S*\d)", "", spoken["car"], flags=re.IGNORECASE)
    numbered = alone != spoken["car"]  # "no. 598"
    car = read_car(Text(named[2] if named else alone, text.place), among)
    lettered = _has_letter_prefix(alone, table)
    if isinstance(car, Problem):
        return car if from_car or named or numbered or (lettered and car.code != "short-number") else None
    if not (from_car or named or lettered or numbered):
        return None  # a bare "1968" is a year
    about = bool(spoken["about"])
    count, slack = 0, value_of("about_car_cars", overrides) if about else 0
    if from_car:
        count = _COUNTS.get(from_car["count"].casefold(), 0) or int(from_car["count"])
        slack = round(count * value_of("about_cars_share", overrides)) if about else 0
        count = count if from_car["way"].casefold() == "after" else -count
    return When(
        WhenKind.CAR, str(text), text.place, approximate=about, car=car, cars_after=count, cars_slack=int(slack)
    )


def _kinds(table: Mapping[str, Any]) -> Iterator[str]:
    """Yield the words that say of what a number is: a car, or a kind of number or a series of it by its id."""
    yield "car"
    for row in table["series"]:
        yield from (re.escape(name) for name in (row.get("kind", CHASSIS), row["id"]))


def _has_letter_prefix(name: str, table: Mapping[str, Any]) -> bool:
    """Tell whether a text fits some notation that has letters, so that it cannot be a date."""
    plain = plain_number(name)
    return any(
        re.match("".join(_SIGNS.get(sign, re.escape(sign)) for sign in notation["pattern"]), plain)
        for row in table["series"]
        for notation in row["notations"]
        if re.search(r"[A-Z]", notation["pattern"])
    )


def read_car(text: Text, table: Mapping[str, Any]) -> CarNumber | Problem:
    """Return the car a text names, or why it cannot be used."""
    read = read_number(text, table)
    return read if isinstance(read, CarNumber) else _car_problem(text, read, table)


_IN_NO_RUN = (NumberFailure.NOT_IN_TABLES, NumberFailure.NEVER_BUILT, NumberFailure.BEYOND_KNOWN)
_FAILURES = {
    NumberFailure.NOT_A_NUMBER: "facts.not-a-number",
    NumberFailure.REGISTRATION: "facts.registration-as-number",
    NumberFailure.SHORT: "facts.short-number",
    **dict.fromkeys(_IN_NO_RUN, "facts.number-not-in-tables"),
    NumberFailure.OUTSIDE: "facts.car-outside-rule",
    NumberFailure.WRONG_CHECK_DIGIT: "facts.wrong-check-digit",
}


def _car_problem(text: str, failure: NumberFailure, table: Mapping[str, Any]) -> Problem:
    if failure in (NumberFailure.NOT_A_NUMBER, NumberFailure.REGISTRATION) and (meant := car_meant(text, table)):
        return Problem.of("facts.not-a-number.letter", found=repr(text), better=meant[0], letters=meant[1])
    two = [read_number(one, table) for one in _TWO_CARS.split(text)] if failure is not NumberFailure.SHORT else []
    if len(two) == 2 and all(isinstance(one, CarNumber) for one in two):
        first, last = (one.written for one in two if isinstance(one, CarNumber))
        return Problem.of("facts.not-a-number.two", found=repr(text), first=first, last=last)
    notations, whole = _notations(table), completions(text, table) if failure is NumberFailure.SHORT else []
    if whole:
        return Problem.of("facts.short-number.of", found=repr(text), cars=one_of(whole[:4]))
    how = sentence("facts.numbers-are-written", as_=listed(notations)) if notations else sentence("facts.no-numbers")
    return Problem.of(_FAILURES[failure], found=repr(text), how=how)


def car_meant(text: str, table: Mapping[str, Any]) -> tuple[str, str] | None:
    """Return the number of a car that a text is but for letters typed for figures, and those letters; None for none."""
    for better, letters in digits_meant(text):
        read = read_number(better, table)
        if isinstance(read, CarNumber):
            return read.written, letters
    return None


def read_day(text: str, overrides: Mapping[str, float]) -> date | Problem:
    """Return one exact day."""
    bounds = read_date_words(text, overrides)
    if isinstance(bounds, Problem):
        return bounds
    if bounds is None or bounds.precision is not Precision.DAY or bounds.earliest != bounds.latest:
        return Problem.of("facts.day-needed", found=repr(text))
    assert bounds.earliest
    return bounds.earliest
