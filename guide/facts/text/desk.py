"""The reader's desk: what has been found wrong so far, and which ids are known, while a guide is being read.

It is filled in the order of reading (splits, series, sources, periods...) and thrown away afterwards. A
set of ids that is None could not be read: nothing is then said of references to it, because one broken
file must not call every line of the others dangling.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from typing import TYPE_CHECKING, Any

from guide.facts.text.decoding import split_lines
from guide.facts.text.problem import Problem, Trouble, nearest
from guide.facts.values import RESERVED_IDS, Text
from guide.facts.when.numbers import number_table
from guide.finding import Finding, Place, Related
from guide.sentence import Value

if TYPE_CHECKING:  # records are read with the desk, so they come after it
    from guide.facts.types import Series, Split

__all__ = ["Desk", "id_problem"]


class Desk:
    """Findings and known ids of one run of reading."""

    def __init__(self) -> None:
        self.lines: dict[str, tuple[str, ...]] = {}
        self.overrides: dict[str, float] = {}
        self.language = "en-GB"
        self.splits: Mapping[str, Split] | None = {}
        self.sources: Collection[str] | None = None
        self.periods: Collection[str] | None = None
        self.interiors: Collection[str] | None = None
        self.areas: Collection[str] | None = None
        self.forms: dict[str, Mapping[str, int] | None] = {}  # mark id: form id to number of spells
        self.marks_complete = True  # False: some file in marks/ could not be read
        self.series_complete = True
        self._series: dict[str, Series] = {}
        self._table: dict[str, Any] = {"series": []}
        self._findings: dict[tuple[Any, ...], Finding] = {}

    # What is known of number series, kept beside the table that numbers are read with

    @property
    def series(self) -> Mapping[str, Series]:
        """The number series read so far."""
        return self._series

    @property
    def table(self) -> Mapping[str, Any]:
        """The table that numbers are read with, of the series read so far."""
        return self._table

    def add_series(self, series: Series) -> None:
        """Make a series known; a later call with the same id replaces it."""
        self._series[series.id] = series
        self._table = number_table(self._series)

    @property
    def when_names(self) -> tuple[str, ...]:
        """The ids that ``start of`` and ``end of`` may name."""
        return (*(self.periods or ()), *self._series)

    # Findings

    @property
    def findings(self) -> tuple[Finding, ...]:
        """Everything found wrong, in the order of every list of findings."""
        return tuple(sorted(self._findings.values(), key=lambda finding: finding.sort_key))

    def keep_lines(self, file: str, text: str) -> None:
        """Remember a file's lines, to print the offending one under a finding."""
        self.lines[file] = split_lines(text)

    def say(
        self, code: str, place: Place, message: Value, put_right: Value, related: Iterable[tuple[Place, Value]] = ()
    ) -> None:
        """Add a finding; the same one is kept once, however often a repeated part is read."""
        lines = self.lines.get(place.file, ())
        excerpt = lines[place.line - 1] if 0 < place.line <= len(lines) else ""
        finding = Finding(
            code,
            place,
            message,
            put_right,
            tuple(Related(where, what) for where, what in related),
            excerpt=excerpt.strip(),
        )
        self._findings.setdefault((code, place, message), finding)

    def find(self, name: str, place: Place, /, related: Iterable[tuple[Place, Value]] = (), **values: Value) -> None:
        """Add the finding whose sentences are ``name`` and ``name.put-right``, as `Finding.of` has it."""
        found = Problem.of(name, **values)
        self.say(found.code, place, found.message, found.put_right, related)

    def problem(self, problem: Problem, place: Place) -> None:
        """Add a finding made of a problem."""
        self.say(problem.code, place, problem.message, problem.put_right)

    def troubles(self, troubles: Iterable[Trouble]) -> None:
        """Add what decoding and parsing found."""
        for trouble in troubles:
            self.say(
                trouble.problem.code, trouble.place, trouble.problem.message, trouble.problem.put_right, trouble.related
            )

    @property
    def count(self) -> int:
        """How many findings there are so far."""
        return len(self._findings)

    def say_empty(self, file: str) -> None:
        """Add the finding for a file that holds nothing: a save that went wrong, as often as not."""
        if file == "guide.yml":
            self.say("no-guide", Place(file), "the file guide.yml is empty", "begin with `format: 1` and `title:`")
        else:
            self.say(
                "empty-file",
                Place(file),
                f"expected facts in {file}, found nothing but blanks or remarks",
                "put back what it held, or take the file away",
            )

    # References

    def refer(self, text: Text, known: Collection[str] | None, kind: str, where: str, wanted: str = "") -> bool:
        """Tell whether an id is known, or cannot be told; else add a finding with the nearest known one."""
        if known is None or text in known:
            return True
        near = nearest(text, known)
        listed = f"use one of {', '.join(known)}" if 0 < len(known) <= 8 else f"use an id from {where}"
        article = "an" if kind[0] in "aeiou" else "a"
        self.say(
            f"unknown-{kind.replace(' ', '-')}",
            text.place,
            f"expected {wanted or f'{article} {kind} that {where} names'}, found {str(text)!r}",
            f"write {near}" if near else f"{listed}, or add it there",
        )
        return False

    def source(self, text: Text) -> bool:
        """Check a reference to a source."""
        return self.refer(text, self.sources, "source", "sources.yml")

    def mark(self, text: Text) -> bool:
        """Check a reference to a mark."""
        known = self.forms if self.marks_complete else None
        return self.refer(text, known, "mark", "marks/")

    def form(self, mark: str, text: Text) -> bool:
        """Check a reference to a form of a mark that is known."""
        forms = self.forms.get(mark)
        return self.refer(text, None if forms is None else tuple(forms), "form", f"marks/{mark}.yml")

    def usable_id(self, text: Text, what: str) -> bool:
        """Tell whether an id can be a file name and part of an address everywhere; else add a finding."""
        problem = id_problem(text, what)
        if problem:
            self.problem(problem, text.place)
        return problem is None


_WINDOWS_NAMES = frozenset(
    {
        "aux",
        "con",
        "nul",
        "prn",
        "conin$",
        "conout$",
        "clock$",
        *(f"{name}{number}" for name in ("com", "lpt") for number in range(10)),
    }
)
_LONGEST_ID = 60


def id_problem(text: str, what: str) -> Problem | None:
    """Return why a text cannot be an id, or None."""
    plain = str(text)
    if plain.casefold() in RESERVED_IDS:
        return Problem(
            "reserved-id",
            f"{plain!r} cannot name {what}: the key uses it as an answer of its own",
            f"choose another word, such as {plain}-form",
        )
    if plain.casefold().split(".")[0] in _WINDOWS_NAMES:
        return Problem(
            "reserved-name",
            f"{plain!r} cannot name {what}: Windows keeps that name for a device",
            f"choose another word, such as {plain}-part",
        )
    if not _is_plain_id(plain):
        better = "-".join("".join(c if c.isascii() and c.isalnum() else " " for c in plain.casefold()).split())
        return Problem(
            "bad-id",
            f"expected small letters a to z, digits and single dashes to name {what}, found {plain!r}",
            f"write {better}" if better else "write a short English word",
        )
    if len(plain) > _LONGEST_ID:
        return Problem(
            "bad-id",
            f"expected at most {_LONGEST_ID} letters to name {what}, found {len(plain)}",
            "shorten it: the id becomes part of a file name",
        )
    return None


def _is_plain_id(text: str) -> bool:
    parts = text.split("-")
    return all(part.isascii() and part.isalnum() and part == part.lower() for part in parts)
