"""areas.yml: where on the car, and which marks stand there, in walking order."""

from __future__ import annotations

from guide.facts.records.fields import Field, Record, keyed_records
from guide.facts.records.readers import ids, said, text
from guide.facts.text.desk import Desk
from guide.facts.text.source import Node
from guide.facts.types import Area, Text

__all__ = ["RECORDS", "read_areas"]

NAME = Field("name", said, "what the area is called", True)
MARKS = Field("marks", ids, "its marks, in the order one comes to them", True)
ABOUT = Field("about", text, "how to look there (Markdown)")
AREA = Record("an area", "areas.yml, under its id, in the order one walks round the car", (NAME, MARKS, ABOUT))
RECORDS = (AREA,)


def read_areas(node: Node | None, desk: Desk) -> dict[str, Area]:
    """Return the areas by id; every mark they name is known, and stands in one of them."""
    areas: dict[str, Area] = {}
    stands: dict[str, Text] = {}
    for key, value in keyed_records(node, desk, "an area"):
        row = AREA.open(value, desk)
        if row is None:
            continue
        marks = []
        for mark in row.get(MARKS, ()):
            if mark in stands:
                desk.say(
                    "mark-in-two-areas",
                    mark.place,
                    f"the mark {mark} stands in two areas, or twice in one",
                    "leave it in the one where it is looked at",
                    ((stands[mark].place, "the first one"),),
                )
            elif desk.mark(mark):
                stands[str(mark)] = mark
                marks.append(str(mark))
        if not row.incomplete:
            areas[str(key)] = Area(
                id=str(key), name=row.need(NAME), marks=tuple(marks), about=row.get(ABOUT, ""), place=key.place
            )
    return areas
