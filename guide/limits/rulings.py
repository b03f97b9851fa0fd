"""The editor's rulings, applied before anything else is worked out.

A ruling names one statement of its mark and either sets it aside or reads it otherwise: for fewer cars, or at
another moment. Whatever comes after sees only statements as they are read. What a ruling decided is found by
putting the statement back as it was printed (`clashes`).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from guide.facts.types import Guide, Mark, Ruling, Statement

__all__ = ["ReadStatement", "read_as_ruled", "standing_statements"]


@dataclass(frozen=True, slots=True)
class ReadStatement:
    """A statement of a mark as it is read; ``ruling`` is the index of the ruling that says so, if any."""

    index: int
    statement: Statement
    ruling: int | None = None


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
    return {mark.id: _standing(mark) for mark in guide.marks.values()}


def _standing(mark: Mark) -> tuple[ReadStatement, ...]:
    ruled = {ruling.statement: index for index, ruling in enumerate(mark.rulings)}
    readings = []
    for index, statement in enumerate(mark.statements):
        ruling = ruled.get(index)
        read = statement if ruling is None else read_as_ruled(statement, mark.rulings[ruling])
        if read is not None:
            readings.append(ReadStatement(index, read, ruling))
    return tuple(readings)
