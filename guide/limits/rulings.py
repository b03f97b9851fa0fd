"""Which statements are to be reckoned with: those that are no echo, as the editor's rulings read them.

A ruling names one statement of its mark and either sets it aside or reads it otherwise: for fewer cars, or at
another moment. Whatever comes after sees only statements as they are read. What a ruling decided is found by
putting the statement back as it was printed (`clashes`).

An echo repeats what another source said before it. Where that source's own statement stands in the guide the echo is
shown and left out, for it would count one witness twice, and would stay when its original is ruled on; where it does
not, the echo is all that is left of it and is read as any other. No echo ever bears a statement out (`borne`).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from guide.facts.types import Guide, Mark, Ruling, Statement, StatementKind

__all__ = [
    "ReadStatement",
    "echo_of",
    "read_as_ruled",
    "standing_of",
    "standing_statements",
    "unheard_echoes",
    "witness_of",
]


@dataclass(frozen=True, slots=True)
class ReadStatement:
    """A statement of a mark as it is read; ``ruling`` is the index of the ruling that says so, if any."""

    index: int
    statement: Statement
    ruling: int | None = None


def echo_of(guide: Guide, statement: Statement) -> str:
    """Return the source that a statement only repeats, as far back as is known; empty where it repeats none."""
    met = [statement.source]
    at = statement.repeats or _repeated(guide, statement.source)
    while at and at not in met:
        met.append(at)
        at = _repeated(guide, at)
    return met[-1] if len(met) > 1 else ""


def _repeated(guide: Guide, source: str) -> str:
    known = guide.sources.get(source)
    return known.repeats if known is not None else ""


def witness_of(guide: Guide, statement: Statement) -> str:
    """Return the source whose word a statement is: of an echo the one repeated, and all issues of a paper are one."""
    source = echo_of(guide, statement) or statement.source
    known = guide.sources.get(source)
    return known.issue_of or source if known is not None else source


def unheard_echoes(guide: Guide) -> frozenset[tuple[str, int]]:
    """Return the echoes, by mark and index of the statement, whose originals state the same of the same cars."""
    return frozenset((mark.id, index) for mark in guide.marks.values() for index in _unheard(guide, mark))


def _unheard(guide: Guide, mark: Mark) -> list[int]:
    repeated = {index: source for index, one in enumerate(mark.statements) if (source := echo_of(guide, one))}
    own = [one for index, one in enumerate(mark.statements) if index not in repeated]
    return [
        index
        for index, source in repeated.items()
        if any(one.source == source and _speaks_of_the_same(one, mark.statements[index]) for one in own)
    ]


def _speaks_of_the_same(one: Statement, other: Statement) -> bool:
    """Tell whether two statements are of one end of one spell, in cars of both; of cars seen, of the same car."""
    spells = [(each.form, each.spell, each.kind, each.other) for each in (one, other)]
    if spells[0] != spells[1] or not one.scope.meets(other.scope):
        return False
    if one.kind is not StatementKind.SEEN:
        return True
    cars = [each.when and (each.when.car.written if each.when.car else each.when.text) for each in (one, other)]
    return cars[0] == cars[1]


def read_as_ruled(statement: Statement, ruling: Ruling) -> Statement | None:
    """Return a statement as a ruling reads it, None when it is set aside."""
    if ruling.sets_aside:
        return None
    scope = statement.scope if ruling.read_scope is None else ruling.read_scope
    return replace(statement, scope=scope, when=ruling.read_when or statement.when)


def standing_statements(guide: Guide) -> dict[str, tuple[ReadStatement, ...]]:
    """Return, for each mark, the statements left after its rulings, as they are read, in declared order.

    Where several rulings name one statement the last of them holds.
    """
    return {mark.id: standing_of(guide, mark) for mark in guide.marks.values()}


def standing_of(guide: Guide, mark: Mark) -> tuple[ReadStatement, ...]:
    """Return those of one mark, as `standing_statements` does."""
    ruled = {ruling.statement: index for index, ruling in enumerate(mark.rulings)}
    unheard = _unheard(guide, mark)
    readings = []
    for index, statement in enumerate(mark.statements):
        ruling = ruled.get(index)
        read = statement if ruling is None else read_as_ruled(statement, mark.rulings[ruling])
        if read is not None and index not in unheard:
            readings.append(ReadStatement(index, read, ruling))
    return tuple(readings)
