"""Sentences not yet said: an id of the words folder with the values for its slots. Imports nothing of ours.

Knowledge travels as data. Whoever knows something gives the id of a sentence and its values; words are made of it
once, at the very end, by `guide.words.say.Words.tell`: at the terminal, in a template, in the browser. Nothing ever
takes a finished sentence apart again.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import TypeAlias, Union

__all__ = [
    "Marked",
    "Phrase",
    "Sentence",
    "Value",
    "all_of",
    "chained",
    "count",
    "day",
    "day_range",
    "day_span",
    "duration",
    "figure",
    "in_ten",
    "in_turn",
    "listed",
    "lower_first",
    "marked",
    "month_range",
    "month_span",
    "month_year",
    "number",
    "one_of",
    "one_of_names",
    "ordinal",
    "sentence",
    "side_by_side",
    "upper_first",
]

# What a slot may hold. A text is the guide's own words, an id, a key or something typed: it is shown as it stands.
Value: TypeAlias = Union[str, int, "Sentence", "Phrase", "Marked"]


@dataclass(frozen=True, slots=True)
class Sentence:
    """A sentence by its id (as in guide/words/en/), with a value for each of its slots."""

    id: str
    values: tuple[tuple[str, Value], ...] = ()

    def __reduce__(self) -> tuple[type[Sentence], tuple[str, tuple[tuple[str, Value], ...]]]:
        return Sentence, (self.id, self.values)  # there are many, and the library's way is slow

    def __getitem__(self, slot: str) -> Value:
        """Return the value of a slot. Raises KeyError where the sentence was given none of that name."""
        return dict(self.values)[slot]

    def get(self, slot: str) -> Value | None:
        """Return the value of a slot, or None."""
        return dict(self.values).get(slot)


@dataclass(frozen=True, slots=True)
class Phrase:
    """What every language says in a way of its own: a date, a span, a count, a list, a word as it begins a sentence.

    ``way`` is the name of the method of `guide.words.say.Words` that says it, ``values`` are what that takes.
    """

    way: str
    values: tuple[object, ...]

    def __reduce__(self) -> tuple[type[Phrase], tuple[str, tuple[object, ...]]]:
        return Phrase, (self.way, self.values)


@dataclass(frozen=True, slots=True)
class Marked:
    """A value that a page sets apart from the words round it (`Words.pieces`): ``mark`` says as what."""

    mark: str
    value: Value
    note: int = 0  # the number of a source beneath the page; 0 for none


def sentence(name: str, /, **values: Value) -> Sentence:
    """Return a sentence to be said later. A slot whose name is reserved in Python takes a trailing underscore."""
    return Sentence(name, tuple((slot.rstrip("_"), value) for slot, value in values.items()))


def marked(mark: str, value: Value, note: int = 0) -> Marked:
    """Return a value that a page sets apart."""
    return Marked(mark, value, note)


def day(when: date) -> Phrase:
    """Return "24 May 1968", to be said later."""
    return Phrase("day", (when,))


def month_year(when: date) -> Phrase:
    """Return "May 1968"."""
    return Phrase("month_year", (when,))


def month_span(first: date, last: date) -> Phrase:
    """Return "between June and October 1968", both months belonging to it."""
    return Phrase("span", (first, last))


def month_range(first: date, last: date) -> Phrase:
    """Return "June to October 1968"."""
    return Phrase("range", (first, last))


def day_span(first: date, last: date) -> Phrase:
    """Return "between 3 June and 12 August 1968", both days belonging to it."""
    return Phrase("day_span", (first, last))


def day_range(first: date, last: date) -> Phrase:
    """Return "3 June to 12 August 1968"."""
    return Phrase("day_range", (first, last))


def number(n: int) -> Phrase:
    """Return "4,870"."""
    return Phrase("number", (n,))


def figure(value: float) -> Phrase:
    """Return "0.25"."""
    return Phrase("figure", (value,))


def count(n: int) -> Phrase:
    """Return "two"."""
    return Phrase("count", (n,))


def ordinal(n: int) -> Phrase:
    """Return "second"."""
    return Phrase("ordinal", (n,))


def duration(days: float) -> Phrase:
    """Return "three weeks"."""
    return Phrase("duration", (days,))


def in_ten(chance: float) -> Phrase:
    """Return "three in ten"."""
    return Phrase("in_ten", (chance,))


def in_turn(sentences: Iterable[Value]) -> Phrase:
    """Return several sentences, one after another."""
    return Phrase("in_turn", (tuple(sentences),))


def all_of(things: Iterable[Value]) -> Phrase:
    """Return "a, b and c"."""
    return Phrase("all_of", (tuple(things),))


def one_of(things: Iterable[Value]) -> Phrase:
    """Return "a, b or c"."""
    return Phrase("one_of", (tuple(things),))


def listed(things: Iterable[Value]) -> Phrase:
    """Return "a, b, c": ids, keys and the like, one after another."""
    return Phrase("listed", (tuple(things),))


def chained(name: str, things: Iterable[Value]) -> Value:
    """Return things one after another, each put to those before it by a sentence with slots ``a`` and ``b``.

    Empty for none of them.
    """
    said: Value | None = None
    for thing in things:
        said = thing if said is None else sentence(name, a=said, b=thing)
    return "" if said is None else said


def one_of_names(names: Iterable[Value]) -> Phrase:
    """Return "Toggles, rockers or both"."""
    return Phrase("one_of_names", (tuple(names),))


def side_by_side(things: Iterable[Value]) -> Phrase:
    """Return "a and b", or "a, x; b" where one of them has a comma of its own."""
    return Phrase("side_by_side", (tuple(things),))


def lower_first(value: Value) -> Value:
    """Return words as they stand inside a sentence; nothing stays nothing."""
    return Phrase("lower_first", (value,)) if value != "" else ""


def upper_first(value: Value) -> Value:
    """Return words as they begin a sentence; nothing stays nothing."""
    return Phrase("upper_first", (value,)) if value != "" else ""
