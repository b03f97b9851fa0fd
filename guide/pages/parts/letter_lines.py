"""A letter about one car as data: its sections, its lines, and whose word each line is.

``guide.pages.parts.letter`` composes it for Python, guide/browser/letter.js for browsers; the terminal, the printed
sheets and the car's page lay out the same.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from guide.facts.records.letters_kept import Depth
from guide.sentence import Sentence, Value, listed, sentence

__all__ = ["DEPTHS", "GUIDE", "TOLD", "WORKED", "Letter", "Line", "Section", "by_said", "from_said", "lead_of"]

DEPTHS = tuple(map(str, Depth))
TOLD, WORKED, GUIDE = ":told", ":worked", ":guide"  # by whom, where it is no source: who asks, the key, the guide
_WITH_LEAD = ("sure", "likely", "nobody", "parts")
_BY_NUMBER = ("sure", "nobody")  # of these it matters whether a number tells of the car, or only a span of days


@dataclass(frozen=True, slots=True)
class Line:
    """One sentence and whose word it is: ids of sources, `TOLD`, `WORKED`, `GUIDE`. ``mark``: whose page says more."""

    says: Value
    by: tuple[str, ...]
    mark: str = ""
    more: tuple[Line, ...] = ()


@dataclass(frozen=True, slots=True)
class Section:
    """A part of a letter: its heading is the sentence ``pages.letter.section.<name>``, what goes before its lines
    ``pages.letter.lead.<lead>`` where there is one."""

    name: str
    lines: tuple[Line, ...]
    lead: str = ""

    @classmethod
    def of(cls, name: str, lines: Sequence[Line], *, numbered: bool) -> Section:
        """Return a section of a letter about a car whose number is known (``numbered``) or not."""
        way = name if numbered or name not in _BY_NUMBER else f"{name}_in_time"
        return cls(name, tuple(lines), way if name in _WITH_LEAD else "")


@dataclass(frozen=True, slots=True)
class Letter:
    """A letter at one of the `DEPTHS`."""

    depth: str
    title: Value
    edition: str
    sections: tuple[Section, ...]

    @property
    def sources(self) -> list[str]:
        """The sources that its lines name, in the order in which they are first named: they are numbered so."""
        lines = [line for section in self.sections for line in section.lines]
        every = [one for line in lines for one in (line, *line.more)]
        return list(dict.fromkeys(by for one in every for by in one.by if not by.startswith(":")))


def by_said(line: Line, sources: Sequence[str]) -> Sentence:
    """Return whose word a line is, in brackets; ``sources`` are those of its letter, which number them."""
    numbered = [str(sources.index(one) + 1) for one in line.by if not one.startswith(":")]
    others = [sentence(f"pages.letter.by.{one.removeprefix(':')}") for one in line.by if one.startswith(":")]
    return sentence("pages.letter.by", by=listed([*numbered, *others]))


def from_said(letter: Letter, facts: Mapping[str, Any]) -> Sentence:
    """Return which guide and edition a letter is of, ``facts`` holding the guide's title and its fingerprint."""
    told = {"title": facts["title"], "edition": letter.edition, "fingerprint": facts["fingerprint"]}
    return sentence("pages.letter.from", **told)


def lead_of(section: Section) -> Value:
    """Return what goes before the lines of a section; empty where nothing does."""
    return sentence(f"pages.letter.lead.{section.lead}") if section.lead else ""
