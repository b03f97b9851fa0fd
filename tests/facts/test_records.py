"""One declaration makes the value, the findings and the row of the handbook: `record`, `key` and `Field` together."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

import pytest

from guide.facts.records.every import RECORDS
from guide.facts.records.fields import Field, Record, key, open_record, read_keyed, read_record, record, record_of
from guide.facts.records.readers import texts, whole, yes_no
from guide.facts.text.desk import Desk
from guide.facts.text.source import Node, compose
from guide.finding import Place
from guide.sentence import sentence
from tests.told import ENGLISH


@record("run")
class Lamp:
    """A record as any module might declare one."""

    bulbs: int = key(whole)
    is_lit: bool = key(yes_no, "lit", default=True)
    SEEN: ClassVar = Field("seen", texts)
    colours: tuple[str, ...] = ()
    name_of_old: tuple[str, ...] = key(texts, default=())
    place: Place

    def agrees(self, places: Mapping[str, Place], desk: Desk) -> bool:
        """Tell whether it has a bulb."""
        if not self.bulbs:
            desk.find("facts.no-guide", places["bulbs"])
        return self.bulbs > 0


def node_of(text: str) -> Node:
    node, found = compose(text, "lamps.yml")
    assert node is not None
    assert list(found) == []
    return node


def test_keys_are_named_after_fields_and_needed_where_there_is_no_default() -> None:
    declared = record_of(Lamp)
    assert [(one.name, one.needed) for one in declared.fields] == [
        ("bulbs", True),
        ("lit", False),
        ("seen", False),
        ("name of old", False),
    ]
    assert declared.means(declared.fields[3]) == sentence("facts.field.run.name-of-old")
    assert declared.means(record_of(Lamp).shared("lit")[0]) == sentence("facts.field.run.lit")
    assert Record("stray", declared.shared("lit")).means(declared.shared("lit")[0]) == sentence("facts.field.run.lit")


def test_a_record_has_what_was_typed_what_was_given_and_defaults() -> None:
    desk = Desk()
    typed = open_record(Lamp, node_of("bulbs: 2\nseen: [a, b]\nname of old: torch\n"), desk)
    assert typed is not None
    lamp = typed.make(colours=typed.find(Lamp.SEEN))
    assert lamp == Lamp(
        bulbs=2, is_lit=True, colours=("a", "b"), name_of_old=("torch",), place=Place("lamps.yml", 1, 1)
    )
    assert desk.findings == ()


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("lit: no", [("missing-key", 1, 1)]),
        ("bulbs: two", [("not-a-whole-number", 1, 8)]),
        ("bulbs: 2\nlid: no", []),
        ("bulbs:\nlit: no", [("missing-key", 1, 1)]),
        ("bulbs: 0", [("no-guide", 1, 1)]),
        ("[2, 3]", [("wrong-shape", 1, 1)]),
    ],
)
def test_what_is_missing_unreadable_or_against_its_rule_makes_no_record(
    text: str, found: list[tuple[str, int, int]]
) -> None:
    desk = Desk()
    lamp = read_record(Lamp, node_of(text), desk)
    said = [(one.code, one.place.line, one.place.column) for one in desk.findings if one.code != "unknown-key"]
    assert said == found
    assert (lamp is None) == bool(found)


def test_what_is_optional_and_cannot_be_read_is_left_at_its_default() -> None:
    desk = Desk()
    typed = open_record(Lamp, node_of("bulbs: 2\nlit: maybe\n"), desk)
    assert typed is not None
    lamp = typed.make()
    assert lamp is not None
    assert lamp.is_lit
    assert (typed.unread("lit"), typed.unread("seen"), typed.unread("bulbs")) == (True, False, False)
    assert [one.code for one in desk.findings] == ["unknown-choice"]


def test_records_under_ids_keep_their_order_and_those_that_cannot_be_made_are_left_out() -> None:
    desk = Desk()
    lamps = read_keyed(NamedLamp, node_of("b: {bulbs: 1}\na: {}\nBig One: {bulbs: 1}\nc: {bulbs: 3}\n"), desk)
    assert [(lamp.id, lamp.bulbs, lamp.place.line) for lamp in lamps.values()] == [
        ("b", 1, 1),
        ("big-one", 1, 3),
        ("c", 3, 4),
    ]
    assert sorted(one.code for one in desk.findings) == ["bad-id", "missing-key"]


@record("stray")
class NamedLamp:
    """A record that stands under its id."""

    id: str
    bulbs: int = key(whole)
    place: Place


@pytest.mark.parametrize("declared", RECORDS, ids=lambda declared: declared.id)
def test_every_record_has_each_key_once_and_says_what_it_means(declared: Record) -> None:
    names = [one.name for one in declared.fields]
    assert len(names) == len(set(names))
    for said in (declared.name, declared.where, *(declared.means(one) for one in declared.fields)):
        assert ENGLISH.tell(said)
