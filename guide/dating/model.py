"""The one frozen table that dates a car, in the terminal and in the browser alike (format 1).

What it is made of
------------------
*bins*: the days of production cut at half months, at the ends of closures, periods and series, and at the days
that papers name. Bin ``t`` runs from day ``edges[t]`` up to day ``edges[t+1]``,
counted from ``origin``. In a closure no car was built.
*rows*: a number series crossed with a specification; a *slot* is a bin of a row. A slot's weight is the number
of cars built in it: ``series.cars[t] * share of the specification``.
*mixes*: for each mark the ways a car can have been built, each a chance per form. A whole number ``i`` stands
for "form i for certain".
*groups*: marks that changed at one and the same moment, which is hidden. In a slot such a group is at one of two
*stages*, before that changeover or after it, and given the stage its marks are independent; so are the marks'
other changeovers. A lone mark is a group of one, its stages already added up into one mix.
*sets*: marks that one later job replaces together.

Invariants: edges rise; a mix and the shares of a bin each add up to one; each mark
stands in exactly one group and in at most one set. All numbers are rounded when the model is built, so a model
dumped and loaded equals itself, and both languages compute from the very same figures.
"""

from __future__ import annotations

import dataclasses
import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

__all__ = [
    "FORMAT",
    "Chances",
    "Model",
    "ModelAssembly",
    "ModelFitted",
    "ModelForm",
    "ModelGroup",
    "ModelInterior",
    "ModelMark",
    "ModelPeriod",
    "ModelSeries",
    "ModelSet",
    "ModelYears",
    "Named",
    "Restored",
    "Specification",
    "Stop",
    "Telling",
    "described",
    "dump_model",
]

FORMAT = 1
_SURE = {"almost_certainly": 0.99, "very_probably": 0.9, "probably": 0.66, "may_well": 0.33, "unsure": 0.0}
_ALWAYS = {"always": True}  # of a field that is written even where it holds its default
Mix = int | tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Named:
    """An id with the words for it."""

    id: str
    name: str


@dataclass(frozen=True, slots=True)
class ModelInterior:
    """An interior with the words for it, its colour and what it is made of."""

    id: str
    name: str
    colour: str = ""
    material: str = ""


@dataclass(frozen=True, slots=True)
class ModelPeriod:
    """A period: bins ``first`` up to, not including, ``end``, of some series, by index; of all where none is named."""

    id: str
    name: str
    first: int
    end: int
    series: tuple[int, ...] = ()

    def holds(self, series: int) -> bool:
        """Tell whether cars of a series can be of it."""
        return not self.series or series in self.series


@dataclass(frozen=True, slots=True)
class Specification:
    """A combination of splits and interiors that the marks cannot tell apart any further."""

    splits: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class ModelYears:
    """A row of a maker's model-year table: positions ``first`` up to, not including, ``end``; ``by_days``: the table
    goes by the day of build, and not by number."""

    year: str
    first: float
    end: float
    by_days: bool = False


@dataclass(frozen=True, slots=True)
class ModelAssembly:
    """Cars put together from ``least`` to ``most`` days after their number was given out: of each series those of some
    specifications, by index."""

    of: tuple[tuple[int, ...], ...]
    least: int
    most: int


@dataclass(frozen=True, kw_only=True, slots=True)
class ModelSeries:
    """A number series: its cars, and how a number becomes a position and back.

    ``cars`` are those built in each bin. ``shares`` are runs over the bins, ``(bin, share of each
    specification)``. ``runs`` are ``(prefix, first number, how many)`` in build order; a position counts from 0
    through them. Empty: the numbers say nothing of the order of build.
    """

    id: str
    name: str
    body: str
    cars: tuple[float, ...]
    shares: tuple[tuple[int, tuple[float, ...]], ...]
    runs: tuple[tuple[str, int, int], ...] = ()
    tolerance_cars: int = 0
    knots: tuple[tuple[float, float], ...] = ()  # (cars, day): so many were built by then, as papers have it
    since: tuple[tuple[int, int], ...] = ()  # (position, day): from this car on none was built before that day
    until: tuple[tuple[int, int], ...] = ()  # (position, day): up to this car none was built after that day
    cuts: tuple[int, ...] = ()  # cars built by the closures of which a paper says which car was the last before them
    suffixes: Mapping[str, Mapping[str, tuple[str, ...]]] = dataclasses.field(default_factory=dict)
    strays: Mapping[str, tuple[int, int]] = dataclasses.field(default_factory=dict)  # number: first, last day
    model_years: tuple[ModelYears, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class ModelFitted:
    """Which cars the works can have fitted a form to: those of a scope, between two positions of each series.

    ``sure``: a source of at least good trust says so. See `guide.dating.building.behind`.
    """

    on: Mapping[str, tuple[str, ...]] = dataclasses.field(default_factory=dict)
    numbers: Mapping[str, tuple[int | None, int | None]] = dataclasses.field(default_factory=dict)
    sure: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class ModelForm:
    """One form. ``factory`` False: the works never fitted it, so it says nothing of the date.

    ``kind`` is how it otherwise comes to be on a car (a `FittedAs` value, empty for factory only), ``since``
    the year from which that could be. ``over`` are the marks that it lies over, by id: they cannot be seen then.
    ``fitted`` is for which cars the works fitted it; empty says nothing of that.
    """

    id: str
    name: str
    answer: str
    factory: bool = True
    kind: str = ""
    since: int | None = None
    over: tuple[str, ...] = ()
    fitted: tuple[ModelFitted, ...] = ()

    @property
    def behind(self) -> tuple[ModelFitted, ...]:
        """What stands behind it: ``fitted``, or one of which nothing is said."""
        return self.fitted or _ANY


_ANY = (ModelFitted(),)


@dataclass(frozen=True, kw_only=True, slots=True)
class ModelMark:
    """One thing to look at. ``survives`` is the chance that a car still has its own, ``misread`` that a form
    is taken for another. ``replacement[b][f]``: the chance that a replaced part is ``f`` where the works fitted
    ``b``; empty means every form alike. ``kind`` is ``mark``, or, of what a car is as a whole, ``body``, ``split`` or
    ``interior``. ``had_by[series]`` are the specifications, by index, whose cars have such a part at all; empty means
    that every car has. ``date_on_it`` says where on the part a date of its making stands, ``dated_before`` at most how
    many days before the car that is; None: as of other parts.
    """

    id: str
    name: str
    area: str
    question: str
    look: str
    reach: str
    photographs: bool
    effort: float
    survives: float
    misread: float
    forms: tuple[ModelForm, ...]
    mixes: tuple[Mix, ...]
    replacement: tuple[tuple[float, ...], ...] = ()
    ask: bool = True
    kind: str = "mark"
    had_by: tuple[tuple[int, ...], ...] = ()
    date_on_it: str = ""
    dated_before: int | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class ModelGroup:
    """Marks that share one hidden changeover (or one mark alone), by index into the model's marks.

    A *run* is ``(bin, value, bin, value, ...)``, each value holding until the next bin. ``of[series][specification]``
    is a variant, and ``variants[v]`` lists runs: for a lone mark the one run of its mixes; for several marks the run
    of ``passed`` (by index: the chance that the shared changeover had come), then for each mark the run of its
    mixes before that changeover and the run of those after. Where a mark does not apply, its mix is the average
    over the cars that it applies to, so that an answer says nothing there.
    """

    marks: tuple[int, ...]
    runs: tuple[tuple[int, ...], ...]
    variants: tuple[tuple[int, ...], ...]
    of: tuple[tuple[int, ...], ...]
    passed: tuple[float, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class ModelSet:
    """Marks renewed together by one later job, which ``share`` of the cars today have had."""

    id: str
    name: str
    marks: tuple[int, ...]
    share: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Stop:
    """When enough has been seen: one period holds ``period``, or the span is at most ``fine_days`` long, or no
    look is worth ``gain_bits``. Looking ahead, a bit still unknown is reckoned at ``bit_effort`` times what
    the best look now takes per bit."""

    period: float
    fine_days: float
    gain_bits: float
    bit_effort: float = dataclasses.field(default=1.75, metadata=_ALWAYS)


@dataclass(frozen=True, kw_only=True, slots=True)
class Restored:
    """How many cars were restored with parts of another year, and how."""

    share: float = 0.0  # of all cars
    known: float = 0.5  # of those that are known to have been restored
    survives: float = 0.5  # the chance that a part is the car's own
    interior: float = 0.5  # with the whole interior of another car, and not with parts as they could be had
    earlier: float = 0.1  # of the latter: with parts of an earlier year


@dataclass(frozen=True, kw_only=True, slots=True)
class Chances:
    """The chances and lags that the evidence other than looks needs."""

    number_wrong: float  # a number misread or restamped
    uneven: float = 0.0  # share of the cars between two knots by which the build may be ahead or behind
    pace_unknown: float = 0.0  # a pace between two knots that was nothing like even
    paper_wrong: float  # a date on a paper that is another car's or misdated
    stray_days: float  # such a date, or that of a renewed part, lies anywhere in so many days
    lag_days: Mapping[str, float]  # registered, despatched, titled: mean days after the build
    part_lag_days: float  # a part's date lies at most this long before the build
    assembled_days: int = 0  # where no plant is known, a car was put together at most this long after its number
    about_days: Mapping[str, int] = dataclasses.field(default_factory=dict)  # by how finely a date is stated
    restored: Restored = dataclasses.field(default=Restored(), metadata=_ALWAYS)


@dataclass(frozen=True, kw_only=True, slots=True)
class Telling:
    """From where on something is told: what the wording of a result rests on, for both languages alike.

    Common practice, no source. A model written before these stood in it is read with these very values.
    """

    spans: tuple[float, ...] = (0.9, 0.5)  # what each span of a result holds, the widest first
    hole_share: float = 1 / 3  # a hole longer than this share of a span that holds less than ``hole_weight`` ...
    hole_weight: float = 0.02  # ... of the cars makes "either ... or ..."
    series: float = 0.01  # a series less likely than this has no numbers printed
    mention: float = 0.1  # another period is named beside the first from this chance up
    in_days: int = 62  # a span shorter than this is said in days, not in months
    restored: float = 0.105  # that the car may have been restored is said from this chance up
    restored_numbered: float = 0.115  # the same where the number is known, against which late parts tell more
    apart: float = 0.5  # a mark, or a number, is said to stand apart when that is at least as likely as not
    fitted: float = 0.05  # of the most that ever had a form: where fewer can have had it, it is not reckoned with
    shorter: float = 0.9  # a look's expected span is said where it is that much shorter than now
    sureness: Mapping[str, float] = dataclasses.field(default_factory=lambda: dict(_SURE))  # from which chance up

    def warns_from(self, *, numbered: bool) -> float:
        """Return from which chance up it is said that the car may have been restored."""
        return self.restored_numbered if numbered else self.restored

    @property
    def widest(self) -> float:
        """What the widest span of a result holds."""
        return self.spans[0]


@dataclass(frozen=True, kw_only=True, slots=True)
class Model:
    """Everything needed to date a car, and nothing else. See the module's text for what stands where."""

    format: int = dataclasses.field(default=FORMAT, metadata=_ALWAYS)
    edition: str
    language: str
    car: str
    origin: str  # ISO date of day 0
    edges: tuple[int, ...]  # days
    periods: tuple[ModelPeriod, ...]
    interiors: tuple[ModelInterior, ...]
    areas: tuple[Named, ...]
    specifications: tuple[Specification, ...]
    series: tuple[ModelSeries, ...]
    further: tuple[ModelSeries, ...] = ()  # of further numbers on the same cars, as of bodies
    assembled: tuple[ModelAssembly, ...] = ()
    marks: tuple[ModelMark, ...]
    groups: tuple[ModelGroup, ...]
    sets: tuple[ModelSet, ...]
    stop: Stop
    reaches: Mapping[str, float]  # in walking order: the effort of getting that close, paid once
    chances: Chances
    splits: Mapping[str, Mapping[str, str]] = dataclasses.field(default_factory=dict)  # how their values are called
    numbers: Mapping[str, Any]  # how numbers are read: guide.facts.when.numbers.number_table
    formerly: Mapping[str, Mapping[str, Any]] = dataclasses.field(default_factory=dict)  # see building.formerly
    telling: Telling = dataclasses.field(default=Telling(), metadata=_ALWAYS)


def described(model: Model) -> Model:
    """Return a model that says what is asked and of what, and holds no figure that follows from any statement."""
    return dataclasses.replace(
        model,
        edges=(),
        periods=tuple(dataclasses.replace(one, first=0, end=0) for one in model.periods),
        series=tuple(map(_named_alone, model.series)),
        further=tuple(map(_named_alone, model.further)),
        marks=tuple(
            dataclasses.replace(
                mark, mixes=(), had_by=(), forms=tuple(dataclasses.replace(form, fitted=()) for form in mark.forms)
            )
            for mark in model.marks
        ),
        groups=(),
    )


def _named_alone(series: ModelSeries) -> ModelSeries:
    return dataclasses.replace(series, cars=(), shares=(), knots=(), since=(), until=(), cuts=(), strays={})


def dump_model(model: Model) -> str:
    """Return the model as compact JSON; fields that hold their default are left out. Same model, same text.

    The kinds of car that forms were fitted to stand there once, as ``kinds``, and ``on`` of a form counts in these.
    """
    written = _plain(model)
    kinds: list[Mapping[str, Any]] = []
    for entry in (one for mark in written["marks"] for form in mark["forms"] for one in form.get("fitted", ())):
        if "on" in entry:
            if entry["on"] not in kinds:
                kinds.append(entry["on"])
            entry["on"] = kinds.index(entry["on"])
    if kinds:
        written["kinds"] = kinds
    return json.dumps(written, ensure_ascii=False, separators=(",", ":"), allow_nan=False)


def _plain(value: Any) -> Any:
    if dataclasses.is_dataclass(value):
        result = {}
        for field in dataclasses.fields(value):
            item = getattr(value, field.name)
            default = field.default_factory() if callable(field.default_factory) else field.default
            if item != default or isinstance(value, Restored | Telling) or field.metadata.get("always"):
                result[field.name] = _plain(item)
        return result
    if isinstance(value, Mapping):
        return {key: _plain(item) for key, item in value.items()}
    if isinstance(value, tuple | list):
        return [_plain(item) for item in value]
    if isinstance(value, float) and value.is_integer():
        return int(value)
    return value
