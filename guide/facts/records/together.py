"""What belongs together: forms that came in at one moment, and marks that one later job renews."""

from __future__ import annotations

import re

from guide.facts.records.fields import Field, Record, open_all
from guide.facts.records.readers import ids, list_of, said, share, source_id, text
from guide.facts.records.references import form_ref
from guide.facts.records.scopes import scope
from guide.facts.text.desk import Desk
from guide.facts.text.source import Node
from guide.facts.types import ChangedTogether, RenewedTogether, Scope, Text

__all__ = ["RECORDS", "read_changed_together", "read_renewed_together"]

SOURCE = Field("source", source_id, "whose word it is")
NAME = Field("name", said, "what happened, in words", True)
FOR = Field("for", scope, "which cars; left out, all")
FORMS = Field("forms", list_of(form_ref, "a list of forms, each as mark/form"), "the forms that came in", True)
CHANGED = Record("marks changed together", "guide.yml, under `changed together:`", (NAME, FOR, FORMS, SOURCE))

ID = Field("id", text, "its id; left out, made from the name")
JOB = Field("name", said, "the job, as `a re-trim`", True)
MARKS = Field("marks", ids, "the marks that it replaces", True)
SHARE_DONE = Field("share", share, "of cars today that have had it done", True)
RENEWED = Record(
    "marks renewed together", "guide.yml, under `renewed together:`; sets do not overlap", (ID, JOB, MARKS, SHARE_DONE)
)
RECORDS = (CHANGED, RENEWED)


def read_changed_together(node: Node | None, desk: Desk) -> tuple[ChangedTogether, ...]:
    """Return the forms that changed at one moment."""
    return tuple(
        ChangedTogether(
            name=row.need(NAME),
            forms=row.need(FORMS),
            scope=row.get(FOR, Scope()),
            source=row.get(SOURCE, ""),
            place=row.place,
        )
        for row in open_all(node, CHANGED, desk)
    )


def read_renewed_together(node: Node | None, desk: Desk) -> tuple[RenewedTogether, ...]:
    """Return the sets of marks that one job renews; no mark stands in two."""
    renewed = []
    stands: dict[str, Text] = {}
    for row in open_all(node, RENEWED, desk):
        marks = []
        for mark in row.need(MARKS):
            if mark in stands:
                desk.say(
                    "renewed-twice",
                    mark.place,
                    f"the mark {mark} stands in two sets that are renewed together",
                    "leave it in one: sets do not overlap",
                    ((stands[mark].place, "the first one"),),
                )
            elif desk.mark(mark):
                stands[str(mark)] = mark
                marks.append(str(mark))
        name = row.need(JOB)
        made = "-".join(re.findall(r"[a-z0-9]+", name.casefold()))
        renewed.append(
            RenewedTogether(
                id=str(row.find(ID) or made), name=name, marks=tuple(marks), share=row.need(SHARE_DONE), place=row.place
            )
        )
    return tuple(renewed)
