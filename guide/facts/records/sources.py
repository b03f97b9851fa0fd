"""sources.yml: whose word everything is.

A paper that came out many times is one source with issues. Each issue that says something is cited as
`newsletter 37` and is a source of its own wherever one is asked for, but the paper is one witness. A source that
repeats another is an echo of it (`guide.limits.rulings` says what that comes to).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from typing import Any, ClassVar

from guide.facts.records.fields import (
    Field,
    Record,
    Typed,
    key,
    keyed_nodes,
    list_of,
    open_record,
    raw,
    record,
    record_of,
    typed_for,
)
from guide.facts.records.readers import choice, date_only, of_text, said, source_id, text, texts, written
from guide.facts.text.desk import Desk
from guide.facts.text.problem import Problem
from guide.facts.text.source import Keyed, Node
from guide.facts.values import Text, Trust, When
from guide.finding import Place

__all__ = ["ISSUE", "Source", "read_sources", "source_ids"]

_PAGE = re.compile(r"[^/\\]+\.(jpe?g|png|webp|gif|tiff?)", re.IGNORECASE)
_ADDRESS = re.compile(r"https?://[^\s/]+\.[^\s]+", re.IGNORECASE)
_RANGE = re.compile(r"(\d+)\s*\.\.\s*(\d+)")


@of_text("scan")
def _scan(typed: Text, _: Desk) -> Text | Problem:
    if _PAGE.fullmatch(typed) or _ADDRESS.fullmatch(typed):
        return typed
    return Problem.of("facts.bad-scan", found=repr(typed))


@of_text("issues-read")
def _issue_read(typed: Text, desk: Desk) -> tuple[Text, ...] | None:
    """Return an issue, or the first and the last of a range of them."""
    ends = _RANGE.fullmatch(typed)
    if ends is None:
        return (typed,)
    if int(ends[1]) >= int(ends[2]):
        desk.find("facts.inverted-range.issues", typed.place, found=repr(typed))
        return None
    return Text(ends[1], typed.place), Text(ends[2], typed.place)


@record("source")
class Source:
    """A paper, a register, a letter: described as a librarian would."""

    id: str  # of an issue: the paper's and its own, "newsletter 37"
    name: str = key(said)
    kind: str = key(said)
    trust: Trust = key(choice(Trust, "trust"))
    dated: When | None = key(written(date_only), default=None)
    about: str = key(text, default="")  # Markdown
    held: str = key(said, default="")  # where it can be seen
    scan: str = key(_scan, default="")  # a picture's file, or an address
    repeats: str = key(source_id, default="")  # the source that it only repeats
    formerly: tuple[str, ...] = key(texts, default=())
    ISSUES: ClassVar = Field("issues", raw("issues"))
    read: tuple[tuple[str, ...], ...] = key(list_of(_issue_read.read, "issues-read"), default=())
    issue_of: str = ""  # the source that it is an issue of
    place: Place

    @property
    def is_address(self) -> bool:
        """Whether its scan lies elsewhere, and is no picture of the guide's own."""
        return _ADDRESS.fullmatch(self.scan) is not None


_OF_AN_ISSUE = ("name", "dated", "trust", "about", "held", "scan", "repeats")
ISSUE = Record("issue", tuple(replace(one, needed=False) for one in record_of(Source).shared(*_OF_AN_ISSUE)))


def source_ids(node: Node | None, desk: Desk) -> tuple[str, ...] | None:
    """Return what may be cited of the file, before it is read: every source, and every issue of one."""
    if not isinstance(node, Keyed):
        return None
    found: list[str] = []
    for source, value in node.pairs:
        issues = typed_for(record_of(Source), value, Source.ISSUES.name)
        paper = desk.settled_id(source)
        found += [paper, *(f"{paper} {issue}" for issue, _ in (issues.pairs if isinstance(issues, Keyed) else ()))]
    return tuple(found)


def read_sources(node: Node | None, desk: Desk) -> dict[str, Source]:
    """Return the sources by id, the issues of each after it."""
    read: dict[str, Source] = {}
    for typed_id, value in keyed_nodes(node, Source, desk):
        typed = open_record(Source, value, desk)
        source = None if typed is None else typed.make(id=str(typed_id), place=typed_id.place)
        if typed is not None and source is not None:
            read[source.id] = source
            read |= {issue.id: issue for issue in _issues(typed, source, desk)}
    return {one.id: _without_circle(one, read, desk) for one in read.values()}


def _issues(typed: Typed[Source], paper: Source, desk: Desk) -> Iterator[Source]:
    for issue, node in keyed_nodes(typed.find(Source.ISSUES), Source, desk, "facts.wrong-shape.issues"):
        if any(_holds(ends, issue) for ends in paper.read):
            desk.find("facts.one-of.issue-read", issue.place, issue=str(issue), paper=paper.name)
        inner = open_record(Source, node, desk, declared=ISSUE)
        given: dict[str, Any] = {"id": f"{paper.id} {issue}", "kind": paper.kind, "issue_of": paper.id}
        if inner is not None:
            name, trust = inner.value_of("name") or f"{paper.name} {issue}", inner.value_of("trust") or paper.trust
            made = inner.make(**given, name=name, trust=trust, place=issue.place)
            if made is not None:
                yield made


def _holds(ends: tuple[str, ...], issue: str) -> bool:
    """Tell whether an issue, or a range of them, that was read is or holds this one."""
    if len(ends) == 1:
        return issue == ends[0]
    return issue.isdecimal() and int(ends[0]) <= int(issue) <= int(ends[1])


def _without_circle(source: Source, sources: dict[str, Source], desk: Desk) -> Source:
    """Return the source; where following what it repeats leads back to it, as one that repeats nothing."""
    met = {source.id}
    at = sources.get(source.repeats)
    while at is not None and at.id not in met:
        met.add(at.id)
        at = sources.get(at.repeats)
    if at is None or at.id != source.id:
        return source
    desk.find("facts.self-reference.echoes", source.place, source=source.name)
    return replace(source, repeats="")
