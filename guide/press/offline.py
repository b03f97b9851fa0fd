"""The hosted guide kept on a phone: what the worker holds, the manifest, and the icons.

What is kept is every file of the site but the copies made for carrying it elsewhere. The worker's text carries
the edition as a digest of what it keeps, so any change at all makes a new edition, and the same guide the same.
"""

from __future__ import annotations

import hashlib
import io
import json
from collections.abc import Mapping

from PIL import Image, ImageDraw

from guide.facts.types import Guide
from guide.press.scripts import BROWSER

__all__ = ["MANIFEST", "SPARED", "WORKER", "installed_files", "offline_files"]

MANIFEST, WORKER = "manifest.webmanifest", "worker.js"
SPARED = ("guide.zip", "guide-in-one-file.html")  # copies of what is kept already
_PAPER, _INK, _WASH, _OXIDE = (250, 247, 240), (28, 26, 23), (241, 235, 223), (138, 47, 20)
_SIZES = (192, 512)


def installed_files(guide: Guide) -> dict[str, bytes]:
    """Return what a phone shows of a guide that it keeps: the manifest and the icons."""
    icons = {f"icons/guide-{size}.png": _icon(size) for size in _SIZES}
    return {**icons, MANIFEST: _manifest(guide)}


def offline_files(guide: Guide, site: Mapping[str, bytes]) -> dict[str, bytes]:
    """Return the worker, the manifest and the icons for a site that is finished but for them and its copies."""
    installed = installed_files(guide)
    kept = {name: data for name, data in {**site, **installed}.items() if name not in (WORKER, *SPARED)}
    files = {name: hashlib.sha256(kept[name]).hexdigest()[:32] for name in sorted(kept)}
    edition = hashlib.sha256(json.dumps(files).encode()).hexdigest()[:16]
    head = f"const EDITION = {json.dumps(edition)};\nconst FILES = {json.dumps(files, separators=(',', ':'))};\n"
    body = (BROWSER / WORKER).read_text(encoding="utf-8").replace("\r\n", "\n")
    return {**installed, WORKER: (head + body).encode()}


def _manifest(guide: Guide) -> bytes:
    value = {
        "name": guide.title,
        "short_name": guide.car[:24],
        "description": guide.subtitle,
        "lang": guide.language,
        "start_url": "index.html",
        "scope": "./",
        "display": "standalone",
        "background_color": "#{:02x}{:02x}{:02x}".format(*_PAPER),
        "theme_color": "#{:02x}{:02x}{:02x}".format(*_PAPER),
        "icons": [
            {"src": f"icons/guide-{size}.png", "sizes": f"{size}x{size}", "type": "image/png", "purpose": purpose}
            for size in _SIZES
            for purpose in ("any", "maskable")
        ],
    }
    return (json.dumps(value, ensure_ascii=False, indent=2) + "\n").encode()


def _icon(size: int) -> bytes:
    """Return the icon: a changeover band, parted by one slope, well inside the circle that phones cut."""
    picture = Image.new("RGB", (size, size), _PAPER)
    draw = ImageDraw.Draw(picture)
    left, right, top, foot = size * 0.18, size * 0.82, size * 0.36, size * 0.64
    slope = ((size * 0.44, foot), (size * 0.58, top))
    draw.polygon([slope[0], slope[1], (right, top), (right, foot)], fill=_WASH)
    line = max(2, size // 48)
    draw.rectangle((left, top, right, foot), outline=_INK, width=line)
    draw.line(slope, fill=_OXIDE, width=line * 2)
    stream = io.BytesIO()
    picture.quantize(16).save(stream, "PNG", optimize=True)
    return stream.getvalue()
