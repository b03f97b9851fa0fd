"""sources.yml: whose word everything is."""

from __future__ import annotations

from guide.facts.records.fields import Field, Record, keyed_records
from guide.facts.records.readers import choice, date_only, said, text
from guide.facts.text.desk import Desk
from guide.facts.text.source import Node
from guide.facts.types import Source, Trust

__all__ = ["RECORDS", "read_sources"]

NAME = Field("name", said, "what a librarian would call it", True)
KIND = Field("kind", said, "bulletin, parts list, ledger, register, letter...", True)
TRUST = Field("trust", choice(Trust, "how far it is believed"), "how far it is believed", True)
DATED = Field("dated", date_only, "when it was written")
ABOUT = Field("about", text, "what it is, and what to know of it (Markdown)")
HELD = Field("held", said, "where it can be seen")
SOURCE = Record("a source", "sources.yml, under its id", (NAME, KIND, TRUST, DATED, ABOUT, HELD))
RECORDS = (SOURCE,)


def read_sources(node: Node | None, desk: Desk) -> dict[str, Source]:
    """Return the sources by id, in the file's order."""
    sources = {}
    for key, value in keyed_records(node, desk, "a source"):
        row = SOURCE.open(value, desk)
        if row is not None and not row.incomplete:
            sources[str(key)] = Source(
                id=str(key),
                name=row.need(NAME),
                kind=row.need(KIND),
                trust=row.need(TRUST),
                dated=row.find(DATED),
                about=row.get(ABOUT, ""),
                held=row.get(HELD, ""),
                place=key.place,
            )
    return sources
