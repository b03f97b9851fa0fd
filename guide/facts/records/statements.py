"""Statements: dated claims with their sources, from `stated:`, `changes:` and statements.csv alike."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from guide.facts.records.fields import Field, Record, Row, items_of, raw, shape_of
from guide.facts.records.readers import said, share, source_id, text, when, whole, yes_no
from guide.facts.records.references import read_form_ref
from guide.facts.records.scopes import scope
from guide.facts.text.desk import Desk
from guide.facts.text.source import Items, Node
from guide.facts.types import FormRef, Scope, Statement, StatementKind, Text, When, WhenKind
from guide.finding import Place

__all__ = ["CHANGE", "RECORDS", "STATEMENT", "read_changes", "read_stated", "statements_of_row"]


_WHENS = "a date, a car, `start` or `end`; or a list of them"
FIRST = Field("first", raw(_WHENS), "the first car with the form")
LAST = Field("last", raw(_WHENS), "the last car with the form")
SEEN = Field("seen", raw(_WHENS), "a car believed untouched that has it")
BEFORE = Field("before", raw("a form, as mark/form"), "it came in before that form did")
AFTER = Field("after", raw("a form, as mark/form"), "it came in after that form did")
TOGETHER = Field("together with", raw("a form, as mark/form"), "it came in with that form")
SOURCE = Field("source", source_id, "whose word it is")
FOR = Field("for", scope, "which cars it speaks of; leave it out for all")
PAGE = Field("page", text, "where in the source")
PRINTED = Field("printed", text, "what the paper prints, word for word, when that is impossible; used for nothing")
SHARE = Field("share", share, "of the later form, where both were fitted")
OLD_STOCK = Field("old stock", whole, "by how many cars at most a `last` may be passed, as at most 60 cars")
LAST_EVER = Field("the last ever", yes_no, "`yes` where the source says that no later car has it")
FIRST_EVER = Field("the first ever", yes_no, "`yes` where the source says that no earlier car has it")
NOTE = Field("note", said, "anything more")
_MORE = (FOR, PAGE, PRINTED, SHARE, OLD_STOCK, LAST_EVER, FIRST_EVER, NOTE)
STATEMENT = Record(
    "a statement",
    "marks/*.yml, under `stated:` of a form or of one of its spells; give one of the first six",
    (FIRST, LAST, SEEN, BEFORE, AFTER, TOGETHER, SOURCE, *_MORE),
)
FROM = Field("from", text, "the form that ends, as form or form/2", True)
TO = Field("to", text, "the form that begins", True)
AT = Field("at", when, "when: a date, or the first car with the new form", True)
CHANGE = Record(
    "a change",
    "marks/*.yml, under `changes:`: one claim that closes a form and opens the next",
    (FROM, TO, AT, SOURCE, FOR, PAGE, PRINTED, SHARE, OLD_STOCK, NOTE),
)
RECORDS = (STATEMENT, CHANGE)

_DATED = {StatementKind.FIRST: FIRST, StatementKind.LAST: LAST, StatementKind.SEEN: SEEN}
_RELATIVE = {StatementKind.BEFORE: BEFORE, StatementKind.AFTER: AFTER, StatementKind.TOGETHER: TOGETHER}


@dataclass(frozen=True, slots=True)
class _Common:
    """What a row says of each statement in it."""

    source: str
    scope: Scope
    page: str
    printed: str
    share: float | None
    old_stock: int | None
    note: str

    def make(
        self,
        kind: StatementKind,
        ref: FormRef,
        place: Place,
        *,
        when: When | None = None,
        other: FormRef | None = None,
        superlative: bool = False,
        changes: bool = False,
    ) -> Statement:
        """Return one statement of a form."""
        return Statement(
            kind=kind,
            mark=ref.mark,
            form=ref.form,
            spell=ref.spell,
            when=when,
            other=other,
            scope=self.scope,
            source=self.source,
            page=self.page,
            printed=self.printed,
            share=self.share,
            old_stock_cars=self.old_stock if kind is StatementKind.LAST else None,
            superlative=superlative,
            changes=changes,
            note=self.note,
            place=place,
        )


def _common(row: Row) -> _Common:
    return _Common(
        row.get(SOURCE, ""),
        row.get(FOR, Scope()),
        row.get(PAGE, ""),
        row.get(PRINTED, ""),
        row.find(SHARE),
        row.find(OLD_STOCK),
        row.get(NOTE, ""),
    )


def _texts(node: Node, desk: Desk) -> tuple[Text, ...]:
    nodes = node.items if isinstance(node, Items) else (node,)
    found = [text.read(one, desk) for one in nodes]
    return tuple(one for one in found if one)


def statements_of_row(row: Row, ref: FormRef, desk: Desk) -> tuple[Statement, ...]:
    """Return the statements that one opened row makes of a form's spell."""
    given = [kind for kind, field in (_DATED | _RELATIVE).items() if row.given(field)]
    if not given:
        desk.say(
            "one-of",
            row.place,
            "expected one of first, last, seen, before, after and together with, found none",
            "write what is claimed, as {first: 1968-05, source: ...}",
        )
        return ()
    common = _common(row)
    made: list[Statement] = []
    for kind in given:
        if kind in _DATED:
            made += _dated(kind, row, common, ref, desk)
        else:
            for one in _texts(row.need(_RELATIVE[kind]), desk):
                other = read_form_ref(one, desk, ref.mark)
                if other == ref:
                    desk.say("self-reference", one.place, f"{one} is set beside itself", "name another form")
                elif other:
                    made.append(common.make(kind, ref, one.place, other=other))
    _check_extras(row, given, desk)
    unread = row.incomplete or (row.given(FOR) and row.find(FOR) is None)
    return () if unread else tuple(made)


def _dated(kind: StatementKind, row: Row, common: _Common, ref: FormRef, desk: Desk) -> Iterable[Statement]:
    ever = {StatementKind.LAST: LAST_EVER, StatementKind.FIRST: FIRST_EVER}.get(kind)
    for one in _texts(row.need(_DATED[kind]), desk):
        moment = when.read(one, desk)
        if moment is not None:
            yield common.make(kind, ref, one.place, when=moment, superlative=bool(ever and row.get(ever, False)))


def _check_extras(row: Row, given: list[StatementKind], desk: Desk) -> None:
    """Say where something is said of a first or last that is not there."""
    for field, kind in (
        (OLD_STOCK, StatementKind.LAST),
        (LAST_EVER, StatementKind.LAST),
        (FIRST_EVER, StatementKind.FIRST),
    ):
        if row.given(field) and kind not in given:
            desk.say(
                "goes-with",
                row.places[field.key],
                f"`{field.key}:` goes with `{kind}:`, which is not given here",
                f"move it to the statement with `{kind}:`",
            )


def read_stated(node: Node | None, ref: FormRef, desk: Desk) -> tuple[Statement, ...]:
    """Return the statements under `stated:`, in the order typed."""
    found: list[Statement] = []
    for one in items_of(node):
        if isinstance(one, Text):
            if one:
                desk.say(
                    "wrong-shape",
                    one.place,
                    f"expected a statement, found {shape_of(one)}",
                    "write it as {first: 1968-05, source: ...}",
                )
            continue
        row = STATEMENT.open(one, desk)
        if row is not None:
            found += statements_of_row(row, ref, desk)
    return tuple(found)


def read_changes(node: Node | None, mark: str, desk: Desk) -> tuple[Statement, ...]:
    """Return the pairs of statements under `changes:`.

    At a date, the old form's last and the new one's first both lie in it. At a car, that car is the new
    form's first, and the one before it in number order the old form's last.
    """
    found: list[Statement] = []
    for one in items_of(node):
        row = CHANGE.open(one, desk)
        if row is not None and not row.incomplete and (row.find(FOR) is not None or not row.given(FOR)):
            found += changes_of_row(row, mark, desk)
    return tuple(found)


def changes_of_row(row: Row, mark: str, desk: Desk) -> tuple[Statement, ...]:
    """Return the last and the first that one opened `changes:` row makes."""
    old, new = read_form_ref(row.need(FROM), desk, mark), read_form_ref(row.need(TO), desk, mark)
    if old is None or new is None:
        return ()
    if old == new:
        desk.say("self-reference", row.place, f"{old.form} changes to itself here", "name the form that follows")
        return ()
    at, common = row.need(AT), _common(row)
    before = replace(at, cars_after=at.cars_after - 1) if at.kind is WhenKind.CAR else at
    return (
        common.make(StatementKind.LAST, old, row.place, when=before, changes=True),
        common.make(StatementKind.FIRST, new, row.place, when=at, changes=True),
    )
