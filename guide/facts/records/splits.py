"""Splits of guide.yml, and how the cars divided over them: hand, market, plant."""

from __future__ import annotations

from collections.abc import Mapping

from guide.facts.records.fields import Field, Record, is_blank, items_of, raw, shape_of
from guide.facts.records.readers import in_order, rest_or_share, said, source_id, text, when
from guide.facts.text.desk import Desk
from guide.facts.text.source import Items, Keyed, Node
from guide.facts.types import ShareRow, Split, SplitValue, Text

__all__ = ["RECORDS", "read_shares", "read_splits"]

VALUES = Field("values", raw("a list of ids, or each id with its name"), "its values", True)
NAME = Field("name", said, "what readers will see")
VALUE_NAME = Field("name", said, "what readers will see, as it stands inside a sentence: right-hand drive")
SPLIT = Record("a split", "guide.yml, under `splits:`, under its id", (NAME, VALUES))
VALUE = Record(
    "a value of a split",
    "guide.yml, under `values:`; beside its name it may settle another split, as `hand: right`",
    (VALUE_NAME,),
)

SOURCE = Field("source", source_id, "whose word it is")
SHARE_FROM = Field("from", when, "since when")
SHARE_TO = Field("to", when, "until when")
SHARE = Field("share", rest_or_share, "of the cars of that time", True)
SHARE_ROW = Record(
    "a share of a split",
    "guide.yml, under `shares:`; the split's id is the key of its value, as "
    "`market: home`. A later line overrides an earlier one in its time",
    (SHARE_FROM, SHARE_TO, SHARE, SOURCE),
)
RECORDS = (SPLIT, VALUE, SHARE_ROW)


def read_splits(node: Node | None, desk: Desk) -> dict[str, Split]:
    """Return the splits by id; a value may settle a value of another split."""
    if node is None or is_blank(node):
        return {}
    if not isinstance(node, Keyed):
        desk.say(
            "wrong-shape",
            node.place,
            f"expected each split under its id, found {shape_of(node)}",
            "write it as `hand: [right, left]` under `splits:`",
        )
        return {}
    given: dict[str, tuple[Text, str, list[tuple[Text, Node]]]] = {}
    for key, value in node.pairs:
        if not desk.usable_id(key, "a split"):
            continue
        name, values = str(key).capitalize(), value
        if isinstance(value, Keyed):
            row = SPLIT.open(value, desk)
            if row is None or row.incomplete:
                continue
            name, values = row.get(NAME, Text(name, key.place)), row.need(VALUES)
        pairs = _value_pairs(values, desk)
        if pairs:
            given[str(key)] = key, name, pairs
    known = {split: tuple(str(value) for value, _ in pairs) for split, (_, _, pairs) in given.items()}
    return {
        split: Split(
            id=split,
            name=name,
            place=key.place,
            values={str(value): made for value, node_ in pairs if (made := _value(value, node_, split, known, desk))},
        )
        for split, (key, name, pairs) in given.items()
    }


def _value_pairs(values: Node, desk: Desk) -> list[tuple[Text, Node]]:
    if isinstance(values, Keyed):
        pairs = list(values.pairs)
    else:
        items = values.items if isinstance(values, Items) else (values,)
        pairs = [(item, Text("", item.place)) for item in items if isinstance(item, Text)]
    return [(key, value) for key, value in pairs if desk.usable_id(key, "a value of a split")]


def _value(key: Text, node: Node, split: str, known: Mapping[str, tuple[str, ...]], desk: Desk) -> SplitValue | None:
    plain = str(key).replace("-", " ")
    if isinstance(node, Text):
        return SplitValue(id=str(key), name=node or plain, place=key.place)
    others = tuple(other for other in known if other != split)
    row = VALUE.open(node, desk, also=others)
    if row is None:
        return None
    settles = {}
    for other in others:
        value = row.node.get(other)
        if value is None:
            continue
        scalar = text.read(value, desk)
        if scalar is not None and desk.refer(scalar, known[other], "facts.unknown-split-value", "guide.yml", other):
            settles[other] = str(scalar)
    return SplitValue(id=str(key), name=row.get(VALUE_NAME, plain), settles=settles, place=key.place)


def read_shares(node: Node | None, desk: Desk) -> tuple[ShareRow, ...]:
    """Return how the cars divided over the splits; a later line overrides an earlier one in its time."""
    found = []
    splits = desk.splits or {}
    for one in items_of(node):
        row = SHARE_ROW.open(one, desk, also=tuple(splits))
        if row is None:
            continue
        named = [(split, value) for split in splits if (value := row.node.get(split)) is not None]
        if len(named) != 1:
            if desk.splits is not None and not (row.has_unknown and not named):
                desk.say(
                    "one-of",
                    row.place,
                    f"expected one split with its value, as `market: home`, found {len(named)}",
                    f"name one of {', '.join(splits)}" if splits else "declare `splits:` first",
                )
            continue
        split, node_ = named[0]
        value = text.read(node_, desk)
        if value is None or row.incomplete:
            continue
        first, last = row.find(SHARE_FROM), row.find(SHARE_TO)
        if not in_order(first, last, row.places.get("to", row.place), desk):
            continue
        if desk.refer(value, tuple(splits[split].values), "facts.unknown-split-value", "guide.yml", split):
            given = row.need(SHARE)
            found.append(
                ShareRow(
                    split=split,
                    value=str(value),
                    share=given if isinstance(given, float) else None,
                    first=first,
                    last=last,
                    source=row.get(SOURCE, ""),
                    place=row.place,
                )
            )
    return tuple(found)
