"""How many are thought to have something: `counts: [{built: 60, sure: poor, source: ...}]`."""

from __future__ import annotations

from enum import StrEnum
from typing import ClassVar

from guide.facts.records.fields import Field, Reader, key, list_of, open_record, record
from guide.facts.records.readers import choice, said, source_id, whole
from guide.facts.text.desk import Desk
from guide.facts.text.source import Node
from guide.facts.values import Sureness
from guide.finding import Place
from guide.sentence import sentence

__all__ = ["Count", "CountKind", "count_list"]


class CountKind(StrEnum):
    """Three different counts that are never mixed."""

    ORDERED = "ordered"
    BUILT = "built"
    SURVIVING = "surviving"


@record("count")
class Count:
    """How many are thought to have something, and how sure that is."""

    ORDERED: ClassVar = Field("ordered", whole)
    BUILT: ClassVar = Field("built", whole)
    SURVIVING: ClassVar = Field("surviving", whole)
    kind: CountKind
    about: int
    sure: Sureness = key(choice(Sureness, "sureness"))
    source: str = key(source_id, default="")
    words: str = key(said, default="")  # as the source has it
    place: Place


def _read(node: Node, desk: Desk) -> Count | None:
    typed = open_record(Count, node, desk)
    if typed is None:
        return None
    given = [kind for kind in CountKind if kind in typed.places]
    if len(given) != 1:
        desk.find("facts.one-of.counts", node.place, n=len(given))
        return None
    about = typed.value_of(given[0])
    return None if about is None else typed.make(kind=given[0], about=about)


count_list: Reader[tuple[Count, ...]] = list_of(Reader(sentence("facts.shape.text"), _read), "counts")
