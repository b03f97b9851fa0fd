"""A handful of readers, and records made of fields: how nodes become values, with every problem collected.

A record lists its fields once; from that list come the values, the findings on unknown keys, and the
reference that editors read (`describe`). A blank value counts as not given.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from typing import Any, Generic, TypeVar

from guide.facts.desk import Desk
from guide.facts.problem import Problem, nearest
from guide.facts.source import Items, Keyed, Node
from guide.facts.types import CarNumber, Text, When
from guide.facts.whens import read_car, read_day, read_when_text
from guide.finding import Place

__all__ = [
    "Field", "Reader", "Record", "Row", "car", "choice", "day", "duration_days", "ids", "list_of", "number", "share",
    "source_id", "text", "texts", "when", "whole", "yes_no",
]

T = TypeVar("T")
D = TypeVar("D")
E = TypeVar("E", bound=StrEnum)


@dataclass(frozen=True, slots=True)
class Reader(Generic[T]):
    """How a node becomes a value; None when it cannot, a finding having been added. ``shape`` is for editors."""

    shape: str
    read: Callable[[Node, Desk], T | None]


@dataclass(frozen=True, slots=True)
class Field(Generic[T]):
    """One key of a record, how it is read and what it means."""

    key: str
    reader: Reader[T]
    means: str
    required: bool = False


class Row:
    """The values of one record as read; `incomplete` when a required one is missing or unreadable."""

    __slots__ = ("_values", "incomplete", "places", "node")

    def __init__(self, node: Keyed) -> None:
        self.node = node
        self.incomplete = False
        self.places: dict[str, Place] = {}
        self._values: dict[str, Any] = {}

    def keep(self, key: str, value: Any) -> None:
        """Store a value that was read."""
        self._values[key] = value

    def get(self, wanted: Field[T], default: D) -> T | D:
        """Return a value, or a default when it was not given or could not be read."""
        return self._values.get(wanted.key, default)        # type: ignore[no-any-return]

    def find(self, wanted: Field[T]) -> T | None:
        """Return a value or None."""
        return self._values.get(wanted.key)

    def need(self, wanted: Field[T]) -> T:
        """Return a required value of a row that is not incomplete."""
        return self._values[wanted.key]                     # type: ignore[no-any-return]

    def given(self, wanted: Field[Any]) -> bool:
        """Tell whether the key was typed with something after it."""
        return wanted.key in self.places

    @property
    def place(self) -> Place:
        """Where the record begins."""
        return self.node.place


@dataclass(frozen=True, slots=True)
class Record:
    """A kind of record: what it is called, where it stands, its fields in the order they are best typed."""

    name: str
    where: str
    fields: tuple[Field[Any], ...]
    _by_key: dict[str, Field[Any]] = field(init=False, repr=False, compare=False, default_factory=dict)

    def __post_init__(self) -> None:
        self._by_key.update({one.key: one for one in self.fields})
        assert len(self._by_key) == len(self.fields), f"a key stands twice in {self.name}"

    def open(self, node: Node, desk: Desk, also: tuple[str, ...] = ()) -> Row | None:
        """Read every field; ``also`` are keys that the caller reads itself. None when it is no mapping."""
        if not isinstance(node, Keyed):
            desk.say("wrong-shape", node.place, f"expected keys and values for {self.name}, found {shape_of(node)}",
                     f"write lines such as `{self.fields[0].key}: ...` under it")
            return None
        row = Row(node)
        for key, value in node.pairs:
            if key in also:
                continue
            known = self._by_key.get(key)
            if known is None:
                self._unknown(key, value, node, desk, also)
            elif not is_blank(value):
                row.places[key] = key.place
                read = known.reader.read(value, desk)
                if read is not None:
                    row.keep(key, read)
                elif known.required:
                    row.incomplete = True
        self._missing(row, node, desk)
        return row

    def _missing(self, row: Row, node: Keyed, desk: Desk) -> None:
        for one in self.fields:
            if one.required and one.key not in row.places:
                row.incomplete = True
                desk.say("missing-key", node.place, f"expected `{one.key}:` for {self.name}, found none",
                         f"add `{one.key}:` with {one.reader.shape}: {one.means}")

    def _unknown(self, key: Text, value: Node, node: Keyed, desk: Desk, also: tuple[str, ...]) -> None:
        known = (*self._by_key, *also)
        near = nearest(key, known)
        if node.braces and is_blank(value) and not near:
            desk.say("unknown-key", key.place, f"a comma inside {{ }} begins a new key, found {str(key)!r} as one",
                     "put quotes round the whole text that has the comma in it")
            return
        desk.say("unknown-key", key.place, f"{self.name} has no key {str(key)!r}",
                 f"write `{near}:`" if near else f"the keys are {', '.join(known)}")


def shape_of(node: Node) -> str:
    """Say what a node is, for "found ..."."""
    if isinstance(node, Text):
        return repr(str(node)) if node else "nothing"
    return "a list" if isinstance(node, Items) else "keys and values"


def is_blank(node: Node) -> bool:
    """Tell whether nothing was typed after the key."""
    return isinstance(node, Text) and not node


def _scalar(node: Node, desk: Desk, shape: str) -> Text | None:
    if isinstance(node, Text):
        return node
    desk.say("wrong-shape", node.place, f"expected {shape}, found {shape_of(node)}", "put quotes round text with "
             "brackets, braces or a colon in it" if not isinstance(node, Items) else f"give {shape} alone, without a list")
    return None


def _of_text(shape: str, convert: Callable[[Text, Desk], T | Problem]) -> Reader[T]:
    """Make a reader of one scalar."""

    def read(node: Node, desk: Desk) -> T | None:
        scalar = _scalar(node, desk, shape)
        if scalar is None:
            return None
        value = convert(scalar, desk)
        if isinstance(value, Problem):
            desk.problem(value, scalar.place)
            return None
        return value

    return Reader(shape, read)


text: Reader[Text] = _of_text("text", lambda scalar, _: scalar)


def choice(kinds: type[E], what: str) -> Reader[E]:
    """Make a reader of one of an enumeration's words."""
    words = [str(kind) for kind in kinds]

    def convert(scalar: Text, _: Desk) -> E | Problem:
        plain = scalar.casefold()
        if plain in words:
            return kinds(plain)
        near = nearest(plain, words)
        return Problem("unknown-choice", f"expected {what}, one of {', '.join(words)}, found {str(scalar)!r}",
                       f"write {near}" if near else f"write one of {', '.join(words)}")

    return _of_text(f"one of {', '.join(words)}", convert)


def _yes_no(scalar: Text, _: Desk) -> bool | Problem:
    plain = scalar.casefold()
    if plain in ("yes", "true", "y"):
        return True
    if plain in ("no", "false", "n"):
        return False
    return Problem("unknown-choice", f"expected yes or no, found {str(scalar)!r}", "write yes or no")


yes_no: Reader[bool] = _of_text("yes or no", _yes_no)


def _whole(scalar: Text, _: Desk) -> int | Problem:
    match = re.fullmatch(r"(?:about |some |at most )?(\d{1,3}(?:[, ]\d{3})+|\d+)(?: cars?| sets?)?", scalar.casefold())
    if match:
        return int(re.sub(r"[, ]", "", match[1]))
    return Problem("not-a-whole-number", f"expected a whole number, found {str(scalar)!r}", "write digits only, as 60")


whole: Reader[int] = _of_text("a whole number", _whole)


def _number(scalar: Text, _: Desk) -> float | Problem:
    if re.fullmatch(r"\d+(\.\d+)?", scalar):
        return float(scalar)
    if re.fullmatch(r"\d+,\d+", scalar):
        return Problem("not-a-number-typed", f"expected a full stop in a number, found {str(scalar)!r}",
                       f"write {scalar.replace(',', '.')}")
    return Problem("not-a-number-typed", f"expected a number, found {str(scalar)!r}", "write digits, as 2 or 0.5")


number: Reader[float] = _of_text("a number", _number)

_FRACTIONS = {"half": 0.5, "a half": 0.5, "a third": 1 / 3, "a quarter": 0.25, "two thirds": 2 / 3,
              "three quarters": 0.75, "all": 1.0, "none": 0.0}


def share_of_text(scalar: str) -> float | Problem:
    """Return a share from "4 in 10", "1 car in 12", "half", "40 %", "2/3" or "0.4"."""
    plain = re.sub(r"\s+", " ", scalar.strip().casefold()).removeprefix("about ")
    value: float | None = _FRACTIONS.get(plain)
    if match := re.fullmatch(r"(\d+(?:\.\d+)?)(?: cars?)? ?(?:in|of|out of|/) ?(\d+)(?: cars?)?", plain):
        value = float(match[1]) / float(match[2]) if float(match[2]) else None
    elif match := re.fullmatch(r"(\d+(?:\.\d+)?) ?(?:%|per cent|percent)", plain):
        value = float(match[1]) / 100
    elif re.fullmatch(r"\d+(?:\.\d+)?", plain):
        value = float(plain)
    if value is None or not 0 <= value <= 1:
        return Problem("bad-share", f"expected a share between none and all, found {str(scalar)!r}",
                       "write it as 4 in 10, 40 %, half or 0.4")
    return value


share: Reader[float] = _of_text("a share, as 4 in 10, 40 %, half or 0.4", lambda scalar, _: share_of_text(scalar))

_DAYS = {"day": 1.0, "week": 7.0, "month": 30.4375, "year": 365.25}


def _duration(scalar: Text, _: Desk) -> int | Problem:
    match = re.fullmatch(r"(\d+) (day|week|month|year)s?", scalar.casefold())
    if match and int(match[1]) > 0:
        return round(int(match[1]) * _DAYS[match[2]])
    return Problem("bad-duration", f"expected a length of time, found {str(scalar)!r}", "write it as 3 months or 90 days")


duration_days: Reader[int] = _of_text("a length of time, as 3 months", _duration)
day: Reader[date] = _of_text("a day, as 1968-05-24", lambda scalar, desk: read_day(scalar, desk.overrides))
when: Reader[When] = _of_text(
    "a date, a car, `start` or `end`",
    lambda scalar, desk: read_when_text(scalar, scalar.place, desk.table, desk.when_names, desk.overrides),
)
date_only: Reader[When] = _of_text(
    "a date, as 1968-05 or spring 1968",
    lambda scalar, desk: read_when_text(scalar, scalar.place, {"series": []}, (), desk.overrides),
)
car: Reader[CarNumber] = _of_text("a chassis number", lambda scalar, desk: read_car(scalar, desk.table))


def _source(node: Node, desk: Desk) -> Text | None:
    scalar = _scalar(node, desk, "a source's id")
    return scalar if scalar is not None and desk.source(scalar) else None


source_id: Reader[Text] = Reader("the id of a source", _source)


def list_of(one: Reader[T], shape: str | None = None) -> Reader[tuple[T, ...]]:
    """Make a reader of a list; a single thing counts as a list of one. What cannot be read is left out."""

    def read(node: Node, desk: Desk) -> tuple[T, ...] | None:
        nodes = node.items if isinstance(node, Items) else (node,)
        values = [one.read(item, desk) for item in nodes if not is_blank(item)]
        return tuple(value for value in values if value is not None)

    return Reader(shape or f"a list of {one.shape}", read)


texts: Reader[tuple[Text, ...]] = list_of(text, "text, or a list of texts")
ids: Reader[tuple[Text, ...]] = list_of(text, "an id, or a list of ids")


def keyed_records(node: Node | None, desk: Desk, what: str) -> tuple[tuple[Text, Node], ...]:
    """Return the pairs of a file that maps ids to records, having checked the ids."""
    if node is None or is_blank(node):
        return ()
    if not isinstance(node, Keyed):
        desk.say("wrong-shape", node.place, f"expected ids with {what} under each, found {shape_of(node)}",
                 "begin each with its id and a colon")
        return ()
    return tuple((key, value) for key, value in node.pairs if desk.usable_id(key, what))


def describe(records: tuple[Record, ...]) -> str:
    """Return the reference of every record's keys as Markdown tables."""
    parts = []
    for record in records:
        parts.append(f"### {record.name[0].upper()}{record.name[1:]}\n\n{record.where}\n")
        parts.append("| key | what it takes | what it means |\n|---|---|---|")
        parts += [f"| `{one.key}`{' (needed)' if one.required else ''} | {one.reader.shape} | {one.means} |"
                  for one in record.fields]
        parts.append("")
    return "\n".join(parts)


def mapping_reader(shape: str, read: Callable[[Node, Desk], T | None]) -> Reader[T]:
    """Name a reader made elsewhere, for the reference."""
    return Reader(shape, read)


Values = Mapping[str, Any]
