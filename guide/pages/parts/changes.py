"""When a mark changed and why we say so: each changeover in a sentence or two, with the reasons for its edges.

Kinds of car that changed alike share a sentence. An edge is given only where a sentence rests on it, once for
all kinds of car that it holds for; the two edges of one moment that rest on one statement are one line.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from guide.facts.types import Scope
from guide.finding import Step, StepKind
from guide.limits.types import DatedSpell, Limits
from guide.pages.parts.says import say_citation
from guide.pages.parts.spells import Chain, days_of, say_scopes
from guide.pages.shelf import Shelf
from guide.words.say import Words

__all__ = ["Notes", "change_id", "changes_of"]

Pieces = list[tuple[str, str, int]]  # kind ("edge", "reason", ""), text, number of the source (0: none)
Place = tuple[int, int]  # a chain, and the turn in it

_IN_DAYS = 62  # a span up to this long is said in days, a longer one in months


@dataclass(slots=True)
class Notes:
    """The sources of one page, numbered in the order in which they are first cited."""

    shelf: Shelf
    numbers: dict[tuple[str, str], int] = field(default_factory=dict)

    def number(self, source: str, page: str = "") -> int:
        """Return the number of a source at a page; 0 for no source."""
        if source not in self.shelf.guide.sources:
            return 0
        return self.numbers.setdefault((source, page), len(self.numbers) + 1)

    def listed(self) -> list[dict[str, Any]]:
        """Return the sources cited, in order of number."""
        sources = self.shelf.guide.sources
        return [
            {"number": number, "source": sources[source], "citation": say_citation(self.shelf, sources[source], page)}
            for (source, page), number in self.numbers.items()
        ]


def change_id(chain: int, change: int) -> str:
    """Return the id that a changeover has on its mark's page; both count from 0."""
    return f"change-{chain + 1}-{change + 1}"


def changes_of(shelf: Shelf, chains: Sequence[Chain], notes: Notes) -> list[dict[str, Any]]:
    """Return every changeover from one form to another, told once for all kinds of car."""
    pairs: dict[tuple[str, str], dict[str, list[Place]]] = {}
    for at, chain in enumerate(chains):
        for turn in range(1, len(chain.spells)):
            old, new = chain.spells[turn - 1], chain.spells[turn]
            said = _say_change(shelf, chain, old, new)
            pairs.setdefault((old.form, new.form), {}).setdefault(said, []).append((at, turn))
    return [_change(shelf, chains, alike, notes) for alike in pairs.values()]


def _change(shelf: Shelf, chains: Sequence[Chain], alike: Mapping[str, list[Place]], notes: Notes) -> dict[str, Any]:
    variants: list[dict[str, str]] = []
    edges: dict[tuple[tuple[str, str, int], ...], list[Place]] = {}
    every = [place for places in alike.values() for place in places]
    for said, places in alike.items():
        variants.append({"scope": say_scopes(shelf, _scopes(chains, places)), "says": said})
        for at, turn in places:
            chain = chains[at]
            for pieces in _edges(shelf, chain, chain.spells[turn - 1], chain.spells[turn], notes):
                edges.setdefault(tuple(pieces), []).append((at, turn))
    at, turn = every[0]
    forms, spells = chains[at].mark.forms, chains[at].spells
    old, new = forms[spells[turn - 1].form], forms[spells[turn].form]
    return {
        "ids": [change_id(one, other - 1) for one, other in every],
        "forms": (old.id, new.id),
        "title": shelf.say("pages.mark.change", old=old.name, new=new.name),
        "variants": variants,
        "edges": [
            {"pieces": pieces, "scope": "" if len(places) == len(every) else say_scopes(shelf, _scopes(chains, places))}
            for pieces, places in edges.items()
        ],
    }


def _scopes(chains: Sequence[Chain], places: Sequence[Place]) -> tuple[Scope, ...]:
    return tuple(scope for at, _ in places for scope in (chains[at].scope, *chains[at].also))


def _say_change(shelf: Shelf, chain: Chain, old: DatedSpell, new: DatedSpell) -> str:
    """Return when one form gave way to the next, and whether both were fitted in between."""
    first, last = days_of(shelf, new.first), days_of(shelf, old.last)
    slots = {"new": chain.mark.forms[new.form].name, "old": chain.mark.forms[old.form].name}
    if not old.last_is_stated:
        said = shelf.say("pages.mark.change_open", **slots, first=_span(shelf, first))
        how = "seen" if _stated(old.last.because_earliest) else "unsaid"
        return f"{said} {shelf.say(f'pages.mark.change_{how}', **slots, day=shelf.words.day(last[0]))}"
    said = shelf.say("pages.mark.changed", **slots, first=_span(shelf, first), last=_span(shelf, last))
    if first[1] <= last[0]:
        return f"{said} {shelf.say('pages.mark.both')}"
    if last[1] < first[0]:
        return f"{said} {shelf.say('pages.mark.clean')}"
    return f"{said} {shelf.say('pages.mark.perhaps_both')}"


def _span(shelf: Shelf, days: tuple[date, date]) -> str:
    if (days[1] - days[0]).days <= _IN_DAYS:
        return shelf.words.day_span(*days)
    return shelf.words.span(*days)


def _edges(shelf: Shelf, chain: Chain, old: DatedSpell, new: DatedSpell, notes: Notes) -> Iterator[Pieces]:
    forms = chain.mark.forms
    yield from _bounds(shelf, "first", forms[new.form].name, new.first, notes, upper=True)
    yield from _bounds(shelf, "last", forms[old.form].name, old.last, notes, upper=old.last_is_stated)


def _bounds(shelf: Shelf, kind: str, form: str, limits: Limits, notes: Notes, *, upper: bool) -> Iterator[Pieces]:
    """Yield why a moment lies where it does: in one line where both its edges rest on one statement."""
    first, last = days_of(shelf, limits)
    early = _resting(limits.because_earliest) if upper or _stated(limits.because_earliest) else ()
    late = _resting(limits.because_latest) if upper else ()
    shared = _shared(shelf.words, early, late)
    if shared:
        edge = shelf.say(f"pages.mark.edge.{kind}", form=form, span=shelf.words.day_span(first, last))
        yield _because(shelf, edge, shared, notes)
        return
    for side, day, steps in (("not_before", first, early), ("not_after", last, late)):
        if steps:
            edge = shelf.say(f"pages.mark.edge.{kind}_{side}", form=form, day=shelf.words.day(day))
            yield _because(shelf, edge, steps, notes)


def _resting(steps: Sequence[Step]) -> tuple[Step, ...]:
    """Return the steps to an edge that something stated leads to; none for one that the rules alone give."""
    return tuple(steps) if any(step.kind in (StepKind.STATEMENT, StepKind.CALENDAR) for step in steps) else ()


def _stated(steps: Sequence[Step]) -> bool:
    """Tell whether an edge rests on what a source says of the mark, and not on the calendar and the rules alone."""
    return any(step.kind is StepKind.STATEMENT for step in steps)


def _shared(words: Words, early: Sequence[Step], late: Sequence[Step]) -> tuple[Step, ...]:
    """Return the steps that give both edges of a moment, where both start from one statement; else none."""
    if not early or not late or (early[0].place, early[0].says) != (late[0].place, late[0].says):
        return ()
    more, other = early[1:], late[1:]
    if not more or not other or [step.says for step in more] == [step.says for step in other]:
        return (*early, *(other if not more else ()))
    if len(more) == len(other) == 1:
        car = _car_in(words, "limits.calendar-from-then", words.tell(more[0].says))
        if car and car == _car_in(words, "limits.calendar-by-then", words.tell(other[0].says)):
            return (early[0], replace(more[0], says=words.say("limits.calendar-then", car=car)))
    return ()


def _car_in(words: Words, sentence: str, says: str) -> str:
    """Return the car that a sentence of the calendar speaks of; empty where it is another sentence."""
    before, _, after = words.templates[sentence].partition("{car}")
    if len(says) > len(before) + len(after) and says.startswith(before) and says.endswith(after):
        return says[len(before) : len(says) - len(after)]
    return ""


def _because(shelf: Shelf, edge: str, steps: Sequence[Step], notes: Notes) -> Pieces:
    """Return "Edge, because a, and b." in pieces: (kind, text, number of the source), kind "edge" for the edge."""
    reasons: Pieces = []
    for step in steps:
        one = ("reason", shelf.words.tell(step.says), notes.number(step.source))
        if not reasons:
            reasons = [one]
            continue
        joined: Pieces = []
        for slot, text in shelf.words.parts("limits.and", a="", b=""):
            joined += reasons if slot == "a" else [one] if slot == "b" else [("", text, 0)]
        reasons = joined
    pieces: Pieces = []
    for slot, text in shelf.words.parts("pages.mark.because", edge=edge, reasons=""):
        pieces += reasons if slot == "reasons" else [("edge", text, 0)] if slot == "edge" else [("", text, 0)]
    return pieces
