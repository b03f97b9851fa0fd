"""Chassis numbers in their series' own notation.

A notation is written as the series writes it: ``#`` for a digit, ``?`` for a letter or digit that is not
part of the identity (a check digit, a trim code), anything else for itself. In a number a ``?`` in such a place
is a character not known, as the guide's own pages print it; no check digit can then be worked out. Spacing,
dashes, full stops and strokes are forgiven, and so are small letters; the prefix is part of the identity. A
suffix that the series declares may follow. What fits a notation but lies in no run is "not in the tables", in a run
whose end is not known, past the last number known in it, "beyond" that, and in one declared so "never built", with
the source that says so: never a fake.

Everything here is done again in numbers.js from `number_table`; the two are held together by
tests/twins/numbers.json. The check digit is that of 49 CFR 565.15 (c), with integer remainders: the
regulation's own table of decimals misprints 7/11.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator, Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from guide.facts.values import CarNumber, NumberFailure, Text

if TYPE_CHECKING:  # records are read with the numbers in them, so they come after
    from guide.facts.types import Run, Series

__all__ = [
    "CHASSIS",
    "ENDLESS",
    "check_digit",
    "completions",
    "last_number_of",
    "number_table",
    "of_first_kind",
    "of_kind",
    "plain_number",
    "read_number",
    "read_table_number",
    "unbounded_table",
    "write_number",
]

ENDLESS = 10**12  # stands for the end of a run that is not stated
CHASSIS = "chassis"  # the kind of number that goes without saying

# The same signs in numbers.js: blanks of every kind, dashes, full stops, strokes, commas, low lines.
_SEPARATORS = re.compile(
    r"[ \t\n\r\f\v\u00a0\u1680\u2000-\u200b\u2028\u2029\u202f\u205f\u3000\ufeff"
    r"\-\u2010-\u2015\u2212./_\u00b7,]+"
)
_VALUES = (
    {
        letter: value
        for letters, start in (("ABCDEFGH", 1), ("JKLMN", 1), ("STUVWXYZ", 2))
        for value, letter in enumerate(letters, start)
    }
    | {"P": 7, "R": 9}
    | {str(n): n for n in range(10)}
)
_WEIGHTS = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)

# Shapes of road registrations: letters about digits, one letter group or two. A heuristic, tried only on
# what fits no series' notation: common practice, no source.
_REGISTRATION = re.compile(
    r"[A-Z]{1,3}[0-9]{1,4}[A-Z]{1,3}|[A-Z]{2,5}[0-9]{1,4}|[0-9]{1,4}[A-Z]{1,3}|[0-9]{1,3}[A-Z]{2,3}[0-9]{1,3}"
)


def plain_number(text: str) -> str:
    """Return a number as it is compared: capitals, without spacing, dashes, full stops and strokes."""
    return _SEPARATORS.sub("", unicodedata.normalize("NFKC", text).upper())


def check_digit(number: str) -> str | None:
    """Return the check digit (``0`` to ``9`` or ``X``) that 17 characters call for.

    None when the text is not 17 characters of those allowed (no I, O, Q). The ninth character counts nothing.
    Source: 49 CFR 565.15 (c); worked numbers in tests/published/test_check_digit.py.
    """
    if len(number) != 17 or any(character not in _VALUES for character in number):
        return None
    remainder = sum(_VALUES[character] * weight for character, weight in zip(number, _WEIGHTS, strict=True)) % 11
    return "X" if remainder == 10 else str(remainder)


def last_number_of(run: Run, named: Iterable[CarNumber]) -> int:
    """Return the last number of a run; where its end is not stated, the highest known, or that is named in it."""
    if run.last is not None:
        return run.last
    numbers = [car.number for car in named if run.prefix in ("", car.prefix) and car.number >= run.first]
    return max([run.known or run.first, *numbers])


def cars_named(series: Series) -> list[CarNumber]:
    """Return the cars that a series itself names: what lies beyond them in a run without an end is not known."""
    years = [car for row in series.model_years for car in (row.first, row.last) if car is not None]
    calendar = [entry.car for entry in series.calendar]
    return [*calendar, *(one.car for one in series.strays), *(one.car for one in series.dated_cars), *years]


def of_first_kind(series: Mapping[str, Series]) -> dict[str, Series]:
    """Return the series of the numbers by which a car is known: the chassis numbers, or else the kind declared first.

    All others are further numbers on the same cars.
    """
    kinds = [one.kind for one in series.values()]
    first = CHASSIS if CHASSIS in kinds else kinds[0] if kinds else CHASSIS
    return {name: one for name, one in series.items() if one.kind == first}


def number_table(
    series: Mapping[str, Series], *, endless: bool = False, sources: Mapping[str, str] | None = None
) -> dict[str, Any]:
    """Return what reading a number needs, as plain JSON for both languages: by what a car is known comes first.

    ``endless``: a run whose end is not stated holds whatever may come, for what is read to find its highest number.
    ``sources``: their names by id, for whoever is told which of them says that a run was never built.
    """
    every = {**of_first_kind(series), **series}.values()
    return {"series": [_row(one, endless=endless, sources=sources or {}) for one in every]}


def of_kind(table: Mapping[str, Any], kind: str) -> dict[str, Any]:
    """Return a table of numbers with what is of one kind, or has that id, and nothing else."""
    return {"series": [row for row in table["series"] if kind in (row.get("kind", CHASSIS), row["id"])]}


def unbounded_table(series: Series, last: int) -> dict[str, Any]:
    """Return the table of one series in which every number of its notations up to ``last`` was built."""
    return {"series": [_row(series) | {"runs": [["", 0, last, True]], "outside": []}]}


def _row(series: Series, *, endless: bool = False, sources: Mapping[str, str] = MappingProxyType({})) -> dict[str, Any]:
    return {
        "id": series.id,
        "notations": [_notation(written) for written in series.written],
        "suffixes": sorted(series.suffixes, key=lambda suffix: (-len(suffix), suffix)),
        "checkDigit": series.check_digit,
        "runs": list(_runs(series, endless, sources)),
        "outside": [[cars.prefix, cars.first, cars.last] for cars in series.outside],
        **({} if series.kind == CHASSIS else {"kind": series.kind}),
    }


def _runs(series: Series, endless: bool, sources: Mapping[str, str]) -> Iterator[list[Any]]:
    """Yield prefix, first and last number of each run, and whether it was built, None where that is not known; of one
    never built also the name of the source that says so, where it has one."""
    named = cars_named(series)
    for run in series.runs:
        last = ENDLESS if endless and run.last is None else last_number_of(run, named)
        by = [] if run.built or run.source not in sources else [sources[run.source]]
        yield [run.prefix, run.first, last, run.built, *by]
        if run.built and run.last is None and not endless:
            yield [run.prefix, last + 1, ENDLESS, None]


def _notation(written: str) -> dict[str, Any]:
    pattern = plain_number(written)
    return {"written": written, "pattern": pattern, "prefix": pattern.split("#", 1)[0], "digits": pattern.count("#")}


def read_number(text: str, table: Mapping[str, Any]) -> CarNumber | NumberFailure:
    """Return the car number that a text means, or why it cannot be used; ``table`` is a `number_table`."""
    read = read_table_number(text, table)
    if "failure" in read:
        return NumberFailure(read["failure"])
    return CarNumber(**read, text=str(text), place=text.place if isinstance(text, Text) else None)


def read_table_number(text: str, table: Mapping[str, Any]) -> dict[str, Any]:
    """Return ``{series, prefix, number, suffix, written}`` or ``{failure}``; twin of `guide.numbers.read`.

    With a number never built comes ``by``, the name of the source that says so, where there is one.

    A number that lies in a run wins over one that only fits a notation; then the declared order of series.
    """
    plain, notations = plain_number(text), [(row, one) for row in table["series"] for one in row["notations"]]
    fits = [fit for row, notation in notations if (fit := _fit(plain, row, notation))]
    built = next((fit for fit in fits if fit["built"] and not fit["badDigit"]), None)
    failure = NumberFailure.NOT_A_NUMBER
    if any(_is_outside(plain, row) for row in table["series"]):
        failure = NumberFailure.OUTSIDE
    elif built:
        return {key: built[key] for key in ("series", "prefix", "number", "suffix", "written")}
    elif fits:
        wrong, beyond, never = (
            next((fit for fit in fits if fit[why]), None) for why in ("badDigit", "beyond", "never")
        )
        if never and not wrong and not beyond:
            return {
                "failure": str(NumberFailure.NEVER_BUILT),
                **({"by": never["never"][4]} if never["never"][4:] else {}),
            }
        failure = NumberFailure.BEYOND_KNOWN if beyond else NumberFailure.NOT_IN_TABLES
        failure = NumberFailure.WRONG_CHECK_DIGIT if wrong else failure
    elif any(_is_short(plain, row, notation) for row, notation in notations):
        failure = NumberFailure.SHORT
    elif _REGISTRATION.fullmatch(plain):
        without_suffix = re.sub(r"[A-Z]+$", "", plain)  # a suffix that no series has makes no registration of it
        if not any(_fit(without_suffix, row, notation) for row, notation in notations):
            failure = NumberFailure.REGISTRATION
    return {"failure": str(failure)}


def completions(text: str, table: Mapping[str, Any]) -> list[str]:
    """Return the numbers of cars really built that a text short of its letters or noughts may mean, as written."""
    plain, found = plain_number(text), []
    for row in table["series"]:
        suffix = next((one for one in row["suffixes"] if one and plain.endswith(one)), "")
        body = plain.removesuffix(suffix)
        for notation in row["notations"]:
            digits = body.removeprefix(notation["prefix"])
            if re.fullmatch(r"[0-9]+", digits) and len(digits) <= notation["digits"] and "?" not in notation["pattern"]:
                written = _write(row, notation["prefix"], int(digits), suffix, [])
                read = _fit(plain_number(written), row, notation)
                found += [written] if read is not None and read["built"] else []
    return list(dict.fromkeys(found))


def _fit(plain: str, row: Mapping[str, Any], notation: Mapping[str, Any]) -> dict[str, Any] | None:
    pattern = notation["pattern"]
    body, suffix = plain[: len(pattern)], plain[len(pattern) :]
    if len(body) < len(pattern) or suffix not in ("", *row["suffixes"]):
        return None
    digits, others = "", []
    for character, wanted in zip(body, pattern, strict=True):
        if wanted == "#" and character in "0123456789":
            digits += character
        elif wanted == "?" and re.fullmatch(r"[A-Z0-9?]", character):
            others.append(character)
        elif wanted in "#?" or wanted != character:
            return None
    number = int(digits)
    held = [run for run in row["runs"] if run[0] in ("", notation["prefix"]) and run[1] <= number <= run[2]]
    return {
        "series": row["id"],
        "prefix": notation["prefix"],
        "number": number,
        "suffix": suffix,
        "written": _write(row, notation["prefix"], number, suffix, others),
        "built": any(run[3] is True for run in held),
        "beyond": any(run[3] is None for run in held),
        "never": next((run for run in held if run[3] is False), None),
        "badDigit": bool(row["checkDigit"]) and "?" not in others and check_digit(body) != body[8:9],
    }


def _write(row: Mapping[str, Any], prefix: str, number: int, suffix: str, others: list[str]) -> str:
    """Write a number as its series does: in the first notation with its prefix that has room for it."""
    notation = next(one for one in row["notations"] if one["prefix"] == prefix and len(str(number)) <= one["digits"])
    digits, rest, written = list(str(number).zfill(notation["digits"])), list(others), ""
    for character in notation["written"]:
        if character == "#":
            written += digits.pop(0)
        elif character == "?":
            written += rest.pop(0) if rest else "?"
        else:
            written += character
    return written + suffix


def _is_outside(plain: str, row: Mapping[str, Any]) -> bool:
    bodies = (
        (plain.removeprefix(prefix), first, last) for prefix, first, last in row["outside"] if plain.startswith(prefix)
    )
    return any(re.fullmatch(r"[0-9]{1,18}", body) and first <= int(body) <= last for body, first, last in bodies)


def _is_short(plain: str, row: Mapping[str, Any], notation: Mapping[str, Any]) -> bool:
    """Tell whether the prefix or some digits are missing: "1840" or "C412" for "C####"."""
    suffix = next((one for one in row["suffixes"] if plain.endswith(one)), "")
    body = plain.removesuffix(suffix)
    prefix, digits = notation["prefix"], notation["digits"]
    if body.startswith(prefix) and prefix:
        return bool(re.fullmatch(r"[0-9]+", body[len(prefix) :])) and len(body) - len(prefix) < digits
    return bool(re.fullmatch(r"[0-9]+", body)) and (len(body) < digits or (bool(prefix) and len(body) <= digits))


def write_number(series: Series, prefix: str, number: int, suffix: str = "") -> CarNumber:
    """Return a number of a series as the series writes it.

    Where the ninth of 17 characters is a check digit and the only ``?``, the digit is worked out.
    """
    row = _row(series)
    written = _write(row, prefix, number, suffix, [])
    plain = plain_number(written)
    if series.check_digit and len(plain) == 17 and written.count("?") == 1 and plain[8] == "?":
        written = written.replace("?", check_digit(plain.replace("?", "0")) or "?")
    return CarNumber(series.id, prefix, number, suffix, written, written)
