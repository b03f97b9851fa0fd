"""Records made of fields: how nodes become values, with every problem collected in one run.

A record lists its fields once; from that list come the values, the findings on unknown keys, and the
reference that editors read (`describe`). A blank value counts as not given. The readers of single values
stand in `readers`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, Generic, TypeVar

from guide.facts.text.desk import Desk
from guide.facts.text.problem import nearest
from guide.facts.text.source import Items, Keyed, Node
from guide.facts.types import Text
from guide.finding import Place

__all__ = [
    "Field",
    "Reader",
    "Record",
    "Row",
    "describe",
    "is_blank",
    "items_of",
    "keyed_records",
    "open_all",
    "raw",
    "shape_of",
]

T = TypeVar("T")
T_co = TypeVar("T_co", covariant=True)
D = TypeVar("D")


@dataclass(frozen=True, slots=True)
class Reader(Generic[T_co]):
    """How a node becomes a value, or None and a finding. ``shape`` says to editors what is taken."""

    shape: str
    read: Callable[[Node, Desk], T_co | None]


@dataclass(frozen=True, slots=True)
class Field(Generic[T_co]):
    """One key of a record, how it is read and what it means."""

    key: str
    reader: Reader[T_co]
    means: str
    required: bool = False


class Row:
    """The values of one record as read; `incomplete` when a required one is missing or unreadable.

    `has_unknown` tells that a key was not known, so that what is missing may be what was meant by it.
    """

    __slots__ = ("_values", "has_unknown", "incomplete", "node", "places")

    def __init__(self, node: Keyed) -> None:
        self.node = node
        self.incomplete = False
        self.has_unknown = False
        self.places: dict[str, Place] = {}
        self._values: dict[str, Any] = {}

    def keep(self, key: str, value: Any) -> None:
        """Store a value that was read."""
        self._values[key] = value

    def get(self, wanted: Field[T], default: D) -> T | D:
        """Return a value, or a default when it was not given or could not be read."""
        return self._values.get(wanted.key, default)  # type: ignore[no-any-return]

    def find(self, wanted: Field[T]) -> T | None:
        """Return a value or None."""
        return self._values.get(wanted.key)

    def need(self, wanted: Field[T]) -> T:
        """Return a required value of a row that is not incomplete."""
        return self._values[wanted.key]  # type: ignore[no-any-return]

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
            desk.say(
                "wrong-shape",
                node.place,
                f"expected keys and values for {self.name}, found {shape_of(node)}",
                f"write lines such as `{self.fields[0].key}: ...` under it",
            )
            return None
        row = Row(node)
        for key, value in node.pairs:
            if key in also:
                continue
            known = self._by_key.get(key)
            if known is None:
                row.has_unknown = True
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
                desk.say(
                    "missing-key",
                    node.place,
                    f"expected `{one.key}:` for {self.name}, found none",
                    f"add `{one.key}:` with {one.reader.shape}: {one.means}",
                )

    def _unknown(self, key: Text, value: Node, node: Keyed, desk: Desk, also: tuple[str, ...]) -> None:
        known = (*self._by_key, *also)
        near = nearest(key, known)
        if node.braces and is_blank(value) and not near:
            desk.say(
                "unknown-key",
                key.place,
                f"a comma inside {{ }} begins a new key, found {str(key)!r} as one",
                "put quotes round the whole text that has the comma in it",
            )
            return
        desk.say(
            "unknown-key",
            key.place,
            f"{self.name} has no key {str(key)!r}",
            f"write `{near}:`" if near else f"the keys are {', '.join(known)}",
        )


def shape_of(node: Node) -> str:
    """Say what a node is, for "found ..."."""
    if isinstance(node, Text):
        return repr(str(node)) if node else "nothing"
    return "a list" if isinstance(node, Items) else "keys and values"


def is_blank(node: Node) -> bool:
    """Tell whether nothing was typed after the key."""
    return isinstance(node, Text) and not node


def raw(shape: str) -> Reader[Node]:
    """Make a reader that hands the node on, for what its record reads itself."""
    return Reader(shape, lambda node, _: node)


def items_of(node: Node | None) -> tuple[Node, ...]:
    """Return what a list holds; a single thing counts as a list of one, and blanks as nothing."""
    nodes = node.items if isinstance(node, Items) else () if node is None else (node,)
    return tuple(one for one in nodes if not is_blank(one))


def open_all(node: Node | None, record: Record, desk: Desk) -> list[Row]:
    """Return the complete rows of a list of records."""
    rows = [record.open(one, desk) for one in items_of(node)]
    return [row for row in rows if row is not None and not row.incomplete]


def keyed_records(node: Node | None, desk: Desk, what: str) -> tuple[tuple[Text, Node], ...]:
    """Return the pairs of a file that maps ids to records, having checked the ids."""
    if node is None or is_blank(node):
        return ()
    if not isinstance(node, Keyed):
        desk.say(
            "wrong-shape",
            node.place,
            f"expected ids with {what} under each, found {shape_of(node)}",
            "begin each with its id and a colon",
        )
        return ()
    return tuple((key, value) for key, value in node.pairs if desk.usable_id(key, what))


def describe(records: tuple[Record, ...]) -> str:
    """Return the reference of every record's keys as Markdown tables."""
    parts = []
    for record in records:
        parts.append(f"### {record.name[0].upper()}{record.name[1:]}\n\n{record.where}\n")
        parts.append("| key | what it takes | what it means |\n|---|---|---|")
        parts += [
            f"| `{one.key}`{' (needed)' if one.required else ''} | {one.reader.shape} | {one.means} |"
            for one in record.fields
        ]
        parts.append("")
    return "\n".join(parts)
