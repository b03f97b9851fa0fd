"""A *when*: a date, a car, or the start or end of production, of a period or of a series."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from datetime import date
from typing import Any

from guide.constants import value_of
from guide.facts.text.problem import Problem, nearest
from guide.facts.values import CarNumber, NumberFailure, Text, When, WhenKind
from guide.facts.when.edtf import Precision
from guide.facts.when.numbers import plain_number, read_table_number
from guide.facts.when.word_dates import read_date_words
from guide.finding import Place

__all__ = ["NO_CARS", "car_problem", "read_car", "read_day", "read_when_text"]

NO_CARS: Mapping[str, Any] = {"series": []}

_AFTER = re.compile(
    r"(?P<about>(?:about|around|some|roughly|approximately|circa|ca?\.) ?)?"
    r"(?P<count>\d+|one|a|two|three) cars? "
    r"(?P<way>after|before) (?P<car>.+)",
    re.IGNORECASE,
)
_ABOUT_CAR = re.compile(r"(?:about|around|roughly|approximately|circa|ca?\.) ?(?P<car>.+)", re.IGNORECASE)
_SIGNS = {"#": r"\d", "?": "[A-Z0-9?]"}
_FIRST_CAR_YEAR, _LAST_CAR_YEAR = 1885, 2100  # outside these four digits alone are a number, not a year
_COUNTS = {"one": 1, "a": 1, "two": 2, "three": 3}
_HOW = "write a date such as 1968-03, a car such as `car {car}`, `start` or `end`"


def read_when_text(
    text: str, place: Place, table: Mapping[str, Any], names: Collection[str], overrides: Mapping[str, float]
) -> When | Problem:
    """Return what a text says of when.

    ``table`` is `numbers.number_table`, ``names`` the ids of periods and series that ``start of`` may name.
    """
    plain = re.sub(r"\s+", " ", text.strip())
    ends = re.fullmatch(r"(?:the )?(start|end)(?: of (?:the )?(.+))?", plain, re.IGNORECASE)
    if ends and (ends[2] is None or ends[2] in names or not re.search(r"\d", ends[2])):
        return _read_end(ends[1].casefold(), ends[2], text, place, names)
    car = _read_car_when(plain, text, place, table, overrides)
    if car is not None:
        return car
    bounds = read_date_words(plain, overrides)
    if isinstance(bounds, Problem):
        return bounds
    if re.fullmatch(r"\d{4}", plain) and not _FIRST_CAR_YEAR <= int(plain) <= _LAST_CAR_YEAR:
        if table["series"]:
            return car_problem(plain, table)
        return Problem("not-a-build-date", f"no car was built in {plain}", "correct the year")
    if bounds is not None:
        return When(
            WhenKind.DATE, str(text), place, bounds.earliest, bounds.latest, bounds.approximate, bounds.uncertain
        )
    failure = read_table_number(plain, table).get("failure")
    if failure in (NumberFailure.SHORT, NumberFailure.REGISTRATION) or re.fullmatch(r"[A-Za-z]{1,3}[ -]?\d+\w*", plain):
        return car_problem(plain, table)
    return Problem("bad-when", f"expected a date or a car, found {str(text)!r}", _HOW.format(car=_example(table)))


def _example(table: Mapping[str, Any]) -> str:
    for row in table["series"]:
        for notation in row["notations"]:
            return str(notation["written"]).replace("#", "1")
    return "C1840"


def _read_end(kind: str, of: str | None, text: str, place: Place, names: Collection[str]) -> When | Problem:
    if of in (None, "production"):
        return When(WhenKind(kind), str(text), place)
    assert of is not None
    if of not in names:
        near = nearest(of, names)
        return Problem(
            "unknown-period",
            f"expected a period or number series after `{kind} of`, found {of!r}",
            f"write `{kind} of {near}`" if near else "use an id from periods.yml, or `start` or `end` alone",
        )
    return When(WhenKind(kind), str(text), place, of=of)


def _read_car_when(
    plain: str, text: str, place: Place, table: Mapping[str, Any], overrides: Mapping[str, float]
) -> When | Problem | None:
    """Read a car, or so many cars from one; None when the text speaks of no car."""
    after = _AFTER.fullmatch(plain)
    about = None if after else _ABOUT_CAR.fullmatch(plain)
    if re.fullmatch(r"c\d{4}|[cC]\. ?\d{4}", plain):
        number = read_table_number(plain, table)
        if "failure" not in number:
            return Problem(
                "bad-when",
                f"{str(text)!r} can be read as the car {number['written']} or as about {plain[-4:]}",
                f"write `car {number['written']}`, or `about {plain[-4:]}`",
            )
    name = (after or about)["car"] if after or about else plain  # type: ignore[index]
    named = re.fullmatch(r"car:? +(.+)", name, re.IGNORECASE)
    car = read_car(Text(named[1] if named else name, place), table)
    if isinstance(car, Problem):
        looks_so = after or named or (_has_letter_prefix(name, table) and car.code != "short-number")
        return car if looks_so else None
    if not (after or named or _has_letter_prefix(name, table)):
        return None  # a bare "1968" is a year
    if after:
        count = int(_COUNTS.get(after["count"].casefold(), 0) or after["count"])
        share = value_of("about_cars_share", overrides) if after["about"] else 0
        signed = count if after["way"].casefold() == "after" else -count
        return When(
            WhenKind.CAR,
            str(text),
            place,
            approximate=bool(after["about"]),
            car=car,
            cars_after=signed,
            cars_slack=round(count * share),
        )
    slack = int(value_of("about_car_cars", overrides)) if about else 0
    return When(WhenKind.CAR, str(text), place, approximate=bool(about), car=car, cars_slack=slack)


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
    """Return the car a text names, or in plain words why it cannot be used."""
    read = read_table_number(text, table)
    if "failure" in read:
        return car_problem(text, table)
    return CarNumber(
        read["series"], read["prefix"], read["number"], read["suffix"], read["written"], str(text), text.place
    )


def car_problem(text: str, table: Mapping[str, Any]) -> Problem:
    """Word why a number cannot be used."""
    failure = NumberFailure(read_table_number(text, table).get("failure", NumberFailure.NOT_A_NUMBER))
    notations = [notation["written"] for row in table["series"] for notation in row["notations"]]
    how = f"numbers are written {', '.join(notations)} (# is a digit)" if notations else "no number series can be read"
    shown = repr(str(text))
    match failure:
        case NumberFailure.REGISTRATION:
            return Problem(
                "registration-as-number",
                f"expected a chassis number, found {shown}, which looks like a road registration",
                how,
            )
        case NumberFailure.SHORT:
            return Problem(
                "short-number",
                f"expected a whole chassis number, found {shown}: its prefix or leading noughts are missing",
                how + "; spreadsheets drop leading noughts: format the column as text",
            )
        case NumberFailure.NOT_IN_TABLES:
            return Problem(
                "number-not-in-tables",
                f"the number {shown} is not in the tables: it lies in no run of cars built",
                "correct the number, or the `runs:` of its series",
            )
        case NumberFailure.OUTSIDE:
            return Problem(
                "car-outside-rule",
                f"the car {shown} is named as outside the rule, so it dates nothing",
                "tell of it in `about:`, or take it out of `outside:`",
            )
        case NumberFailure.WRONG_CHECK_DIGIT:
            return Problem(
                "wrong-check-digit",
                f"the check digit of {shown} is not the one the other characters call for (49 CFR 565.15)",
                "compare the number with its source, character by character",
            )
    return Problem("not-a-number", f"expected a chassis number, found {shown}", how)


def read_day(text: str, overrides: Mapping[str, float]) -> date | Problem:
    """Return one exact day."""
    bounds = read_date_words(text, overrides)
    if isinstance(bounds, Problem):
        return bounds
    if bounds is None or bounds.precision is not Precision.DAY or bounds.earliest != bounds.latest:
        return Problem(
            "day-needed", f"expected one day, found {str(text)!r}", "write year, month and day, as 1968-05-24"
        )
    assert bounds.earliest
    return bounds.earliest
