"""Photographs made fit to publish: upright, small enough, in plain colours, with nothing hidden in them.

A phone writes where it stood into every photograph; a published one would lead a thief to the garage. So a
photograph is decoded and written anew from its pixels alone, and no metadata goes with it; nor does its file's name,
which often says whose car it is or where: it is published under one made of its content.
"""

from __future__ import annotations

import hashlib
import io
import warnings
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import PIL
from PIL import Image, ImageCms, ImageOps, UnidentifiedImageError

from guide.finding import Finding, Place
from guide.pages.parts.naming import content_name
from guide.pages.shelf import Photograph
from guide.press.cache import Cache

__all__ = ["ENDINGS", "LONGEST_PIXELS", "PICTURES", "WIDTHS", "make_photograph"]

PICTURES = "pictures/"  # where photographs are published, each named by its content
LONGEST_PIXELS = 1600  # the longer side of what is published
WIDTHS = (480, 960)  # pixels: it is published in these widths too, where it is wider: a browser takes the one it needs
_MOST_PIXELS = 100_000_000  # a photograph larger than this is not decoded: it could fill the memory
_QUALITY = 82
_KINDS = {
    "JPEG": (".jpg", ".jpeg"),
    "PNG": (".png",),
    "WEBP": (".webp",),
    "GIF": (".gif",),
    "TIFF": (".tif", ".tiff"),
    "MPO": (".jpg", ".jpeg"),
}
ENDINGS = frozenset({ending for kind in _KINDS.values() for ending in kind} | {".heic", ".heif", ".bmp"})


def make_photograph(path: Path, shown: str, cache: Cache) -> tuple[Photograph | None, tuple[Finding, ...]]:
    """Return a photograph made ready, or None, and what is to be said of it.

    ``shown`` is its name as findings give it. The same file and the same Pillow give the same bytes.
    """
    place = Place(shown)
    try:
        raw = path.read_bytes()
    except OSError as error:
        return None, (Finding.of("press.picture-unreadable.closed", place, why=error.strerror or str(error)),)
    findings: list[Finding] = []
    kind = _kind_of(raw)
    if kind == "HEIF":
        return None, (Finding.of("press.picture-unreadable.phone", place),)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # Pillow warns of large pictures; their size is judged below
            with Image.open(io.BytesIO(raw)) as picture:
                size = picture.size
                found = picture.format or ""
                if size[0] * size[1] > _MOST_PIXELS:
                    return None, (_too_large("", place, size),)
                if found not in _KINDS:
                    return None, (Finding.of("press.picture-unreadable.format", place, format=found),)
                if path.suffix.lower() not in _KINDS[found]:
                    right = _KINDS[found][0]
                    findings.append(
                        Finding.of(
                            "press.picture-misnamed",
                            place,
                            format=found,
                            right=right,
                            found=path.suffix,
                            name=path.stem + right,
                        )
                    )
                key = f"{hashlib.sha256(raw).hexdigest()}-{LONGEST_PIXELS}-{_QUALITY}-{PIL.__version__}"
                made = [cache.get(f"{key}-{width}") for width in (LONGEST_PIXELS, *WIDTHS)]
                if None in made:
                    made = list(_publishable(picture))
                    for width, data in zip((LONGEST_PIXELS, *WIDTHS), made, strict=True):
                        cache.put(f"{key}-{width}", data or b"")
    except Image.DecompressionBombError:  # Pillow's own guard, which speaks before the size can be read
        return None, (_too_large(".by-far", place),)
    except (UnidentifiedImageError, OSError, SyntaxError, ValueError):
        way = "damaged" if kind else "no-photograph"
        return None, (*findings, Finding.of(f"press.picture-unreadable.{way}", place))
    whole, *smaller = (_photograph(data) for data in made if data)
    return replace(whole, smaller=tuple(smaller)), tuple(findings)


def _photograph(data: bytes) -> Photograph:
    """Return a picture that is ready under its output name."""
    ending = ".png" if data.startswith(b"\x89PNG") else ".jpg"
    with Image.open(io.BytesIO(data)) as picture:
        width, height = picture.size
    return Photograph(f"{PICTURES}{content_name(data)}{ending}", width, height, data)


def _kind_of(raw: bytes) -> str:
    """Return what the first bytes say a file is, whatever its name says; empty when unknown."""
    if raw[4:8] == b"ftyp" and raw[8:12] in (b"heic", b"heix", b"hevc", b"mif1", b"msf1", b"heim", b"heis"):
        return "HEIF"
    for head, kind in (
        (b"\xff\xd8\xff", "JPEG"),
        (b"\x89PNG", "PNG"),
        (b"GIF8", "GIF"),
        (b"RIFF", "WEBP"),
        (b"II*\0", "TIFF"),
        (b"MM\0*", "TIFF"),
    ):
        if raw.startswith(head):
            return kind
    return ""


def _publishable(picture: Image.Image) -> Iterator[bytes]:
    """Yield the pixels alone: upright, in sRGB on white paper, no side longer than `LONGEST_PIXELS`; then the same in
    each of `WIDTHS`, nothing for one that it is no wider than."""
    profile = picture.info.get("icc_profile")
    if picture.format != "PNG" and max(picture.size) > 2 * LONGEST_PIXELS:
        picture.draft("RGB" if picture.mode == "RGB" else None, (LONGEST_PIXELS, LONGEST_PIXELS))
    upright = ImageOps.exif_transpose(picture)
    plain = _on_white(_srgb(upright, profile))
    plain.thumbnail((LONGEST_PIXELS, LONGEST_PIXELS), Image.Resampling.LANCZOS)
    plain.info.clear()
    lined = picture.format == "PNG" and plain.getcolors(256) is not None  # a line drawing or a scan in few tones
    yield _written(plain, lined)
    for width in WIDTHS:
        smaller = plain.resize((width, max(1, round(plain.height * width / plain.width))), Image.Resampling.LANCZOS)
        yield _written(smaller, lined and smaller.getcolors(256) is not None) if plain.width > width else b""


def _written(plain: Image.Image, lined: bool) -> bytes:
    stream = io.BytesIO()
    if lined:
        plain.save(stream, "PNG", optimize=True)
    else:
        plain.save(stream, "JPEG", quality=_QUALITY, optimize=True, progressive=True)
    return stream.getvalue()


def _srgb(picture: Image.Image, profile: bytes | None) -> Image.Image:
    if picture.mode in ("I;16", "I;16B", "I;16L", "I", "F"):
        _low, high = picture.getextrema()  # a scanner's 16 bits; Pillow would cut them off at 255
        top = 255.0 if float(high) <= 255 else 65535.0  # type: ignore[arg-type]
        return picture.convert("F").point(lambda value: value * (255.0 / top)).convert("L").convert("RGB")
    if profile and picture.mode == "P":
        picture = picture.convert("RGBA" if "transparency" in picture.info else "RGB")
    if profile and picture.mode in ("RGB", "RGBA", "CMYK", "L"):
        try:
            given, mode = ImageCms.ImageCmsProfile(io.BytesIO(profile)), "RGBA" if picture.mode == "RGBA" else "RGB"
            made = ImageCms.profileToProfile(picture, given, ImageCms.createProfile("sRGB"), outputMode=mode)
            if made is not None:
                return made
        except (ImageCms.PyCMSError, OSError):
            pass  # a profile that cannot be read is no profile
    if picture.mode in ("LA", "PA", "RGBA", "La", "RGBa") or "transparency" in picture.info:
        return picture.convert("RGBA")
    return picture.convert("RGB")


def _on_white(picture: Image.Image) -> Image.Image:
    if picture.mode != "RGBA":
        return picture
    paper = Image.new("RGB", picture.size, (255, 255, 255))
    paper.paste(picture, mask=picture.getchannel("A"))
    return paper


def _too_large(way: str, place: Place, size: tuple[int, int] = (0, 0)) -> Finding:
    most, (width, height) = _MOST_PIXELS // 1_000_000, size
    name = f"press.picture-too-large{way}"
    return Finding.of(name, place, most=most, width=width, height=height, longest=LONGEST_PIXELS)
