"""Statements: dated claims with their sources, from `stated:`, `changes:` and statements.csv alike."""

from __future__ import annotations

from dataclasses import replace
from enum import StrEnum
from typing import ClassVar

from guide.facts.records.fields import Field, Record, Typed, key, open_record, raw, record, record_of
from guide.facts.records.readers import a_share, said, source_id, text, when, whole, yes_no
from guide.facts.records.references import read_form_ref
from guide.facts.records.scopes import cars
from guide.facts.text.desk import Desk
from guide.facts.text.source import Keyed, Node, items_of
from guide.facts.values import FormRef, Scope, Text, When, WhenKind
from guide.finding import Place

__all__ = ["CHANGE", "Statement", "StatementKind", "changes_of", "read_changes", "read_stated", "statements_of"]


class StatementKind(StrEnum):
    """What one claim is about. Each is a key of its own."""

    FIRST = "first"  # the first car with the form is `when`
    LAST = "last"  # the last car with the form is `when`
    SEEN = "seen"  # a car believed untouched has the form
    BEFORE = "before"  # the first of this form is before the first of `other`
    AFTER = "after"  # the first of this form is after the first of `other`
    TOGETHER = "together with"  # the first of this form is the first of `other`

    @property
    def is_dated(self) -> bool:
        """Whether it says when, and not beside what other form."""
        return self in (StatementKind.FIRST, StatementKind.LAST, StatementKind.SEEN)


@record("statement")
class Statement:
    """One dated claim with its source. A `changes:` line makes two: a last and a first, with one place."""

    FIRST: ClassVar = Field("first", raw("whens"))
    LAST: ClassVar = Field("last", raw("whens"))
    SEEN: ClassVar = Field("seen", raw("whens"))
    BEFORE: ClassVar = Field("before", raw("form"))
    AFTER: ClassVar = Field("after", raw("form"))
    TOGETHER: ClassVar = Field("together with", raw("form"))
    kind: StatementKind
    mark: str
    form: str
    spell: int  # from 1
    when: When | None = None  # None only where `other` speaks
    other: FormRef | None = None
    source: str = key(source_id, default="")
    scope: Scope = key(cars, "for", default=Scope())
    page: str = key(text, default="")
    printed: str = key(text, default="")  # what the paper prints when that is impossible; used for nothing
    repeats: str = key(source_id, default="")  # the source whose word it only repeats
    share: float | None = key(a_share, default=None)  # of the later form, where both were fitted
    old_stock_cars: int | None = key(whole, "old stock", default=None)  # a `last` may be passed by this many cars
    LAST_EVER: ClassVar = Field("the last ever", yes_no)
    FIRST_EVER: ClassVar = Field("the first ever", yes_no)
    superlative: bool = False  # "the last ever": a later car contradicts it
    note: str = key(said, default="")
    place: Place


FROM = Field("from", text, needed=True)
TO = Field("to", text, needed=True)
AT = Field("at", when, needed=True)
_SHARED = ("source", "for", "page", "printed", "repeats", "share", "old stock", "note")
CHANGE = Record("change", (FROM, TO, AT, *record_of(Statement).shared(*_SHARED)))


def _make(
    typed: Typed[Statement],
    kind: StatementKind,
    ref: FormRef,
    place: Place,
    *,
    when: When | None = None,
    other: FormRef | None = None,
) -> Statement:
    """Return what a line says, as one statement of a form."""
    ever = {StatementKind.LAST: Statement.LAST_EVER, StatementKind.FIRST: Statement.FIRST_EVER}.get(kind)
    made = typed.make(
        kind=kind,
        mark=ref.mark,
        form=ref.form,
        spell=ref.spell,
        when=when,
        other=other,
        old_stock_cars=typed.value_of("old stock") if kind is StatementKind.LAST else None,
        superlative=ever is not None and bool(typed.find(ever)),
        place=place,
    )
    assert made is not None, "a statement needs none of its keys"
    if made.repeats and made.repeats == made.source:
        typed.desk.find("facts.self-reference.echo", typed.places["repeats"], source=made.source)
    return made


def statements_of(typed: Typed[Statement], ref: FormRef, desk: Desk) -> tuple[Statement, ...]:
    """Return the statements that one line makes of a form's spell."""
    given = [kind for kind in StatementKind if kind in typed.places]
    if not given and typed.has_unknown:
        return ()  # what is claimed may stand under the key that is not known
    if not given:
        desk.find("facts.one-of.statement", typed.place, example="{first: 1968-05, source: ...}")
        return ()
    made: list[Statement] = []
    for kind in given:
        for one in _texts(typed.node_of(kind), desk):
            if kind.is_dated:
                moment, other = when.read(one, desk), None
            else:
                moment, other = None, read_form_ref(one, desk, ref.mark)
            if other == ref:
                desk.find("facts.self-reference", one.place, form=str(one))
            elif moment is not None or other is not None:
                made.append(_make(typed, kind, ref, one.place, when=moment, other=other))
    for name, kind in (
        ("old stock", StatementKind.LAST),
        ("the last ever", StatementKind.LAST),
        ("the first ever", StatementKind.FIRST),
    ):
        if name in typed.places and kind not in given:
            desk.find("facts.goes-with", typed.places[name], key=name, kind=str(kind))
    return () if typed.unread("for") else tuple(made)


def _texts(node: Node | None, desk: Desk) -> tuple[Text, ...]:
    found = [text.read(one, desk) for one in items_of(node)]
    return tuple(one for one in found if one)


def read_stated(node: Node | None, ref: FormRef, desk: Desk) -> tuple[Statement, ...]:
    """Return the statements under `stated:`, in the order typed."""
    found: list[Statement] = []
    for one in items_of(node):
        if isinstance(one, Text):
            desk.refuse("facts.wrong-shape.statement", one, example="{first: 1968-05, source: ...}")
            continue
        typed = open_record(Statement, one, desk)
        if typed is not None:
            found += statements_of(typed, ref, desk)
    return tuple(found)


def read_changes(node: Node | None, mark: str, desk: Desk) -> tuple[Statement, ...]:
    """Return the pairs of statements under `changes:`."""
    found: list[Statement] = []
    for one in items_of(node):
        if isinstance(one, Keyed) and (pair := _forms_as_a_pair(one, mark, desk)):
            old, new = pair
            desk.find("facts.missing-key.change", old.place, found=f"{old}: {new}", old=str(old), new=str(new))
            continue
        typed = open_record(Statement, one, desk, declared=CHANGE)
        if typed is not None:
            found += changes_of(typed, mark, desk)
    return tuple(found)


def _forms_as_a_pair(change: Keyed, mark: str, desk: Desk) -> tuple[Text, Text] | None:
    """Return the two forms of a change that was typed as one leading to the other; None for any other change."""
    forms = desk.forms.get(mark) or {}
    pairs = (
        (key, value) for key, value in change.pairs if isinstance(value, Text) and {str(key), str(value)} <= {*forms}
    )
    return None if {FROM.name, TO.name} & {str(key) for key, _ in change.pairs} else next(pairs, None)


def changes_of(typed: Typed[Statement], mark: str, desk: Desk) -> tuple[Statement, ...]:
    """Return the last and the first that one change makes.

    At a date, the old form's last and the new one's first both lie in it. At a car, that car is the new
    form's first, and the one before it in number order the old form's last.
    """
    ends, at = (typed.find(FROM), typed.find(TO)), typed.find(AT)
    if typed.incomplete or typed.unread("for") or at is None:
        return ()
    old, new = (None if end is None else read_form_ref(end, desk, mark) for end in ends)
    if old is None or new is None:
        return ()
    if old == new:
        desk.find("facts.self-reference.change", typed.place, form=old.form)
        return ()
    before = replace(at, cars_after=at.cars_after - 1) if at.kind is WhenKind.CAR else at
    last = _make(typed, StatementKind.LAST, old, typed.place, when=before)
    return last, _make(typed, StatementKind.FIRST, new, typed.place, when=at)
