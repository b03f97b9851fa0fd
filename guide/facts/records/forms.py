"""Forms: the ways a mark is found, with their spells and statements."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date
from functools import partial
from typing import Any, ClassVar

from guide.facts.records.counts import Count, count_list
from guide.facts.records.fields import (
    Field,
    Reader,
    Typed,
    key,
    open_each,
    open_record,
    raw,
    read_record,
    record,
    record_of,
    records_of,
    typed_for,
)
from guide.facts.records.fittings import FittedAs, Fitting, read_fittings, refer_to_form
from guide.facts.records.frontispiece import Spot, a_spot
from guide.facts.records.parts import PartNumber, Supply, SupplyKind, numbers_list, supply_list
from guide.facts.records.pictures import Picture
from guide.facts.records.readers import a_share, few_words, said, said_texts, text, texts
from guide.facts.records.scopes import cars, join_scopes
from guide.facts.records.statements import Statement, read_stated
from guide.facts.text.desk import Desk
from guide.facts.text.source import Items, Keyed, Node, is_blank
from guide.facts.values import FormRef, Scope, StatedAt, Text
from guide.finding import Place
from guide.sentence import sentence

__all__ = ["Detail", "Form", "Spell", "TakenFor", "count_spells", "read_form"]

_STATED = Field("stated", raw("stated"))


@record("spell")
class Spell:
    """A stretch of production with a form. ``number`` counts from 1 within the form."""

    form: str
    number: int
    scope: Scope = key(cars, "for", default=Scope())
    share: float | None = key(a_share, default=None)  # of the cars in scope that have it, when not all
    STATED: ClassVar = _STATED
    stated_at: StatedAt | None = None  # None: what stands there cannot be read
    place: Place


@record("taken-for")
class TakenFor:
    """What a form is easily taken for, and how to tell. ``form`` is empty for a thing outside the mark."""

    form: str = key(text, default="")
    what: str = key(said, default="")
    tell: str = key(text)  # Markdown
    place: Place


@record("detail")
class Detail:
    """What to look at on a form, and where its drawing shows it: the part's page leads from the one to the other."""

    name: str = key(few_words)
    spot: Spot = key(a_spot)
    place: Place


@record("form")
class Form:
    """One of the ways a mark is found."""

    id: str
    name: str = key(said)
    answer: str = key(said)  # makes sense without its drawing
    picture: str = key(text, default="")  # file in pictures/
    describes: str = key(said, default="")  # the drawing in words, for those who cannot see it
    detail: Detail | None = key(Reader(sentence("facts.shape.detail"), partial(read_record, Detail)), default=None)
    pictures: tuple[Picture, ...] = key(records_of(Picture, "pictures"), default=())  # besides, or of the first
    scope: Scope = key(cars, "for", default=Scope())
    fitted_as: tuple[Fitting, ...] = key(raw("fitted-as"), default=())
    SHARE: ClassVar = Field("share", a_share)
    STATED: ClassVar = _STATED
    spells: tuple[Spell, ...] = key(raw("spells"), default=())
    counts: tuple[Count, ...] = key(count_list, default=())
    part_numbers: tuple[PartNumber, ...] = key(numbers_list, default=())
    stamped: tuple[str, ...] = key(said_texts, default=())
    taken_for: tuple[TakenFor, ...] = key(raw("taken-for"), default=())
    about: str = key(text, default="")  # Markdown
    wear: str = key(text, default="")  # Markdown
    supply: tuple[Supply, ...] = key(supply_list, default=())  # what can be had, by kind and date
    to_be_had: str = key(text, default="")  # Markdown: what can be had today
    formerly: tuple[str, ...] = key(texts, default=())
    place: Place

    @property
    def dates_a_car(self) -> bool:
        """Whether the works fitted it: the other ways of coming to be on a car say nothing of its date."""
        return made_by_works(self.fitted_as)

    @property
    def is_option(self) -> bool:
        """Whether the works fitted it to order only, so that it lies over the factory chain."""
        kinds = {fitting.kind for fitting in self.fitted_as}
        return FittedAs.OPTION in kinds and FittedAs.FACTORY not in kinds

    def supply_of(self, kind: SupplyKind) -> Supply | None:
        """Return the newest word on one way of having it, of equals the one typed last."""
        return max((one for one in reversed(self.supply) if one.had is kind), key=_by_date, default=None)

    @property
    def nobody_makes(self) -> Supply | None:
        """The word that nobody makes it, where none as new says that it is remade."""
        nobody, remade = self.supply_of(SupplyKind.NOBODY), self.supply_of(SupplyKind.REMADE)
        newer = nobody is not None and (remade is None or _by_date(remade) < _by_date(nobody))
        return nobody if newer else None


def _by_date(supply: Supply) -> date:
    return supply.as_of.days()[1]


def made_by_works(fittings: tuple[Fitting, ...]) -> bool:
    """Tell whether one of the ways of being fitted is that of the works, to every car or to order."""
    return any(fitting.kind in (FittedAs.FACTORY, FittedAs.OPTION) for fitting in fittings)


def count_spells(form: Node) -> int:
    """Return how many spells a form's node lists; one when it lists none."""
    spells = typed_for(record_of(Form), form, "spells")
    return max(len(spells.items), 1) if isinstance(spells, Items) else 1


def read_form(
    mark: str, form_id: Text, node: Node, siblings: Collection[str], desk: Desk
) -> tuple[Form, tuple[Statement, ...]] | None:
    """Return a form and its statements; None when it lacks what a page cannot do without."""
    typed = open_record(Form, node, desk)
    if typed is None:
        return None
    fittings = read_fittings(typed.node_of("fitted as"), typed.place, siblings, desk)
    spells, statements = _spells(mark, form_id, typed, desk)
    if not made_by_works(fittings):
        if statements:
            desk.find("facts.statement-without-works", statements[0].place, form=str(form_id))
        spells, statements = (), ()
    form = typed.make(
        id=str(form_id),
        picture=typed.value_of("picture") or f"{mark}-{form_id}.svg",
        fitted_as=fittings,
        spells=spells,
        taken_for=_taken_for(typed.node_of("taken for"), siblings, desk),
        place=form_id.place,
    )
    return None if form is None else (form, statements)


def _spells(
    mark: str, form_id: Text, typed: Typed[Form], desk: Desk
) -> tuple[tuple[Spell, ...], tuple[Statement, ...]]:
    form = str(form_id)
    whole: Scope = typed.value_of("for") or Scope()
    share = typed.find(Form.SHARE)
    node = typed.node_of("spells")
    if node is None:
        at = _stated_at(typed, form_id.place)
        spell = Spell(form=form, number=1, scope=whole, share=share, stated_at=at, place=form_id.place)
        return (spell,), read_stated(typed.find(Form.STATED), FormRef(mark, form), desk)
    if "stated" in typed.places:
        desk.find("facts.one-of.stated", typed.places["stated"])
    if not isinstance(node, Items):
        desk.refuse("facts.wrong-shape.spells", node)
        return (), ()
    spells: list[Spell] = []
    statements: list[Statement] = []
    for number, one in enumerate(node.items, start=1):
        inner = None if is_blank(one) else open_record(Spell, one, desk)
        if inner is None:
            spells.append(Spell(form=form, number=number, scope=whole, place=one.place))
            continue
        scope = join_scopes(whole, inner.value_of("for") or Scope())
        narrower = inner.value_of("share")
        spells.append(
            Spell(
                form=form,
                number=number,
                scope=scope,
                share=share if narrower is None else narrower,
                stated_at=_stated_at(inner, one.place),
                place=one.place,
            )
        )
        statements += read_stated(inner.find(Spell.STATED), FormRef(mark, form, number), desk)
    return tuple(spells), tuple(statements)


def _stated_at(typed: Typed[Any], line: Place) -> StatedAt:
    """Return where one more statement may be typed of what begins on a line: a form, or one of its spells."""
    pairs = typed.node.pairs
    read = typed.node_of("stated")  # under its key, or under what is meant by that; None where nothing comes after
    at = next((key.place for key, value in pairs if (key == "stated" if read is None else value is read)), None)
    if at is not None:
        node = typed.node.get("stated") if read is None else read
        if isinstance(node, Items):
            if node.brackets:
                return StatedAt(node.place, begins=False, way="within")
            return StatedAt(at, begins=False, way="beneath", inward=node.place.column - 1)
        if isinstance(node, Keyed) and node.braces:
            return StatedAt(node.place, begins=False, way="single")
        return StatedAt(at, begins=False, way="beneath" if node == "" else "as-list", inward=at.column + 1)
    if typed.node.braces:
        return StatedAt(typed.node.place, begins=True, way="within")
    keys = [key.place for key, _ in pairs]
    # What a spell begins with, as `- for:`, may go on over lines of its own: then it is typed above what comes next.
    if any(key.place.line == line.line < value.place.line and isinstance(value, Items | Keyed) for key, value in pairs):
        if len(keys) == 1:
            return StatedAt(line, begins=True, way="as-list")
        line = Place(line.file, keys[1].line - 1)
    return StatedAt(line, begins=True, way="beneath", inward=keys[0].column - 1 if keys else line.column + 1)


def _taken_for(node: Node | None, siblings: Collection[str], desk: Desk) -> tuple[TakenFor, ...]:
    found = []
    for typed in open_each(TakenFor, node, desk):
        given = [name for name in ("form", "what") if name in typed.places]
        if len(given) != 1:
            desk.find(f"facts.one-of.taken-for-{'both' if given else 'neither'}", typed.place)
            continue
        taken = typed.make()
        if taken is not None and (not taken.form or refer_to_form(taken.form, siblings, desk)):
            found.append(taken)
    return tuple(found)
