"""The hosted guide kept on a phone: what the worker holds, and the manifest.

What is kept is every file of the site but the copies made for carrying it elsewhere. The worker's text carries
the edition as a digest of what it keeps, so any change at all makes a new edition, and the same guide the same.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping

from guide.facts.types import Guide
from guide.press.face import SIZES, Face
from guide.press.scripts import BROWSER

__all__ = ["MANIFEST", "SPARED", "WORKER", "installed_files", "offline_files"]

MANIFEST, WORKER = "manifest.webmanifest", "worker.js"
SPARED = ("guide.zip", "guide-in-one-file.html")  # copies of what is kept already


def installed_files(guide: Guide, face: Face) -> dict[str, bytes]:
    """Return what a phone shows of a guide that it keeps: the manifest and the theme's pictures."""
    return {**face.files, MANIFEST: _manifest(guide, face)}


def offline_files(guide: Guide, face: Face, site: Mapping[str, bytes]) -> dict[str, bytes]:
    """Return the worker, the manifest and the pictures for a site that is finished but for them and its copies."""
    installed = installed_files(guide, face)
    kept = {name: data for name, data in {**site, **installed}.items() if name not in (WORKER, *SPARED)}
    files = {name: hashlib.sha256(kept[name]).hexdigest()[:32] for name in sorted(kept)}
    edition = hashlib.sha256(json.dumps(files).encode()).hexdigest()[:16]
    head = f"const EDITION = {json.dumps(edition)};\nconst FILES = {json.dumps(files, separators=(',', ':'))};\n"
    body = (BROWSER / WORKER).read_text(encoding="utf-8").replace("\r\n", "\n")
    return {**installed, WORKER: (head + body).encode()}


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
