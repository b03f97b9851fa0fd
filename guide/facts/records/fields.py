"""Records: a frozen dataclass whose fields say under which key each is typed, and how that is read.

A record is declared once, by `record` and `key`. From the declaration come the value (`read_record`), the findings on
keys that are missing or not known, and the tables that editors read (`handbook_tables`). Its name, where it stands and
what its keys mean are sentences, found by its own id and the key's. A key that is kept otherwise than it is typed
stands in the class as a `ClassVar` holding a `Field`; one that the record's own function reads has the reader `raw`. A
blank value counts as not given. The readers of single values stand in `readers`.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Collection, Iterator
from dataclasses import MISSING, dataclass
from functools import partial
from typing import Any, Generic, TypeVar, dataclass_transform, overload

from guide.facts.reads import MARKDOWN, note_fields
from guide.facts.text.desk import Desk
from guide.facts.text.meant import nearest
from guide.facts.text.problem import write
from guide.facts.text.source import Keyed, Node, is_blank, items_of
from guide.facts.values import Text
from guide.finding import Place
from guide.sentence import Sentence, Value, listed, sentence

__all__ = [
    "Field",
    "Reader",
    "Record",
    "Typed",
    "is_form_outside",
    "key",
    "keyed_nodes",
    "list_of",
    "open_each",
    "open_record",
    "raw",
    "read_keyed",
    "read_record",
    "record",
    "record_of",
    "records_of",
    "typed_for",
]

_PLACEHOLDERS = ("...", "…")  # what a finding's line has where an editor is to fill something in
T = TypeVar("T")
T_co = TypeVar("T_co", covariant=True)
D = TypeVar("D")
R = TypeVar("R")


@dataclass(frozen=True, slots=True)
class Reader(Generic[T_co]):
    """How a node becomes a value, or None and a finding. ``shape`` says to editors what is taken, ``choices`` are the
    words that can be chosen."""

    shape: Value
    read: Callable[[Node, Desk], T_co | None]
    choices: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Field(Generic[T_co]):
    """One key of a record and how it is read. ``words_of`` is the record whose words say what it means."""

    name: str
    reader: Reader[T_co]
    needed: bool = False
    words_of: str = ""


@dataclass(frozen=True, slots=True)
class Record:
    """What may be typed for a kind of record, in the order it is best typed. ``id`` finds its words."""

    id: str
    fields: tuple[Field[Any], ...]
    kept_as: tuple[tuple[str, str], ...] = ()  # an attribute of the class, and the key it is typed under

    @property
    def name(self) -> Sentence:
        """What it is called: "a mark"."""
        return sentence(f"facts.record.{self.id}")

    @property
    def where(self) -> Sentence:
        """Where it stands in the content folder."""
        return sentence(f"facts.where.{self.id}")

    def shared(self, *names: str) -> tuple[Field[Any], ...]:
        """Return some of the keys, for another record that has them in common and says of them what this one does."""
        return tuple(dataclasses.replace(one, words_of=self.id) for one in self.fields if one.name in names)

    def means(self, one: Field[Any]) -> Sentence:
        """Return what one of its keys means."""
        return sentence(f"facts.field.{one.words_of or self.id}.{one.name.replace(' ', '-')}")


@overload
def key(reader: Reader[T], typed: str = "") -> T: ...
@overload
def key(reader: Reader[T], typed: str = "", *, default: D) -> T | D: ...
@overload
def key(reader: Reader[T], typed: str = "", *, default_factory: Callable[[], D]) -> T | D: ...
def key(reader: Reader[Any], typed: str = "", **given: Any) -> Any:
    """Declare a field of a record; ``typed`` is its key where that is not the field's own name.

    Without a default it is needed.
    """
    return dataclasses.field(metadata={"reader": reader, "typed": typed}, **given)


@dataclass_transform(kw_only_default=True, frozen_default=True, field_specifiers=(key, dataclasses.field))
def record(record_id: str, *, noted: tuple[str, ...] = ()) -> Callable[[type[T]], type[T]]:
    """Make a class a record. Its words are found under ``record_id``; readings of its texts in Markdown and of the
    fields ``noted`` are noted (`guide.facts.reads`)."""

    def declare(kind: type[T]) -> type[T]:
        made: Any = dataclass(frozen=True, kw_only=True, slots=True)(kind)
        kept = {one.name: one for one in dataclasses.fields(made) if "reader" in one.metadata}
        fields, kept_as = [], []
        for attribute in made.__annotations__:
            given = getattr(made, attribute, None)
            if attribute in kept:
                declared = kept[attribute]
                needed = declared.default is MISSING and declared.default_factory is MISSING
                name = declared.metadata["typed"] or attribute.replace("_", " ")
                given = Field(name, declared.metadata["reader"], needed)
                kept_as.append((attribute, name))
            if isinstance(given, Field):
                fields.append(given)
        note_fields(made, (*MARKDOWN.intersection(vars(made)), *noted))
        made.record = Record(record_id, tuple(fields), tuple(kept_as))
        return made  # type: ignore[no-any-return]

    return declare


def record_of(kind: type[Any]) -> Record:
    """Return what may be typed for a class declared by `record`."""
    return kind.record  # type: ignore[no-any-return]


@dataclass(slots=True)
class Typed(Generic[R]):
    """What was typed for one record: its values as far as they could be read, and where each key stands.

    `incomplete` when one that is needed is missing or unreadable; `has_unknown` when a key was not known, so that what
    is missing may be what was meant by it. A key that is misspelt is said, and read on as what was meant.
    """

    kind: type[R]
    node: Keyed
    desk: Desk
    incomplete: bool = False
    has_unknown: bool = False
    places: dict[str, Place] = dataclasses.field(default_factory=dict)
    nodes: dict[str, Node] = dataclasses.field(default_factory=dict)
    values: dict[str, Any] = dataclasses.field(default_factory=dict)

    def read(self, one: Field[Any], typed: Text, value: Node, declared: Record) -> None:
        """Read the value of a key."""
        self.places[one.name] = typed.place
        if value in _PLACEHOLDERS:
            self.incomplete = self.incomplete or one.needed
            says = {"key": one.name, "record": declared.name, "shape": one.reader.shape, "means": declared.means(one)}
            self.desk.refuse("facts.missing-key.placeholder", value, **says)
            return
        self.nodes[one.name] = value
        read = one.reader.read(value, self.desk)
        if read is not None:
            self.values[one.name] = read
        elif one.needed:
            self.incomplete = True

    def find(self, wanted: Field[T]) -> T | None:
        """Return the value of a key that is kept otherwise than it is typed, or None."""
        return self.values.get(wanted.name)

    def value_of(self, name: str) -> Any:
        """Return the value of a key by its name, or None."""
        return self.values.get(name)

    def node_of(self, name: str) -> Node | None:
        """Return what was typed after a key, or None when nothing was."""
        return self.nodes.get(name)

    def unread(self, name: str) -> bool:
        """Tell whether something was typed after a key that could not be read."""
        return name in self.places and name not in self.values

    def make(self, **given: Any) -> R | None:
        """Return the record, ``given`` being what it has beside its keys; None when it is incomplete.

        What keys that are kept otherwise than they are typed come to, a record says in a class method `beside_keys`; a
        rule of its own it holds in a method `agrees`. Where one of them finds a fault, None is returned too.
        """
        rule: Callable[[Typed[R], Desk], dict[str, Any] | None] | None = getattr(self.kind, "beside_keys", None)
        beside = {} if rule is None else rule(self, self.desk)
        if self.incomplete or beside is None:
            return None
        read = {field: self.values[name] for field, name in record_of(self.kind).kept_as if name in self.values}
        made = self.kind(**({"place": self.place} | read | beside | given))
        agrees: Callable[[dict[str, Place], Desk], bool] | None = getattr(made, "agrees", None)
        return made if agrees is None or agrees(self.places, self.desk) else None

    @property
    def place(self) -> Place:
        """Where the record begins."""
        return self.node.place


def open_record(
    kind: type[R], node: Node, desk: Desk, also: Collection[str] = (), declared: Record | None = None
) -> Typed[R] | None:
    """Read every key of a record; ``also`` are keys that the caller reads itself. None when it is no mapping.

    ``declared`` is what may be typed where that is another way of stating the same kind of record.
    """
    declared = declared or record_of(kind)
    if not isinstance(node, Keyed):
        told = next((one for one in declared.fields if one.needed), declared.fields[0])
        example = f"{told.name}: ..."
        desk.refuse("facts.wrong-shape.record", node, record=declared.name, example=example)
        return None
    typed = Typed(kind, node, desk)
    known = {one.name: one for one in declared.fields}
    unknown = 0
    for name, value in node.pairs:
        if name in known and not is_blank(value):
            typed.read(known[name], name, value, declared)
        elif name not in known and name not in also:
            typed.has_unknown = True
            meant = _meant(name, node, (*known, *also))
            if is_form_outside(declared, name, value):
                desk.find("facts.unknown-key.outside", name.place, record=declared.name, key=repr(name), under="forms")
            else:
                _say_unknown(declared, name, (*known, *also), meant, node.braces and is_blank(value), desk)
            if meant in known and not is_blank(value):
                typed.read(known[meant], name, value, declared)
            else:
                unknown += 1
    missing = [one for one in declared.fields if one.needed and one.name not in typed.places]
    typed.incomplete = typed.incomplete or bool(missing)
    for one in missing if len(missing) > unknown else ():  # else what is missing may stand under the key not known
        shape, means = one.reader.shape, declared.means(one)
        desk.find("facts.missing-key", node.place, key=one.name, record=declared.name, shape=shape, means=means)
    return typed


def _meant(name: str, node: Keyed, known: tuple[str, ...]) -> str | None:
    """Return the key that is meant by one not known, where it is not typed besides."""
    near = nearest(name, known)
    return near if near is None or node.get(near) is None else None


def typed_for(declared: Record, node: Node | None, name: str) -> Node | None:
    """Return what is typed for a key of a record before that is opened: after it, or after what is meant by it."""
    if not isinstance(node, Keyed) or (found := node.get(name)) is not None:
        return found if isinstance(node, Keyed) else None
    known = tuple(one.name for one in declared.fields)
    return next((value for key, value in node.pairs if key not in known and _meant(key, node, known) == name), None)


def is_form_outside(declared: Record, name: str, value: Node) -> bool:
    """Tell whether a form stands beside the `forms` of its mark, and not under them: a line too far to the left."""
    keys = {one.name for one in declared.fields}
    return "forms" in keys and name not in keys and isinstance(value, Keyed) and value.get("answer") is not None


def _say_unknown(
    declared: Record, name: Text, known: tuple[str, ...], near: str | None, after_comma: bool, desk: Desk
) -> None:
    typed = repr(name)
    begun, colon, rest = name.partition(":")
    if colon and begun in known:
        desk.find("facts.no-blank", name.place, key=begun, text=rest)
        return
    meant, equals, value = (one.strip() for one in name.partition("="))
    is_equals = bool(equals) and meant in known
    if after_comma and not near and not is_equals:
        desk.find("facts.unknown-key.after-comma", name.place, braces="{ }", key=typed)
        return
    put_right = sentence("facts.unknown-key.near", key=near) if near else None
    if is_equals:
        put_right = write(f"{meant}: {value}")
    keys = listed(known)
    desk.find("facts.unknown-key", name.place, put_right=put_right, record=declared.name, key=typed, known=keys)


def read_record(kind: type[R], node: Node, desk: Desk, **given: Any) -> R | None:
    """Return a record, ``given`` being what it has beside its keys; None when what is needed is missing."""
    typed = open_record(kind, node, desk)
    return None if typed is None else typed.make(**given)


def open_each(kind: type[R], node: Node | None, desk: Desk) -> list[Typed[R]]:
    """Return the complete ones of a list of records."""
    opened = [open_record(kind, one, desk) for one in items_of(node)]
    return [typed for typed in opened if typed is not None and not typed.incomplete]


def keyed_nodes(
    node: Node | None, kind: type[Any], desk: Desk, says: str = "facts.wrong-shape.keyed"
) -> Iterator[tuple[Text, Node]]:
    """Yield the pairs of what maps ids to records, having checked the ids; else add the finding ``says``."""
    name = record_of(kind).name
    pairs = desk.pairs_of(node, says, record=name)
    for key, value in pairs:
        desk.usable_id(key, name)
        yield Text(desk.settled_id(key), key.place), value


def read_keyed(kind: type[R], node: Node | None, desk: Desk) -> dict[str, R]:
    """Return the records of a file by id, in the file's order."""
    read = {
        str(key): read_record(kind, value, desk, id=str(key), place=key.place)
        for key, value in keyed_nodes(node, kind, desk)
    }
    return {name: made for name, made in read.items() if made is not None}


def raw(shape: str, **values: Value) -> Reader[Any]:
    """Make a reader that hands the node on, for a field that the record's own function reads and gives to `make`."""
    return Reader(sentence(f"facts.shape.{shape}", **values), lambda node, _: node)


def list_of(read: Callable[[Node, Desk], T | None], shape: str) -> Reader[tuple[T, ...]]:
    """Make a reader of a list; a single thing counts as a list of one. What cannot be read is left out."""

    def read_all(node: Node, desk: Desk) -> tuple[T, ...]:
        return tuple(value for one in items_of(node) if (value := read(one, desk)) is not None)

    return Reader(sentence(f"facts.shape.{shape}"), read_all)


def records_of(kind: type[R], shape: str) -> Reader[tuple[R, ...]]:
    """Make a reader of a list of records."""
    return list_of(partial(read_record, kind), shape)
