"""A mark: its forms side by side, when it changed and why we say so, what it is taken for, who says what."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from guide.facts.types import Form, Mark
from guide.finding import Step, StepKind
from guide.limits.types import Clash, DatedSpell
from guide.pages.band import Stretch, render_band
from guide.pages.cars import form_rows
from guide.pages.interior import say_count
from guide.pages.key import json_for_page
from guide.pages.naming import safe_name
from guide.pages.says import (
    say_citation,
    say_claim,
    say_fittings,
    say_scope,
    say_spare,
    say_survival,
)
from guide.pages.separate import tells
from guide.pages.shelf import Address, Context, Page, Shelf
from guide.pages.sources import ruling_id
from guide.pages.spells import (
    Chain,
    chains_of,
    days_of,
    lower_first,
    say_chain_scope,
    say_stretch,
    stretches_of,
    strip_of,
)

__all__ = ["PAGE", "change_id"]

Pieces = list[tuple[str, str, int]]   # kind ("edge", "reason", ""), text, number of the source (0: none)


@dataclass(slots=True)
class _Notes:
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
            {"number": number, "source": sources[source],
             "citation": say_citation(self.shelf, sources[source], page)}
            for (source, page), number in self.numbers.items()
        ]


def change_id(chain: int, change: int) -> str:
    """Return the id that a changeover has on its mark's page; both count from 0."""
    return f"change-{chain + 1}-{change + 1}"


def _addresses(shelf: Shelf) -> Iterable[Address]:
    for mark in shelf.guide.marks.values():
        yield Address("mark", mark.id, f"marks/{safe_name(mark.id, '.html')}", mark.name)


def _context(shelf: Shelf, address: Address) -> Context:
    mark = shelf.guide.marks[address.id]
    chains = chains_of(shelf, mark)
    notes = _Notes(shelf)
    changes = _changes(shelf, chains, notes)
    statements = _statements(shelf, mark, notes)
    helpful = shelf.limits.helpful.get(mark.id)
    return {
        "mark": mark, "area": shelf.guide.areas[mark.area],
        "where": shelf.say(f"pages.mark.where.{mark.reach}", area=shelf.guide.areas[mark.area].name),
        "keeps": say_survival(shelf, mark.survives_share),
        "only": say_scope(shelf, mark.scope),
        "forms": [_form(shelf, form, chains, at) for at, form in enumerate(mark.forms.values())],
        "bands": _bands(shelf, chains), "changes": changes,
        "timeless": not changes and not _timed(shelf, chains), "statements": statements,
        "sources": notes.listed(), "clashes": [_clash(shelf, clash) for clash in _clashes(shelf, mark)],
        "helpful": _without_head(shelf, helpful.says) if helpful else "",
        "taken_for": [(form, taken) for form in mark.forms.values() for taken in form.taken_for],
        "tells": tells(shelf, mark), "seen": _seen(shelf, mark), "expectation": _expectation(shelf, mark),
        "care": [note for note in shelf.guide.care.values() if mark.id in note.marks],
        "also": [_also(name) for name in mark.also],
    }


def _also(name: str) -> tuple[str, str]:
    head, colon, rest = name.partition(": ")
    if colon and len(head) == 2:
        return ("en-US" if head == "us" else head, rest)
    return ("", name)


def _form(shelf: Shelf, form: Form, chains: Sequence[Chain], at: int) -> dict[str, Any]:
    said: dict[str, list[str]] = {}
    for chain in chains:
        for spell, stretch in zip(chain.spells, stretches_of(shelf, chain), strict=True):
            if spell.form == form.id:
                said.setdefault(say_stretch(shelf, stretch), []).append(say_chain_scope(shelf, chain))
    spans = []
    for words, scopes in said.items():
        named = [scope for scope in scopes if scope]
        spans.append(
            shelf.say("pages.mark.span_for", scope=shelf.words.all_of(named), span=lower_first(words))
            if named and len(said) > 1 else words
        )
    return {
        "n": at + 1, "form": form, "spans": spans if form.dates_a_car else [], "spare": say_spare(shelf, form),
        "fittings": say_fittings(shelf, form),
        "scope": say_scope(shelf, form.scope) if len(said) <= 1 else "",
        "counts": [say_count(shelf, count) for count in form.counts],
        "more": any((form.about, form.wear, form.to_be_had, form.counts, form.part_numbers, form.stamped)),
    }


def _seen(shelf: Shelf, mark: Mark) -> str:
    """Return how many cars seen were looked at for this mark; empty for none."""
    told = shelf.tally.marks.get(mark.id) if shelf.tally is not None else None
    if told is None or not told.looked_at:
        return ""
    return shelf.say("pages.mark.seen_says", n=told.looked_at, cars=shelf.words.count(told.looked_at))


def _expectation(shelf: Shelf, mark: Mark) -> str:
    """Return what mark.js needs to point out the form that a number calls for; empty where nothing is known."""
    rows = form_rows(shelf, mark)
    if len({row["form"] for row in rows}) < 2:
        return ""
    sentences = shelf.words.chosen(("pages.mark.expect.", "pages.number.", "words.or", "words.then"))
    names = {form.id: lower_first(form.name) for form in mark.forms.values()}
    return json_for_page({
        "rows": rows, "words": sentences, "names": names, "scope": mark.scope.as_dict(),
    })


def _bands(shelf: Shelf, chains: Sequence[Chain]) -> list[dict[str, Any]]:
    strip = strip_of(shelf)
    drawn = [
        chain for chain in chains
        if any(form.dates_a_car for form in chain.forms()) and _timed(shelf, [chain])
    ]
    bands = []
    for chain in drawn:
        stretches = stretches_of(shelf, chain)
        label = shelf.say("pages.mark.band", part=chain.mark.name, says="; ".join(
            shelf.say("pages.mark.band_part", form=one.name, span=lower_first(say_stretch(shelf, one)))
            for one in stretches
        ))
        svg = render_band(strip, stretches, label, axis=chain is drawn[-1])
        bands.append({"scope": say_chain_scope(shelf, chain), "svg": svg})
    return bands


def _timed(shelf: Shelf, chains: Sequence[Chain]) -> bool:
    """Tell whether any of these chains has an end within production."""
    return any(one.starts or one.ends for chain in chains for one in stretches_of(shelf, chain))


def _changes(shelf: Shelf, chains: Sequence[Chain], notes: _Notes) -> list[dict[str, Any]]:
    """Return every changeover from one form to another, told once for all kinds of car.

    Kinds of car that changed alike share a sentence; an edge that holds for all of them is given once.
    """
    pairs: dict[tuple[str, str], dict[tuple[Any, ...], list[tuple[int, int]]]] = {}
    for at, chain in enumerate(chains):
        for turn in range(1, len(chain.spells)):
            old, new = chain.spells[turn - 1], chain.spells[turn]
            days = (days_of(shelf, new.first), days_of(shelf, old.last), old.last_is_stated, old.spell)
            pairs.setdefault((old.form, new.form), {}).setdefault(days, []).append((at, turn))
    return [_change(shelf, chains, alike, notes) for alike in pairs.values()]


def _change(
    shelf: Shelf, chains: Sequence[Chain], alike: Mapping[tuple[Any, ...], list[tuple[int, int]]], notes: _Notes
) -> dict[str, Any]:
    variants: list[dict[str, str]] = []
    edges: dict[tuple[tuple[str, str, int], ...], list[str]] = {}
    ids: list[str] = []
    for places in alike.values():
        at, turn = places[0]
        chain = chains[at]
        scopes = tuple(scope for one, _ in places for scope in (chains[one].scope, *chains[one].also))
        scope = say_chain_scope(shelf, Chain(chain.mark, scopes[0], chain.spells, scopes[1:]))
        old, new = chain.spells[turn - 1], chain.spells[turn]
        before, after = stretches_of(shelf, chain)[turn - 1:turn + 1]
        variants.append({"scope": scope, "says": _say_change(shelf, old, new, before, after)})
        for pieces in _edges(shelf, chain.mark, old, new, notes):
            edges.setdefault(tuple(pieces), []).append(scope)
        ids += [change_id(one, other - 1) for one, other in places]
    return {
        "ids": ids, "title": shelf.say("pages.mark.change", old=before.name, new=lower_first(after.name)),
        "variants": variants,
        "edges": [
            {"pieces": pieces, "scope": "" if len(scopes) == len(alike) else shelf.words.all_of(scopes)}
            for pieces, scopes in edges.items()
        ],
    }


def _say_change(shelf: Shelf, old: DatedSpell, new: DatedSpell, before: Stretch, after: Stretch) -> str:
    """Return when one form gave way to the next, and whether both were fitted in between."""
    first, last = days_of(shelf, new.first), days_of(shelf, old.last)
    slots = {"new": lower_first(after.name), "old": lower_first(before.name)}
    if not old.last_is_stated:
        said = shelf.say("pages.mark.change_open", **slots, first=_span(shelf, first))
        return f"{said} {shelf.say('pages.mark.change_seen', **slots, day=_by(shelf, last[0]))}"
    said = shelf.say("pages.mark.changed", **slots, first=_span(shelf, first), last=_span(shelf, last))
    if first[1] <= last[0]:
        return f"{said} {shelf.say('pages.mark.both')}"
    if last[1] < first[0]:
        return f"{said} {shelf.say('pages.mark.clean')}"
    return f"{said} {shelf.say('pages.mark.perhaps_both')}"


def _span(shelf: Shelf, days: tuple[date, date]) -> str:
    if days[0] == days[1] or (days[1] - days[0]).days <= 62:
        return shelf.words.day_span(*days)
    return shelf.words.span(*days)


def _by(shelf: Shelf, day: date) -> str:
    return shelf.words.day(day)


def _edges(
    shelf: Shelf, mark: Mark, old: DatedSpell, new: DatedSpell, notes: _Notes
) -> Iterable[Pieces]:
    for kind, spell, limits in (("first", new, new.first), ("last", old, old.last)):
        first, last = days_of(shelf, limits)
        for side, day, steps in (
            ("not_before", first, limits.because_earliest), ("not_after", last, limits.because_latest),
        ):
            if not any(step.kind in (StepKind.STATEMENT, StepKind.CALENDAR) for step in steps):
                continue
            edge = shelf.say(
                f"pages.mark.edge.{kind}_{side}", form=lower_first(mark.forms[spell.form].name),
                day=shelf.words.day(day),
            )
            yield _because(shelf, edge, steps, notes)


def _because(
    shelf: Shelf, edge: str, steps: Sequence[Step], notes: _Notes
) -> Pieces:
    """Return "Edge, because a, and b." in pieces: (kind, text, number of the source), kind "edge" for the edge."""
    reasons: Pieces = []
    for step in steps:
        one = ("reason", step.says, notes.number(step.source))
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


def _statements(shelf: Shelf, mark: Mark, notes: _Notes) -> list[dict[str, Any]]:
    ruled = {ruling.statement: at for at, ruling in enumerate(mark.rulings)}
    aside = {clash.set_aside: clash for clash in _clashes(shelf, mark)}
    rows = []
    for at, statement in enumerate(mark.statements):
        ruling = mark.rulings[ruled[at]] if at in ruled else None
        if ruling is not None:
            standing = "pages.statement.aside" if ruling.sets_aside else "pages.statement.read"
        elif at in aside:
            standing = "pages.statement.clash"
        elif (mark.id, at) in shelf.limits.corroborated:
            standing = ""
        else:
            standing = "pages.statement.stands"
        source = shelf.guide.sources.get(statement.source)
        rows.append({
            "form": mark.forms[statement.form], "claim": say_claim(shelf, statement),
            "citation": say_citation(shelf, source, statement.page), "source": source,
            "number": notes.number(statement.source), "standing": shelf.say(standing) if standing else "",
            "note": statement.note, "printed": statement.printed,
            "ruling": ruling_id(mark.id, ruled[at]) if ruling is not None else "",
            "how": shelf.limits.corroborated.get((mark.id, at), ""),
        })
    return rows


def _without_head(shelf: Shelf, says: str) -> str:
    """Return what would help most without the words that the heading says already."""
    head = shelf.words.templates["limits.helpful.paper"].partition(": ")[0] + ": "
    rest = says.removeprefix(head)
    return rest[:1].upper() + rest[1:]


def _clashes(shelf: Shelf, mark: Mark) -> list[Clash]:
    return [clash for clash in shelf.limits.clashes if clash.mark == mark.id]


def _clash(shelf: Shelf, clash: Clash) -> dict[str, Any]:
    mark = shelf.guide.marks[clash.mark]
    statement = mark.statements[clash.set_aside]
    source = shelf.guide.sources.get(statement.source)
    ruling = mark.rulings[clash.ruled] if clash.ruled is not None else None
    return {
        "claim": lower_first(say_claim(shelf, statement)),
        "citation": say_citation(shelf, source, statement.page),
        "form": mark.forms[statement.form], "short": shelf.words.duration(clash.short_by_days),
        "chain": [step.says for step in clash.chain], "axis": clash.axis,
        "equal": clash.equal_reliability, "ruling": ruling,
        "ruling_id": ruling_id(mark.id, clash.ruled) if clash.ruled is not None else "",
        "on": shelf.words.day(ruling.on) if ruling else "",
        "scope": say_scope(shelf, ruling.read_scope) if ruling and ruling.read_scope else "",
    }


PAGE = Page("mark", _addresses, _context, "mark.html")
