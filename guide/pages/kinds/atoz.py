"""A to Z: every name that anything in the guide goes by, and where it leads; it needs no scripts."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from guide.facts.text.folded import fold
from guide.facts.types import Area, Form, Interior, Period
from guide.pages.parts.naming import name_elsewhere, name_order, source_id
from guide.pages.shelf import Context, Shelf, one_page

__all__ = ["PAGE", "NameLine", "name_lines"]


@dataclass(frozen=True, slots=True)
class NameLine:
    """One line: a name, its language where that is not the guide's, what it is, and where it leads."""

    name: str
    says: str
    kind: str
    id: str = ""
    part: str = ""
    language: str = ""
    is_other: bool = False  # whether that is another language, and not another country's use of the same


def _context(shelf: Shelf) -> Context:
    letters: dict[str, list[NameLine]] = {}
    own = shelf.guide.language[:2]
    for line in name_lines(shelf):
        line = replace(line, is_other=bool(line.language) and line.language[:2] != own)
        letters.setdefault(_letter(line.name), []).append(line)
    alphabet = dict.fromkeys("ABCDEFGHIJKLMNOPQRSTUVWXYZ") | dict.fromkeys(letters)
    return {
        "letters": sorted(alphabet, key=_rank),
        "lines": letters,
        "others": any(line.is_other for lines in letters.values() for line in lines),
    }


def _rank(letter: str) -> tuple[bool, str]:
    return (not letter.isalpha(), letter)


def _letter(name: str) -> str:
    first = next((sign for sign in fold(name) if sign.isalnum()), "#").upper()
    return first if first.isalpha() else "0–9"


def name_lines(shelf: Shelf) -> list[NameLine]:
    """Return every line, in order of name as one looks it up: capitals and accents do not count.

    Of lines that say the same, and of a name that only leads to itself, the first stays: a part stands before the
    word for it.
    """
    unique: dict[tuple[str, str], NameLine] = {}
    for line in _lines(shelf):
        unique.setdefault((fold(line.name), fold(line.says)), line)
    return sorted(unique.values(), key=lambda line: (name_order(line.name), line.name, line.says))


def _lines(shelf: Shelf) -> Iterator[NameLine]:
    guide = shelf.guide
    for mark in guide.marks.values():
        yield NameLine(mark.name, guide.areas[mark.area].name, "mark", mark.id)
        for also in mark.also:
            language, name = name_elsewhere(also)
            see = shelf.say("pages.atoz.see", name=mark.name)
            yield NameLine(name, see, "mark", mark.id, language="en-US" if language == "us" else language)
        for form in mark.forms.values():
            part, says = f"form-{form.id}", shelf.say("pages.atoz.part", form=form.name, mark=mark.name)
            yield NameLine(form.name, mark.name, "mark", mark.id, part)
            for number in (*(one.number for one in form.part_numbers), *_stamped(form)):
                yield NameLine(number, says, "mark", mark.id, part)
    kinds: dict[str, Iterable[Area | Interior | Period]] = {
        "area": guide.areas.values(),
        "interior": guide.interiors.values(),
        "period": guide.periods.values(),
    }
    for kind, records in kinds.items():
        for record in records:
            yield NameLine(record.name, shelf.say(f"pages.atoz.{kind}"), kind, record.id)
    for word in guide.words.values():
        part, see = f"word-{word.id}", shelf.say("pages.atoz.see", name=word.word)
        yield NameLine(word.word, shelf.say("pages.atoz.word"), "words", part=part)
        for language, others in (("", (*word.american, *word.also)), ("de", word.german)):
            for other in others:
                if fold(other) != fold(word.word):
                    yield NameLine(other, see, "words", part=part, language=language)
    for note in guide.care.values():
        yield NameLine(note.title, shelf.say("pages.atoz.care"), "care", part=f"care-{note.id}")
    for source in guide.sources.values():
        yield NameLine(source.name, shelf.say("pages.atoz.source"), "sources", part=source_id(source.id))


def _stamped(form: Form) -> Iterator[str]:
    """Yield what one would look up of the signs stamped into a part: the sign, without where it stands."""
    for said in form.stamped:
        sign, _, where = said.partition(" ")
        if any(letter.isdigit() for letter in sign):
            yield sign
        elif not where:
            yield said


PAGE = one_page("a-to-z", "pages.atoz.title", _context)
