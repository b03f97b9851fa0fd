"""A theme's face outside the pages: its colours, the icons that a phone shows, its logo, its picture for sharing.

A theme may hold ``icon.png`` (square, 512 pixels or more), ``logo.svg`` or ``logo.png``, and ``sharing.png`` or
``sharing.jpg``; an icon that it does not hold is drawn in its own colours. The colours are those of its style sheet, so
that they stand in one place.
"""

from __future__ import annotations

import io
import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import PIL

from guide.finding import Finding, Place
from guide.press.cache import Cache
from guide.press.theme import Theme

if TYPE_CHECKING:
    from PIL import Image

__all__ = ["SIZES", "Face", "face_of"]

SIZES = (192, 512)  # of the icons that a phone puts among its programs, in pixels
_SMALL = 48  # of the one beside a page's title
_ICONS = {f"icons/guide-{size}.png": size for size in (_SMALL, *SIZES)}
_SHARED = (1200, 1200)  # what a picture for sharing is made to fit in, in pixels
_COLOURS = {
    "day-paper": "#faf7f0",
    "day-ink": "#1c1a17",
    "day-wash": "#f1ebdf",
    "day-mark": "#8a2f14",
    "night-paper": "#171614",
}  # what a theme that names none of them gets


@dataclass(frozen=True, slots=True)
class Face:
    """What is shown of a theme: colours by custom property, the logo's and the shared picture's output name or "",
    and the files that the theme holds."""

    colours: Mapping[str, str]
    logo: str
    sharing: str
    files: Mapping[str, bytes]
    findings: tuple[Finding, ...] = ()

    def pictures(self, store: Cache) -> dict[str, bytes]:
        """Return the files by output name, the icons too that the theme does not hold: those are drawn, and stored."""
        drawn = {name: _icon(size, self.colours, store) for name, size in _ICONS.items() if name not in self.files}
        return {**drawn, **self.files}


def face_of(theme: Theme) -> Face:
    """Return the face of a theme; a picture that cannot be read is a finding, and not shown."""
    colours = {**_COLOURS, **_found(theme.styles().get("style/look.css", b"").decode("utf-8"))}
    findings: list[Finding] = []
    files: dict[str, bytes] = {}
    icon = _open(theme, findings, "icon.png")
    if icon is not None:
        files |= {name: _fitted(icon, (size, size)) for name, size in _ICONS.items()}
    logo = theme.path("logo.svg")
    drawn = None if logo else _open(theme, findings, "logo.png")
    sharing = _open(theme, findings, "sharing.png", "sharing.jpg")
    if logo is not None:
        files["icons/logo.svg"] = logo.read_bytes().replace(b"\r\n", b"\n")
    elif drawn is not None:
        files["icons/logo.png"] = _fitted(drawn, (512, 512))
    if sharing is not None:
        files["icons/sharing.jpg"] = _fitted(sharing.convert("RGB"), _SHARED, "JPEG")
    named = {Path(name).stem: name for name in files}
    return Face(colours, named.get("logo", ""), named.get("sharing", ""), files, tuple(findings))


def _found(look: str) -> dict[str, str]:
    """Return the raw colours that a style sheet states, the last of each."""
    return {
        name: value.lower()
        for name, value in re.findall(r"--([a-z-]+):\s*(#[0-9a-fA-F]{6})\b", look)
        if name in _COLOURS
    }


def _open(theme: Theme, findings: list[Finding], *names: str) -> Image.Image | None:
    """Return a picture of the theme without anything but its pixels, or None."""
    path = next((found for name in names if (found := theme.path(name)) is not None), None)
    if path is None:
        return None
    from PIL import Image, UnidentifiedImageError

    try:
        with Image.open(path) as picture:
            return picture.convert("RGBA")
    except (UnidentifiedImageError, Image.DecompressionBombError, OSError, SyntaxError, ValueError):
        findings.append(Finding.of("press.picture-unreadable.no-photograph", Place(theme.shown(path))))
        return None


def _fitted(picture: Image.Image, box: tuple[int, int], kind: str = "PNG") -> bytes:
    """Return a picture no larger than a box, its pixels alone."""
    from PIL import Image

    made = picture.copy()
    made.thumbnail(box, Image.Resampling.LANCZOS)
    made.info.clear()
    stream = io.BytesIO()
    made.save(stream, kind, optimize=True)
    return stream.getvalue()


def _icon(size: int, colours: Mapping[str, str], store: Cache) -> bytes:
    """Return the icon: a changeover band, parted by one slope, well inside the circle that phones cut."""
    key = f"icon {size} {sorted(colours.items())} {PIL.__version__}"
    if held := store.get(key):
        return held
    from PIL import Image, ImageDraw

    picture = Image.new("RGB", (size, size), colours["day-paper"])
    draw = ImageDraw.Draw(picture)
    left, right, top, foot = size * 0.18, size * 0.82, size * 0.36, size * 0.64
    slope = ((size * 0.44, foot), (size * 0.58, top))
    draw.polygon([slope[0], slope[1], (right, top), (right, foot)], fill=colours["day-wash"])
    line = max(2, size // 48)
    draw.rectangle((left, top, right, foot), outline=colours["day-ink"], width=line)
    draw.line(slope, fill=colours["day-mark"], width=line * 2)
    stream = io.BytesIO()
    picture.quantize(16).save(stream, "PNG", optimize=True)
    store.put(key, stream.getvalue())
    return stream.getvalue()
