"""What stands on a guide's pages in another language than theirs is marked there as what it is.

It is a sentence that the language lacks, said in English, or a text of the facts that the editor gave in another of
the guide's languages only. While the pages are made it stands between signs (`SIGNS`): in the text of a page they
become an element that names the language, so that it is read aloud and parted as that; anywhere else they are left out.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from guide.words.say import SIGNS, Words

__all__ = ["with_languages_marked"]

# Where nothing can be marked: inside a tag, in scripts and styles, and in what holds plain text.
_PLAIN = re.compile(r"<(script|style|title|option|textarea|svg)\b.*?</\1>|<[^>]*>", re.DOTALL)
_BEFORE, _AFTER, _END = SIGNS
_SIGNS = re.compile(f"{_BEFORE}([^{_AFTER}]*){_AFTER}|{_END}")


def with_languages_marked(files: Mapping[str, bytes], words: Words) -> Mapping[str, bytes]:
    """Return files of a site with what stands in another language marked in pages, and plain in all others."""
    if not words.marks:
        return files
    return {name: _marked(data) if name.endswith(".html") else _plain(data) for name, data in files.items()}


def _plain(data: bytes) -> bytes:
    try:
        return _SIGNS.sub("", data.decode()).encode() if _BEFORE.encode() in data else data
    except UnicodeDecodeError:  # a picture, in whose bytes anything may stand
        return data


def _marked(data: bytes) -> bytes:
    page, said, at = data.decode("utf-8"), list[str](), 0
    for tag in _PLAIN.finditer(page):
        said += [_spoken(page[at : tag.start()]), _SIGNS.sub("", tag[0])]
        at = tag.end()
    return "".join((*said, _spoken(page[at:]))).encode("utf-8")


def _spoken(text: str) -> str:
    return _SIGNS.sub(lambda sign: "</bdi>" if sign[0] == _END else f'<bdi lang="{sign[1]}">', text)
