"""Words of the trade, what they mean, and what they are called elsewhere."""

from __future__ import annotations

from guide.facts.text.folded import fold
from guide.pages.shelf import Context, Shelf, one_page

__all__ = ["PAGE"]


def _context(shelf: Shelf) -> Context:
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


PAGE = one_page("words", "pages.words.title", _context, there=lambda shelf: shelf.guide.words)
