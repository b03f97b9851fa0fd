"""What there is to look at: marks, their forms and spells, what is stated of them and ruled on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from guide.facts.values import Scope, Sureness, When
from guide.finding import Place

__all__ = [
    "Area",
    "Count",
    "CountKind",
    "FittedAs",
    "Fitting",
    "Form",
    "FormRef",
    "Mark",
    "Reach",
    "Ruling",
    "Spell",
    "Statement",
    "StatementKind",
    "TakenFor",
]


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
    in_place_of: tuple[str, ...] = ()  # form ids; empty: of any
    share: float | None = None  # of the cars it could be on
    scope: Scope = Scope()
    source: str = ""
    note: str = ""
    place: Place


class StatementKind(StrEnum):
    """What one claim is about."""

    FIRST = "first"  # the first car with the form is `when`
    LAST = "last"  # the last car with the form is `when`
    SEEN = "seen"  # a car believed untouched has the form
    BEFORE = "before"  # the first of this form is before the first of `other`
    AFTER = "after"  # the first of this form is after the first of `other`
    TOGETHER = "together with"  # the first of this form is the first of `other`


@dataclass(frozen=True, kw_only=True, slots=True)
class Statement:
    """One dated claim with its source. A `changes:` line makes two: a last and a first, with one place."""

    kind: StatementKind
    mark: str
    form: str
    spell: int  # from 1
    when: When | None = None  # None only where `other` speaks
    other: FormRef | None = None
    scope: Scope = Scope()
    source: str
    page: str = ""
    printed: str = ""  # what the paper prints when that is impossible; used for nothing
    share: float | None = None  # of the later form, where both were fitted
    old_stock_cars: int | None = None  # a `last` may be passed by this many cars
    superlative: bool = False  # "the last ever": a later car contradicts it
    changes: bool = False  # written as one `changes:` line
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
    named: str  # the statement as the ruling names it
    place: Place


@dataclass(frozen=True, kw_only=True, slots=True)
class Spell:
    """A stretch of production with a form. ``number`` counts from 1 within the form."""

    form: str
    number: int
    scope: Scope = Scope()
    share: float | None = None  # of the cars in scope that have it, when not all
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
    words: str = ""  # as the source has it
    place: Place


@dataclass(frozen=True, kw_only=True, slots=True)
class TakenFor:
    """What a form is easily taken for, and how to tell. ``form`` is empty for a thing outside the mark."""

    form: str
    what: str
    tell: str  # Markdown
    place: Place


@dataclass(frozen=True, kw_only=True, slots=True)
class Form:
    """One of the ways a mark is found."""

    id: str
    name: str
    answer: str  # makes sense without its drawing
    picture: str  # file in pictures/
    describes: str = ""  # the drawing in words, for those who cannot see it
    fitted_as: tuple[Fitting, ...]
    scope: Scope = Scope()
    spells: tuple[Spell, ...]
    counts: tuple[Count, ...] = ()
    part_numbers: tuple[str, ...] = ()
    stamped: tuple[str, ...] = ()
    taken_for: tuple[TakenFor, ...] = ()
    about: str = ""  # Markdown
    wear: str = ""  # Markdown
    to_be_had: str = ""  # Markdown: what can be had today
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
    also: tuple[str, ...] = ()  # synonyms; "de: Kippschalter" names the language
    area: str
    question: str
    look: str
    reach: Reach
    in_photographs: bool = False
    survives: str  # "nearly all", "most", "half", "few", or a share as typed
    survives_share: float  # the chance that a car still has its own
    misread_share: float | None = None  # None: the guide's default
    effort: float | None = None  # None: the reach's default
    ask: bool = True  # False: shown, never asked
    scope: Scope = Scope()  # `only if`
    order: tuple[FormRef, ...] = ()  # spells in order of production; empty: no order declared
    forms: Mapping[str, Form]
    statements: tuple[Statement, ...] = ()
    rulings: tuple[Ruling, ...] = ()
    about: str = ""  # Markdown: how to look, at length
    taken_for: str = ""  # Markdown
    wear: str = ""  # Markdown
    to_be_had: str = ""  # Markdown
    caution: str = ""  # Markdown
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
