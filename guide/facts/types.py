"""The facts of a guide, as every later stage sees them: frozen, typed, each knowing its place.

Reading makes these once; after that nothing touches a mapping of loose text. Order in every tuple and
mapping is the editor's declared order, and ties anywhere follow it. Ids are file names or keys.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum

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

RESERVED_IDS = frozenset({"changed", "none", "cannot-tell"})


class Text(str):
    """A scalar as the editor typed it (white space trimmed), knowing where it stands."""

    __slots__ = ("place",)
    place: Place

    def __new__(cls, value: str, place: Place) -> Text:
        text = super().__new__(cls, value)
        text.place = place
        return text


@dataclass(frozen=True, slots=True)
class Scope:
    """Which cars something speaks of: for each named dimension, the values allowed.

    A dimension is a split of the guide (``hand``, ``market``...), ``series`` or ``interior``. No dimension
    named means every car. ``parts`` is sorted by dimension, its values in the guide's order.
    """

    parts: tuple[tuple[str, tuple[str, ...]], ...] = ()

    def values(self, dimension: str) -> tuple[str, ...] | None:
        """Return the values allowed for a dimension, or None when it is not named."""
        return dict(self.parts).get(dimension)

    def as_dict(self) -> dict[str, list[str]]:
        """Return the scope for output, dimension to values."""
        return {dimension: list(values) for dimension, values in self.parts}

    def holds(self, car: Mapping[str, str]) -> bool:
        """Tell whether a car with every dimension known lies in this scope."""
        return all(dimension in car and car[dimension] in values for dimension, values in self.parts)

    def meets(self, other: Scope) -> bool:
        """Tell whether some car can lie in both scopes, dimension by dimension."""
        mine = dict(self.parts)
        return all(set(mine.get(dimension, values)) & set(values) for dimension, values in other.parts)

    def within(self, other: Scope) -> bool:
        """Tell whether every car of this scope lies in the other."""
        mine = dict(self.parts)
        return all(dimension in mine and set(mine[dimension]) <= set(values)
                   for dimension, values in other.parts)


@dataclass(frozen=True, slots=True)
class CarNumber:
    """A chassis number in its series' notation; ``text`` as typed, ``written`` as the series writes it."""

    series: str
    prefix: str
    number: int
    suffix: str
    written: str
    text: str
    place: Place | None = field(default=None, compare=False)


class NumberFailure(StrEnum):
    """Why a number cannot be used; `facts.numbers` says which, and the words stage words it."""

    NOT_A_NUMBER = "not-a-number"            # fits no series' notation
    REGISTRATION = "registration"            # looks like a road registration
    SHORT = "short"                          # the prefix or leading noughts are missing
    NOT_IN_TABLES = "not-in-tables"          # in a gap never built, or beyond every stated run
    OUTSIDE = "outside"                      # a named car outside the rule (pre-production and the like)
    WRONG_CHECK_DIGIT = "wrong-check-digit"  # 17 characters, check digit of 49 CFR 565.15


class WhenKind(StrEnum):
    """The three ways of saying when."""

    DATE = "date"
    CAR = "car"
    START = "start"
    END = "end"


@dataclass(frozen=True, slots=True)
class When:
    """A stated moment: a date (somewhere from ``earliest`` to ``latest``, both inclusive), a car, or an end.

    For a date either bound may be None (open); approximation has already widened them by the stated amount.
    For a car ``cars_after`` shifts it ("about 200 cars after C1840": 200) and ``cars_slack`` is how far off
    that may be, in cars. For ``START`` and ``END`` ``of`` is a period or series id, None for production.
    """

    kind: WhenKind
    text: str
    place: Place
    earliest: date | None = None
    latest: date | None = None
    approximate: bool = False
    uncertain: bool = False
    car: CarNumber | None = None
    cars_after: int = 0
    cars_slack: int = 0
    of: str | None = None


class Trust(StrEnum):
    """How far a source is believed, best first."""

    HIGH = "high"
    GOOD = "good"
    FAIR = "fair"
    POOR = "poor"


class Sureness(StrEnum):
    """How sure a count is."""

    GOOD = "good"
    FAIR = "fair"
    POOR = "poor"


@dataclass(frozen=True, kw_only=True, slots=True)
class Source:
    """A paper, a register, a letter: described as a librarian would."""

    id: str
    name: str
    kind: str
    trust: Trust
    dated: When | None = None
    about: str = ""          # Markdown
    held: str = ""           # where it can be seen
    place: Place


@dataclass(frozen=True, kw_only=True, slots=True)
class Run:
    """A run of numbers in build order. ``last`` None: the end is not stated; ``built`` False: a declared gap.

    An empty ``prefix`` under a series with one counter holds every prefix of that counter.
    """

    prefix: str
    first: int
    last: int | None
    built: bool
    source: str
    dated: When | None = None
    place: Place


class CalendarKind(StrEnum):
    """The two ways a calendar speaks."""

    LAST_BY_END = "last by the end of"
    FIRST_OF = "first of"


@dataclass(frozen=True, kw_only=True, slots=True)
class CalendarEntry:
    """One line of a calendar: the last car built by the end of a time, or the first car built in it."""

    kind: CalendarKind
    time: When               # a date; its bounds are the time's first and last day
    car: CarNumber
    source: str
    place: Place


Calendar = tuple[CalendarEntry, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Stray:
    """A named car built out of order, with its own date."""

    car: CarNumber
    built: When
    source: str
    why: str = ""
    place: Place


@dataclass(frozen=True, kw_only=True, slots=True)
class OutsideCars:
    """Named cars outside the rule: pre-production, foreign assembly. They fit no position."""

    prefix: str
    first: int
    last: int
    name: str
    why: str = ""
    place: Place


@dataclass(frozen=True, kw_only=True, slots=True)
class ModelYear:
    """A row of a maker's model-year table. A model year is not a date of build and is never used as one."""

    year: str
    first: CarNumber
    last: CarNumber | None
    source: str
    place: Place


@dataclass(frozen=True, kw_only=True, slots=True)
class Series:
    """Chassis numbers with a sequence of their own.

    ``written`` holds the notations, ``#`` for a digit ("C####"); several share one counter when
    ``one_counter``. ``gives_build_order`` is False for a second kind of number on the same cars.
    ``out_of_order`` is the usual disorder of build against number, in cars.
    """

    id: str
    name: str
    body: str                                # what such a car is called in a sentence: "coupé"
    written: tuple[str, ...]
    one_counter: bool = False
    gives_build_order: bool = True
    check_digit: bool = False
    suffixes: Mapping[str, Scope] = field(default_factory=dict)
    runs: tuple[Run, ...]
    calendar: Calendar = ()
    out_of_order: int = 0
    strays: tuple[Stray, ...] = ()
    outside: tuple[OutsideCars, ...] = ()
    model_years: tuple[ModelYear, ...] = ()
    asked_as: str = ""                       # the answer that tells this series' cars from the others by eye
    picture: str = ""
    place: Place


class Reach(StrEnum):
    """What one may do beside a car: a set, not a ladder. Declared in walking order."""

    PHOTOGRAPHS = "photographs"
    OUTSIDE = "outside"
    GLASS = "glass"
    DOOR = "door"
    SEAT = "seat"
    BONNET = "bonnet"
    HANDS = "hands"


class FittedAs(StrEnum):
    """How a form comes to be on a car. Only the first two date it."""

    FACTORY = "factory"
    OPTION = "option"
    DEALER = "dealer"
    CAMPAIGN = "campaign"
    SERVICE_PART = "service part"
    REPRODUCTION = "reproduction"
    AFTERMARKET = "aftermarket"
    REPAIR = "repair"
    OTHER_MODEL = "other model"
    CONVERSION = "conversion"


@dataclass(frozen=True, slots=True)
class FormRef:
    """A form of a mark, by ids; ``spell`` counts from 1 where a form has several."""

    mark: str
    form: str
    spell: int = 1


@dataclass(frozen=True, kw_only=True, slots=True)
class Fitting:
    """One way a form comes to be on a car, with when it was to be had and what it replaces."""

    kind: FittedAs
    first: When | None = None
    last: When | None = None
    in_place_of: tuple[str, ...] = ()        # form ids; empty: of any
    share: float | None = None               # of the cars it could be on
    scope: Scope = Scope()
    source: str = ""
    note: str = ""
    place: Place


class StatementKind(StrEnum):
    """What one claim is about."""

    FIRST = "first"                          # the first car with the form is `when`
    LAST = "last"                            # the last car with the form is `when`
    SEEN = "seen"                            # a car believed untouched has the form
    BEFORE = "before"                        # the first of this form is before the first of `other`
    AFTER = "after"                          # the first of this form is after the first of `other`
    TOGETHER = "together with"               # the first of this form is the first of `other`


@dataclass(frozen=True, kw_only=True, slots=True)
class Statement:
    """One dated claim with its source. A `changes:` line makes two: a last and a first, with one place."""

    kind: StatementKind
    mark: str
    form: str
    spell: int                               # from 1
    when: When | None = None                 # None only where `other` speaks
    other: FormRef | None = None
    scope: Scope = Scope()
    source: str
    page: str = ""
    printed: str = ""                        # what the paper prints when that is impossible; used for nothing
    share: float | None = None               # of the later form, where both were fitted
    old_stock_cars: int | None = None        # a `last` may be passed by this many cars
    superlative: bool = False                # "the last ever": a later car contradicts it
    changes: bool = False                    # written as one `changes:` line
    note: str = ""
    place: Place


@dataclass(frozen=True, kw_only=True, slots=True)
class Ruling:
    """The editor's decision on statements that clash. It names exactly one statement.

    ``statement`` is the index into the mark's statements. ``sets_aside`` drops it; otherwise it is read
    with ``read_scope`` and ``read_when`` where these are given.
    """

    mark: str
    statement: int
    sets_aside: bool
    read_scope: Scope | None = None
    read_when: When | None = None
    why: str
    on: date
    named: str                               # the statement as the ruling names it
    place: Place


@dataclass(frozen=True, kw_only=True, slots=True)
class Spell:
    """A stretch of production with a form. ``number`` counts from 1 within the form."""

    form: str
    number: int
    scope: Scope = Scope()
    share: float | None = None               # of the cars in scope that have it, when not all
    place: Place


class CountKind(StrEnum):
    """Three different counts that are never mixed."""

    ORDERED = "ordered"
    BUILT = "built"
    SURVIVING = "surviving"


@dataclass(frozen=True, kw_only=True, slots=True)
class Count:
    """How many are thought to have something, and how sure that is."""

    kind: CountKind
    about: int
    sure: Sureness
    source: str = ""
    words: str = ""                          # as the source has it
    place: Place


@dataclass(frozen=True, kw_only=True, slots=True)
class TakenFor:
    """What a form is easily taken for, and how to tell. ``form`` is empty for a thing outside the mark."""

    form: str
    what: str
    tell: str                                # Markdown
    place: Place


@dataclass(frozen=True, kw_only=True, slots=True)
class Form:
    """One of the ways a mark is found."""

    id: str
    name: str
    answer: str                              # makes sense without its drawing
    picture: str                             # file in pictures/
    describes: str = ""                      # the drawing in words, for those who cannot see it
    fitted_as: tuple[Fitting, ...]
    scope: Scope = Scope()
    spells: tuple[Spell, ...]
    counts: tuple[Count, ...] = ()
    part_numbers: tuple[str, ...] = ()
    stamped: tuple[str, ...] = ()
    taken_for: tuple[TakenFor, ...] = ()
    about: str = ""                          # Markdown
    wear: str = ""                           # Markdown
    to_be_had: str = ""                      # Markdown: what can be had today
    formerly: tuple[str, ...] = ()
    place: Place

    @property
    def dates_a_car(self) -> bool:
        """Whether the works fitted it: the other ways of coming to be on a car say nothing of its date."""
        return any(fitting.kind in (FittedAs.FACTORY, FittedAs.OPTION) for fitting in self.fitted_as)

    @property
    def is_option(self) -> bool:
        """Whether the works fitted it to order only, so that it lies over the factory chain."""
        kinds = {fitting.kind for fitting in self.fitted_as}
        return FittedAs.OPTION in kinds and FittedAs.FACTORY not in kinds


@dataclass(frozen=True, kw_only=True, slots=True)
class Mark:
    """One thing to look at."""

    id: str
    name: str
    also: tuple[str, ...] = ()               # synonyms; "de: Kippschalter" names the language
    area: str
    question: str
    look: str
    reach: Reach
    in_photographs: bool = False
    survives: str                            # "nearly all", "most", "half", "few", or a share as typed
    survives_share: float                    # the chance that a car still has its own
    misread_share: float | None = None       # None: the guide's default
    effort: float | None = None              # None: the reach's default
    ask: bool = True                         # False: shown, never asked
    scope: Scope = Scope()                   # `only if`
    order: tuple[FormRef, ...] = ()          # spells in order of production; empty: no order declared
    forms: Mapping[str, Form]
    statements: tuple[Statement, ...] = ()
    rulings: tuple[Ruling, ...] = ()
    about: str = ""                          # Markdown: how to look, at length
    taken_for: str = ""                      # Markdown
    wear: str = ""                           # Markdown
    to_be_had: str = ""                      # Markdown
    caution: str = ""                        # Markdown
    formerly: tuple[str, ...] = ()
    place: Place


@dataclass(frozen=True, kw_only=True, slots=True)
class Area:
    """Where on the car; its marks in walking order."""

    id: str
    name: str
    marks: tuple[str, ...]
    about: str = ""
    place: Place


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
    asked_as: str = ""                       # the answer, when the interior is asked for by eye
    picture: str = ""                        # a file in pictures/ for that answer
    about: str = ""                          # Markdown
    formerly: tuple[str, ...] = ()
    place: Place


@dataclass(frozen=True, kw_only=True, slots=True)
class Period:
    """A named span of the build; ``first`` and ``last`` are days, inclusive."""

    id: str
    name: str
    first: date
    last: date
    cars: int | None = None                  # as stated, for the totals check
    numbers: Mapping[str, tuple[CarNumber, CarNumber]] = field(default_factory=dict)  # series id: first, last
    summary: str = ""
    about: str = ""                          # Markdown: how such a car is known
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
    forms: tuple[FormRef, ...]               # each the form that comes in
    scope: Scope = Scope()
    source: str = ""
    place: Place


@dataclass(frozen=True, kw_only=True, slots=True)
class RenewedTogether:
    """Marks that one later job replaces together. Sets do not overlap."""

    id: str
    name: str                                # "a re-trim"
    marks: tuple[str, ...]
    share: float                             # of cars today that have had it done
    place: Place


@dataclass(frozen=True, kw_only=True, slots=True)
class Report:
    """What was found at one mark of a car seen: forms, or ``changed``, ``none``, ``cannot-tell``."""

    mark: str
    forms: tuple[str, ...]
    kind: str                                # form, several, changed, none, cannot-tell (as output.md)
    own: bool | None = None                  # believed the car's own
    place: Place


@dataclass(frozen=True, kw_only=True, slots=True)
class CarSeen:
    """A record of one real car looked at."""

    id: str                                  # stable within the guide
    car: CarNumber | None
    number_text: str                         # as typed, even where it is in no table
    failure: NumberFailure | None
    built: When | None = None
    splits: Mapping[str, str] = field(default_factory=dict)   # hand, market, interior where noted
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
    cause: str = ""                          # Markdown, as the next four
    prevention: str = ""
    repair: str = ""
    cautions: str = ""
    table: tuple[tuple[str, ...], ...] = ()  # first row is the head
    table_caption: str = ""
    sources: tuple[str, ...] = ()            # published sources, as a reader would cite them
    place: Place


@dataclass(frozen=True, kw_only=True, slots=True)
class Word:
    """A word of the trade, what it means, and what others call it."""

    id: str
    word: str
    means: str                               # Markdown
    american: tuple[str, ...] = ()
    german: tuple[str, ...] = ()
    also: tuple[str, ...] = ()
    marks: tuple[str, ...] = ()
    place: Place


@dataclass(frozen=True, kw_only=True, slots=True)
class Guide:
    """Everything the editor has stated. All mappings are in declared order."""

    title: str                               # "Larkhythe Tern interiors"
    car: str                                 # the model in a sentence: "Larkhythe Tern"
    subtitle: str
    edition: str
    language: str                            # BCP 47
    licence: str                             # SPDX identifier, empty when none is given
    contact: str                             # where corrections go; empty when none is given
    production: Production
    fine_enough_days: int
    mask_numbers: bool                       # hide the last two digits of cars seen
    splits: Mapping[str, Split]
    shares: tuple[ShareRow, ...]
    closures: tuple[Closure, ...]
    series: Mapping[str, Series]
    sources: Mapping[str, Source]
    areas: Mapping[str, Area]
    marks: Mapping[str, Mark]                # in walking order: by area, then the area's own order
    periods: Mapping[str, Period]
    interiors: Mapping[str, Interior]
    changed_together: tuple[ChangedTogether, ...]
    renewed_together: tuple[RenewedTogether, ...]
    cars_seen: tuple[CarSeen, ...]
    care: Mapping[str, CareNote]
    words: Mapping[str, Word]
    overrides: Mapping[str, float]           # constants the guide states for itself, by id
    about: str                               # Markdown, about.md
    place: Place
