"""care/*.yml: what goes wrong with a part, why, how to prevent and mend it, and where to stop and ask."""

from __future__ import annotations

from guide.facts.records.fields import Reader, key, record
from guide.facts.records.readers import mark_ids, said, said_texts, text, texts, typeset
from guide.facts.text.desk import Desk
from guide.facts.text.source import Items, Node
from guide.facts.values import Text
from guide.finding import Place
from guide.sentence import sentence

__all__ = ["CareNote"]


def _table(node: Node, desk: Desk) -> tuple[tuple[str, ...], ...] | None:
    rows = node.items if isinstance(node, Items) else ()
    cells = [
        tuple(typeset(cell, desk) for cell in (row.items if isinstance(row, Items) else ()) if isinstance(cell, Text))
        for row in rows
    ]
    if not cells or any(len(row) != len(cells[0]) or not row for row in cells):
        desk.refuse("facts.bad-table", node)
        return None
    return tuple(cells)


@record("care")
class CareNote:
    """What goes wrong with a part, why, how to prevent and mend it, and where to stop and ask."""

    id: str
    title: str = key(said)
    marks: tuple[str, ...] = key(mark_ids, default=())
    summary: str = key(said, default="")
    cause: str = key(text, default="")  # Markdown, as the next three
    prevention: str = key(text, default="")
    repair: str = key(text, default="")
    cautions: str = key(text, default="")
    table: tuple[tuple[str, ...], ...] = key(Reader(sentence("facts.shape.table"), _table), default=())  # head first
    table_caption: str = key(said, default="")
    sources: tuple[str, ...] = key(said_texts, default=())  # published sources, as a reader would cite them
    formerly: tuple[str, ...] = key(texts, default=())
    place: Place
