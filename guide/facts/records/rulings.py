"""`rulings:`: the editor's decision on statements that clash.

A ruling names one statement as `source kind when`, in the words of the statement itself. When several
match, `form:` or `said for:` tells them apart; exactly one must.
"""

from __future__ import annotations

import re

from guide.facts.records.fields import Field, Record, Row, items_of, raw
from guide.facts.records.readers import day, said, text, when
from guide.facts.records.references import read_form_ref
from guide.facts.records.scopes import scope
from guide.facts.text.desk import Desk
from guide.facts.text.problem import or_list
from guide.facts.text.source import Node
from guide.facts.types import Ruling, Scope, Statement, StatementKind, Text, When
from guide.facts.when.numbers import plain_number

__all__ = ["RECORDS", "name_of", "read_rulings"]

READ = Field("read", text, "the statement that is read otherwise, as `source kind when`")
SET_ASIDE = Field("set aside", text, "the statement that is left out of account, as `source kind when`")
FORM = Field("form", text, "the form it is stated of, where two statements are named alike; as form or form/2")
SAID_FOR = Field("said for", scope, "the `for:` of the statement, where two are named alike")
AS = Field(
    "as", raw("what it is read as, as {for: {hand: right}} or {first: D880}"), "how it is read: for which cars, or when"
)
WHY = Field("why", said, "the reason, as readers will see it", True)
ON = Field("on", day, "the day of the ruling", True)
RULING = Record(
    "a ruling",
    "marks/*.yml, under `rulings:`; give `read` with `as`, or `set aside`",
    (READ, SET_ASIDE, FORM, SAID_FOR, AS, WHY, ON),
)

FOR = Field("for", scope, "the cars it is taken to speak of")
_KINDS = {
    kind: Field(str(kind), when, f"the {kind} it is read as")
    for kind in (StatementKind.FIRST, StatementKind.LAST, StatementKind.SEEN)
}
READ_AS = Record("what a statement is read as", "marks/*.yml, under `as:` of a ruling", (FOR, *_KINDS.values()))
RECORDS = (RULING, READ_AS)


def name_of(statement: Statement) -> str:
    """Return a statement as a ruling names it: source, kind and when (or the other form)."""
    said = statement.when.text if statement.when is not None else _written(statement)
    return f"{statement.source} {statement.kind} {said}".strip()


def _written(statement: Statement) -> str:
    other = statement.other
    assert other is not None
    return f"{other.mark}/{other.form}" + (f"/{other.spell}" if other.spell > 1 else "")


def read_rulings(node: Node | None, mark: str, statements: tuple[Statement, ...], desk: Desk) -> tuple[Ruling, ...]:
    """Return the rulings of a mark, each with the index of the one statement it names."""
    read = [_read_one(one, mark, statements, desk) for one in items_of(node)]
    rulings = [ruling for ruling in read if ruling is not None]
    seen: dict[int, Ruling] = {}
    for ruling in rulings:
        if ruling.statement in seen:
            desk.say(
                "ruled-twice",
                ruling.place,
                f"the statement {ruling.named!r} has two rulings",
                "keep the one that stands",
                ((seen[ruling.statement].place, "the other ruling"),),
            )
        seen.setdefault(ruling.statement, ruling)
    return tuple(seen.values())


def _read_one(node: Node, mark: str, statements: tuple[Statement, ...], desk: Desk) -> Ruling | None:
    row = RULING.open(node, desk)
    if row is None:
        return None
    named = row.find(READ) if row.given(READ) else row.find(SET_ASIDE)
    if named is None or row.given(READ) == row.given(SET_ASIDE):
        desk.say(
            "one-of",
            row.place,
            "expected one of `read:` and `set aside:`, found " + ("both" if row.given(READ) else "neither"),
            "write `set aside:` to leave a statement out, or `read:` with `as:` to read it otherwise",
        )
        return None
    index = _find(named, row, mark, statements, desk)
    if index is None or row.incomplete:
        return None
    read_scope, read_when = None, None
    if row.given(READ):
        changed = _read_as(row, statements[index], desk)
        if changed is None:
            return None
        read_scope, read_when = changed
    return Ruling(
        mark=mark,
        statement=index,
        sets_aside=row.given(SET_ASIDE),
        read_scope=read_scope,
        read_when=read_when,
        why=row.need(WHY),
        on=row.need(ON),
        named=str(named),
        place=row.place,
    )


def _find(named: Text, row: Row, mark: str, statements: tuple[Statement, ...], desk: Desk) -> int | None:
    form = row.find(FORM)
    ref = read_form_ref(form, desk, mark) if form is not None else None
    if form is not None and ref is None:
        return None
    wanted_scope = row.find(SAID_FOR)
    matching = [
        index
        for index, statement in enumerate(statements)
        if _same(named, name_of(statement))
        and (ref is None or (statement.form, statement.spell) == (ref.form, ref.spell))
        and (wanted_scope is None or statement.scope == wanted_scope)
    ]
    if len(matching) == 1:
        return matching[0]
    if matching:
        places = tuple(
            (statements[index].place, f"{statements[index].form}: {name_of(statements[index])}") for index in matching
        )
        desk.say(
            "ruling-names-several",
            named.place,
            f"expected the name of one statement, found {str(named)!r}, which names {len(matching)}",
            "add `form:` or `said for:` to say which is meant",
            places,
        )
        return None
    source = named.split(" ", 1)[0]
    known = sorted(
        {name_of(statement) for statement in statements if statement.source == source}
        or {name_of(statement) for statement in statements}
    )
    desk.say(
        "ruling-names-nothing",
        named.place,
        f"expected a statement of this mark, named as `source kind when`, found {str(named)!r}, which names none",
        f"write {or_list(known[:8])}" if known else "the mark has no statements: take the ruling out",
    )
    return None


def _same(one: str, other: str) -> bool:
    """Compare two names of statements, forgiving spacing, dashes and `car` before a number."""

    def plain(name: str) -> tuple[str, str]:
        source, _, rest = re.sub(r"\s+", " ", name.strip()).partition(" ")
        return source.casefold(), plain_number(re.sub(r"\bcar\b", " ", rest))

    return plain(one) == plain(other)


def _read_as(row: Row, statement: Statement, desk: Desk) -> tuple[Scope | None, When | None] | None:
    node = row.find(AS)
    if node is None:
        desk.say(
            "missing-key",
            row.place,
            "expected `as:` beside `read:`, found none",
            "write `as: {for: {hand: right}}` or `as: {first: D880}`; or `set aside:` instead of `read:`",
        )
        return None
    inner = READ_AS.open(node, desk)
    if inner is None:
        return None
    moment: When | None = None
    for kind, field in _KINDS.items():
        if not inner.given(field):
            continue
        if kind is not statement.kind:
            desk.say(
                "ruling-changes-kind",
                inner.places[str(kind)],
                f"the statement is a `{statement.kind}`, found `{kind}:` in what it is read as",
                f"write `{statement.kind}:`, or set the statement aside",
            )
            return None
        moment = inner.find(field)
        if moment is None:
            return None
    if inner.given(FOR) and inner.find(FOR) is None:
        return None
    if moment is None and not inner.given(FOR):
        desk.say(
            "missing-key",
            node.place,
            "expected `for:` or a when in `as:`, found neither",
            f"write {{for: {{hand: right}}}} or {{{statement.kind}: ...}}",
        )
        return None
    return inner.find(FOR), moment
