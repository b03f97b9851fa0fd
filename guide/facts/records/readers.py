"""Readers of single values: a text, a choice, a number, a share, a day, a when, a car; and lists of them.

Each takes a node and the desk and returns the value, or None with a finding that says what was expected
and what was found.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date
from enum import StrEnum
from typing import TypeVar

from guide.facts.records.fields import Reader, items_of, shape_of
from guide.facts.text.desk import Desk
from guide.facts.text.problem import Problem, nearest, or_list
from guide.facts.text.source import Items, Node
from guide.facts.types import Text, When, WhenKind
from guide.facts.when.whens import read_day, read_when
from guide.finding import Place
from guide.words.typography import typographic

__all__ = [
    "choice",
    "date_only",
    "day",
    "duration_days",
    "ids",
    "in_order",
    "list_of",
    "number",
    "rest_or_share",
    "said",
    "said_texts",
    "share",
    "share_of_text",
    "source_id",
    "text",
    "texts",
    "when",
    "whole",
    "yes_no",
]

T = TypeVar("T")
E = TypeVar("E", bound=StrEnum)


def _scalar(node: Node, desk: Desk, shape: str) -> Text | None:
    if isinstance(node, Text):
        return node
    desk.say(
        "wrong-shape",
        node.place,
        f"expected {shape}, found {shape_of(node)}",
        "put quotes round text with brackets, braces or a colon in it"
        if not isinstance(node, Items)
        else f"give {shape} alone, without a list",
    )
    return None


def _of_text(shape: str, convert: Callable[[Text, Desk], T | Problem | None]) -> Reader[T]:
    """Make a reader of one scalar; what converts to None has been said elsewhere."""

    def read(node: Node, desk: Desk) -> T | None:
        scalar = _scalar(node, desk, shape)
        if scalar is None:
            return None
        value = convert(scalar, desk)
        if isinstance(value, Problem):
            desk.problem(value, scalar.place)
            return None
        return value

    return Reader(shape, read)


text: Reader[Text] = _of_text("text", lambda scalar, _: scalar)
said: Reader[Text] = _of_text("text", lambda scalar, desk: Text(typographic(scalar, desk.language), scalar.place))
"""A text that readers see as it stands: with the apostrophes and quotation marks that print has."""


def choice(kinds: type[E], what: str) -> Reader[E]:
    """Make a reader of one of an enumeration's words."""
    words = [str(kind) for kind in kinds]

    def convert(scalar: Text, _: Desk) -> E | Problem:
        plain = scalar.casefold()
        if plain in words:
            return kinds(plain)
        near = nearest(plain, words)
        return Problem(
            "unknown-choice",
            f"expected {what}, one of {', '.join(words)}, found {str(scalar)!r}",
            f"write {near}" if near else f"write one of {', '.join(words)}",
        )

    return _of_text(f"one of {', '.join(words)}", convert)


def _yes_no(scalar: Text, _: Desk) -> bool | Problem:
    plain = scalar.casefold()
    if plain in ("yes", "true", "y"):
        return True
    if plain in ("no", "false", "n"):
        return False
    return Problem("unknown-choice", f"expected yes or no, found {str(scalar)!r}", "write yes or no")


yes_no: Reader[bool] = _of_text("yes or no", _yes_no)


def _whole(scalar: Text, _: Desk) -> int | Problem:
    match = re.fullmatch(r"(?:about |some |at most )?(\d{1,3}(?:[, ]\d{3})+|\d+)(?: cars?| sets?)?", scalar.casefold())
    if match:
        return int(re.sub(r"[, ]", "", match[1]))
    return Problem("not-a-whole-number", f"expected a whole number, found {str(scalar)!r}", "write digits only, as 60")


whole: Reader[int] = _of_text("a whole number", _whole)


def _number(scalar: Text, _: Desk) -> float | Problem:
    if re.fullmatch(r"\d+(\.\d+)?", scalar):
        return float(scalar)
    if re.fullmatch(r"\d+,\d+", scalar):
        return Problem(
            "not-a-number-typed",
            f"expected a full stop in a number, found {str(scalar)!r}",
            f"write {scalar.replace(',', '.')}",
        )
    return Problem("not-a-number-typed", f"expected a number, found {str(scalar)!r}", "write digits, as 2 or 0.5")


number: Reader[float] = _of_text("a number", _number)

_FRACTIONS = {
    "half": 0.5,
    "a half": 0.5,
    "a third": 1 / 3,
    "a quarter": 0.25,
    "two thirds": 2 / 3,
    "three quarters": 0.75,
    "all": 1.0,
    "none": 0.0,
}


def share_of_text(scalar: str) -> float | Problem:
    """Return a share from "4 in 10", "1 car in 12", "half", "40 %", "2/3" or "0.4"."""
    plain = re.sub(r"\s+", " ", scalar.strip().casefold()).removeprefix("about ")
    value: float | None = _FRACTIONS.get(plain)
    if match := re.fullmatch(r"(\d+(?:\.\d+)?)(?: cars?)? ?(?:in|of|out of|/) ?(\d+)(?: cars?)?", plain):
        value = float(match[1]) / float(match[2]) if float(match[2]) else None
    elif match := re.fullmatch(r"(\d+(?:\.\d+)?) ?(?:%|per cent|percent)", plain):
        value = float(match[1]) / 100
    elif re.fullmatch(r"\d+(?:\.\d+)?", plain):
        value = float(plain)
    if value is None or not 0 <= value <= 1:
        return Problem(
            "bad-share",
            f"expected a share between none and all, found {str(scalar)!r}",
            "write it as 4 in 10, 40 %, half or 0.4",
        )
    return value


share: Reader[float] = _of_text("a share, as 4 in 10, 40 %, half or 0.4", lambda scalar, _: share_of_text(scalar))

_DAYS = {"day": 1.0, "week": 7.0, "month": 30.4375, "year": 365.25}


def _duration(scalar: Text, _: Desk) -> int | Problem:
    match = re.fullmatch(r"(\d+) (day|week|month|year)s?", scalar.casefold())
    if match and int(match[1]) > 0:
        return round(int(match[1]) * _DAYS[match[2]])
    return Problem(
        "bad-duration", f"expected a length of time, found {str(scalar)!r}", "write it as 3 months or 90 days"
    )


duration_days: Reader[int] = _of_text("a length of time, as 3 months", _duration)
day: Reader[date] = _of_text("a day, as 1968-05-24", lambda scalar, desk: read_day(scalar, desk.overrides))


def _when(scalar: Text, desk: Desk) -> When | Problem | None:
    read = read_when(scalar, desk.table, desk.when_names, desk.overrides)
    if isinstance(read, When) and read.car and not desk.series[read.car.series].gives_build_order:
        ordered = [series.name for series in desk.series.values() if series.gives_build_order]
        return Problem(
            "number-without-order",
            f"{str(scalar)!r} is a number of {desk.series[read.car.series].name}, which gives no build order",
            f"give the car's number of {or_list(ordered)}",
        )
    if isinstance(read, Problem) and _may_lead_to_what_is_unread(scalar, read, desk):
        return None
    return read


_OF_NUMBERS = ("not-a-number", "number-not-in-tables", "registration-as-number", "short-number", "wrong-check-digit")


def _may_lead_to_what_is_unread(scalar: Text, problem: Problem, desk: Desk) -> bool:
    """Tell whether a car, period or series may be known to a file that could not be read: that is said once, there."""
    if problem.code == "unknown-period":
        return desk.periods is None or not desk.series_complete
    one_word = problem.code == "bad-when" and re.fullmatch(r"(?=\D*\d)(?=.*[A-Za-z])\S+", scalar) is not None
    return not desk.series_complete and (one_word or problem.code in _OF_NUMBERS)


when: Reader[When] = _of_text("a date, a car, `start` or `end`", _when)
date_only: Reader[When] = _of_text(
    "a date, as 1968-05 or spring 1968", lambda scalar, desk: read_when(scalar, overrides=desk.overrides)
)


def _source(node: Node, desk: Desk) -> Text | None:
    scalar = _scalar(node, desk, "a source's id")
    return scalar if scalar is not None and desk.source(scalar) else None


source_id: Reader[Text] = Reader("the id of a source", _source)


def _rest_or_share(node: Node, desk: Desk) -> float | str | None:
    scalar = text.read(node, desk)
    if scalar is None:
        return None
    if scalar.casefold() in ("rest", "the rest"):
        return "rest"
    share = share_of_text(scalar)
    if isinstance(share, Problem):
        desk.problem(share, scalar.place)
        return None
    return share


rest_or_share: Reader[float | str] = Reader("a share, as 4 in 10, or `rest` for what the others leave", _rest_or_share)


def in_order(first: When | None, last: When | None, place: Place, desk: Desk) -> bool:
    """Tell whether a first and a last can both be true; otherwise add a finding."""
    if first is None or last is None:
        return True
    inverted = first.earliest is not None and last.latest is not None and first.earliest > last.latest
    if first.car is not None and last.car is not None and first.car.series == last.car.series:
        ends = first.car.number + first.cars_after, last.car.number + last.cars_after
        inverted = first.car.prefix == last.car.prefix and ends[0] > ends[1]
    if (first.kind, last.kind) == (WhenKind.END, WhenKind.START) and first.of == last.of:
        inverted = True
    if inverted:
        desk.say("inverted-range", place, f"{last.text!r} is before {first.text!r}", "exchange the two, or correct one")
    return not inverted


def list_of(one: Reader[T], shape: str | None = None) -> Reader[tuple[T, ...]]:
    """Make a reader of a list; a single thing counts as a list of one. What cannot be read is left out."""

    def read(node: Node, desk: Desk) -> tuple[T, ...] | None:
        values = [one.read(item, desk) for item in items_of(node)]
        return tuple(value for value in values if value is not None)

    return Reader(shape or f"a list of {one.shape}", read)


texts: Reader[tuple[Text, ...]] = list_of(text, "text, or a list of texts")
said_texts: Reader[tuple[Text, ...]] = list_of(said, "text, or a list of texts")
ids: Reader[tuple[Text, ...]] = list_of(text, "an id, or a list of ids")
