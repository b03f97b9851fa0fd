"""The hosted guide kept on a phone: what the worker holds, and the manifest.

What is kept is every file of the site but the copies made for carrying it elsewhere. The edition's mark is a digest of
it all, so any change at all makes a new edition, and the same guide the same; it begins with the fingerprint that is
printed (`guide.press.fingerprint`). Every page carries the mark, and so does
``edition.json``: a host may rewrite pages, styles and scripts (shorten them, hide mail addresses, drop ``.html``), and
what it sends is still known to be of this edition; a picture is held against its digest.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Mapping

from guide.facts.types import Guide
from guide.pages.kinds.downloads import FOR_PROGRAMS
from guide.pages.parts.printed_edition import UNPRINTED
from guide.press.cache import Cache
from guide.press.face import SIZES, Face
from guide.press.feed import FEED
from guide.press.scripts import BROWSER

__all__ = [
    "EDITION",
    "MANIFEST",
    "SPARED",
    "UNMARKED",
    "WORKER",
    "edition_mark",
    "installed_files",
    "mark_of",
    "marked",
    "offline_files",
    "printed_with",
    "unmarked",
]

MANIFEST, WORKER = "manifest.webmanifest", "worker.js"
EDITION = "edition.json"
UNMARKED = "edition-that-is-unmarked"  # stands in pages for the mark until the whole site is there; as long as one
_PRINTED = re.compile(r".*\.html|downloads/timeline.*\.svg")  # names of what holds the edition as it is printed
_PICTURES = (".png", ".jpg", ".jpeg", ".webp", ".svg")
_NEVER_KEPT = (WORKER, EDITION, FEED, "_redirects", ".htaccess")  # not to be fetched, or not kept
SPARED = ("guide.zip", "content.zip", "guide-in-one-file.html")  # copies of what is kept already


def installed_files(guide: Guide, face: Face, store: Cache) -> dict[str, bytes]:
    """Return what a phone shows of a guide that it keeps: the manifest and the theme's pictures; what is drawn of them
    is put into the store."""
    return {**face.pictures(store), MANIFEST: _manifest(guide, face)}


def _is_kept(name: str) -> bool:
    """Tell whether a phone keeps a file: not what is for programs at a desk, and no copy of the rest."""
    return name not in (*_NEVER_KEPT, *SPARED, *FOR_PROGRAMS)


def edition_mark(site: Mapping[str, bytes], fingerprint: str) -> str:
    """Return the mark of a site that is not marked yet: its fingerprint, and the beginning of a SHA-256 over every name
    and content that is kept."""
    digest = hashlib.sha256()
    for name in sorted(site):
        if name not in (*_NEVER_KEPT, *SPARED):  # what programs read is of the edition too
            digest.update(f"{name}\0{len(site[name])}\0".encode())
            digest.update(site[name])
    return (fingerprint + digest.hexdigest())[: len(UNMARKED)]


def marked(site: Mapping[str, bytes], mark: str) -> dict[str, bytes]:
    """Return what is printed of a site with the mark and the fingerprint in it."""
    old, new, fingerprint = UNMARKED.encode(), mark.encode(), mark[: len(UNPRINTED)]
    return {
        name: printed_with(name, data.replace(old, new), fingerprint)
        for name, data in site.items()
        if _PRINTED.fullmatch(name)
    }


def printed_with(name: str, data: bytes, fingerprint: str) -> bytes:
    """Return a file of a site with the fingerprint filled in, where it is one that is printed."""
    return data.replace(UNPRINTED.encode(), fingerprint.encode()) if _PRINTED.fullmatch(name) else data


def unmarked(name: str, data: bytes, mark: str) -> bytes:
    """Return a file of a finished site as it was before the site was marked."""
    if not mark or not _PRINTED.fullmatch(name):
        return data
    whole = data.replace(mark.encode(), UNMARKED.encode())
    return whole.replace(mark[: len(UNPRINTED)].encode(), UNPRINTED.encode())


def mark_of(site: Mapping[str, bytes]) -> str:
    """Return the mark that a site says it has, or nothing."""
    try:
        return str(json.loads(site.get(EDITION, b""))["edition"])
    except (ValueError, KeyError, TypeError):
        return ""


def offline_files(site: Mapping[str, bytes], mark: str, wrong: Mapping[str, str]) -> dict[str, bytes]:
    """Return the worker, and what tells which edition a host has, for a site that is finished but for its copies;
    ``wrong`` says to a phone that holds another edition, by its name, on what that is wrong."""
    kept = sorted(filter(_is_kept, site))
    files = {name: hashlib.sha256(site[name]).hexdigest()[:32] if name.endswith(_PICTURES) else "" for name in kept}
    head = f"const EDITION = {json.dumps(mark)};\nconst FILES = {json.dumps(files, separators=(',', ':'))};\n"
    head += f"const WRONG = {json.dumps(wrong, ensure_ascii=False)};\n"
    body = (BROWSER / WORKER).read_text(encoding="utf-8").replace("\r\n", "\n")
    return {WORKER: (head + body).encode(), EDITION: f"{json.dumps({'edition': mark})}\n".encode()}


def _manifest(guide: Guide, face: Face) -> bytes:
    value = {
        "name": guide.title,
        "short_name": guide.car[:24],
        "description": guide.subtitle,
        "lang": guide.language,
        "start_url": "index.html",
        "scope": "./",
        "display": "standalone",
        "background_color": face.colours["day-paper"],
        "theme_color": face.colours["day-paper"],
        "icons": [
            {"src": f"icons/guide-{size}.png", "sizes": f"{size}x{size}", "type": "image/png", "purpose": purpose}
            for size in SIZES
            for purpose in ("any", "maskable")
        ],
    }
    return (json.dumps(value, ensure_ascii=False, indent=2) + "\n").encode()
