"""What has changed from edition to edition, and on what a sheet printed of an earlier one is wrong."""

from __future__ import annotations

from typing import Any

from guide.facts.types import KeptEdition
from guide.pages.parts.naming import slug
from guide.pages.parts.since import OtherThan, since_each, steps
from guide.pages.shelf import Context, Shelf, one_page
from guide.sentence import Value, all_of, count, day, lower_first, sentence

__all__ = ["PAGE", "part_of", "wrong_by_edition", "wrong_said"]


def _context(shelf: Shelf) -> Context:
    return {
        "steps": [{**_called(one.now), "before": one.before.name, "other": one} for one in steps(shelf)],
        "held": [{**_called(one.before), "says": wrong_said(one), "other": one} for one in since_each(shelf)],
        "first": shelf.guide.editions[0].name,
    }


def _called(edition: KeptEdition) -> dict[str, Any]:
    return {
        "name": edition.name,
        "id": part_of(edition.name),
        "fingerprint": edition.fingerprint,
        "day": "" if edition.date is None else day(edition.date),
    }


def part_of(edition: str) -> str:
    """Return the id that an edition has on the page."""
    return f"edition-{slug(edition)}"


def wrong_said(one: OtherThan) -> Value:
    """Return on how many parts, and on which, what was printed of an edition is wrong."""
    if not one.wrong:
        return sentence("pages.editions.right", edition=one.before.name)
    return sentence(
        "pages.editions.wrong",
        edition=one.before.name,
        n=len(one.wrong),
        count=count(len(one.wrong)),
        parts=all_of(lower_first(part.name) for part in one.wrong),
    )


def wrong_by_edition(shelf: Shelf) -> dict[str, str]:
    """Return on what each edition before this one is wrong, in words by its name; nothing of those that are right."""
    return {one.before.name: shelf.words.tell(wrong_said(one)) for one in since_each(shelf) if one.wrong}


PAGE = one_page("editions", "pages.editions.title", _context, there=lambda shelf: shelf.guide.editions)
