"""areas.yml: where on the car, and which marks stand there, in walking order."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from guide.facts.records.fields import key, read_keyed, record
from guide.facts.records.readers import mark_ids, said, text, texts
from guide.facts.text.desk import Desk
from guide.facts.text.source import Node
from guide.facts.values import Text
from guide.finding import Place
from guide.sentence import sentence

__all__ = ["Area", "each_in_one", "read_areas"]


@record("area")
class Area:
    """Where on the car; its marks in walking order."""

    id: str
    name: str = key(said)
    marks: tuple[str, ...] = key(mark_ids)
    about: str = key(text, default="")  # Markdown
    formerly: tuple[str, ...] = key(texts, default=())
    place: Place


def read_areas(node: Node | None, desk: Desk) -> dict[str, Area]:
    """Return the areas by id; every mark they name is known, and stands in one of them."""
    stands: dict[str, Place] = {}
    return {
        area.id: replace(area, marks=tuple(each_in_one(area.marks, stands, "facts.mark-in-two-areas", desk)))
        for area in read_keyed(Area, node, desk).values()
    }


def each_in_one(marks: Iterable[str], stands: dict[str, Place], says: str, desk: Desk) -> Iterator[str]:
    """Yield the marks that stand in no set before this one; ``stands`` keeps where each was named first."""
    for mark in marks:
        assert isinstance(mark, Text)
        if mark in stands:
            first = (stands[mark], sentence("facts.related.first"))
            desk.find(says, mark.place, related=(first,), mark=str(mark))
        else:
            stands[str(mark)] = mark.place
            yield str(mark)
