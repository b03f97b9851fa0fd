"""words.yml: words of the trade, what they mean, and what others call them."""

from __future__ import annotations

from guide.facts.records.fields import Field, Record, keyed_records
from guide.facts.records.readers import ids, said, said_texts, text
from guide.facts.text.desk import Desk
from guide.facts.text.source import Node
from guide.facts.types import Word

__all__ = ["RECORDS", "read_words"]

WORD = Field("word", said, "the word", True)
MEANS = Field("means", text, "what it means (Markdown)", True)
AMERICAN = Field("american", said_texts, "what Americans call it")
GERMAN = Field("german", said_texts, "what Germans call it")
ALSO = Field("also", said_texts, "what else it is called")
MARKS = Field("marks", ids, "the marks it has to do with")
ENTRY = Record("a word", "words.yml, under its id", (WORD, MEANS, AMERICAN, GERMAN, ALSO, MARKS))
RECORDS = (ENTRY,)


def read_words(node: Node | None, desk: Desk) -> dict[str, Word]:
    """Return the words by id, in the file's order."""
    words = {}
    for key, value in keyed_records(node, desk, "a word"):
        row = ENTRY.open(value, desk)
        if row is not None and not row.incomplete:
            words[str(key)] = Word(
                id=str(key),
                word=row.need(WORD),
                means=row.need(MEANS),
                american=row.get(AMERICAN, ()),
                german=row.get(GERMAN, ()),
                also=row.get(ALSO, ()),
                marks=tuple(str(mark) for mark in row.get(MARKS, ()) if desk.mark(mark)),
                place=key.place,
            )
    return words
