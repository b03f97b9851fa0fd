"""An interior: when it was to be had, how many there were, and what goes with it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from guide.dating.key import Cars
from guide.facts.types import Count, Interior, Span, WhenKind
from guide.limits.says import in_words
from guide.pages.kinds.period import says_forms
from guide.pages.kinds.tell_apart import pairs_with
from guide.pages.parts.looks import Look, looks_of
from guide.pages.parts.naming import safe_name
from guide.pages.parts.says import say_citation, say_scope, say_when
from guide.pages.shelf import Address, Context, Page, Shelf
from guide.words.say import upper_first

__all__ = ["INDEX", "PAGE", "say_count"]

LEAST_SHARE = 0.001


def _addresses(shelf: Shelf) -> Iterable[Address]:
    for interior in shelf.guide.interiors.values():
        yield Address("interior", interior.id, f"interiors/{safe_name(interior.id, '.html')}", interior.name)


def _context(shelf: Shelf, address: Address) -> Context:
    interior = shelf.guide.interiors[address.id]
    return {
        "interior": interior,
        "spans": _spans(shelf, interior),
        "counts": [say_count(shelf, count) for count in interior.counts],
        "kind": shelf.say("pages.interior.option" if interior.option else "pages.interior.standard"),
        "belongs": _belongs(shelf, interior),
        "periods": _periods(shelf, interior),
        "says_forms": lambda look: says_forms(shelf, look),
        "pairs": pairs_with(shelf, interior),
    }


def say_count(shelf: Shelf, count: Count) -> str:
    """Return how many are thought to have something, of which kind, and how sure that is."""
    said = shelf.say(
        f"pages.count.{count.kind}", about=shelf.words.number(count.about), sure=shelf.say(f"pages.sure.{count.sure}")
    )
    source = shelf.guide.sources.get(count.source)
    more = [part for part in (count.words, say_citation(shelf, source) if source else "") if part]
    if more:
        return shelf.say("pages.count.with", said=said, more="; ".join(more))
    return shelf.say("pages.count.plain", said=said)


def _spans(shelf: Shelf, interior: Interior) -> list[dict[str, Any]]:
    return [
        {
            "scope": upper_first(say_scope(shelf, span.scope)),
            "says": _say_span(shelf, span),
            "source": say_citation(shelf, shelf.guide.sources.get(span.source)) if span.source else "",
        }
        for span in interior.spans
    ]


def _say_span(shelf: Shelf, span: Span) -> str:
    """Return when an interior was to be had; the ends of production go without saying."""
    first, last = say_when(shelf, span.first), say_when(shelf, span.last)
    starts, ends = span.first.kind is not WhenKind.START, span.last.kind is not WhenKind.END
    if (
        starts
        and ends
        and span.first.kind is span.last.kind is WhenKind.DATE
        and not (in_words(span.first) or in_words(span.last) or span.first.earliest is None or span.last.latest is None)
    ):
        return shelf.say("pages.stretch.during", span=shelf.words.range(span.first.earliest, span.last.latest))
    if starts and ends:
        return shelf.say("pages.stretch.between", first=first, last=last)
    if starts:
        return shelf.say("pages.stretch.from", first=first)
    return shelf.say("pages.stretch.to", last=last) if ends else shelf.say("pages.stretch.throughout")


def _belongs(shelf: Shelf, interior: Interior) -> list[Any]:
    """Return what to expect at every mark that some interior alters, on cars with this one."""
    altered = {
        mark.id
        for mark in shelf.guide.marks.values()
        if any(form.scope.values("interior") for form in mark.forms.values())
        or any(statement.scope.values("interior") for statement in mark.statements)
    }
    return [look for look in looks_of(shelf, Cars(interior=interior.id)) if look.mark.id in altered]


def _periods(shelf: Shelf, interior: Interior) -> list[dict[str, Any]]:
    found = []
    for period in shelf.guide.periods.values():
        whole = shelf.key.share_of(Cars(period=period.id)) or 1.0
        share = shelf.key.share_of(Cars(period=period.id, interior=interior.id)) / whole
        found.append({"period": period, "share": shelf.words.in_ten(share) if share > LEAST_SHARE else ""})
    return found


def _index_addresses(shelf: Shelf) -> Iterable[Address]:
    if shelf.guide.interiors:
        yield Address("interiors", "", "interiors.html", shelf.say("pages.interiors.title"))


def _index_context(shelf: Shelf, _address: Address) -> Context:
    rows = []
    for interior in shelf.guide.interiors.values():
        drawn = _own_look(looks_of(shelf, Cars(interior=interior.id)))
        rows.append(
            {
                "interior": interior,
                "look": drawn,
                "spans": _spans(shelf, interior),
                "counts": [say_count(shelf, count) for count in interior.counts],
            }
        )
    return {"rows": rows}


def _own_look(looks: list[Look]) -> Look | None:
    """Return the mark whose form goes with the fewest interiors; of several, the one furthest inside."""
    own = [(len(look.usual.scope.values("interior") or ()), look) for look in looks]
    bound = [pair for pair in own if pair[0]]
    if not bound:
        return None
    fewest = min(count for count, _ in bound)
    return [look for count, look in bound if count == fewest][-1]


PAGE = Page("interior", _addresses, _context, "interior.html")
INDEX = Page("interiors", _index_addresses, _index_context, "interiors.html")
