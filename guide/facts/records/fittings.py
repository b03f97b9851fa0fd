"""`fitted as:`, how a form comes to be on a car: a word, a list of words, or each with its particulars."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from enum import StrEnum

from guide.facts.records.fields import key, open_record, record
from guide.facts.records.readers import a_share, choice, date_only, ids, in_order, mark_ids, said, source_id
from guide.facts.records.scopes import cars
from guide.facts.text.desk import Desk
from guide.facts.text.source import Items, Keyed, Node, is_blank, members_of, words_or_pairs
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
    """One way a form comes to be on a car, with when it was to be had and what it replaces or lies over.

    What was to be had on and off over the years has one for each time.
    """

    kind: FittedAs
    first: When | None = key(date_only, "from", default=None)
    last: When | None = key(date_only, "to", default=None)
    in_place_of: tuple[str, ...] = key(ids, default=())  # form ids; empty: of any
    over: tuple[str, ...] = key(mark_ids, default=())  # marks that it lies over, its own among them or not
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
    for word in () if isinstance(node, Keyed) else members_of(node):
        if not isinstance(word, Text):
            desk.refuse("facts.wrong-shape.fitted-as", word, example="{factory: yes, service part: {from: 1975}}")
    read = [
        _read_one(typed, span, forms, desk)
        for typed, value in words_or_pairs(node)
        for span in (value.items if isinstance(value, Items) else (value,))
    ]
    return tuple(fitting for fitting in read if fitting is not None)


def _read_one(word: Text, value: Node, forms: Collection[str], desk: Desk) -> Fitting | None:
    kind = _KIND.read(word, desk)
    if kind is None:
        return None
    if isinstance(value, Text):
        if value.casefold() in ("", "yes", "true"):
            return Fitting(kind=kind, place=word.place)
        if value.casefold() not in ("no", "false"):
            desk.refuse("facts.unknown-choice.fitted", value, kind=str(kind), example=f"{kind}: {{from: 1975}}")
        return None
    typed = open_record(Fitting, value, desk)
    fitting = None if typed is None else typed.make(kind=kind, place=word.place)
    if typed is None or fitting is None:
        return None
    in_place_of = tuple(form for form in fitting.in_place_of if refer_to_form(form, forms, desk))
    if not in_order(fitting.first, fitting.last, typed.places.get("to", typed.place), desk):
        fitting = replace(fitting, first=None, last=None)
    return replace(fitting, in_place_of=in_place_of)


def refer_to_form(form: str, forms: Collection[str], desk: Desk) -> bool:
    """Check a reference to a form of the mark that is being read."""
    assert isinstance(form, Text)
    return desk.refer(form, forms, "facts.unknown-form", sentence("facts.this-mark"))
