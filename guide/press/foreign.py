"""What a guide's language lacks and so stands on its pages in English is marked there as English.

While the pages are made it stands between two signs (`ENGLISH`): in the text of a page they become an element that
names the language, so that it is read aloud and parted as English; anywhere else they are left out.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from guide.words.say import ENGLISH, Words

__all__ = ["with_english_marked"]

# Where nothing can be marked: inside a tag, in scripts and styles, and in what holds plain text.
_PLAIN = re.compile(r"<(script|style|title|option|textarea|svg)\b.*?</\1>|<[^>]*>", re.DOTALL)
_OPEN, _SHUT = ENGLISH


def with_english_marked(files: Mapping[str, bytes], words: Words) -> Mapping[str, bytes]:
    """Return files of a site with what stands in English marked in pages, and plain in all others."""
    if not words.marks_english:
        return files
    return {name: _marked(data) if name.endswith(".html") else _plain(data) for name, data in files.items()}


def _plain(data: bytes) -> bytes:
    return data.replace(_OPEN.encode(), b"").replace(_SHUT.encode(), b"")


def _marked(data: bytes) -> bytes:
    page, said, at = data.decode("utf-8"), list[str](), 0
    for tag in _PLAIN.finditer(page):
        said += [_spoken(page[at : tag.start()]), tag[0]]
        at = tag.end()
    return _plain("".join((*said, _spoken(page[at:]))).encode("utf-8"))


def _spoken(text: str) -> str:
    return text.replace(_OPEN, '<span lang="en">').replace(_SHUT, "</span>")
