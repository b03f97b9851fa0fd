"""Sentences for screen and terminal: how words are made of them.

A template (`guide.words.languages`) holds two kinds of slot and nothing else:

``{name}``
    is filled with what the caller gives for ``name``;
``{name|one|many}``
    chooses by the number given for ``name``. How many choices there are and which is meant is the language's
    own rule, named in its words.json under ``words.plural`` (`PLURALS`).

A language that lacks a sentence says it in English. What can be counted on in every language (dates in words,
spans, lists, lengths of time) stands here once, with its browser twin in say.js; the
cases in tests/twins/words.json are run on both sides.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from datetime import date, timedelta
from functools import cache
from typing import Any

from guide.sentence import Marked, Phrase, Sentence, Value, chained
from guide.words.languages import languages, main_of, own_templates, untranslated
from guide.words.plurals import plural_category

__all__ = ["ENGLISH", "Words", "load_words", "upper_first", "words_of_pages"]

ENGLISH = ("\ue000", "\ue001")  # put round what stands in English among another language, until a page marks it
_LATE = (Sentence, Phrase, Marked)  # what is not yet said
SLOT = re.compile(r"\{([a-z][a-z0-9_]*)((?:\|[^{}|]*)+)?\}")
_STOPPED = re.compile(r"[^\s.][.!?…]$")  # what ends as a sentence does

_Piece = tuple[str, str | None]  # of a template: a slot to be filled, with None; or "" and the text between two


class Words:
    """The sentences of one language. Slots whose names are reserved in Python take a trailing underscore."""

    def __init__(
        self,
        language: str,
        templates: Mapping[str, str],
        *,
        marks_english: bool = False,
        hidden: Mapping[str, str] | None = None,
    ) -> None:
        self.language = language
        self.templates = templates
        self.marks_english = marks_english
        self.hidden = dict(hidden or {})  # texts of slots, and what is said in their place
        self._cuts: dict[str, list[_Piece]] = {}  # each template said so far, where nothing in it is chosen
        self._plain: dict[str, str] = {}  # what sentences without slots say
        self._lowered: dict[str, str] = {}  # what `lower_first` has said so far
        self._split: dict[str, list[str]] = {}  # the others: text, then by turns slot, choices, text

    def tell(self, value: Value) -> str:
        """Return what a slot holds in words: a text as it stands, a sentence said, a phrase in this language's way.

        Raises KeyError for a sentence or slot that is not there: that is a fault of the program.
        """
        if type(value) is str:
            return self.hidden.get(value, value) if self.hidden else value
        if isinstance(value, Sentence):
            return self._filled(value.id, dict(value.values))
        if isinstance(value, Phrase):
            return str(getattr(self, value.way)(*value.values))
        if isinstance(value, Marked):
            return self.tell(value.value)
        return self.hidden.get(value, value) if isinstance(value, str) else str(value)

    def hiding(self, hidden: Mapping[str, str]) -> Words:
        """Return words that say something else where a slot holds one of some texts, a car's number for one."""
        return Words(self.language, self.templates, marks_english=self.marks_english, hidden=hidden) if hidden else self

    def shown(self, thing: object) -> object:
        """Return a sentence or phrase in words, anything else as it is: how a template shows what it is given."""
        if isinstance(thing, str):
            return self.hidden.get(thing, thing) if self.hidden else thing  # markup stays what it is
        return self.tell(thing) if isinstance(thing, _LATE) else thing

    def told(self, thing: Any) -> Any:
        """Return plain data, lists and mappings within one another, with every sentence or phrase in it in words."""
        if isinstance(thing, str | int | float):
            return self.shown(thing)
        if isinstance(thing, Mapping):
            return {key: self.told(one) for key, one in thing.items()}
        return [self.told(one) for one in thing] if isinstance(thing, list | tuple) else self.shown(thing)

    def pieces(self, value: Value) -> list[tuple[str, str, int]]:
        """Return a value in words, cut where something in it is `Marked`: each ``(mark or "", text, note)``."""
        if isinstance(value, Marked):
            return [(value.mark, self.tell(value.value), value.note)]
        if isinstance(value, Phrase):
            return [("", getattr(self, value.way)(*value.values), 0)]
        if not isinstance(value, Sentence):
            return [("", self.tell(value), 0)]
        given, pieces = dict(value.values), list[tuple[str, str, int]]()
        for name, text in self._cut(value.id, given):
            if text and text[0] == "." and pieces and _STOPPED.search(pieces[-1][1]):
                text = text[1:]
            inner = self.pieces(given[name]) if text is None else [("", text, 0)]
            for piece in inner:
                if pieces and pieces[-1][0] == piece[0] == "":
                    pieces[-1] = ("", pieces[-1][1] + piece[1], 0)
                elif piece[1]:
                    pieces.append(piece)
        return pieces

    def parts(self, sentence: str, **slots: Value) -> list[tuple[str, str]]:
        """Return a sentence in pieces, each ``(slot name or "", text)``, so that a slot can be set apart."""
        return self._told(sentence, {name.rstrip("_"): value for name, value in slots.items()})

    def say(self, sentence: str, **slots: Value) -> str:
        """Return a sentence with its slots filled. Raises KeyError as `tell` does."""
        return self._filled(sentence, {name.rstrip("_"): value for name, value in slots.items()} if slots else slots)

    def _filled(self, sentence: str, given: Mapping[str, Value]) -> str:
        if given:
            return "".join([text for _, text in self._told(sentence, given)])
        if sentence not in self._plain:
            self._plain[sentence] = "".join([text for _, text in self._told(sentence, given)])
        return self._plain[sentence]

    def _told(self, sentence: str, given: Mapping[str, Value]) -> list[tuple[str, str]]:
        """Return a sentence in pieces; what was put in with a stop of its own takes no second one."""
        pieces: list[tuple[str, str]] = []
        for name, text in self._cut(sentence, given):
            told = self.tell(given[name]) if text is None else text
            if told[:1] == "." and pieces and _STOPPED.search(pieces[-1][1]):
                told = told[1:]
            pieces.append((name, told))
        return pieces

    def _cut(self, sentence: str, given: Mapping[str, Value]) -> list[_Piece]:
        """Return a template cut at its slots: ``(slot, None)`` for one to be filled, ``("", text)`` between them."""
        cut = self._cuts.get(sentence)
        if cut is not None:
            return cut
        if sentence not in self._split:
            self._split[sentence] = SLOT.split(self.templates[sentence])
        first, *rest = self._split[sentence]
        pieces: list[_Piece] = [("", first)]
        for name, choices, text in zip(rest[::3], rest[1::3], rest[2::3], strict=True):
            chosen = self._choose(choices[1:].split("|"), given[name]) if choices else None
            pieces += [(name, chosen), ("", text)]
        pieces = [piece for piece in pieces if piece != ("", "")]
        if not any(rest[1::3]):
            self._cuts[sentence] = pieces
        return pieces

    def _choose(self, choices: list[str], value: Value) -> str:
        assert isinstance(value, int | str), "a choice is made by a number"
        category = plural_category(self.templates["words.language"], int(value))
        named = self.templates["words.plural"].split()
        return choices[min(named.index(category), len(choices) - 1)] if category in named else choices[-1]

    def chosen(self, prefixes: Iterable[str]) -> dict[str, str]:
        """Return the templates whose ids start with one of ``prefixes``, for a page's scripts."""
        wanted = tuple(prefixes)
        return {sentence: text for sentence, text in self.templates.items() if sentence.startswith(wanted)}

    # Dates in words. Months are never figures: 3/4 is read two ways in two countries.

    def month(self, day: date) -> str:
        """Return "June"."""
        return self.templates[f"words.month.{day.month:02}"]

    def month_year(self, day: date) -> str:
        """Return "June 1968"."""
        return self.say("words.month_year", month=self.month(day), year=f"{day.year}")

    def day(self, day: date) -> str:
        """Return "24 May 1968"."""
        return self.say("words.day", day=day.day, month=self.month(day), year=f"{day.year}")

    def _day_month(self, day: date) -> str:
        return self.say("words.day_month", day=day.day, month=self.month(day))

    def span(self, first: date, last: date) -> str:
        """Return "between June and October 1968", "in June 1968", "in 1968", both ends belonging to the span."""
        one = "words.in_year" if _is_year(first, last) else "words.in_month"
        return self._between(one, "words.between", self._months(first, last))

    def range(self, first: date, last: date) -> str:
        """Return "June to October 1968", "June 1968" for one month, "1968" for all the months of a year."""
        return self._between("words.only", "words.to", self._months(first, last))

    def day_span(self, first: date, last: date) -> str:
        """Return "between 3 June and 12 August 1968", "on 3 June 1968", "in June 1968" or "in 1968"."""
        if _is_whole(first, last):
            return self.span(first, last)
        return self._between("words.on_day", "words.between_days", self._days(first, last))

    def day_range(self, first: date, last: date) -> str:
        """Return "3 June to 12 August 1968", "3 June 1968", "June 1968" or "1968"."""
        whole = _is_whole(first, last)
        return self.range(first, last) if whole else self._between("words.only", "words.to", self._days(first, last))

    def _months(self, first: date, last: date) -> tuple[str, str]:
        if first.year != last.year:
            return self.month_year(first), self.month_year(last)
        if _is_year(first, last):
            return "", f"{last.year}"
        if first.month != last.month:
            return self.month(first), self.month_year(last)
        return "", self.month_year(last)

    def _days(self, first: date, last: date) -> tuple[str, str]:
        if first.year != last.year:
            return self.day(first), self.day(last)
        if first.month != last.month:
            return self._day_month(first), self.day(last)
        if first.day != last.day:
            return self.say("words.day_alone", day=first.day), self.day(last)
        return "", self.day(last)

    def _between(self, one: str, two: str, ends: tuple[str, str]) -> str:
        first, last = ends
        return self.say(two, from_=first, to=last) if first else self.say(one, when=last)

    # Counts, lists, lengths of time.

    def number(self, n: int) -> str:
        """Return "4,870": a count with its thousands parted. Never for a year or a chassis number."""
        return f"{n:,}".replace(",", self.templates["words.thousands"])

    def figure(self, value: float) -> str:
        """Return "0.25", or a whole number as `number` has it."""
        whole = value == int(value)
        return self.number(int(value)) if whole else f"{value:g}".replace(".", self.templates["words.decimal"])

    def count(self, n: int) -> str:
        """Return "two" up to twelve, figures beyond."""
        small = self.templates["words.count"].split()
        return small[n] if 0 <= n < len(small) else self.number(n)

    def ordinal(self, n: int) -> str:
        """Return "second" up to twelfth, the language's own way of writing it beyond; ``n`` counts from 1."""
        small = self.templates["words.ordinals"].split()
        return small[n - 1] if 1 <= n <= len(small) else self.say("words.ordinal", n=n)

    def in_turn(self, sentences: Iterable[Value]) -> str:
        """Return several sentences, one after another."""
        return " ".join(self.tell(one) for one in sentences)

    def all_of(self, things: Iterable[Value]) -> str:
        """Return "a, b and c"; empty for nothing."""
        return self._listed("words.and", things)

    def one_of(self, things: Iterable[Value]) -> str:
        """Return "a, b or c"; empty for nothing. Where one has a comma of its own: "a; b; or c, d"."""
        return self._listed("words.or", things)

    def side_by_side(self, things: Iterable[Value]) -> str:
        """Return "a and b"; where one has a comma of its own, one after another: "a, x; b"."""
        said = [self.tell(thing) for thing in things]
        return self.tell(chained("words.then_after_stop", said)) if "," in "".join(said) else self.all_of(said)

    def one_of_names(self, names: Iterable[Value]) -> str:
        """Return "Toggles, rockers or both": names as they begin a sentence, all but the first bent into it."""
        return self._listed("words.or", (name if at == 0 else self.lower_first(name) for at, name in enumerate(names)))

    def listed(self, things: Iterable[Value]) -> str:
        """Return "a, b, c": ids, keys and the like, one after another; empty for nothing."""
        return self._listed("words.then", things)

    def _listed(self, last: str, values: Iterable[Value]) -> str:
        things = [self.tell(value) for value in values]
        if not things:
            return ""
        stop = "_after_stop" if any(", " in thing for thing in things) else ""
        said = things[0]
        for at, thing in enumerate(things[1:], start=2):
            said = self.say((last if at == len(things) else "words.then") + stop, a=said, b=thing)
        return said

    def lower_first(self, value: Value) -> str:
        """Return words as they stand inside a sentence; a name in capitals or figures stays as it is.

        Only a first word that ``words.lowered`` describes is bent into the sentence: any in English, none that may be a
        noun in German.
        """
        name = self.tell(value)
        if name not in self._lowered:
            self._lowered[name] = self._bent(name)
        return self._lowered[name]

    def _bent(self, name: str) -> str:
        word = re.match(r"\w*", name)
        if not (name[1:2].islower() or name[:2] == "A ") or word is None:
            return name
        bent = re.fullmatch(self.templates["words.lowered"], word[0].lower())
        return name[:1].lower() + name[1:] if bent else name

    def upper_first(self, value: Value) -> str:
        """Return words as they begin a sentence."""
        return upper_first(self.tell(value))

    def duration(self, days: float) -> str:
        """Return a length of time as one would say it: "two days", "three weeks", "four months", "two years".

        Days up to ten, weeks up to seven, months up to twenty-three, then years, each rounded to the nearest;
        never less than a day.
        """
        whole = max(1, int(days + 0.5))
        if whole <= 10:
            unit, n = "days", whole
        elif days < 7 * 7.5:
            unit, n = "weeks", int(days / 7 + 0.5)
        elif days < 23.5 * 30.4375:
            unit, n = "months", int(days / 30.4375 + 0.5)
        else:
            unit, n = "years", int(days / 365.25 + 0.5)
        return self.say(f"words.length.{unit}", n=n, count=self.count(n))

    def in_ten(self, chance: float) -> str:
        """Return a chance as one would say it: "about 3 in ten", "fewer than one in a hundred"."""
        if chance < 0.01:
            return self.say("words.chance.hardly_any")
        if chance < 0.095:
            return self.say("words.chance.in_hundred", count=self.count(max(1, int(chance * 100 + 0.5))))
        if chance >= 0.995:
            return self.say("words.chance.nearly_all")
        if chance >= 0.95:
            return self.say("words.chance.in_hundred", count=self.count(int(chance * 100 + 0.5)))
        return self.say("words.chance.in_ten", count=self.count(int(chance * 10 + 0.5)))


def _is_year(first: date, last: date) -> bool:
    """Tell whether two days lie in the first and the last month of one year: told in months, that is the year."""
    return first.year == last.year and (first.month, last.month) == (1, 12)


def _is_whole(first: date, last: date) -> bool:
    """Tell whether two days are the first and last of one month or of one year."""
    ends = (last + timedelta(days=1)).day == 1 if last < date.max else True
    return first.day == 1 and ends and first.year == last.year and last.month - first.month in (0, 11)


def upper_first(text: str) -> str:
    """Return words as they begin a sentence."""
    at = 1 if text.startswith(ENGLISH[0]) else 0
    return text[:at] + text[at : at + 1].upper() + text[at + 1 :]


@cache
def load_words(language: str = "en") -> Words:
    """Return the sentences for a language tag ("en-GB"); English stands in for what a language lacks."""
    templates, main = own_templates("en"), main_of(language)
    if main != "en" and main in languages():
        templates |= own_templates(main)
    return Words(language, templates)


@cache
def words_of_pages(language: str) -> Words:
    """Return the sentences for pages: as `load_words` has them, what stands in for others in signs of `ENGLISH`."""
    words, lacking = load_words(language), untranslated(language)
    if not lacking:
        return words
    said = {name: _in_signs(words.templates[name]) for name in lacking if not name.startswith("words.")}
    return Words(language, {**words.templates, **said}, marks_english=True)


def _in_signs(template: str) -> str:
    """Return a template with each stretch of words between its slots in the signs of `ENGLISH`, choices included."""
    made, at = "", 0
    for slot in SLOT.finditer(template):
        choices = "".join(f"|{_signed(choice)}" for choice in (slot[2] or "").split("|")[1:])
        made += f"{_signed(template[at : slot.start()])}{{{slot[1]}{choices}}}"
        at = slot.end()
    return made + _signed(template[at:])


def _signed(text: str) -> str:
    return f"{ENGLISH[0]}{text}{ENGLISH[1]}" if re.search(r"[^\W\d_]", text) else text
