"""words.yml: words of the trade, what they mean, and what others call them."""

from __future__ import annotations

from guide.facts.records.fields import key, record
from guide.facts.records.readers import mark_ids, said, said_texts, text, texts
from guide.finding import Place

__all__ = ["Word"]


@record("word")
class Word:
    """A word of the trade, what it means, and what others call it."""

    id: str
    word: str = key(said)
    means: str = key(text)  # Markdown
    american: tuple[str, ...] = key(said_texts, default=())
    german: tuple[str, ...] = key(said_texts, default=())
    also: tuple[str, ...] = key(said_texts, default=())
    marks: tuple[str, ...] = key(mark_ids, default=())
    formerly: tuple[str, ...] = key(texts, default=())
    place: Place
