"""Output names that every system can hold, and links from one page to another.

Windows reserves some names whatever their ending and refuses some characters and closing dots; long paths
fail there too; two systems of three ignore capitals (Microsoft, "Naming files, paths, and namespaces").
So an id becomes lower-case ASCII letters, digits and dashes. A name that had to be bent carries a short
digest of the id, so that two ids never meet in one name and adding a record renames no other.
"""

from __future__ import annotations

import hashlib
import posixpath
import re
import unicodedata
from functools import lru_cache
from urllib.parse import quote

from guide.facts.text.folded import fold
from guide.sentence import Sentence, sentence

__all__ = [
    "absolute_link",
    "content_name",
    "name_elsewhere",
    "name_order",
    "relative_link",
    "ruling_id",
    "safe_name",
    "slug",
    "source_id",
    "unsafe_name",
]

_LONGEST = 60  # characters of one name, ending apart
_LONGEST_PATH = 180  # characters of a whole output name: Windows allows 260 with the folder before it
_RESERVED = frozenset(
    {"con", "prn", "aux", "nul", "conin$", "conout$"}
    | {f"{port}{digit}" for port in ("com", "lpt") for digit in "0123456789¹²³"}
)
_FIGURES = re.compile(r"([^0-9]*)([0-9]*)")
_REFUSED = re.compile(r'[<>:"\\|?*\x00-\x1f]')


def safe_name(identity: str, ending: str = "") -> str:
    """Return an output name for an id: the id itself where that is plain, else its like with a digest."""
    plain = unicodedata.normalize("NFKD", identity).encode("ascii", "ignore").decode().lower()
    plain = re.sub(r"[^a-z0-9-]+", "-", plain).strip("-")[:_LONGEST].rstrip("-")
    if plain != identity or plain in _RESERVED or not plain:
        digest = hashlib.sha256(unicodedata.normalize("NFC", identity).encode()).hexdigest()[:6]
        plain = f"{plain}-{digest}" if plain else digest
    return plain + ending


def content_name(data: bytes) -> str:
    """Return a name for bytes that says nothing of where they came from; the same bytes have the same name."""
    return hashlib.sha256(data).hexdigest()[:16]


def name_elsewhere(also: str) -> tuple[str, str]:
    """Return the language of another name of a mark, and that name: "de: Kippschalter" in German, "us: ..." in America.

    The language is "" where the name is one in the guide's own.
    """
    head, colon, rest = also.partition(": ")
    return (head, rest) if colon and len(head) == 2 else ("", also)


def slug(text: str) -> str:
    """Return an id for a heading: letters and digits of any script, lower case, joined by dashes."""
    kept = unicodedata.normalize("NFC", text).casefold()
    return re.sub(r"[\W_]+", "-", kept).strip("-")


def unsafe_name(name: str) -> Sentence | None:
    """Say why an output name (with ``/``) cannot be held by some system; None when every one can."""
    if len(name) > _LONGEST_PATH:
        return sentence("press.unsafe.long", most=_LONGEST_PATH)
    for part in name.split("/"):
        if part in ("", ".", ".."):
            return sentence("press.unsafe.empty")
        if _REFUSED.search(part):
            return sentence("press.unsafe.sign")
        if part[-1] in ". ":
            return sentence("press.unsafe.end")
        if part.split(".")[0].rstrip().lower() in _RESERVED:
            return sentence("press.unsafe.reserved", part=part.split(".")[0])
    return None


def relative_link(here: str, there: str) -> str:
    """Return the link from one output name to another, percent-encoded; works from disk and hosted alike.

    ``there`` may carry a query or a fragment, which stay as they are.
    """
    return _link_from(posixpath.dirname(here), there)


def absolute_link(address: str, name: str) -> str:
    """Return the link to an output name of a guide that is published at an address, which ends in a slash."""
    return address + quote(name, safe="/-._~")


@lru_cache(maxsize=100_000)
def _link_from(folder: str, there: str) -> str:
    path, mark, rest = there, "", ""
    for sign in "?#":
        if sign in path:
            at = path.index(sign)
            path, rest = path[:at], path[at:] + rest
    if not path:
        return mark + rest
    link = posixpath.relpath(path, folder or ".")
    return quote(link, safe="/-._~") + rest


def source_id(source: str) -> str:
    """Return the id that a source, or an issue of one, has on the page; no id has two dashes together."""
    return f"source-{source.replace(' ', '--')}"


def ruling_id(mark: str, at: int) -> str:
    """Return the id that a ruling has on the page; ``at`` counts from 0 within the mark."""
    return f"ruling-{mark}-{at + 1}"


def name_order(name: str) -> tuple[tuple[str, int], ...]:
    """Return what a name is sorted by: neither capitals nor accents count, ä stands with a and ß as ss (DIN 5007-1,
    and the order of Unicode CLDR for English and German), and figures as numbers: bulletin 7, bulletin 7b, bulletin 10.
    """
    return tuple((words, int(figures or 0)) for words, figures in _FIGURES.findall(fold(name)))
