"""How many are thought to have something: `counts: [{built: 60, sure: poor, source: ...}]`."""

from __future__ import annotations

from guide.facts.records.fields import Field, Reader, Record
from guide.facts.records.readers import choice, list_of, said, source_id, whole
from guide.facts.text.desk import Desk
from guide.facts.text.source import Node
from guide.facts.types import Count, CountKind, Sureness

__all__ = ["RECORDS", "counts"]

SURE = Field("sure", choice(Sureness, "how sure the count is"), "how sure that is", True)
SOURCE = Field("source", source_id, "whose word it is")
WORDS = Field("words", said, "as the source has it")
_KINDS = {
    kind: Field(
        str(kind),
        whole,
        f"how many were {kind}" if kind is not CountKind.SURVIVING else "how many are thought to survive",
    )
    for kind in CountKind
}
COUNT = Record(
    "a count",
    "under `counts:` of a form or an interior; give one of ordered, built, surviving",
    (*_KINDS.values(), SURE, SOURCE, WORDS),
)
RECORDS = (COUNT,)


def _read(node: Node, desk: Desk) -> Count | None:
    row = COUNT.open(node, desk)
    if row is None:
        return None
    given = [kind for kind, field in _KINDS.items() if row.given(field)]
    if len(given) != 1:
        desk.say(
            "one-of",
            node.place,
            f"expected one of ordered, built and surviving, found {len(given)} of them",
            "write a line for each: they are different counts",
        )
        return None
    about = row.find(_KINDS[given[0]])
    if about is None or row.incomplete:
        return None
    return Count(
        kind=given[0],
        about=about,
        sure=row.need(SURE),
        source=row.get(SOURCE, ""),
        words=row.get(WORDS, ""),
        place=node.place,
    )


counts: Reader[tuple[Count, ...]] = list_of(Reader("a count", _read), "a list of counts")
