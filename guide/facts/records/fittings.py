"""`fitted as:`, how a form comes to be on a car: a word, a list of words, or each with its particulars."""

from __future__ import annotations

from collections.abc import Collection

from guide.facts.records.fields import Field, Record, is_blank, shape_of
from guide.facts.records.readers import choice, date_only, ids, in_order, said, share, source_id
from guide.facts.records.scopes import scope
from guide.facts.text.desk import Desk
from guide.facts.text.source import Items, Keyed, Node
from guide.facts.types import FittedAs, Fitting, Scope, Text
from guide.finding import Place
from guide.sentence import sentence

__all__ = ["RECORDS", "read_fittings"]

FROM = Field(
    "from",
    date_only,
    "since when it has been fitted so, or to be had; checked against the limits, "
    "but what dates a car stands under `stated:`",
)
TO = Field("to", date_only, "until when")
IN_PLACE_OF = Field("in place of", ids, "the forms it replaces; leave it out when it replaces any")
SHARE = Field("share", share, "of the cars it could be on")
FOR = Field("for", scope, "which cars")
SOURCE = Field("source", source_id, "whose word it is")
NOTE = Field("note", said, "anything more")
FITTING = Record(
    "a way of being fitted",
    "marks/*.yml, under `fitted as:` of a form, each under one of "
    + ", ".join(FittedAs)
    + "; only the first two date a car",
    (FROM, TO, IN_PLACE_OF, SHARE, FOR, SOURCE, NOTE),
)
RECORDS = (FITTING,)
_KIND = choice(FittedAs, "how it is fitted")


def read_fittings(node: Node | None, place: Place, forms: Collection[str], desk: Desk) -> tuple[Fitting, ...]:
    """Return how a form is fitted; nothing said means by the works."""
    if node is None or is_blank(node):
        return (Fitting(kind=FittedAs.FACTORY, place=place),)
    if isinstance(node, Keyed):
        pairs: list[tuple[Text, Node | None]] = list(node.pairs)
    else:
        words = node.items if isinstance(node, Items) else (node,)
        pairs = [(word, None) for word in words if isinstance(word, Text)]
        for word in words:
            if not isinstance(word, Text):
                desk.say(
                    "wrong-shape",
                    word.place,
                    f"expected a word of `fitted as`, found {shape_of(word)}",
                    "write it as {factory: yes, service part: {from: 1975}}",
                )
    read = [_read_one(key, value, forms, desk) for key, value in pairs]
    return tuple(fitting for fitting in read if fitting is not None)


def _read_one(key: Text, value: Node | None, forms: Collection[str], desk: Desk) -> Fitting | None:
    kind = _KIND.read(key, desk)
    if kind is None:
        return None
    if value is None or isinstance(value, Text):
        if value is None or is_blank(value) or value.casefold() in ("yes", "true"):
            return Fitting(kind=kind, place=key.place)
        if value.casefold() not in ("no", "false"):
            desk.say(
                "unknown-choice",
                value.place,
                f"expected yes or particulars after `{kind}:`, found {str(value)!r}",
                f"write `{kind}: yes` or `{kind}: {{from: 1975}}`",
            )
        return None
    row = FITTING.open(value, desk)
    if row is None:
        return None
    first, last = row.find(FROM), row.find(TO)
    if not in_order(first, last, row.places.get("to", row.place), desk):
        first = last = None
    replaced = tuple(
        str(form)
        for form in row.get(IN_PLACE_OF, ())
        if desk.refer(form, forms, "facts.unknown-form", sentence("facts.this-mark"))
    )
    return Fitting(
        kind=kind,
        first=first,
        last=last,
        in_place_of=replaced,
        share=row.find(SHARE),
        scope=row.get(FOR, Scope()),
        source=row.get(SOURCE, ""),
        note=row.get(NOTE, ""),
        place=key.place,
    )
