"""Readers of single values: a text, a choice, a number, a share, a day, a when, a car; and lists of them.

Each takes a node and the desk and returns the value, or None with a finding that says what was expected
and what was found.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date
from enum import StrEnum
from typing import TypeVar

from guide.facts.records.fields import Reader, list_of
from guide.facts.text.desk import Desk
from guide.facts.text.meant import nearest
from guide.facts.text.problem import Problem, write
from guide.facts.text.source import Items, Node
from guide.facts.values import Text, When, WhenKind
from guide.facts.when.typed import in_english, read_typed
from guide.facts.when.whens import read_day, read_when
from guide.finding import Place
from guide.sentence import Value, listed, one_of, sentence
from guide.words.say import load_words
from guide.words.typography import typographic

__all__ = [
    "a_share",
    "choice",
    "date_only",
    "day",
    "days_in_order",
    "days_long",
    "duration_days",
    "few_words",
    "ids",
    "in_order",
    "lately",
    "mark_ids",
    "number",
    "of_text",
    "rest_or_share",
    "said",
    "said_last",
    "said_texts",
    "series_id",
    "series_ids",
    "share_of_text",
    "six_digits",
    "source_id",
    "text",
    "texts",
    "typeset",
    "unknown_choice",
    "when",
    "whole",
    "written",
    "yes_no",
]

T = TypeVar("T")
E = TypeVar("E", bound=StrEnum)
D = TypeVar("D", date, When)


def of_text(shape: str, **values: Value) -> Callable[[Callable[[Text, Desk], T | Problem | None]], Reader[T]]:
    """Make what a function does with a text a reader; where that gives None, all has been said elsewhere."""
    taken = sentence(f"facts.shape.{shape}", **values)

    def make(convert: Callable[[Text, Desk], T | Problem | None]) -> Reader[T]:
        def read(node: Node, desk: Desk) -> T | None:
            if not isinstance(node, Text):
                way = "list" if isinstance(node, Items) else "keys"
                desk.refuse(f"facts.wrong-shape.{way}-for-text", node, shape=taken)
                return None
            value = convert(node, desk)
            if isinstance(value, Problem):
                desk.problem(value, node.place)
                return None
            return value

        return Reader(taken, read)

    return make


text: Reader[Text] = of_text("text")(lambda scalar, _: scalar)
# A text that readers see as it stands, with the apostrophes and quotation marks that print has:
said: Reader[Text] = of_text("text")(lambda scalar, desk: typeset(scalar, desk))
# The same where a sentence of ours ends with it: "Ruled by J.T." has one full stop, the sentence's own:
said_last: Reader[Text] = of_text("text")(lambda scalar, desk: typeset(scalar, desk, "."))


def typeset(scalar: Text, desk: Desk, without: str = "") -> Text:
    """Return a text with the signs that print has in its language, and ``without`` what it may end with."""
    printed = typographic(scalar, scalar.language or desk.language).removesuffix(without)
    return Text(printed, scalar.place, scalar.language)


_ABOUT_MANY = re.compile(r"(?:(?:~|≈|ca?\.?|circa|approx(?:\.|imately)?|about|around|some) ?)?(\d+)(?:\.0+|[.,]-)?")
_FEW = 4  # words: more do not stand beside a drawing in one line


@of_text("few-words")
def few_words(scalar: Text, desk: Desk) -> Text | Problem | None:
    """Read a name of so few words that it stands beside a drawing."""
    found = len(scalar.split())
    return said.read(scalar, desk) if found <= _FEW else Problem.of("facts.too-many-words", most=_FEW, n=found)


def choice(kinds: type[E], what: str) -> Reader[E]:
    """Make a reader of one of an enumeration's words; ``what`` finds the sentence of what they are."""
    choices = [str(kind) for kind in kinds]

    @of_text("choice", choices=listed(choices))
    def one_of_them(scalar: Text, _: Desk) -> E | Problem:
        plain = scalar.casefold()
        return kinds(plain) if plain in choices else unknown_choice(scalar, choices, what)

    return replace(one_of_them, choices=tuple(choices))


def unknown_choice(typed: Text, choices: Sequence[str], what: str = "") -> Problem:
    """Return the problem of a word that is none of those that can stand there."""
    put_right, found, known = write(nearest(typed, choices)), repr(typed), listed(choices)
    if not what:
        return Problem.of("facts.unknown-choice", put_right=put_right, choices=known, found=found)
    wanted = sentence(f"facts.choice.{what}")
    return Problem.of("facts.unknown-choice.of", put_right=put_right, what=wanted, choices=known, found=found)


@of_text("colour")
def six_digits(scalar: Text, _: Desk) -> str | Problem:
    """Read a colour as six hex digits, with or without the sign before them."""
    match = re.fullmatch(r"#?([0-9a-f]{6})", scalar.casefold())
    return match[1] if match else Problem.of("facts.not-a-colour", found=repr(scalar))


@of_text("yes-no")
def yes_no(scalar: Text, desk: Desk) -> bool | Problem:
    """Read a yes or a no."""
    plain = in_english(scalar, desk.language, "amount").casefold()
    if plain in ("yes", "true", "y"):
        return True
    if plain in ("no", "false", "n"):
        return False
    return Problem.of("facts.unknown-choice.yes-no", found=repr(scalar))


@of_text("whole-number")
def whole(scalar: Text, desk: Desk) -> int | Problem:
    """Read a count, of cars mostly."""
    match = re.fullmatch(
        r"(?:about |some |at most )?(\d{1,3}(?:[, ]\d{3}){1,3}|\d{1,12})(?: cars?| sets?)?",
        in_english(scalar, desk.language, "amount").casefold(),
    )
    if match:
        return int(re.sub(r"[, ]", "", match[1]))
    if re.fullmatch(r"\d{1,3}(?:[.'’\u00a0\u202f]\d{3})+", scalar):
        better = re.sub(r"\D", "", scalar)
        return Problem.of("facts.not-a-whole-number.thousands", found=repr(scalar), better=better)
    meant = _ABOUT_MANY.fullmatch(scalar.strip().casefold())
    put_right = write(meant[1]) if meant else None
    return Problem.of("facts.not-a-whole-number", put_right=put_right, found=repr(scalar))


@of_text("number")
def number(scalar: Text, _: Desk) -> float | Problem:
    """Read a number that may have a fraction."""
    if re.fullmatch(r"\d+(\.\d+)?", scalar):
        return float(scalar)
    found = repr(scalar)
    if re.fullmatch(r"\d+,\d+", scalar):
        return Problem.of("facts.not-a-number-typed.comma", found=found, number=scalar.replace(",", "."))
    return Problem.of("facts.not-a-number-typed", found=found)


_WRITTEN_OUT = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")


def _in_digits(plain: str) -> str:
    """Return a text with small numbers in digits that are written out: "one in eight"."""
    return plain if plain in _FRACTIONS else re.sub(r"[a-z]+", lambda word: _digits_of(word[0]), plain)


def _digits_of(word: str) -> str:
    return str(_WRITTEN_OUT.index(word) + 1) if word in _WRITTEN_OUT else word


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
    plain = _in_digits(re.sub(r"\s+", " ", scalar.strip().casefold()).removeprefix("about "))
    value: float | None = _FRACTIONS.get(plain)
    if match := re.fullmatch(r"(\d+(?:\.\d+)?)(?: cars?)? ?(?:in|of|out of|/) ?(\d+)(?: cars?)?", plain):
        value = float(match[1]) / float(match[2]) if float(match[2]) else None
    elif match := re.fullmatch(r"(\d+(?:\.\d+)?) ?(?:%|per cent|percent)", plain):
        value = float(match[1]) / 100
    elif re.fullmatch(r"\d+(?:\.\d+)?", plain):
        value = float(plain)
    if value is not None and 1 < value <= 100 and value == int(value) and plain.isdigit():
        return Problem.of("facts.bad-share", put_right=write(f"{plain} %"), found=repr(scalar))
    if value is None or not 0 <= value <= 1:
        return Problem.of("facts.bad-share", found=repr(scalar))
    return value


def _share_typed(scalar: Text, desk: Desk) -> float | Problem:
    return read_typed(scalar, desk.language, share_of_text, "amount")


a_share: Reader[float] = of_text("share")(_share_typed)


@of_text("rest-or-share")
def rest_or_share(scalar: Text, desk: Desk) -> float | str | Problem:
    """Read a share of cars, or that it is what the others leave."""
    return "rest" if scalar.casefold().split()[-1:] == ["rest"] else _share_typed(scalar, desk)


_COUNTED = {"a": 1.0, "an": 1.0, "half a": 0.5}
_DAYS = {"day": 1.0, "week": 7.0, "month": 30.4375, "year": 365.25}


def days_long(duration: str) -> int | None:
    """Return how many days a length of time is, as "3 months", or None."""
    match = re.fullmatch(r"(\d{1,5}|an?|half a) (day|week|month|year)s?", _in_digits(duration.casefold()))
    count = float(_COUNTED.get(match[1], 0.0) or match[1]) if match else 0.0
    return round(count * _DAYS[match[2]]) if match and count > 0 else None


@of_text("duration")
def duration_days(scalar: Text, desk: Desk) -> int | Problem:
    """Read a duration, in days."""
    return days_long(in_english(scalar, desk.language, "amount")) or Problem.of(
        "facts.bad-duration", found=repr(scalar)
    )


day: Reader[date] = of_text("day")(
    lambda scalar, desk: read_typed(scalar, desk.language, lambda plain: read_day(plain, desk.overrides))
)
date_only: Reader[When] = of_text("date")(
    lambda scalar, desk: read_typed(scalar, desk.language, lambda plain: read_when(plain, overrides=desk.overrides))
)


_LOOKED = 60  # years: whoever looked at a car, or ruled, did so in about a working life: common practice, no source
_FIRST_PAPER = 1885  # nobody wrote of cars before


def lately(reader: Reader[D]) -> Reader[D]:
    """Return a reader of a day on which somebody looked or ruled: none to come, and none a century off."""
    return Reader(reader.shape, lambda node, desk: _not_off(reader, node, desk, _LOOKED))


def written(reader: Reader[D]) -> Reader[D]:
    """Return a reader of the day of a paper: none to come, and none from before there were cars."""
    return Reader(reader.shape, lambda node, desk: _not_off(reader, node, desk, None))


def _not_off(reader: Reader[D], node: Node, desk: Desk, years: int | None) -> D | None:
    read, today = reader.read(node, desk), desk.today
    if read is None or today is None:
        return read
    first, last = (read, read) if isinstance(read, date) else read.days()
    oldest = _FIRST_PAPER if years is None else today.year - years
    if first > today or last.year < oldest:
        hundred = -100 if first > today else 100
        other = first.year + hundred
        says = "facts.day-off.to-come" if first > today else "facts.day-off.long-ago"
        fits = oldest <= other <= today.year and str(first.year) in repr(node)
        better = str(node).replace(str(first.year), str(other), 1) if fits else None
        desk.refuse(says, node, put_right=write(better))
    return read


@of_text("when")
def when(scalar: Text, desk: Desk) -> When | Problem | None:
    """Read a when: a date, a car that dates, or an end."""
    if not desk.series_complete and re.fullmatch(r"[A-Za-z]{1,3}-?\d\S*", scalar):
        return None  # a number of what could not be read, as far as one can tell
    read = read_typed(
        scalar,
        desk.language,
        lambda plain: read_when(plain, desk.number_table, desk.when_names, desk.overrides, desk.model_years),
    )
    if isinstance(read, When) and read.car and not desk.series[read.car.series].gives_build_order:
        ordered = [str(series.name) for series in desk.series.values() if series.gives_build_order]
        name = "facts.number-without-order" if ordered else "facts.number-without-order.of-none"
        series = desk.series[read.car.series].name
        return Problem.of(name, found=repr(scalar), series=series, ordered=one_of(ordered))
    if isinstance(read, Problem) and _may_lead_to_what_is_unread(scalar, read, desk):
        return None
    if isinstance(read, Problem) and read.code == "bad-when" and _is_not_known(scalar, desk):
        return replace(read, put_right=sentence("facts.bad-when.not-known"))
    if isinstance(read, Problem) and read.code == "unknown-period":
        named = Text(re.sub(r".* of (?:the )?", "", " ".join(scalar.split()), count=1), scalar.place)
        new = desk.of_today(named, desk.when_names)
        return read if new == named else replace(read, put_right=sentence("facts.write-new", new=new, old=str(named)))
    if isinstance(read, When):
        _note_names(scalar, read, desk)
    if isinstance(read, When) and read.car is not None:
        desk.cars_named.append(read.car)
    return read


def _is_not_known(scalar: Text, desk: Desk) -> bool:
    """Tell whether a text says that nobody knows."""
    said = load_words(desk.typed_in).templates["facts.heard.cannot-tell"]
    return scalar.casefold().strip(" .") in {word.strip() for word in said.casefold().split(";")}


def _note_names(scalar: Text, read: When, desk: Desk) -> None:
    """Note the period or series that a when names: "start of late", "engine 4711"."""
    if read.of:
        desk.refer_to("series" if read.of in desk.series else "period", read.of, scalar.place)
    elif read.car is not None:
        for word in scalar.split():
            if word.rstrip(":") in desk.series:
                desk.refer_to("series", word.rstrip(":"), scalar.place)


_OF_NUMBERS = ("not-a-number", "number-not-in-tables", "registration-as-number", "short-number", "wrong-check-digit")


def _may_lead_to_what_is_unread(scalar: Text, problem: Problem, desk: Desk) -> bool:
    """Tell whether a car, period or series may be known to a file that could not be read: that is said once, there."""
    if problem.code == "unknown-period":
        return desk.ids.get("periods") is None or not desk.series_complete
    one_word = problem.code == "bad-when" and re.fullmatch(r"(?=\D*\d)(?=.*[A-Za-z])\S+", scalar) is not None
    return not desk.series_complete and (one_word or problem.code in _OF_NUMBERS)


def in_order(first: When | None, last: When | None, place: Place, desk: Desk) -> bool:
    """Tell whether a first and a last can both be true; otherwise add a finding.

    By dates, numbers and words alone: which days a car means (`guide.limits.moments`) hangs on lines not yet read.
    """
    if first is None or last is None:
        return True
    inverted = first.days()[0] > last.days()[1]
    if first.car is not None and last.car is not None and first.car.series == last.car.series:
        ends = first.car.number + first.cars_after, last.car.number + last.cars_after
        inverted = first.car.prefix == last.car.prefix and ends[0] > ends[1]
    if (first.kind, last.kind) == (WhenKind.END, WhenKind.START) and first.of == last.of:
        inverted = True
    if inverted:
        desk.find("facts.inverted-range.whens", place, last=repr(last.text), first=repr(first.text))
    return not inverted


def days_in_order(first: date, last: date, place: Place, says: str, desk: Desk, id: str = "") -> bool:
    """Tell whether a first day is not after a last one; otherwise add the finding that ``says`` names."""
    if first > last:
        desk.find(says, place, first=first.isoformat(), last=last.isoformat(), id=id)
    return first <= last


@of_text("source")
def source_id(scalar: Text, desk: Desk) -> Text | None:
    """Read a reference to a source, or to an issue of one: "newsletter 37"."""
    named = Text(" ".join(scalar.split()), scalar.place)
    return named if desk.source(named) else None


mark_id: Reader[Text] = of_text("text")(lambda scalar, desk: scalar if desk.mark(scalar) else None)


@of_text("text")
def series_id(scalar: Text, desk: Desk) -> Text | None:
    """Read a reference to a series."""
    known = tuple(desk.series) if desk.series_complete else None
    return scalar if desk.refer(scalar, known, "facts.unknown-series", "numbers/") else None


ids: Reader[tuple[Text, ...]] = list_of(text.read, "ids")
texts: Reader[tuple[Text, ...]] = list_of(text.read, "texts")
said_texts: Reader[tuple[Text, ...]] = list_of(said.read, "texts")
mark_ids: Reader[tuple[Text, ...]] = list_of(mark_id.read, "ids")
series_ids: Reader[tuple[Text, ...]] = list_of(series_id.read, "ids")
