"""care/*.yml: what goes wrong with a part, why, how to prevent and mend it, and where to stop and ask."""

from __future__ import annotations

from guide.facts.records.fields import Field, Reader, Record, shape_of
from guide.facts.records.readers import ids, said, said_texts, text
from guide.facts.text.desk import Desk
from guide.facts.text.source import Items, Node
from guide.facts.types import CareNote, Text
from guide.words.typography import typographic

__all__ = ["RECORDS", "read_care"]


def _table(node: Node, desk: Desk) -> tuple[tuple[str, ...], ...] | None:
    rows = node.items if isinstance(node, Items) else ()
    cells = [
        tuple(
            typographic(cell, desk.language)
            for cell in (row.items if isinstance(row, Items) else ())
            if isinstance(cell, Text)
        )
        for row in rows
    ]
    if not cells or any(len(row) != len(cells[0]) or not row for row in cells):
        desk.say(
            "bad-table",
            node.place,
            f"expected a table as a list of rows, each a list of as many cells as the head, found {shape_of(node)}",
            "write `- [head, head]` and then `- [cell, cell]` for each row",
        )
        return None
    return tuple(cells)


TITLE = Field("title", said, "the note's title", True)
MARKS = Field("marks", ids, "the marks it has to do with")
SUMMARY = Field("summary", said, "what goes wrong, in a sentence")
CAUSE = Field("cause", text, "why it happens (Markdown)")
PREVENTION = Field("prevention", text, "how to prevent it (Markdown)")
REPAIR = Field("repair", text, "how to mend it (Markdown)")
CAUTIONS = Field("cautions", text, "what can hurt, and where to stop and ask (Markdown)")
TABLE = Field("table", Reader("a list of rows, the head first", _table), "figures that belong to it")
CAPTION = Field("table caption", said, "what the table shows")
SOURCES = Field("sources", said_texts, "published sources, as a reader would cite them")
CARE = Record(
    "a care note",
    "`care/<id>.yml`",
    (TITLE, MARKS, SUMMARY, CAUSE, PREVENTION, REPAIR, CAUTIONS, TABLE, CAPTION, SOURCES),
)
RECORDS = (CARE,)


def read_care(note_id: str, node: Node, desk: Desk) -> CareNote | None:
    """Return a care note."""
    row = CARE.open(node, desk)
    if row is None or row.incomplete:
        return None
    return CareNote(
        id=note_id,
        title=row.need(TITLE),
        marks=tuple(str(mark) for mark in row.get(MARKS, ()) if desk.mark(mark)),
        summary=row.get(SUMMARY, ""),
        cause=row.get(CAUSE, ""),
        prevention=row.get(PREVENTION, ""),
        repair=row.get(REPAIR, ""),
        cautions=row.get(CAUTIONS, ""),
        table=row.get(TABLE, ()),
        table_caption=row.get(CAPTION, ""),
        sources=row.get(SOURCES, ()),
        place=row.place,
    )
