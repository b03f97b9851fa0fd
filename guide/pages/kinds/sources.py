"""Sources and rulings: whose word the guide rests on, what rests on each, and what the editor decided."""

from __future__ import annotations

from typing import Any

from guide.facts.types import Mark, Ruling, Source
from guide.limits.wording import scope_said, statement_said, when_said
from guide.pages.parts.naming import ruling_id
from guide.pages.shelf import Context, Shelf, one_page
from guide.sentence import day, sentence

__all__ = ["PAGE"]


def _context(shelf: Shelf) -> Context:
    guide = shelf.guide
    return {
        "sources": [_source(shelf, source) for source in guide.sources.values()],
        "rulings": [
            _ruling(shelf, mark, at, ruling) for mark in guide.marks.values() for at, ruling in enumerate(mark.rulings)
        ],
        "unruled": [
            {
                "mark": guide.marks[clash.mark],
                "stated": statement_said(guide, guide.marks[clash.mark].statements[clash.set_aside]),
                "standing": clash.standing,
                "equal": clash.equal_reliability,
            }
            for clash in shelf.limits.clashes
            if clash.ruled is None
        ],
    }


def _source(shelf: Shelf, source: Source) -> dict[str, Any]:
    used: dict[str, int] = {}
    for mark in shelf.guide.marks.values():
        count = sum(statement.source == source.id for statement in mark.statements)
        if count:
            used[mark.id] = count
    return {
        "source": source,
        "dated": when_said(shelf.guide, source.dated) if source.dated else "",
        "trust": sentence(f"pages.trust.{source.trust}"),
        "used": [shelf.guide.marks[mark] for mark in used],
        "claims": sum(used.values()),
    }


def _ruling(shelf: Shelf, mark: Mark, at: int, ruling: Ruling) -> dict[str, Any]:
    statement = mark.statements[ruling.statement]
    read = []
    if ruling.read_when is not None:
        read.append(sentence("pages.ruling.read_when", when=when_said(shelf.guide, ruling.read_when)))
    if ruling.read_scope is not None:
        read.append(sentence("pages.ruling.read_scope", scope=scope_said(shelf.guide, ruling.read_scope)))
    return {
        "id": ruling_id(mark.id, at),
        "mark": mark,
        "stated": statement_said(shelf.guide, statement),
        "sets_aside": ruling.sets_aside,
        "read": read,
        "why": ruling.why,
        "on": day(ruling.on),
    }


PAGE = one_page("sources", "pages.sources.title", _context)
