"""What stands on a guide's pages in another language than theirs is marked there as what it is.

It is a sentence that the language lacks, said in English, or a text of the facts that the editor gave in another of
the guide's languages only (`guide.pages.parts.lent`). Such a sentence stands between two signs (`ENGLISH`) while the
pages are made; such a text is found wherever it came to stand. In the text of a page they become an element that names
the language, so that it is read aloud and parted as that; anywhere else the signs are left out. What scripts put on a
page is marked by their twin of this, guide/browser/lent.js.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from html import escape, unescape

from guide.pages.parts.lent import cut, index_of, lent_texts
from guide.pages.shelf import Shelf
from guide.words.say import ENGLISH

__all__ = ["with_languages_marked"]

# Where nothing can be marked: inside a tag, in scripts and styles, in what holds plain text and in what one types; an
# option is taken with its text.
_TAGS = re.compile(
    r"<(script|style|title|textarea|kbd|code)\b.*?</\1>|<!--.*?-->|<option\b[^>]*>[^<]*|<[^>]*>", re.DOTALL
)
_NAME = re.compile(r"</?([a-z0-9]+)")
_LABEL = re.compile(r' (?:alt|aria-label)="([^"]*)"')
_ALONE = frozenset({"br", "hr", "img", "input", "link", "meta", "wbr", "col", "source"})  # elements without an end
_SPEAKS = re.compile(r"[^\W\d_]{2}")
_OPEN, _SHUT = ENGLISH


def with_languages_marked(files: Mapping[str, bytes], shelf: Shelf) -> Mapping[str, bytes]:
    """Return files of a site with what stands in another language marked in pages, and plain in all others."""
    if not shelf.words.marks_english and not lent_texts(shelf):
        return files
    marking = _Marking(shelf)
    return {name: marking.marked(data) if name.endswith(".html") else _plain(data) for name, data in files.items()}


def _plain(data: bytes) -> bytes:
    return data.replace(_OPEN.encode(), b"").replace(_SHUT.encode(), b"")


def _unsigned(text: str) -> str:
    return text.replace(_OPEN, "").replace(_SHUT, "")


class _Marking:
    """Marks pages, element by element."""

    def __init__(self, shelf: Shelf) -> None:
        lent = lent_texts(shelf)
        self._lent = {escape(text): one for text, one in lent.items()}  # as pages have them,
        self._lent |= {escape(text, quote=False): one for text, one in lent.items()}  # and as Markdown leaves them
        self._index = index_of(self._lent)

    def marked(self, data: bytes) -> bytes:
        """Return a page with everything in another language marked."""
        page, said, at = data.decode("utf-8"), list[str](), 0
        within, depth, drawn = "", 0, 0  # the element of a language of its own and how deep in it; how deep in drawings
        for tag in _TAGS.finditer(page):
            text = page[at : tag.start()]
            said.append(_spoken(text) if within else self._spoken(text, "tspan" if drawn else "bdi"))
            at, named = tag.end(), _NAME.match(tag[0])
            name = named[1] if named and not tag[1] else ""
            step = 0 if not name or name in _ALONE or tag[0].endswith("/>") else -1 if tag[0][1] == "/" else 1
            drawn += step if name == "svg" else 0
            if within:
                depth += step if name == within else 0
                within = within if depth else ""
            elif step == 1 and name not in ("html", "option") and ' lang="' in tag[0]:
                within, depth = name, 1
            shown = _unsigned(tag[0])
            said.append(shown if within or tag[1] else self._tagged(shown, name))
        return "".join((*said, self._spoken(page[at:], "bdi"))).encode("utf-8")

    def _tagged(self, tag: str, name: str) -> str:
        """Return a tag that says the language of its own words, where these are in another one altogether."""
        opening, end, text = tag.partition(">")
        if name == "option":
            language = self._whole(text)
        else:
            label = _LABEL.search(tag) if name in ("img", "svg") else None
            language = self._whole(label[1]) if label else ""
        return f'{opening} lang="{language}"{end}{text}' if language else tag

    def _whole(self, text: str) -> str:
        """Return the language of a text that has no word in any but that."""
        pieces = cut(text, self._lent, self._index)
        spoken = {tag for said, tag in pieces if tag or _SPEAKS.search(unescape(said))}
        return spoken.pop() if len(spoken) == 1 else ""

    def _spoken(self, text: str, element: str) -> str:
        """Return the text between two tags with what is in another language in elements of their own."""
        if element == "tspan":
            text = _unsigned(text)
        if not self._index or not text.strip():
            return _spoken(text)
        pieces = cut(text, self._lent, self._index)
        return _spoken("".join(f'<{element} lang="{tag}">{said}</{element}>' if tag else said for said, tag in pieces))


def _spoken(text: str) -> str:
    return text.replace(_OPEN, '<bdi lang="en">').replace(_SHUT, "</bdi>")
