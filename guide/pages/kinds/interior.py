"""An interior: when it was to be had, how many there were, and what goes with it."""

from __future__ import annotations

from datetime import date
from typing import Any

from guide.dating.key import Cars
from guide.facts.types import Guide, Interior, Span
from guide.limits.wording import in_words, is_end_of_production, scope_said, when_said
from guide.pages.parts.expected import ExpectedMark, expected_of, trim_share_said
from guide.pages.parts.pairs import pairs_with
from guide.pages.parts.wording import citation_said, count_said
from guide.pages.shelf import Context, Shelf, answered, one_page, page_each
from guide.sentence import Sentence, month_range, sentence, upper_first

__all__ = ["INDEX", "PAGE"]


def _context(shelf: Shelf, interior: Interior) -> Context:
    return {
        "interior": interior,
        "spans": _spans(shelf, interior),
        "counts": [count_said(shelf.guide, count) for count in interior.counts],
        "kind": sentence("pages.interior.option" if interior.option else "pages.interior.standard"),
        "belongs": _belongs(shelf, interior),
        "periods": [(period, trim_share_said(shelf, period, interior)) for period in shelf.guide.periods.values()],
        "pairs": pairs_with(shelf, interior),
    }


def _spans(shelf: Shelf, interior: Interior) -> list[dict[str, Any]]:
    return [
        {
            "scope": upper_first(scope_said(shelf.guide, span.scope)),
            "says": _span_said(shelf.guide, span),
            "source": citation_said(shelf.guide.sources.get(span.source)) if span.source else "",
        }
        for span in interior.spans
    ]


def _span_said(guide: Guide, span: Span) -> Sentence:
    """Return when an interior was to be had; the ends of production go without saying."""
    starts, ends = not is_end_of_production(span.first), not is_end_of_production(span.last)
    low, high = span.first.days()[0], span.last.days()[1]
    if date.min < low and high < date.max and not (in_words(span.first) or in_words(span.last)):
        return sentence("pages.time.during", span=month_range(low, high))
    first, last = when_said(guide, span.first), when_said(guide, span.last)
    if starts and ends:
        return sentence("pages.time.between", first=first, last=last)
    if starts:
        return sentence("pages.time.from", first=first)
    return sentence("pages.time.to", last=last) if ends else sentence("pages.time.throughout")


def _belongs(shelf: Shelf, interior: Interior) -> list[Any]:
    """Return what to expect at every mark that some interior alters, on cars with this one."""
    return expected_of(shelf, Cars(interior=interior.id), _altered(shelf))


@answered
def _altered(shelf: Shelf) -> tuple[str, ...]:
    """Return the marks that some interior alters."""
    return tuple(
        mark.id
        for mark in shelf.guide.marks.values()
        if any(form.scope.values("interior") for form in mark.forms.values())
        or any(statement.scope.values("interior") for statement in mark.statements)
    )


def _index_context(shelf: Shelf) -> Context:
    rows = [
        {
            "interior": interior,
            "look": _own_look(expected_of(shelf, Cars(interior=interior.id))),
            "spans": _spans(shelf, interior),
            "counts": [count_said(shelf.guide, count) for count in interior.counts],
        }
        for interior in shelf.guide.interiors.values()
    ]
    return {"rows": rows}


def _own_look(looks: list[ExpectedMark]) -> ExpectedMark | None:
    """Return the mark whose form goes with the fewest interiors; of several, the one furthest inside."""
    own = [(len(look.usual.scope.values("interior") or ()), look) for look in looks]
    bound = [pair for pair in own if pair[0]]
    if not bound:
        return None
    fewest = min(count for count, _ in bound)
    return [look for count, look in bound if count == fewest][-1]


PAGE = page_each("interior", lambda guide: guide.interiors, _context)
INDEX = one_page("interiors", "pages.interiors.title", _index_context, there=lambda shelf: shelf.guide.interiors)
