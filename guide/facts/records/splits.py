"""Splits of guide.yml, and how the cars divided over them: hand, market, plant."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import field
from typing import ClassVar

from guide.facts.records.fields import Field, Reader, key, keyed_nodes, list_of, open_record, raw, record, record_of
from guide.facts.records.readers import in_order, rest_or_share, said, source_id, text, when
from guide.facts.text.desk import Desk
from guide.facts.text.source import Keyed, Node, words_or_pairs
from guide.facts.values import Text, When
from guide.finding import Place
from guide.sentence import listed

__all__ = ["ShareRow", "Split", "SplitValue", "read_splits", "refer_to_value", "share_rows"]


@record("split-value")
class SplitValue:
    """One value of a split, and what it settles of other splits (a market may settle the hand)."""

    id: str
    name: str = key(said, default="")
    asked_as: str = key(said, "asked as", default="")  # the answer, when the split is asked for by eye
    picture: str = key(text, default="")  # a file in pictures/ for that answer
    settles: Mapping[str, str] = field(default_factory=dict)
    place: Place


@record("split")
class Split:
    """A way the cars of one time differ as built: hand, market, plant. With a question it is asked for by eye."""

    id: str
    name: str = key(said, default="")
    question: str = key(said, default="")
    look: str = key(said, default="")
    values: Mapping[str, SplitValue] = key(raw("split-values"))
    place: Place


@record("share-row")
class ShareRow:
    """The share of cars with a value of a split over a time. A later row overrides an earlier one in it.

    ``share`` None: the remainder, whatever the other values leave.
    """

    split: str
    value: str
    first: When | None = key(when, "from", default=None)
    last: When | None = key(when, "to", default=None)
    SHARE: ClassVar = Field("share", rest_or_share, needed=True)
    share: float | None
    source: str = key(source_id, default="")
    place: Place

    def agrees(self, places: Mapping[str, Place], desk: Desk) -> bool:
        """Tell whether its time begins before it ends."""
        return in_order(self.first, self.last, places.get("to", self.place), desk)


def read_splits(node: Node | None, desk: Desk) -> dict[str, Split]:
    """Return the splits by id; a value may settle a value of another split."""
    given: dict[str, tuple[Text, str, dict[str, str], list[tuple[Text, Node]]]] = {}
    for split_id, value in keyed_nodes(node, Split, desk, "facts.wrong-shape.splits"):
        name, values, asked = str(split_id).capitalize(), value, {}
        if isinstance(value, Keyed):
            typed = open_record(Split, value, desk)
            if typed is None or typed.incomplete:
                continue
            name, values = typed.value_of("name") or name, typed.value_of("values")
            asked = {one: typed.value_of(one) for one in ("question", "look") if typed.value_of(one)}
        named = record_of(SplitValue).name
        pairs = []
        for one, inside in words_or_pairs(values):
            desk.usable_id(one, named)
            pairs.append((Text(desk.settled_id(one), one.place), inside))
        if pairs:
            given[str(split_id)] = split_id, name, asked, pairs
    known = {split: tuple(str(value) for value, _ in pairs) for split, (_, _, _, pairs) in given.items()}
    splits = {}
    for split, (split_id, name, asked, pairs) in given.items():
        made = (_value(value, inside, split, known, desk) for value, inside in pairs)
        values_by_id = {value.id: value for value in made if value is not None}
        splits[split] = Split(id=split, name=name, place=split_id.place, values=values_by_id, **asked)
    return splits


def _value(
    value_id: Text, node: Node, split: str, known: Mapping[str, tuple[str, ...]], desk: Desk
) -> SplitValue | None:
    plain = str(value_id).replace("-", " ")
    if isinstance(node, Text):
        return SplitValue(id=str(value_id), name=node or plain, place=value_id.place)
    others = tuple(other for other in known if other != split)
    typed = open_record(SplitValue, node, desk, also=others)
    if typed is None:
        return None
    settles = {}
    for other in others:
        value = typed.node.get(other)
        scalar = None if value is None else text.read(value, desk)
        if scalar is not None and refer_to_value(scalar, other, known[other], desk):
            settles[other] = str(scalar)
    name = typed.value_of("name") or plain
    return typed.make(id=str(value_id), name=name, settles=settles, place=value_id.place)


def refer_to_value(value: Text, split: str, known: Collection[str] | None, desk: Desk) -> bool:
    """Check a reference to a value of a split."""
    return desk.refer(value, known, "facts.unknown-split-value", "guide.yml", split)


def _share_row(node: Node, desk: Desk) -> ShareRow | None:
    splits = desk.splits or {}
    typed = open_record(ShareRow, node, desk, also=tuple(splits))
    if typed is None:
        return None
    named = [(split, value) for split in splits if (value := typed.node.get(split)) is not None]
    if len(named) != 1:
        if desk.splits is not None and not (typed.has_unknown and not named):
            way = "" if splits else ".no-splits"
            desk.find(f"facts.one-of.share{way}", typed.place, n=len(named), splits=listed(splits))
        return None
    split, given = named[0]
    value = text.read(given, desk)
    if value is None or not refer_to_value(value, split, tuple(splits[split].values), desk):
        return None
    share = typed.find(ShareRow.SHARE)
    return typed.make(split=split, value=str(value), share=None if share == "rest" else share)


share_rows: Reader[tuple[ShareRow, ...]] = list_of(_share_row, "shares")
