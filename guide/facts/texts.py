"""Every text of a guide that is written in Markdown, with the record it belongs to."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from guide.facts.types import Guide

__all__ = ["texts_of"]


def texts_of(guide: Guide) -> Iterator[tuple[str, Any]]:
    """Yield each text that some page shows, and its record, in the order of the guide."""
    yield guide.about, guide
    for mark in guide.marks.values():
        for text in (mark.about, mark.taken_for, mark.wear, mark.to_be_had, mark.caution):
            yield text, mark
        for form in mark.forms.values():
            for text in (form.about, form.wear, form.to_be_had, *(taken.tell for taken in form.taken_for)):
                yield text, mark
    for records in (guide.areas, guide.interiors, guide.periods, guide.sources):
        yield from ((record.about, record) for record in records.values())
    yield from ((word.means, word) for word in guide.words.values())
    for note in guide.care.values():
        for text in (note.summary, note.cause, note.prevention, note.repair, note.cautions):
            yield text, note
