"""What a form is ordered by, and what of it can be had: `part numbers:` and `supply:` of a form."""

from __future__ import annotations

from enum import StrEnum

from guide.facts.records.fields import Reader, key, list_of, read_record, record, records_of
from guide.facts.records.readers import choice, date_only, lately, said, said_last, source_id, text, yes_no
from guide.facts.text.desk import Desk
from guide.facts.text.source import Node
from guide.facts.values import Text, When
from guide.finding import Place

__all__ = ["PartNumber", "Supply", "SupplyKind", "numbers_list", "supply_list"]


@record("part-number")
class PartNumber:
    """A number that a form was ordered by, and the one that took its place in the lists."""

    number: str = key(text)
    superseded_by: str = key(text, default="")
    since: When | None = key(date_only, default=None)  # when it was superseded
    shared: bool = key(yes_no, default=False)  # one part is several forms at once, each of which has the number
    source: str = key(source_id, default="")
    page: str = key(said, default="")
    place: Place


def _read_number(node: Node, desk: Desk) -> PartNumber | None:
    if isinstance(node, Text):
        return PartNumber(number=node, place=node.place)
    return read_record(PartNumber, node, desk)


numbers_list: Reader[tuple[PartNumber, ...]] = list_of(_read_number, "part-numbers")


class SupplyKind(StrEnum):
    """What can be had of a form: originals, new or used; copies; or that nobody makes it."""

    ORIGINAL = "original"
    REMADE = "remade"
    NOBODY = "nobody"


@record("supply")
class Supply:
    """What somebody who asked around found could be had of a form. It ages, so it has its date."""

    had: SupplyKind = key(choice(SupplyKind, "supply"))
    as_of: When = key(lately(date_only), "as of")
    words: str = key(said_last, default="")  # from whom, in which state; no prices
    told_by: str = key(said_last, default="")  # how a copy is told
    source: str = key(source_id, default="")
    page: str = key(said, default="")
    place: Place


supply_list: Reader[tuple[Supply, ...]] = records_of(Supply, "supply")
