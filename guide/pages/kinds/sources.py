"""Sources and rulings: whose word the guide rests on, what rests on each, and what the editor decided."""

from __future__ import annotations

from collections import Counter
from typing import Any
from urllib.parse import urlsplit

from guide.facts.types import Mark, Ruling, Source
from guide.limits.wording import scope_said, statement_said, when_said
from guide.pages.parts.naming import ruling_id, source_id
from guide.pages.parts.wording import repeats_said
from guide.pages.shelf import Context, Shelf, answered, one_page
from guide.sentence import Value, all_of, day, sentence

__all__ = ["PAGE", "ruling_told", "unruled"]


def _context(shelf: Shelf) -> Context:
    guide = shelf.guide
    return {
        "sources": [_source(shelf, source) for source in guide.sources.values() if not source.issue_of],
        "rulings": [
            ruling_told(shelf, mark, at, ruling)
            for mark in guide.marks.values()
            for at, ruling in enumerate(mark.rulings)
        ],
        "unruled": unruled(shelf),
    }


def unruled(shelf: Shelf) -> list[dict[str, Any]]:
    """Return the statements that clash with others and on which nobody has ruled yet."""
    guide = shelf.guide
    return [
        {
            "mark": guide.marks[clash.mark],
            "stated": statement_said(guide, guide.marks[clash.mark].statements[clash.set_aside]),
            "standing": clash.standing,
            "equal": clash.equal_reliability,
        }
        for clash in shelf.limits.clashes
        if clash.ruled is None
    ]


def _source(shelf: Shelf, source: Source) -> dict[str, Any]:
    used = _used(shelf).get(source.id, {})
    paper = shelf.guide.sources.get(source.issue_of)
    issues = [one for one in shelf.guide.sources.values() if one.issue_of == source.id]
    return {
        "source": source,
        "id": source_id(source.id),
        "dated": when_said(shelf.guide, source.dated) if source.dated else "",
        "trust": sentence(f"pages.trust.{source.trust}") if paper is None or paper.trust is not source.trust else "",
        "repeats": repeats_said(shelf.guide, source.repeats),
        "scan": _scan(shelf, source),
        "issues": [_source(shelf, issue) for issue in issues],
        "silent": all_of(_issues_said(ends) for ends in source.read) if source.read else "",
        "used": [shelf.guide.marks[mark] for mark in used],
        "claims": sum(used.values()),
    }


@answered
def _used(shelf: Shelf) -> dict[str, dict[str, int]]:
    """Return by source, of the marks that it tells of, how many statements it has of each."""
    used: dict[str, dict[str, int]] = {}
    for mark in shelf.guide.marks.values():
        for source, count in Counter(statement.source for statement in mark.statements).items():
            used.setdefault(source, {})[mark.id] = count
    return used


def _scan(shelf: Shelf, source: Source) -> dict[str, Value]:
    """Return where a source can be read, the address or the picture's output name, and how that is said; else nothing.

    A picture that is not there has a finding of its own.
    """
    if source.is_address:
        says = sentence("pages.sources.address", address=urlsplit(source.scan).netloc)
        return {"address": source.scan, "picture": "", "says": says}
    scan = shelf.photographs.get(source.scan)
    return {"address": "", "picture": scan.path, "says": sentence("pages.sources.scan")} if scan is not None else {}


def _issues_said(ends: tuple[str, ...]) -> Value:
    """Return one issue, or the first and the last of several."""
    return ends[0] if len(ends) == 1 else sentence("pages.sources.read_range", first=ends[0], last=ends[1])


def ruling_told(shelf: Shelf, mark: Mark, at: int, ruling: Ruling) -> dict[str, Any]:
    """Return a ruling of a mark, its ``at``-th, as it is told: on what, what it does, why, when and by whom."""
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
        "by": ruling.by,
    }


PAGE = one_page("sources", "pages.sources.title", _context)
