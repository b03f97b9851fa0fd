"""Words of the trade, what they mean, and what they are called elsewhere."""

from __future__ import annotations

from collections.abc import Iterable

from guide.pages.parts.search import fold
from guide.pages.shelf import Address, Context, Page, Shelf

__all__ = ["PAGE"]


def _addresses(shelf: Shelf) -> Iterable[Address]:
    if shelf.guide.words:
        yield Address("words", "", "words.html", shelf.say("pages.words.title"))


def _context(shelf: Shelf, _address: Address) -> Context:
    entries = [
        {
            "word": word,
            "american": shelf.words.one_of(word.american),
            "german": word.german,
            "also": shelf.words.one_of(word.also),
            "marks": [shelf.guide.marks[mark] for mark in word.marks if mark in shelf.guide.marks],
        }
        for word in sorted(shelf.guide.words.values(), key=lambda word: (fold(word.word), word.id))
    ]
    return {"entries": entries}


PAGE = Page("words", _addresses, _context, "words.html")
