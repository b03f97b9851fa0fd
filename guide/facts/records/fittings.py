"""`fitted as:`, how a form comes to be on a car: a word, a list of words, or each with its particulars."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from enum import StrEnum

from guide.facts.records.fields import is_blank, key, open_record, record, shape_of
from guide.facts.records.readers import a_share, choice, date_only, ids, in_order, said, source_id
from guide.facts.records.scopes import cars
from guide.facts.text.desk import Desk
from guide.facts.text.source import Items, Keyed, Node
from guide.facts.values import Scope, Text, When
from guide.finding import Place
from guide.sentence import sentence

__all__ = ["FittedAs", "Fitting", "read_fittings"]


class FittedAs(StrEnum):
    """How a form comes to be on a car. Only the first two date it."""

    FACTORY = "factory"
    OPTION = "option"
    DEALER = "dealer"
    CAMPAIGN = "campaign"
    SERVICE_PART = "service part"
    REPRODUCTION = "reproduction"
    AFTERMARKET = "aftermarket"
    REPAIR = "repair"
    OTHER_MODEL = "other model"
    CONVERSION = "conversion"


@record("fitting")
class Fitting:
    """One way a form comes to be on a car, with when it was to be had and what it replaces."""

    kind: FittedAs
    first: When | None = key(date_only, "from", default=None)
    last: When | None = key(date_only, "to", default=None)
    in_place_of: tuple[str, ...] = key(ids, default=())  # form ids; empty: of any
    share: float | None = key(a_share, default=None)  # of the cars it could be on
    scope: Scope = key(cars, "for", default=Scope())
    source: str = key(source_id, default="")
    note: str = key(said, default="")
    place: Place


_KIND = choice(FittedAs, "fitted-as")


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
                example = "{factory: yes, service part: {from: 1975}}"
                desk.find("facts.wrong-shape.fitted-as", word.place, found=shape_of(word), example=example)
    read = [_read_one(typed, value, forms, desk) for typed, value in pairs]
    return tuple(fitting for fitting in read if fitting is not None)


def _read_one(word: Text, value: Node | None, forms: Collection[str], desk: Desk) -> Fitting | None:
    kind = _KIND.read(word, desk)
    if kind is None:
        return None
    if value is None or isinstance(value, Text):
        if value is None or is_blank(value) or value.casefold() in ("yes", "true"):
            return Fitting(kind=kind, place=word.place)
        if value.casefold() not in ("no", "false"):
            example = f"{kind}: {{from: 1975}}"
            found = repr(value)
            desk.find("facts.unknown-choice.fitted", value.place, kind=str(kind), found=found, example=example)
        return None
    typed = open_record(Fitting, value, desk)
    fitting = None if typed is None else typed.make(kind=kind, place=word.place)
    if typed is None or fitting is None:
        return None
    replaced = tuple(form for form in fitting.in_place_of if refer_to_form(form, forms, desk))
    in_time = in_order(fitting.first, fitting.last, typed.places.get("to", typed.place), desk)
    return replace(
        fitting, in_place_of=replaced, first=fitting.first if in_time else None, last=fitting.last if in_time else None
    )


def refer_to_form(form: str, forms: Collection[str], desk: Desk) -> bool:
    """Check a reference to a form of the mark that is being read."""
    assert isinstance(form, Text)
    return desk.refer(form, forms, "facts.unknown-form", sentence("facts.this-mark"))
