"""Where something stands (`Place`), what is to be said of it (`Finding`), and why (`Step`).

A problem is data. Whoever meets one gives a sentence of what was expected and what was found, and one of how to put it
right, both yet to be said; how serious each kind is stands once, in `CODES`; how it is printed stands once, in
`Finding.printed`.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from typing import Protocol

from guide.sentence import Sentence, Value

__all__ = [
    "CODES",
    "TICKS_PER_DAY",
    "Code",
    "Finding",
    "Place",
    "Related",
    "SetAside",
    "Severity",
    "Step",
    "StepKind",
    "Teller",
]

TICKS_PER_DAY = 1 << 20  # so that "strictly later" is one tick and cars built on one day stay in order


class Teller(Protocol):
    """Whoever makes words of values: `guide.words.say.Words`."""

    def tell(self, value: Value) -> str:
        """Return a value in words."""


class Severity(StrEnum):
    """How much a finding matters: only an error stops a build."""

    ERROR = "error"
    WARNING = "warning"
    NOTE = "note"


@dataclass(frozen=True, order=True, slots=True)
class Place:
    """A place in a file; `file` is relative to the content folder, with `/`; line and column count from 1."""

    file: str
    line: int = 1
    column: int = 1

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


@dataclass(frozen=True, order=True, slots=True)
class Related:
    """A second place that a finding speaks of, and what stands there."""

    place: Place
    message: Value


class StepKind(StrEnum):
    """What one step of a chain rests on."""

    STATEMENT = "statement"
    CALENDAR = "calendar"
    ORDER = "order"
    RULE = "rule"


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the chain behind an edge or a clash.

    ``ticks`` (2**20 to the day) is what the step adds; the steps of an edge add up to the edge, counted
    from the start of production. ``source`` is a source's id, empty for a rule; ``says`` is a sentence.
    """

    kind: StepKind
    place: Place
    source: str
    says: Value
    ticks: int


@dataclass(frozen=True, slots=True)
class SetAside:
    """The statement that a clash leaves out: where it stands and whose it is."""

    place: Place
    source: str


@dataclass(frozen=True, slots=True)
class Code:
    """One kind of finding: how much it matters and what it means, for the table in DEVELOPERS.md."""

    severity: Severity
    meaning: str


@dataclass(frozen=True, slots=True)
class Finding:
    """What a reader or a check has to say.

    ``message`` says what was expected and what was found; ``put_right`` says what to type instead.
    ``excerpt`` is the offending line, printed under the message because simple editors show no line numbers.
    """

    code: str
    place: Place
    message: Value
    put_right: Value
    related: tuple[Related, ...] = ()
    chain: tuple[Step, ...] | None = None
    set_aside: SetAside | None = None
    excerpt: str = field(default="", compare=False)

    @classmethod
    def of(
        cls,
        name: str,
        place: Place,
        /,
        *,
        related: tuple[Related, ...] = (),
        chain: tuple[Step, ...] | None = None,
        set_aside: SetAside | None = None,
        **values: Value,
    ) -> Finding:
        """Return the finding whose two sentences are called ``name`` and ``name.put-right`` and share their values.

        ``name`` is a stage, the finding's code and perhaps which way of saying it: ``facts.bad-date.a-season``.
        """
        given = tuple((slot.rstrip("_"), value) for slot, value in values.items())
        message, put_right = Sentence(name, given), Sentence(f"{name}.put-right", given)
        return cls(name.split(".")[1], place, message, put_right, related, chain, set_aside)

    def __post_init__(self) -> None:
        assert self.code in CODES, f"finding code {self.code} is not in the table"

    @property
    def severity(self) -> Severity:
        """How much this kind of finding matters, from the table."""
        return CODES[self.code].severity

    @property
    def sort_key(self) -> tuple[str, int, int, str, str]:
        """Order of findings in every list: file, line, column, code, message."""
        return (self.place.file, self.place.line, self.place.column, self.code, str(self.message))

    def line(self, words: Teller) -> str:
        """Return where it stands, how much it matters and what it is, in one line."""
        return f"{self.place}: {self.severity}: {words.tell(self.message)}"

    def printed(self, words: Teller) -> str:
        """Return the finding as the terminal shows it, without a closing line end."""
        lines = [self.line(words)]
        if self.excerpt:
            lines.append(f"    {self.excerpt.strip()}")
        lines += [f"    {related.place}: {words.tell(related.message)}" for related in self.related]
        lines.append(f"    put right ({self.code}): {words.tell(self.put_right)}")
        return "\n".join(lines)


# Every kind of finding, in the order of the stages that meet them. What cannot be read, found or placed in
# time is an error and stops the build; what a reader would miss is a warning; the rest are notes.
CODES: dict[str, Code] = {}


def _codes(severity: Severity, meanings: dict[str, str]) -> None:
    for code, meaning in meanings.items():
        assert code not in CODES, f"finding code {code} stands twice in the table"
        CODES[code] = Code(severity, meaning)


# Reading the facts
_codes(
    Severity.ERROR,
    {
        "no-guide": "the content folder has no guide.yml, or an empty one",
        "empty-file": "a file that should hold facts holds nothing",
        "no-series": "the guide has no number series",
        "unreadable-file": "a file or folder cannot be opened",
        "link-in-folder": "a link stands in the content folder",
        "same-name": "two files have names that are one on some systems",
        "double-ending": "a file's name has a second ending, so it is not read",
        "reserved-name": "an id is a name that Windows keeps for a device",
        "reserved-id": "an id is one of the key's own answers",
        "bad-id": "an id has other signs than small letters, digits and single dashes, or is too long",
        "not-utf-8": "a file is not saved as UTF-8",
        "control-character": "a file holds a control character",
        "not-yaml": "a file cannot be read as YAML",
        "colon-in-text": "a text with a colon and a blank in it needs quotes",
        "needs-quotes": "a text begins with a sign that needs quotes",
        "unclosed-quotes": "quotes are opened and never closed",
        "bad-escape": "a backslash in double quotes means nothing",
        "unclosed-bracket": "a bracket or brace is not closed",
        "no-colon": "a line has no key with a colon",
        "no-blank": "a colon or a dash has no blank after it",
        "indentation": "a line does not stand under the one it belongs to",
        "tab": "a tab stands where spaces belong",
        "second-document": "a file holds more than one YAML document",
        "repeated-key": "a key stands twice",
        "merge-key": "the merge key is used",
        "key-not-text": "a list or mapping stands where a key belongs",
        "yaml-tag": "a YAML tag is used",
        "yaml-alias": "a YAML alias repeats nothing, or itself",
        "too-deep": "lists and mappings are nested too deep",
        "too-large": "a file is too large, or grows too large when repeats are unfolded",
        "unknown-key": "a key is not known where it stands",
        "missing-key": "a needed key is missing",
        "wrong-shape": "a text, a list or keys stand where another of them belongs",
        "one-of": "of several keys exactly one belongs",
        "goes-with": "a key stands without the one it goes with",
        "unknown-choice": "a word is none of those that can stand there",
        "unknown-format": "the files were made for another release",
        "unknown-constant": "a default is named that is not in the table",
        "bad-language-tag": "the language is no language tag",
        "not-a-whole-number": "a whole number is expected",
        "not-a-number-typed": "a number is expected",
        "bad-share": "a share between none and all is expected",
        "bad-duration": "a length of time is expected",
        "bad-table": "the rows of a table have different numbers of cells",
        "bad-when": "a date or a car is expected",
        "bad-date": "a date is written in a way that is not used here",
        "impossible-date": "there is no such month or day",
        "slashed-date": "a date with strokes is read differently in different lands",
        "spreadsheet-date": "a spreadsheet has rewritten a date",
        "not-a-build-date": "a model year, a time of day or the like is no date of build",
        "day-needed": "one exact day is expected",
        "inverted-range": "a range ends before it begins",
        "bad-notation": "a notation of chassis numbers has no digits, or divided ones",
        "bad-range": "a range of chassis numbers is expected",
        "overlapping-runs": "two runs of one series share numbers",
        "calendar-out-of-order": "a later line of a calendar has an earlier car",
        "not-a-number": "a chassis number is expected",
        "short-number": "a chassis number has lost its prefix or leading noughts",
        "number-not-in-tables": "a statement names a number that no run of cars built holds",
        "number-without-order": "a statement names a kind of number that gives no build order",
        "car-outside-rule": "a statement names a car that is outside the rule",
        "wrong-check-digit": "the check digit does not fit the other characters",
        "registration-as-number": "a road registration stands where a chassis number belongs",
        "closed-outside-production": "a closure lies outside production",
        "unknown-source": "a source is not in sources.yml",
        "unknown-mark": "a mark has no file in marks/",
        "unknown-form": "a mark has no such form",
        "unknown-spell": "a form has no such spell",
        "unknown-scope": "a split, series, interior or value is not known",
        "unknown-split-value": "a split has no such value",
        "unknown-series": "a number series has no file in numbers/",
        "unknown-period": "a period or number series is not known",
        "bad-form-reference": "a mark and its form are expected",
        "self-reference": "a form is set beside itself",
        "mark-in-two-areas": "a mark stands in two areas, or twice in one",
        "mark-without-area": "a mark stands in no area",
        "former-id-taken": "an id of old is also one of today, or of two records",
        "renewed-twice": "a mark stands in two sets that are renewed together",
        "order-without-works": "a form that the works did not fit stands in the order",
        "repeated-in-order": "a spell stands twice in the order",
        "ruling-names-nothing": "a ruling names no statement",
        "ruling-names-several": "a ruling names more than one statement",
        "ruling-changes-kind": "a ruling reads a statement as one of another kind",
        "ruled-twice": "a statement has two rulings",
        "unknown-interior": "an interior is not in interiors.yml",
        "day-or-month": "a column of a table has dates that can be read two ways",
        "cells-beyond-heading": "a line of a table has more cells than there are headings",
        "bad-answer": "a line of answers cannot be read",
    },
)
_codes(
    Severity.WARNING,
    {
        "invisible-character": "a file holds a sign that no screen shows",
        "file-not-read": "a file in the content folder is not read",
        "cut-by-hash": "a text loses what stands after # in it",
        "statement-without-works": "a statement of build stands under a form that the works did not fit",
        "read-as-windows-1252": "a table is not in UTF-8 and was read as windows-1252",
        "unknown-licence": "the licence is no SPDX identifier",
        "column-not-read": "a column of a table is not read",
        "seen-number-unread": "a car seen has a number that cannot be read",
        "seen-registration": "a car seen has a road registration in place of its number",
    },
)
_codes(Severity.NOTE, {"seen-not-in-tables": "a car seen has a number that no run of cars built holds"})
# Limits
_codes(
    Severity.ERROR,
    {
        "calendar-contradicts": "a line of a calendar cannot be true beside the others and production",
        "span-inverted": "an interior's time ends before it begins",
    },
)
_codes(
    Severity.WARNING,
    {
        "statements-clash": "statements cannot all be true, and no ruling decides",
        "mixed-by-number": "a first or last by number is contradicted by another car, though both can be true by date",
        "ruling-reopened": "new statements bear on a ruling",
        "together-apart": "forms declared to have come in together cannot have done so in some cars",
        "speaks-for-no-car": "a statement speaks of cars that cannot have its form",
        "seen-while-shut": "a car seen is dated to days on which nothing was built",
        "range-too-wide": "a run holds more numbers than cars were made",
        "total-differs": "the number series hold more or fewer cars than were made",
        "period-cars-differ": "a period's numbers hold more or fewer cars than it says",
        "periods-differ": "the periods' cars do not add up to the whole output",
        "period-outside-limits": "a period names a car that was built outside its days",
        "interior-outside-limits": "a statement speaks of an interior at a time when it was not built",
        "option-outside-limits": "cars are known to have had a form when the works did not fit or offer it",
        "count-too-high": "more cars are counted with something than can have had it",
        "counts-exceed-output": "counts of things that exclude one another exceed the whole output",
        "more-survive-than-built": "more cars are said to survive with something than were built with it",
    },
)
_codes(
    Severity.NOTE,
    {
        "ruling-decides-nothing": "a ruling names a statement that nothing contradicts",
        "not-placed": "a car seen may be of several kinds that its mark keeps apart, so it is not used",
        "bound-looser": "a dated first or last is looser than what other statements allow",
    },
)
# Checks
_codes(
    Severity.ERROR,
    {
        "outside-production": "a first, a last or a car seen is dated wholly outside production",
        "periods-overlap": "two periods overlap or stand out of order",
    },
)
_codes(
    Severity.WARNING,
    {
        "same-answer": "two forms of one mark have the same answer",
        "answer-needs-drawing": "an answer means nothing without its drawing",
        "one-form": "a mark that is asked leaves nothing to choose",
        "time-without-form": "cars were built for which no form of a mark is stated",
        "period-gap": "open days of production belong to no period",
        "periods-not-told-apart": "no mark tells two neighbouring periods apart",
        "missing-picture": "a drawing that is named is not in the pictures folder",
        "missing-look": "a mark does not say how to look at it",
        "missing-source": "a claim names no source",
    },
)
_codes(
    Severity.NOTE,
    {
        "one-form-shown": "a mark that is not asked has one form",
        "missing-description": "a drawing or a period is not described in words",
        "source-says-little": "a source is not described",
        "source-unused": "nothing rests on a source",
    },
)
# Pages, pictures and publishing
_codes(
    Severity.ERROR,
    {
        "out-not-ours": "the output folder holds things that no build of ours put there",
        "out-held": "another program holds the output folder",
        "cannot-write": "the output folder cannot be written",
        "names-differ-in-case": "two output files would have one name on systems that ignore capitals",
        "unsafe-name": "an output file has a name that some system cannot hold",
        "theme-broken": "a template of the theme cannot be used",
    },
)
_codes(
    Severity.WARNING,
    {
        "picture-unreadable": "a picture cannot be used",
        "picture-too-large": "a photograph has more pixels than can safely be decoded",
        "drawing-cleaned": "a drawing holds more than plain shapes and our classes",
        "text-picture-missing": "a text shows a picture that is not in the pictures folder",
        "link-dangling": "a text links to a record that is not there",
        "link-refused": "a text links to something a link may not lead to",
        "table-cells-lost": "a row of a table has more cells than its head",
        "sheet-entry-too-long": "an entry of the buyer's sheet does not fit its three lines",
        "page-too-heavy": "a page weighs more than a phone with poor signal should be asked to fetch",
    },
)
_codes(
    Severity.NOTE,
    {
        "picture-misnamed": "a photograph's name ends in another format than it has",
        "picture-without-words": "a picture in a text says nothing to those who cannot see it",
        "drawing-heavy": "a drawing is much larger than it need be",
    },
)
