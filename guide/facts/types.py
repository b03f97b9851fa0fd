"""The facts of a guide, as every later stage sees them: frozen, typed, each knowing its place.

Reading makes these once; after that nothing touches a mapping of loose text. Order in every tuple and
mapping is the editor's declared order, and ties anywhere follow it. Ids are file names or keys. The types
stand in `values`, `sequence`, `marking` and here; all are to be had from here.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from guide.facts.marking import (
    Area,
    Count,
    CountKind,
    FittedAs,
    Fitting,
    Form,
    FormRef,
    Mark,
    Reach,
    Ruling,
    Spell,
    Statement,
    StatementKind,
    TakenFor,
)
from guide.facts.sequence import (
    Calendar,
    CalendarEntry,
    CalendarKind,
    ModelYear,
    OutsideCars,
    Run,
    Series,
    Source,
    Stray,
)
from guide.facts.values import RESERVED_IDS, CarNumber, NumberFailure, Scope, Sureness, Text, Trust, When, WhenKind
from guide.finding import Place

__all__ = [
    "RESERVED_IDS",
    "Area",
    "Calendar",
    "CalendarEntry",
    "CalendarKind",
    "CarNumber",
    "CarSeen",
    "CareNote",
    "ChangedTogether",
    "Closure",
    "Count",
    "CountKind",
    "FittedAs",
    "Fitting",
    "Form",
    "FormRef",
    "Guide",
    "Interior",
    "Mark",
    "ModelYear",
    "NumberFailure",
    "OutsideCars",
    "Period",
    "Production",
    "Reach",
    "RenewedTogether",
    "Report",
    "Ruling",
    "Run",
    "Scope",
    "Series",
    "ShareRow",
    "Source",
    "Span",
    "Spell",
    "Split",
    "SplitValue",
    "Statement",
    "StatementKind",
    "Stray",
    "Sureness",
    "TakenFor",
    "Text",
    "Trust",
    "When",
    "WhenKind",
    "Word",
]


@dataclass(frozen=True, kw_only=True, slots=True)
class Span:
    """A stretch in which something was built, in one scope."""

    scope: Scope
    first: When
    last: When
    source: str = ""
    place: Place


@dataclass(frozen=True, kw_only=True, slots=True)
class Interior:
    """A trim combination as built. ``share`` None with ``rest`` True: whatever the others leave."""

    id: str
    name: str
    colour: str
    material: str
    option: bool = False
    rest: bool = False
    share: float | None = None
    spans: tuple[Span, ...]
    counts: tuple[Count, ...] = ()
    asked_as: str = ""  # the answer, when the interior is asked for by eye
    picture: str = ""  # a file in pictures/ for that answer
    about: str = ""  # Markdown
    formerly: tuple[str, ...] = ()
    place: Place


@dataclass(frozen=True, kw_only=True, slots=True)
class Period:
    """A named span of the build; ``first`` and ``last`` are days, inclusive."""

    id: str
    name: str
    first: date
    last: date
    cars: int | None = None  # as stated, for the totals check
    numbers: Mapping[str, tuple[CarNumber, CarNumber]] = field(default_factory=dict)  # series id: first, last
    summary: str = ""
    about: str = ""  # Markdown: how such a car is known
    formerly: tuple[str, ...] = ()
    place: Place


@dataclass(frozen=True, kw_only=True, slots=True)
class SplitValue:
    """One value of a split, and what it settles of other splits (a market may settle the hand)."""

    id: str
    name: str
    settles: Mapping[str, str] = field(default_factory=dict)
    place: Place


@dataclass(frozen=True, kw_only=True, slots=True)
class Split:
    """A way the cars of one time differ as built: hand, market, plant."""

    id: str
    name: str
    values: Mapping[str, SplitValue]
    place: Place


@dataclass(frozen=True, kw_only=True, slots=True)
class ShareRow:
    """The share of cars with a value of a split over a time. A later row overrides an earlier one in it.

    ``share`` None: the remainder, whatever the other values leave.
    """

    split: str
    value: str
    share: float | None
    first: When | None = None
    last: When | None = None
    source: str = ""
    place: Place


@dataclass(frozen=True, kw_only=True, slots=True)
class Closure:
    """Days, inclusive, when nothing was built. Empty ``series``: none of them built anything."""

    first: date
    last: date
    why: str
    source: str = ""
    series: tuple[str, ...] = ()
    place: Place


@dataclass(frozen=True, kw_only=True, slots=True)
class Production:
    """The whole build: first and last day, and the stated number of cars."""

    first: date
    last: date
    made: int | None
    source: str
    place: Place


@dataclass(frozen=True, kw_only=True, slots=True)
class ChangedTogether:
    """Forms that came in at one moment: one hidden changeover for all of them."""

    name: str
    forms: tuple[FormRef, ...]  # each the form that comes in
    scope: Scope = Scope()
    source: str = ""
    place: Place


@dataclass(frozen=True, kw_only=True, slots=True)
class RenewedTogether:
    """Marks that one later job replaces together. Sets do not overlap."""

    id: str
    name: str  # "a re-trim"
    marks: tuple[str, ...]
    share: float  # of cars today that have had it done
    place: Place


@dataclass(frozen=True, kw_only=True, slots=True)
class Report:
    """What was found at one mark of a car seen: forms, or ``changed``, ``none``, ``cannot-tell``."""

    mark: str
    forms: tuple[str, ...]
    kind: str  # form, several, changed, none, cannot-tell (as output.md)
    own: bool | None = None  # believed the car's own
    place: Place


@dataclass(frozen=True, kw_only=True, slots=True)
class CarSeen:
    """A record of one real car looked at."""

    id: str  # stable within the guide
    car: CarNumber | None
    number_text: str  # as typed, even where it is in no table
    failure: NumberFailure | None
    built: When | None = None
    splits: Mapping[str, str] = field(default_factory=dict)  # hand, market, interior where noted
    reports: tuple[Report, ...] = ()
    untouched: bool = False
    seen_on: date | None = None
    source: str = ""
    remarks: str = ""
    place: Place


@dataclass(frozen=True, kw_only=True, slots=True)
class CareNote:
    """What goes wrong with a part, why, how to prevent and mend it, and where to stop and ask."""

    id: str
    title: str
    marks: tuple[str, ...] = ()
    summary: str = ""
    cause: str = ""  # Markdown, as the next four
    prevention: str = ""
    repair: str = ""
    cautions: str = ""
    table: tuple[tuple[str, ...], ...] = ()  # first row is the head
    table_caption: str = ""
    sources: tuple[str, ...] = ()  # published sources, as a reader would cite them
    place: Place


@dataclass(frozen=True, kw_only=True, slots=True)
class Word:
    """A word of the trade, what it means, and what others call it."""

    id: str
    word: str
    means: str  # Markdown
    american: tuple[str, ...] = ()
    german: tuple[str, ...] = ()
    also: tuple[str, ...] = ()
    marks: tuple[str, ...] = ()
    place: Place


@dataclass(frozen=True, kw_only=True, slots=True)
class Guide:
    """Everything the editor has stated. All mappings are in declared order."""

    title: str  # "Larkhythe Tern interiors"
    car: str  # the model in a sentence: "Larkhythe Tern"
    subtitle: str
    edition: str
    language: str  # BCP 47
    licence: str  # SPDX identifier, empty when none is given
    contact: str  # where corrections go; empty when none is given
    production: Production
    fine_enough_days: int
    mask_numbers: bool  # hide the last two digits of cars seen
    splits: Mapping[str, Split]
    shares: tuple[ShareRow, ...]
    closures: tuple[Closure, ...]
    series: Mapping[str, Series]
    sources: Mapping[str, Source]
    areas: Mapping[str, Area]
    marks: Mapping[str, Mark]  # in walking order: by area, then the area's own order
    periods: Mapping[str, Period]
    interiors: Mapping[str, Interior]
    changed_together: tuple[ChangedTogether, ...]
    renewed_together: tuple[RenewedTogether, ...]
    cars_seen: tuple[CarSeen, ...]
    care: Mapping[str, CareNote]
    words: Mapping[str, Word]
    overrides: Mapping[str, float]  # constants the guide states for itself, by id
    about: str  # Markdown, about.md
    place: Place

    @property
    def ordered_series(self) -> Mapping[str, Series]:
        """The series whose numbers follow the build, in declared order: a car is of one of them, and dated by it."""
        return {name: one for name, one in self.series.items() if one.gives_build_order}
