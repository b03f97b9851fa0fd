"""Editions: what the present one is called, and what readers were told in those before it.

`publish` keeps what each edition told its readers in ``editions/NAME.json`` beside the facts, in ``editions/TAG/`` for
the site in a further language. Its shape (``format`` 1) is ``{"format", "edition": {"name", "date"}, "number",
"fingerprint", "guide", "facts", "limits"}``: the facts and limits as the downloads of that edition had them
(`guide.pages.parts.open_data`), numbers masked as there, without reasons. Only the editions before the present one are
read, so that a guide says the same before and after it has been published.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from guide.facts.records.fields import Reader, key, read_record, record
from guide.facts.records.readers import day, text
from guide.facts.text.desk import Desk
from guide.facts.text.folder import EDITIONS, Folder
from guide.facts.text.source import Keyed, Node
from guide.finding import Place
from guide.sentence import sentence

__all__ = [
    "FORMAT",
    "KeptEdition",
    "PublishedEdition",
    "ToldForm",
    "ToldLimit",
    "ToldMark",
    "ToldSeries",
    "ToldStatement",
    "edition",
    "read_editions",
    "told_limits",
    "told_marks",
    "told_series",
]

FORMAT = 1  # of a kept edition; a change of its shape raises it


@record("edition")
class PublishedEdition:
    """What the present edition is called, and its day."""

    name: str = key(text)
    date: date | None = key(day, default=None)
    place: Place


def _edition(node: Node, desk: Desk) -> PublishedEdition | None:
    if isinstance(node, Keyed):
        return read_record(PublishedEdition, node, desk)
    name = text.read(node, desk)
    return None if name is None else PublishedEdition(name=name, place=name.place)


edition: Reader[PublishedEdition] = Reader(sentence("facts.shape.edition"), _edition)


@dataclass(frozen=True, slots=True)
class ToldForm:
    """A form as readers of an edition were told of it."""

    id: str
    name: str


@dataclass(frozen=True, slots=True)
class ToldStatement:
    """A statement as readers were told of it: ``when`` and ``cars`` in words; ``counts``: it was reckoned with."""

    form: str
    spell: int
    kind: str
    when: str
    cars: str
    source: str
    says: str
    counts: bool


@dataclass(frozen=True, slots=True)
class ToldMark:
    """A mark as readers were told of it."""

    id: str
    name: str
    forms: tuple[ToldForm, ...]
    statements: tuple[ToldStatement, ...]


@dataclass(frozen=True, slots=True)
class ToldLimit:
    """Within which days a spell began and ended, as ISO 8601, empty where none was known, and by which stated numbers;
    ``cars`` in words."""

    mark: str
    form: str
    spell: int
    cars: str
    first: tuple[str, str]
    last: tuple[str, str]
    numbers: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ToldSeries:
    """A series of numbers as readers were told of it: its runs, each its first and last ("" for one without an end), of
    those built; and its calendar, the car by the way of the line and its day."""

    id: str
    name: str
    runs: tuple[tuple[str, str], ...]
    calendar: Mapping[tuple[str, date], str]


@dataclass(frozen=True, kw_only=True, slots=True)
class KeptEdition:
    """What readers were told in an edition before this one."""

    name: str
    date: date | None
    number: int  # from 1, in the order in which they were published
    fingerprint: str
    guide: str  # the guide's own identity, a URN
    marks: tuple[ToldMark, ...]
    limits: tuple[ToldLimit, ...]
    series: tuple[ToldSeries, ...]  # those whose calendar it kept: the first guides' editions kept none
    named: Mapping[str, Mapping[str, str]]  # of periods, interiors and sources: each name by its id


def told_marks(facts: Mapping[str, Any]) -> tuple[ToldMark, ...]:
    """Return the marks in facts as the downloads have them. Raises KeyError, TypeError, ValueError where they are not
    of that shape."""
    return tuple(
        ToldMark(
            _text(one["id"]),
            _text(one["name"]),
            tuple(ToldForm(_text(form["id"]), _text(form["name"])) for form in _list(one["forms"])),
            tuple(map(_statement, _list(one["statements"]))),
        )
        for one in _list(facts["marks"])
    )


def _statement(one: Mapping[str, Any]) -> ToldStatement:
    return ToldStatement(
        form=_text(one["form"]),
        spell=int(one["spell"]),
        kind=_text(one["kind"]),
        when=_text(one["when_says"]),
        cars=_text(one["for_says"]),
        source=_text(one["source"]),
        says=_text(one["says"]),
        counts=one["standing"] in ("stands", "read"),
    )


def told_series(facts: Mapping[str, Any]) -> tuple[ToldSeries, ...]:
    """Return the series in facts as the downloads have them, where they tell their calendar. Raises as `told_marks`
    does."""
    return tuple(
        ToldSeries(
            _text(one["id"]),
            _text(one["name"]),
            tuple((_text(run["first"]), _text(run["last"])) for run in _list(one["runs"]) if run["built"]),
            {
                (_text(line["kind"]), date.fromisoformat(line["day"])): _text(line["car"])
                for line in _list(one["calendar"])
            },
        )
        for one in _list(facts["series"])
        if "calendar" in one
    )


def told_limits(limits: Any) -> tuple[ToldLimit, ...]:
    """Return the limits as the downloads have them. Raises as `told_marks` does."""

    def days(edges: Mapping[str, Any]) -> tuple[str, str]:
        first, last = (edges[side]["date"] for side in ("earliest", "latest"))
        return (
            "" if first is None else date.fromisoformat(first).isoformat(),
            "" if last is None else date.fromisoformat(last).isoformat(),
        )

    return tuple(
        ToldLimit(
            _text(one["mark"]),
            _text(one["form"]),
            int(one["spell"]),
            _text(one["scope_says"]),
            days(one["first"]),
            days(one["last"]),
            tuple(_numbers(one)),
        )
        for one in _list(limits)
    )


def _numbers(one: Mapping[str, Any]) -> Iterator[str]:
    for end in ("first", "last"):
        for side in ("earliest", "latest"):
            for car in _list(one[end][side]["cars"]):
                if car["stated"]:
                    yield f"{end} {side} {_text(car['series'])} {_text(car['number'])}"


def _text(value: Any) -> str:
    if not isinstance(value, str):
        raise TypeError
    return value


def _list(value: Any) -> list[Any]:
    if not isinstance(value, list):
        raise TypeError
    return value


def read_editions(folder: Folder, desk: Desk, name: str) -> tuple[KeptEdition, ...]:
    """Return the editions that were published before the one of a name, in order."""
    further = desk.languages[1:]
    where = f"{EDITIONS}/{desk.language}/" if desk.language in further else f"{EDITIONS}/"
    found: dict[int, KeptEdition] = {}
    for path in folder.files:
        if path.startswith(where) and path.endswith(".json") and "/" not in path[len(where) :]:
            kept = _kept(folder, path, desk)
            other = found.get(kept.number) if kept is not None else None
            if other is not None:
                desk.find("facts.bad-edition.number", Place(path), number=other.number, name=other.name)
            elif kept is not None:
                found[kept.number] = kept
    own = next((number for number, one in found.items() if one.name == name), max(found, default=0) + 1)
    return tuple(found[number] for number in sorted(found) if number < own)


def _kept(folder: Folder, path: str, desk: Desk) -> KeptEdition | None:
    said = folder.text_of(path, desk)
    if said is None:
        return None
    try:
        value = json.loads(said)
        if value["format"] != FORMAT:
            raise ValueError
        named, facts = value["edition"], value["facts"]
        return KeptEdition(
            name=_text(named["name"]),
            date=None if named["date"] is None else date.fromisoformat(named["date"]),
            number=int(value["number"]),
            fingerprint=_text(value["fingerprint"]),
            guide=_text(value["guide"]),
            marks=told_marks(facts),
            limits=told_limits(value["limits"]),
            series=told_series(facts),
            named={
                kind: {_text(one["id"]): _text(one["name"]) for one in _list(facts[kind])}
                for kind in ("periods", "interiors", "sources")
            },
        )
    except json.JSONDecodeError as no:
        desk.find("facts.bad-edition", Place(path, no.lineno, no.colno))
    except (KeyError, TypeError, ValueError, OverflowError, RecursionError, AttributeError):
        desk.find("facts.bad-edition", Place(path))
    return None
