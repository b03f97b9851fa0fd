"""What belongs together: forms that came in at one moment, and marks that one later job renews."""

from __future__ import annotations

import re
from dataclasses import replace

from guide.facts.records.areas import each_in_one
from guide.facts.records.fields import Reader, key, list_of, record, records_of
from guide.facts.records.readers import a_share, mark_ids, said, source_id, text
from guide.facts.records.references import form_ref
from guide.facts.records.scopes import cars
from guide.facts.text.desk import Desk
from guide.facts.text.source import Node
from guide.facts.values import FormRef, Scope
from guide.finding import Place
from guide.sentence import sentence

__all__ = ["ChangedTogether", "RenewedTogether", "renewed_together"]


@record("changed-together")
class ChangedTogether:
    """Forms that came in at one moment: one hidden changeover for all of them."""

    name: str = key(said)
    scope: Scope = key(cars, "for", default=Scope())
    forms: tuple[FormRef, ...] = key(list_of(form_ref.read, "form-refs"))  # each the form that comes in
    source: str = key(source_id, default="")
    place: Place


@record("renewed-together")
class RenewedTogether:
    """Marks that one later job replaces together. Sets do not overlap."""

    id: str = key(text, default="")
    name: str = key(said)  # "a re-trim"
    marks: tuple[str, ...] = key(mark_ids)
    share: float = key(a_share)  # of cars today that have had it done
    place: Place


def _renewed_together(node: Node, desk: Desk) -> tuple[RenewedTogether, ...]:
    """Return the sets of marks that one job renews; no mark stands in two."""
    stands: dict[str, Place] = {}
    return tuple(
        replace(
            one,
            id=one.id or "-".join(re.findall(r"[a-z0-9]+", one.name.casefold())),
            marks=tuple(each_in_one(one.marks, stands, "facts.renewed-twice", desk)),
        )
        for one in records_of(RenewedTogether, "list").read(node, desk) or ()
    )


renewed_together: Reader[tuple[RenewedTogether, ...]] = Reader(sentence("facts.shape.list"), _renewed_together)
