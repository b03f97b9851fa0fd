"""How many are thought to have something: `counts: [{built: 60, sure: poor, source: ...}]`."""

from __future__ import annotations

from enum import StrEnum
from typing import Any, ClassVar

from guide.facts.records.fields import Field, Reader, Typed, key, record, records_of
from guide.facts.records.readers import choice, said, source_id, whole
from guide.facts.text.desk import Desk
from guide.facts.values import Sureness
from guide.finding import Place

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

    @classmethod
    def beside_keys(cls, typed: Typed[Count], desk: Desk) -> dict[str, Any] | None:
        """Return which of the three counts it is, and how many."""
        given = [kind for kind in CountKind if kind in typed.places]
        if len(given) != 1:
            desk.find("facts.one-of.counts", typed.place, n=len(given))
        about = typed.value_of(given[0]) if len(given) == 1 else None
        return None if about is None else {"kind": given[0], "about": about}


count_list: Reader[tuple[Count, ...]] = records_of(Count, "counts")
