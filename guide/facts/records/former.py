"""Ids of old: `formerly:` leads an old id to the record of today, so it may lead to one only."""

from __future__ import annotations

from collections.abc import Iterable

from guide.facts.text.desk import Desk
from guide.facts.types import Form, Interior, Mark, Period, Text

__all__ = ["check_formerly"]


def check_formerly(records: Iterable[Mark | Form | Period | Interior], desk: Desk) -> None:
    """Say where an old id is also one of today, or the old id of two records of one kind."""
    kept = list(records)
    places = {record.id: record.place for record in kept}
    for record in kept:
        for old in record.formerly:
            assert isinstance(old, Text)
            if old in places:
                desk.say(
                    "former-id-taken",
                    old.place,
                    f"the old id {str(old)!r} of {record.id} already leads elsewhere",
                    "take it out of `formerly:` here, or rename the other",
                    ((places[old], "here"),),
                )
            else:
                places[str(old)] = old.place
