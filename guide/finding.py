"""Where something stands (`Place`), what is to be said of it (`Finding`), and why (`Step`).

A problem is data. Whoever meets one gives a sentence of what was expected and what was found, and one of how to put it
right, both yet to be said; how serious each kind is stands once, in `CODES`; how it is printed stands once, in
`Finding.printed`.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from enum import StrEnum
from itertools import groupby
from typing import NamedTuple, Protocol

from guide.sentence import Sentence, Value, listed, sentence

__all__ = [
    "CODES",
    "TICKS_PER_DAY",
    "Finding",
    "Place",
    "Related",
    "SetAside",
    "Severity",
    "Step",
    "StepKind",
    "Teller",
    "errors_in",
    "mend_order",
    "stops",
    "told_once",
]

_LONGEST_VALUE, _LONGEST_EXCERPT = 1000, 400  # characters of what was typed that a finding repeats
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


class Place(NamedTuple):
    """A place in a file; `file` is relative to the content folder, with `/`; line and column count from 1.

    Every word that is typed has one: a data class of the library takes three times as long to be made.
    """

    file: str
    line: int = 1
    column: int = 1

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"

    def output(self) -> dict[str, object]:
        """Return the place for output."""
        return {"file": self.file, "line": self.line, "column": self.column}


@dataclass(frozen=True, order=True, slots=True)
class Related:
    """A second place that a finding speaks of, and what stands there: a sentence, a name, a number."""

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
    says: Sentence
    ticks: int

    def __reduce__(self) -> tuple[type[Step], tuple[StepKind, Place, str, Sentence, int]]:
        return Step, (self.kind, self.place, self.source, self.says, self.ticks)

    def output(self) -> dict[str, object]:
        """Return the step for output, what it says still a sentence; its days are exact."""
        return {
            "kind": str(self.kind),
            **self.place.output(),
            "source": self.source,
            "says": self.says,
            "adds_days": self.ticks / TICKS_PER_DAY,
        }


@dataclass(frozen=True, slots=True)
class SetAside:
    """The statement that a clash leaves out: where it stands and whose it is."""

    place: Place
    source: str


@dataclass(frozen=True, slots=True)
class Finding:
    """What a reader or a check has to say.

    ``message`` says what was expected and what was found; ``put_right`` says what to type instead.
    ``excerpt`` is the offending line, printed under the message because simple editors show no line numbers.
    """

    code: str
    place: Place
    message: Sentence
    put_right: Sentence
    related: tuple[Related, ...] = ()
    chain: tuple[Step, ...] | None = None
    set_aside: SetAside | None = None
    excerpt: str = field(default="", compare=False)
    again: tuple[Place, ...] = field(default=(), compare=False)  # where else the same is wrong: `told_once`

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
        for name, said in (("message", _cut(self.message)), ("put_right", _cut(self.put_right))):
            object.__setattr__(self, name, said)
        if len(self.excerpt) > _LONGEST_EXCERPT:
            start = max(0, min(self.place.column - _LONGEST_EXCERPT // 2, len(self.excerpt) - _LONGEST_EXCERPT))
            before, after = "…" if start else "", "…" if start + _LONGEST_EXCERPT < len(self.excerpt) else ""
            object.__setattr__(self, "excerpt", f"{before}{self.excerpt[start : start + _LONGEST_EXCERPT]}{after}")

    @property
    def severity(self) -> Severity:
        """How much this kind of finding matters, from the table."""
        return CODES[self.code]

    @property
    def sort_key(self) -> tuple[str, int, int, str, str]:
        """Order of findings in every list: file, line, column, code, message."""
        return (self.place.file, self.place.line, self.place.column, self.code, str(self.message))

    def line(self, words: Teller) -> str:
        """Return where it stands, how much it matters and what it is, in one line."""
        severity = Sentence(f"finding.severity.{self.severity}")
        return words.tell(sentence("finding.line", place=str(self.place), severity=severity, message=self.message))

    def beneath(self, words: Teller) -> tuple[str, ...]:
        """Return what stands beneath the first line: other places, how to put it right, where it is so again."""
        mend = words.tell(sentence("finding.put-right", code=self.code, put_right=self.put_right))
        lines = [*(f"{related.place}: {words.tell(related.message)}" for related in self.related), mend]
        if self.again:
            lines.append(words.tell(sentence("finding.again", n=len(self.again), places=listed(_by_file(self.again)))))
        return tuple(lines)

    def printed(self, words: Teller) -> str:
        """Return the finding as the terminal shows it, without a closing line end."""
        lines = (*([self.excerpt.strip()] if self.excerpt else []), *self.beneath(words))
        return "\n    ".join((self.line(words), *lines))


def _by_file(places: Iterable[Place]) -> Iterable[str]:
    """Yield places a file at a time, lines that follow one another as a range: "marks/horn.yml:4, 7-9"."""
    for file, group in groupby(sorted(places), key=lambda place: place.file):
        lines = sorted({place.line for place in group})
        ranges = [[line] for line in lines if line - 1 not in lines]
        for run in ranges:
            while run[-1] + 1 in lines:
                run.append(run[-1] + 1)
        yield f"{file}:" + ", ".join(f"{run[0]}-{run[-1]}" if len(run) > 1 else f"{run[0]}" for run in ranges)


def _cut(said: Sentence) -> Sentence:
    """Return a sentence that is no line of megabytes, whatever was typed: of a long value its beginning and its end."""
    if not any(isinstance(value, str) and len(value) > _LONGEST_VALUE for _, value in said.values):
        return said
    keep = _LONGEST_VALUE // 2
    return Sentence(
        said.id,
        tuple(
            (name, f"{value[:keep]} … {value[-keep:]}")
            if isinstance(value, str) and len(value) > _LONGEST_VALUE
            else (name, value)
            for name, value in said.values
        ),
    )


# Every kind of finding, in the order of the stages that meet them; what one means: sentence `finding.means.<code>`.
# What cannot be read, found or placed in time is an error and stops the build; what a reader would miss is a warning;
# the rest are notes.
_KINDS: tuple[tuple[Severity, str], ...] = (
    # Reading the facts
    (
        Severity.ERROR,
        """
        no-guide empty-file file-misplaced unreadable-file link-in-folder same-name double-ending reserved-name
        reserved-id bad-id not-utf-8 control-character not-yaml colon-in-text needs-quotes unclosed-quotes bad-escape
        unclosed-bracket
        no-colon no-comma no-blank indentation tab second-document repeated-key merge-key key-not-text yaml-tag
        yaml-alias too-deep too-large unknown-key missing-key wrong-shape one-of goes-with unknown-choice unknown-format
        unknown-constant bad-language-tag not-a-whole-number not-a-number-typed bad-share bad-duration bad-spot
        too-many-words
        bad-table bad-when bad-date impossible-date slashed-date spreadsheet-date not-a-build-date day-needed
        inverted-range
        bad-notation bad-scan production-of-whom bad-range overlapping-runs calendar-out-of-order not-a-number
        short-number number-not-in-tables number-without-order car-outside-rule wrong-check-digit
        registration-as-number closed-outside-production unknown-source unknown-mark unknown-form unknown-spell
        unknown-scope unknown-split-value unknown-series unknown-period unknown-model-year bad-form-reference
        self-reference bad-address bad-corrections
        mark-in-two-areas mark-without-area former-id-taken renewed-twice order-without-works repeated-in-order
        ruling-names-nothing ruling-names-several ruling-changes-kind ruled-twice day-or-month
        cells-beyond-heading not-a-colour no-headings workbook
    """,
    ),
    (
        Severity.WARNING,
        """
        invisible-character file-not-read cut-by-hash statement-without-works read-as-windows-1252 unknown-licence
        day-off column-not-read seen-number-unread seen-registration notation-widths rival-ends set-aside bad-edition
    """,
    ),
    (Severity.NOTE, "seen-not-in-tables column-read-as withdrawn-unmet not-in-language"),
    # Limits
    (Severity.ERROR, "calendar-contradicts span-inverted"),
    (
        Severity.WARNING,
        """
        statements-clash mixed-by-number ruling-reopened together-apart speaks-for-no-car seen-while-shut range-too-wide
        total-differs period-cars-differ periods-differ period-outside-limits interior-outside-limits
        option-outside-limits built-outside-production dated-car-contradicts count-too-high counts-exceed-output
        more-survive-than-built form-not-in-order
    """,
    ),
    (Severity.NOTE, "ruling-decides-nothing not-placed bound-looser"),
    # Checks
    (Severity.ERROR, "outside-production periods-overlap superseded-in-circle"),
    (
        Severity.WARNING,
        """
        same-answer answer-needs-drawing one-form order-backwards time-without-form period-gap periods-not-told-apart
        missing-picture missing-look picture-without-credit missing-source car-seen-contradicts observers-disagree
        part-number-twice successor-unknown supply-disagrees shares-not-whole number-of-two-series
    """,
    ),
    (
        Severity.NOTE,
        """
        one-form-shown missing-description picture-unused source-says-little source-unused car-seen-differs looks-differ
        lines-repeated mark-without-spot stated-of-one-series order-left-out statement-twice
    """,
    ),
    # Pages, pictures and publishing
    (
        Severity.ERROR,
        """
        out-not-ours out-held out-busy out-moved none-before cannot-write names-differ-in-case unsafe-name theme-broken
        script-name-taken theme-manifest cannot-commit unforeseen
    """,
    ),
    (
        Severity.WARNING,
        """
        picture-unreadable picture-too-large drawing-cleaned text-picture-missing link-dangling link-refused
        table-cells-lost text-too-deep sheet-entry-too-long dead-link outside-request file-too-heavy
        edition-not-renamed edition-not-kept edition-not-newer spot-outside
    """,
    ),
    (Severity.NOTE, "picture-misnamed picture-without-words drawing-heavy"),
)
CODES: dict[str, Severity] = {code: severity for severity, codes in _KINDS for code in codes.split()}
assert len(CODES) == sum(len(codes.split()) for _, codes in _KINDS), "a finding's code stands twice in the table"


_ORDER = {code: number for number, code in enumerate(CODES)}
_LAST_OF_FORM = _ORDER["too-large"]  # up to this a file cannot be read as it was meant


_TOLD_AS_ONE = frozenset({"checks.missing-picture"})  # a guide begun without drawings lacks one for every form


def errors_in(findings: Iterable[Finding]) -> list[Finding]:
    """Return those of some findings that are errors."""
    return [one for one in findings if one.severity is Severity.ERROR]


def stops(findings: Iterable[Finding], stop_on: str = "errors") -> bool:
    """Tell whether findings keep a guide from being written: errors do, and ``warnings`` where that is asked for."""
    return any(
        one.severity is Severity.ERROR or (stop_on == "warnings" and one.severity is Severity.WARNING)
        for one in findings
    )


def mend_order(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return findings in the order in which one would mend them: what stops a build, then what a reader would miss,
    then the rest; and of these first what keeps a file from being read as it was meant."""
    severities = list(Severity)

    def turn(finding: Finding) -> tuple[int, bool, tuple[str, int, int, str, str]]:
        return severities.index(finding.severity), _ORDER[finding.code] > _LAST_OF_FORM, finding.sort_key

    return tuple(sorted(findings, key=turn))


def told_once(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return findings in the order of `mend_order`, what is wrong in the same way in many places told at the first of
    them, which names the others (`Finding.again`): one mend serves for all."""
    same: dict[tuple[object, ...], list[Finding]] = {}
    for finding in mend_order(findings):
        cause: tuple[object, ...] = (finding.message, finding.put_right, finding.related, finding.chain)
        if finding.message.id in _TOLD_AS_ONE:
            cause = (finding.message.id,)
        same.setdefault((finding.code, *cause), []).append(finding)
    return tuple(replace(first, again=tuple(one.place for one in others)) for first, *others in same.values())
