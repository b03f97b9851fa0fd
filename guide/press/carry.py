"""Copies for taking along: the whole guide in one HTML file, and the folder in one archive.

The single file is for phones: it can be sent through a messaging program and opened by itself, because a tapped
file has no neighbours there. It holds the key, the walk-round card, which adds itself up without scripts, and
every mark with its drawings; the rest of the guide stays behind. Each drawing stands in it once and is shown
wherever it is needed. Its content policy names the digests of its own scripts and styles and allows no others.
"""

from __future__ import annotations

import base64
import hashlib
import io
import json
import re
import zipfile
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from guide.pages.kinds.key import script_of
from guide.pages.kinds.mark import PAGE as MARK
from guide.pages.shelf import Address, Context, Page, Shelf
from guide.press.render import Renderer

__all__ = ["ARCHIVE", "SINGLE", "single_file", "zip_of"]

SINGLE, ARCHIVE = "guide-in-one-file.html", "guide.zip"
_STYLES = (
    "style/look.css",
    "style/reading.css",
    "style/key.css",
    "style/card.css",
    "data/card.css",
    "style/single.css",
)
_HEAVIEST = 150_000  # bytes of a photograph that is still carried along
_LEFT_BEHIND = "#no-page"  # where links to pages that stay behind lead; the style sheet hides them
_MAIN = re.compile(r'<main id="main" tabindex="-1">(.*?)</main>', re.DOTALL)
_SCRIPT = re.compile(r'<script src="([^"]+)"')
_LINK = re.compile(r'href="(?!#|https?:|mailto:|data:)([^"#]*)(#[^"]*)?"')


def single_file(shelf: Shelf, site: Mapping[str, bytes], theme: Path) -> tuple[dict[str, bytes], Renderer]:
    """Return the single-file edition of a finished site, and the renderer that knows what was wrong with it."""
    key, card = site["key.html"].decode(), site["card.html"].decode()
    early, scripts = _scripts(key, site)
    styles = "\n".join(site[name].decode() for name in _STYLES if name in site)
    inside: dict[str, Any] = {
        "key_body": _relinked(shelf, _main_of(key)),
        "card_body": _lowered(_relinked(shelf, _main_of(card))),
        "styles": styles,
        "early": early,
        "scripts": scripts,
        "policy": _policy((early, scripts), styles),
        "marks": [_mark(shelf, identity) for identity in shelf.guide.marks],
    }

    def context(_shelf: Shelf, _address: Address) -> Context:
        return inside

    renderer = Renderer(shelf, theme)
    page = Page("single", lambda _shelf: (), context, "single.html")
    text = renderer.render(page, Address("single", "", SINGLE, shelf.guide.title)).decode()
    return {SINGLE: _pictured(_drawn_once(shelf, text), site).encode()}, renderer


def _main_of(page: str) -> str:
    found = _MAIN.search(page)
    return found[1] if found else ""


def _lowered(part: str) -> str:
    """Return a part of a page with its headings one level down: the key's is the first of the file."""
    for level in (3, 2, 1):
        part = re.sub(rf"<(/?)h{level}\b", rf"<\1h{level + 1}", part)
    return part


def _scripts(page: str, site: Mapping[str, bytes]) -> tuple[str, str]:
    """Return the text of the script that runs before the page is drawn, and of all that run after, in order."""
    names = [name for name in _SCRIPT.findall(page) if name in site and name != "scripts/offline.js"]
    texts = {name: site[name].decode() for name in names}
    if "data/key.js" in texts:
        value = json.loads(texts["data/key.js"].split("=", 2)[2].rstrip(";\n"))
        texts["data/key.js"] = script_of("key", _links_inside(value)).decode()
    early = texts.pop("scripts/light.js", "")
    text = "\n".join(texts.values())
    assert "</script" not in (early + text).lower(), "a script would end its own element"
    return early, text


def _links_inside(value: dict[str, Any]) -> dict[str, Any]:
    """Return the key's data with links that lead inside the single file, or nowhere."""
    marks = {identity: f"#mark-{identity}" for identity in value["links"]["marks"]}
    return {**value, "links": {**dict.fromkeys(value["links"], ""), "key": "", "fits": _LEFT_BEHIND, "marks": marks}}


def _relinked(shelf: Shelf, text: str) -> str:
    """Return a part of a page with links that lead inside the single file, or nowhere."""
    inside = {
        address.path: f"#{address.kind}-{address.id}"
        for address in shelf.places.values()
        if address.kind in ("mark", "period")
    }
    inside |= {"card.html": "#card", "key.html": "#key", "index.html": "#main"}
    return _LINK.sub(lambda found: f'href="{inside.get(found[1], _LEFT_BEHIND)}"', text)


def _mark(shelf: Shelf, identity: str) -> Mapping[str, Any]:
    return MARK.context(shelf, shelf.places["mark", identity])


def _policy(scripts: tuple[str, ...], styles: str) -> str:
    allowed = " ".join(_digest(text) for text in scripts if text)
    return f"default-src 'none'; script-src {allowed}; style-src {_digest(styles)}; img-src data:; base-uri 'none'"


def _digest(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


def _drawn_once(shelf: Shelf, text: str) -> str:
    """Return the page with each drawing once, as a symbol, and its other places pointing to it."""
    symbols = []
    for at, drawing in enumerate(sorted(set(shelf.drawings.values()))):
        if drawing not in text:
            continue
        box, inside = re.fullmatch(r'viewBox="([^"]*)">(.*)</svg>', drawing, re.DOTALL).groups()  # type: ignore[union-attr]
        text = text.replace(drawing, f'viewBox="{box}"><use href="#d{at}"/></svg>')
        symbols.append(f'<symbol id="d{at}" viewBox="{box}"><g class="drawing">{inside}</g></symbol>')
    return text.replace("<!-- drawings -->", "".join(symbols), 1)


def _pictured(text: str, site: Mapping[str, bytes]) -> str:
    """Return the page with its photographs inside it; one that is too heavy to carry is left out, its words stay."""

    def inside(found: re.Match[str]) -> str:
        data = site.get(found[1], b"")
        if not data or len(data) > _HEAVIEST:
            return 'src="data:,"'
        kind = "png" if found[1].endswith(".png") else "jpeg"
        return f'src="data:image/{kind};base64,{base64.b64encode(data).decode()}"'

    return re.sub(r'src="(pictures/[^"]+)"', inside, text)


def zip_of(site: Mapping[str, bytes]) -> dict[str, bytes]:
    """Return the whole site as an archive, the same bytes for the same site."""
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as archive:
        for name in sorted(site):
            entry = zipfile.ZipInfo(f"guide/{name}", (1980, 1, 1, 0, 0, 0))
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.external_attr = 0o644 << 16
            archive.writestr(entry, site[name])
    return {ARCHIVE: stream.getvalue()}
