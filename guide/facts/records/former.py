"""Ids of old: `formerly:` leads an old id to the record of today, so it may lead to one only."""

from __future__ import annotations

from collections.abc import Iterable

from guide.facts.records.forms import Form
from guide.facts.records.interiors import Interior
from guide.facts.records.marks import Mark
from guide.facts.records.periods import Period
from guide.facts.text.desk import Desk
from guide.facts.values import Text
from guide.sentence import sentence

__all__ = ["check_formerly"]


def check_formerly(records: Iterable[Mark | Form | Period | Interior], desk: Desk) -> None:
    """Say where an old id is also one of today, or the old id of two records of one kind."""
    kept = list(records)
    places = {record.id: record.place for record in kept}
    for record in kept:
        for old in record.formerly:
            assert isinstance(old, Text)
            if old in places:
                here = (places[old], sentence("facts.related.here"))
                desk.find("facts.former-id-taken", old.place, related=(here,), old=repr(old), id=record.id)
            else:
                places[str(old)] = old.place
