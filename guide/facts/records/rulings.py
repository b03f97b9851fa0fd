"""`rulings:`: the editor's decision on statements that clash.

A ruling names one statement as `source kind when`, in the words of the statement itself. When several
match, `form:` or `said for:` tells them apart; exactly one must.
"""

from __future__ import annotations

import re
from datetime import date
from typing import Any, ClassVar

from guide.facts.records.fields import Field, Record, Typed, key, open_record, raw, record
from guide.facts.records.readers import day, lately, said, said_last, text, when
from guide.facts.records.references import read_form_ref
from guide.facts.records.scopes import cars
from guide.facts.records.statements import Statement, StatementKind
from guide.facts.text.desk import Desk
from guide.facts.text.source import Node, items_of
from guide.facts.values import Scope, Text, When
from guide.facts.when.numbers import plain_number
from guide.finding import Place
from guide.sentence import one_of, sentence

__all__ = ["READ_AS", "Ruling", "name_of", "read_rulings"]

# What a statement is read as: for which cars, or when.
READ_AS = Record("read-as", (Field("for", cars), *(Field(kind, when) for kind in StatementKind if kind.is_dated)))


@record("ruling")
class Ruling:
    """The editor's decision on statements that clash. It names exactly one statement.

    ``statement`` is the index into the mark's statements. ``sets_aside`` drops it; otherwise it is read
    with ``read_scope`` and ``read_when`` where these are given.
    """

    READ: ClassVar = Field("read", text)
    SET_ASIDE: ClassVar = Field("set aside", text)
    FORM: ClassVar = Field("form", text)
    SAID_FOR: ClassVar = Field("said for", cars)
    AS: ClassVar = Field("as", raw("read-as", by_cars="{for: {hand: right}}", by_when="{first: D880}"))
    statement: int
    sets_aside: bool
    read_scope: Scope | None = None
    read_when: When | None = None
    why: str = key(said)
    on: date = key(lately(day))
    by: str = key(said_last, default="")  # whose it is: an office, initials
    place: Place


def name_of(statement: Statement) -> str:
    """Return a statement as a ruling names it: source, kind and when (or the other form)."""
    said = statement.when.text if statement.when is not None else _written(statement)
    return f"{statement.source} {statement.kind} {said}".strip()


def _written(statement: Statement) -> str:
    other = statement.other
    assert other is not None
    return f"{other.mark}/{other.form}" + (f"/{other.spell}" if other.spell > 1 else "")


def read_rulings(
    node: Node | None, mark: str, statements: tuple[Statement, ...], desk: Desk, *, whole: bool
) -> tuple[Ruling, ...]:
    """Return the rulings of a mark, each with the index of the one statement it names.

    ``whole`` False: some statement could not be read, so that nothing is said of a ruling that names none.
    """
    seen: dict[int, Ruling] = {}
    for one in items_of(node):
        typed = open_record(Ruling, one, desk)
        ruling = None if typed is None else _read_one(typed, mark, statements, desk, whole)
        if ruling is not None and ruling.statement in seen:
            other = (seen[ruling.statement].place, sentence("facts.related.other-ruling"))
            named = repr(name_of(statements[ruling.statement]))
            desk.find("facts.ruled-twice", ruling.place, related=(other,), statement=named)
        elif ruling is not None:
            seen[ruling.statement] = ruling
    return tuple(seen.values())


def _read_one(
    typed: Typed[Ruling], mark: str, statements: tuple[Statement, ...], desk: Desk, whole: bool
) -> Ruling | None:
    reads, sets_aside = (one.name in typed.places for one in (Ruling.READ, Ruling.SET_ASIDE))
    named = typed.find(Ruling.READ if reads else Ruling.SET_ASIDE)
    if named is None or reads == sets_aside:
        desk.find(f"facts.one-of.ruling-{'both' if reads else 'neither'}", typed.place)
        return None
    index = _find(named, typed, mark, statements, desk, whole)
    if index is None:
        return None
    read_as = _read_as(typed, statements[index], desk) if reads else {}
    return None if read_as is None else typed.make(statement=index, sets_aside=sets_aside, **read_as)


def _find(
    named: Text, typed: Typed[Ruling], mark: str, statements: tuple[Statement, ...], desk: Desk, whole: bool
) -> int | None:
    form = typed.find(Ruling.FORM)
    ref = read_form_ref(form, desk, mark) if form is not None else None
    if form is not None and ref is None:
        return None
    wanted_scope = typed.find(Ruling.SAID_FOR)
    matching = [
        index
        for index, statement in enumerate(statements)
        if _same(named, name_of(statement))
        and (ref is None or (statement.form, statement.spell) == (ref.form, ref.spell))
        and (wanted_scope is None or statement.scope == wanted_scope)
    ]
    if len(matching) == 1:
        return matching[0]
    found = repr(named)
    if matching:
        meant = [statements[index] for index in matching]
        places = [
            (one.place, sentence("facts.related.statement", form=one.form, statement=name_of(one))) for one in meant
        ]
        desk.find("facts.ruling-names-several", named.place, related=places, found=found, n=len(matching))
        return None
    if not whole:
        return None
    known = sorted({name_of(statement) for statement in statements if named.startswith(f"{statement.source} ")})
    known = known or sorted({name_of(statement) for statement in statements})
    way = "" if known else ".no-statements"
    desk.find(f"facts.ruling-names-nothing{way}", named.place, found=found, known=one_of(known[:8]))
    return None


def _same(one: str, other: str) -> bool:
    """Compare two names of statements, forgiving spacing, dashes and `car` before a number."""

    def plain(name: str) -> tuple[str, str]:
        source, _, rest = re.sub(r"\s+", " ", name.strip()).partition(" ")
        return source.casefold(), plain_number(re.sub(r"\bcar\b", " ", rest))

    return plain(one) == plain(other)


def _read_as(ruling: Typed[Ruling], statement: Statement, desk: Desk) -> dict[str, Any] | None:
    """Return what a statement is read as: a when of its own kind, other cars, or both."""
    node = ruling.find(Ruling.AS)
    if node is None and ruling.unread(Ruling.AS.name):
        return None
    if node is None:
        by_cars, by_when = "as: {for: {hand: right}}", "as: {first: D880}"
        desk.find("facts.missing-key.as", ruling.place, by_cars=by_cars, by_when=by_when)
        return None
    typed = open_record(Ruling, node, desk, declared=READ_AS)
    if typed is None:
        return None
    given = [kind for kind in StatementKind if kind in typed.places]
    for kind in given:
        if kind is not statement.kind:
            desk.find("facts.ruling-changes-kind", typed.places[kind], kind=str(statement.kind), found=str(kind))
            return None
    if typed.unread("for") or any(typed.unread(kind) for kind in given):
        return None
    if not typed.places:
        example = f"{{{statement.kind}: ...}}"
        desk.find("facts.missing-key.as-empty", node.place, by_cars="{for: {hand: right}}", by_when=example)
        return None
    return {"read_scope": typed.value_of("for"), "read_when": typed.value_of(statement.kind)}
