"""Dates and amounts as a guide's own language types them, put into the English words that their readers know.

What a language says otherwise stands in the words folder, as ``facts.heard.when`` and ``facts.heard.amount``: pairs
"typed=meant" of regular expressions, several divided by semicolons, tried in that order. Keys and ids are the same in
every language, and so is what is English: a German guide may say "about May 1968" as well as "etwa Mai 1968".
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from functools import cache, lru_cache
from typing import TypeVar

from guide.facts.text.problem import Problem
from guide.facts.values import Text, When
from guide.sentence import Sentence
from guide.words.say import load_words

__all__ = ["in_english", "read_typed"]

T = TypeVar("T")
_ALONE = {"early": "start", "late": "end"}  # said of no year they are those of production
_DOTTED_DAY = re.compile(r"\b(\d\d?)\. ?(?=[^\W\d])")
_DOTTED = re.compile(r"(?<![\d.])(?:(\d\d?)\. ?)?(\d\d?)\. ?(\d{4})(?![\d.])")


@cache
def _pairs(language: str, what: str) -> tuple[tuple[re.Pattern[str], str], ...]:
    said = load_words(language).templates[f"facts.heard.{what}"]
    pairs = (pair.strip(" ").rpartition("=") for pair in said.split(";"))
    return tuple((re.compile(rf"(?<![\w-])(?:{typed})(?![\w-])", re.IGNORECASE), meant) for typed, _, meant in pairs)


@cache
def _puts_a_dot(language: str) -> bool:
    """Tell whether a day of the month is written with a dot, so that 4.5.1968 can only be the fourth of May."""
    return load_words(language).templates["words.day_alone"].endswith(".")


def in_english(text: str, language: str, what: str = "when") -> str:
    """Return a text with what its language types for dates (``what`` is "when") or amounts ("amount") in English.

    ``language`` is the guide's; what was typed in another of a guide's languages knows that one itself.
    """
    return _in_english(str(text), getattr(text, "language", "") or language, what)


@lru_cache(maxsize=4096)
def _in_english(text: str, language: str, what: str) -> str:
    plain = " ".join(text.split())
    if what == "when" and _puts_a_dot(language):
        plain = _DOTTED.sub(_year_first, _DOTTED_DAY.sub(r"\1 ", plain))
    for typed, meant in _pairs(language, what):
        plain = typed.sub(meant, plain)
    plain = " ".join(plain.split())
    if plain == " ".join(text.split()):
        return text
    return _ALONE.get(plain, plain) if what == "when" else plain


def _year_first(match: re.Match[str]) -> str:
    """Return a date with dots as it is written here; one that cannot be stays, and is told of."""
    day, month, year = match.groups()
    if not 1 <= int(month) <= 12:
        return match[0]
    return f"{year}-{month:0>2}" + (f"-{day:0>2}" if day else "")


def read_typed(scalar: Text, language: str, read: Callable[[Text], T], what: str = "when") -> T:
    """Return what a reader of English words makes of a text in the guide's language.

    What it holds of the text, and what it finds wrong with it, is of the text as it was typed; a date in another
    language than the guide is read in knows which, so that it is said by its days (`guide.limits.wording`).
    """
    english = in_english(scalar, language, what)
    found = read(Text(english, scalar.place))
    if isinstance(found, When) and (scalar.language or english != scalar):
        return replace(found, text=scalar if scalar.language else str(scalar))
    if english != scalar and isinstance(found, Problem):
        return replace(found, message=_of(found.message, scalar), put_right=_of(found.put_right, scalar))
    return found


def _of(said: Sentence, typed: Text) -> Sentence:
    """Return a sentence that says what was typed where it said how that was read."""
    return Sentence(said.id, tuple((slot, repr(typed) if slot == "found" else value) for slot, value in said.values))
