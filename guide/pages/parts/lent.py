"""Texts that another language lends: what an editor gave in another of the guide's languages only, and in which.

They stand on pages and in what scripts say, alone or inside a sentence of the guide's own language, and are marked
there as what they are wherever they are found (`guide.press.foreign`, and languages.js in the browser), so that no
template, sentence or script has to know which text is whose.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from guide.facts.bones import bones
from guide.facts.values import Text
from guide.pages.parts.naming import name_elsewhere
from guide.pages.parts.page_data import script_of
from guide.pages.shelf import Shelf, once

__all__ = ["Lent", "cut", "data_files", "index_of", "lent_texts"]

_WORD = re.compile(r"\w+")
_SAYS = re.compile(r"[^\W\d_]{3}")  # what holds no three letters together is a number, the same in every language
_LONGEST = 300  # characters: what is longer is Markdown, which says for itself what language it is in


class Lent(NamedTuple):
    """The language of a text, and whether the guide's own has words that look the same: then it is only meant where it
    stands alone."""

    language: str
    alone: bool


Index = Mapping[str, list[tuple[int, str]]]


@once
def lent_texts(shelf: Shelf) -> Mapping[str, Lent]:
    """Return every text that the guide has in another language only, and as it begins a sentence or stands in one."""
    own, others = set[str](), dict[str, str]()
    if not shelf.guide.languages:
        return {}
    main = shelf.guide.language.partition("-")[0]
    for text in _texts(bones(shelf.guide)):
        tag, name = name_elsewhere(text)
        if text.language and tag.partition("-")[0] != main:
            others.setdefault(name, "en-US" if tag == "us" else tag or text.language)
        else:
            own.add(name)
    if main == "de":
        own |= {str(name) for word in shelf.guide.words.values() for name in word.german}
    own.add(shelf.guide.car)  # a name of its own in every language
    both = {first + text[1:]: tag for text, tag in others.items() for first in (text[:1].lower(), text[:1].upper())}
    said = {text: tag for text, tag in both.items() if _SAYS.search(text) and len(text) <= _LONGEST and text not in own}
    index = index_of(said)
    like = {text for native in (*own, *shelf.words.templates.values()) for _, text in _found_in(native, index)}
    return {text: Lent(tag, text in like) for text, tag in said.items()}


def _texts(thing: Any) -> Iterator[Text]:
    if isinstance(thing, Text):
        yield thing
    elif isinstance(thing, tuple):
        for one in thing:
            yield from _texts(one)


def index_of(texts: Mapping[str, Any]) -> Index:
    """Return texts by their first word, the longest first: each with how far in that word stands."""
    index: dict[str, list[tuple[int, str]]] = {}
    for text in sorted(texts, key=lambda text: (-len(text), text)):
        first = _WORD.search(text)
        if first is not None:
            index.setdefault(first[0], []).append((first.start(), text))
    return index


def _found_in(text: str, index: Index) -> Iterator[tuple[int, str]]:
    """Yield where in a text which texts of an index stand, as whole words, none over another."""
    done = 0
    for word in _WORD.finditer(text):
        for inside, one in index.get(word[0], ()):
            at = word.start() - inside
            end = at + len(one)
            if at >= done and text.startswith(one, at) and not (_WORD.match(one[-1]) and _WORD.match(text, end)):
                yield at, one
                done = end
                break


def cut(text: str, lent: Mapping[str, Lent], index: Index) -> list[tuple[str, str]]:
    """Return a text in pieces, each with its language, that being "" for the guide's own."""
    pieces, done, alone = list[tuple[str, str]](), 0, text.strip()
    for at, one in _found_in(text, index):
        if not lent[one].alone or one == alone:
            pieces += [(text[done:at], ""), (one, lent[one].language)]
            done = at + len(one)
    return [piece for piece in (*pieces, (text[done:], "")) if piece[0]]


def data_files(shelf: Shelf) -> dict[str, bytes]:
    """Return the texts for scripts, where there are any."""
    return {"data/lent.js": script_of("lent", lent_texts(shelf))} if lent_texts(shelf) else {}
