"""Photographs: upright, plain, small, and telling nobody where they were taken."""

from __future__ import annotations

import io
import pathlib
import struct
import zlib

import numpy as np
import pytest
from PIL import Image

from guide.pages.shelf import Photograph
from guide.press.cache import Cache
from guide.press.photographs import LONGEST_PIXELS, make_photograph
from tests.told import ENGLISH, told

NOWHERE = Cache(None)
RED, GREEN = (200, 30, 30), (30, 160, 30)


def close(pixel: object, colour: tuple[int, int, int]) -> bool:
    assert isinstance(pixel, tuple)
    return all(abs(a - b) < 30 for a, b in zip(pixel, colour, strict=True))


def make(path: pathlib.Path) -> tuple[Photograph, Image.Image]:
    made, findings = make_photograph(path, f"pictures/{path.name}", NOWHERE)
    assert findings == ()
    assert made is not None
    return made, Image.open(io.BytesIO(made.data))


def halves(mode: str = "RGB", size: tuple[int, int] = (60, 40)) -> Image.Image:
    """A picture, red on the left and green on the right."""
    picture = Image.new("RGB", size, RED)
    picture.paste(GREEN, (size[0] // 2, 0, size[0], size[1]))
    return picture.convert(mode)


def test_where_it_was_taken_is_left_out(tmp_path: pathlib.Path) -> None:
    exif = Image.Exif()
    exif[0x010F] = "A maker"
    exif.get_ifd(0x8825)[2] = (52.0, 12.0, 30.0)
    path = tmp_path / "dash.jpg"
    halves().save(path, exif=exif, comment=b"taken in my garage")
    raw = path.read_bytes()
    assert b"Exif" in raw
    assert b"garage" in raw
    made, picture = make(path)
    assert dict(picture.getexif()) == {}
    for trace in (b"Exif", b"A maker", b"garage", b"http://ns.adobe.com"):
        assert trace not in made.data


def wide_gamut() -> bytes:
    """Return a profile of wider gamut than sRGB, as ICC.1:2001-04 lays one out: primaries of Display P3 brought to D50,
    a gamma of 2.2."""

    def fixed(*values: float) -> bytes:
        return b"".join(struct.pack(">i", round(value * 65536)) for value in values)

    curve = b"curv\0\0\0\0" + struct.pack(">IH", 1, round(2.2 * 256))
    name = b"wide\0"
    tags = {
        b"desc": b"desc\0\0\0\0" + struct.pack(">I", len(name)) + name + b"\0" * 78,
        b"cprt": b"text\0\0\0\0none\0",
        b"wtpt": b"XYZ \0\0\0\0" + fixed(0.9642, 1.0, 0.8249),
        b"rXYZ": b"XYZ \0\0\0\0" + fixed(*WIDE[0]),
        b"gXYZ": b"XYZ \0\0\0\0" + fixed(*WIDE[1]),
        b"bXYZ": b"XYZ \0\0\0\0" + fixed(*WIDE[2]),
        b"rTRC": curve,
        b"gTRC": curve,
        b"bTRC": curve,
    }
    table, data, at = struct.pack(">I", len(tags)), b"", 128 + 4 + 12 * len(tags)
    for tag, body in tags.items():
        table += tag + struct.pack(">II", at + len(data), len(body))
        data += body + b"\0" * (-len(body) % 4)
    head = struct.pack(">I4sI4s4s4s", at + len(data), b"\0" * 4, 0x02400000, b"mntr", b"RGB ", b"XYZ ")
    head += b"\0" * 12 + b"acsp" + b"\0" * 28 + fixed(0.9642, 1.0, 0.8249)
    return head.ljust(128, b"\0") + table + data


# The colorants of Display P3, and those of sRGB (IEC 61966-2-1), as their published ICC profiles have them for D50.
WIDE = ((0.51512, 0.2412, -0.00105), (0.29198, 0.69225, 0.04189), (0.1571, 0.06657, 0.78407))
NARROW = ((0.43607, 0.22249, 0.01392), (0.38515, 0.71687, 0.09708), (0.14307, 0.06061, 0.7141))


def in_srgb(colour: tuple[int, int, int]) -> tuple[int, ...]:
    """Return a colour of the wide gamut in sRGB, by the matrices and the curve of IEC 61966-2-1."""
    light = np.array([(value / 255) ** 2.2 for value in colour]) @ np.array(WIDE) @ np.linalg.inv(np.array(NARROW))
    light = np.clip(light, 0, 1)
    return tuple(round(255 * (12.92 * v if v <= 0.0031308 else 1.055 * v ** (1 / 2.4) - 0.055)) for v in light)


@pytest.mark.parametrize("mode", ["RGB", "RGBA", "P"])
@pytest.mark.parametrize("colour", [(180, 90, 60), (60, 140, 110), (128, 128, 128)])
def test_a_photograph_of_a_wider_gamut_is_brought_to_srgb(
    tmp_path: pathlib.Path, colour: tuple[int, int, int], mode: str
) -> None:
    path = tmp_path / "wide.png"
    plain = Image.new("RGB", (40, 40), colour)
    (plain.quantize() if mode == "P" else plain.convert(mode)).save(path, icc_profile=wide_gamut())
    made, picture = make(path)
    found = picture.convert("RGB").getpixel((20, 20))
    assert isinstance(found, tuple)
    assert max(abs(one - other) for one, other in zip(found, in_srgb(colour), strict=True)) <= 3
    assert colour[0] == colour[1] or max(abs(one - other) for one, other in zip(found, colour, strict=True)) > 8
    assert "icc_profile" not in picture.info
    assert b"wide" not in made.data


def test_a_sideways_photograph_is_set_upright(tmp_path: pathlib.Path) -> None:
    exif = Image.Exif()
    exif[0x0112] = 6  # the camera was held on its side: turn a quarter clockwise
    path = tmp_path / "side.jpg"
    halves().save(path, exif=exif, quality=95)
    made, picture = make(path)
    assert (made.width, made.height) == (40, 60)
    assert close(picture.convert("RGB").getpixel((20, 5)), RED)
    assert close(picture.convert("RGB").getpixel((20, 55)), GREEN)


def test_transparent_parts_become_white_paper_not_black(tmp_path: pathlib.Path) -> None:
    path = tmp_path / "clear.png"
    picture = Image.new("RGBA", (20, 20), (0, 0, 0, 0))
    picture.paste((*RED, 255), (0, 0, 10, 20))
    picture.save(path)
    _, out = make(path)
    assert close(out.convert("RGB").getpixel((15, 10)), (255, 255, 255))
    assert close(out.convert("RGB").getpixel((5, 10)), RED)


def test_a_palette_with_a_clear_colour_becomes_white_paper(tmp_path: pathlib.Path) -> None:
    path = tmp_path / "clear.gif"
    picture = Image.new("P", (20, 20), 0)
    picture.putpalette([0, 0, 0, 200, 30, 30])
    picture.paste(1, (0, 0, 10, 20))
    picture.save(path, transparency=0)
    _, out = make(path)
    assert close(out.convert("RGB").getpixel((15, 10)), (255, 255, 255))


@pytest.mark.parametrize("name", ["scan.jpg", "scan.tif"])
def test_a_scanners_four_colours_do_not_come_out_as_a_negative(tmp_path: pathlib.Path, name: str) -> None:
    path = tmp_path / name
    halves("CMYK").save(path)
    _, out = make(path)
    assert close(out.convert("RGB").getpixel((10, 20)), RED)
    assert close(out.convert("RGB").getpixel((50, 20)), GREEN)


def test_a_scan_in_sixteen_bits_keeps_its_greys(tmp_path: pathlib.Path) -> None:
    path = tmp_path / "grey.png"
    Image.new("I;16", (10, 10), 32768).save(path)
    _, out = make(path)
    assert close(out.convert("RGB").getpixel((5, 5)), (128, 128, 128))


def test_a_large_photograph_is_made_smaller(tmp_path: pathlib.Path) -> None:
    path = tmp_path / "wide.jpg"
    halves(size=(4000, 1000)).save(path)
    made, _ = make(path)
    assert (made.width, made.height) == (LONGEST_PIXELS, LONGEST_PIXELS // 4)


@pytest.mark.parametrize(("size", "said"), [((20000, 10000), "many more"), ((12000, 9000), "12000 by 9000")])
def test_a_picture_larger_than_memory_is_refused_unopened(
    tmp_path: pathlib.Path, size: tuple[int, int], said: str
) -> None:
    path = tmp_path / "bomb.png"
    header = struct.pack(">IIBBBBB", *size, 8, 2, 0, 0, 0)
    chunks = [(b"IHDR", header), (b"IDAT", zlib.compress(b"\0" * 100)), (b"IEND", b"")]
    path.write_bytes(
        b"\x89PNG\r\n\x1a\n"
        + b"".join(
            struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
            for kind, data in chunks
        )
    )
    made, (finding,) = make_photograph(path, "pictures/bomb.png", NOWHERE)
    assert made is None
    assert finding.line(ENGLISH) == (
        f"pictures/bomb.png:1:1: warning: expected at most 100 million pixels, found {said}"
    )


def test_a_phones_own_format_named_jpg_is_said_in_words(tmp_path: pathlib.Path) -> None:
    path = tmp_path / "IMG_1.jpg"
    path.write_bytes(b"\0\0\0\x18ftypheic" + b"\0" * 40)
    made, (finding,) = make_photograph(path, "pictures/IMG_1.jpg", NOWHERE)
    assert made is None
    assert "HEIC" in told(finding.message)
    assert "JPEG" in told(finding.put_right)


def test_a_jpeg_named_heic_is_used_and_said(tmp_path: pathlib.Path) -> None:
    path = tmp_path / "IMG_1.HEIC"
    halves().save(path, "JPEG")
    made, (finding,) = make_photograph(path, "pictures/IMG_1.HEIC", NOWHERE)
    assert made is not None
    assert (finding.code, told(finding.put_right)) == (
        "picture-misnamed",
        "rename it to IMG_1.jpg and mend the places that name it",
    )


@pytest.mark.parametrize("raw", [b"", b"not a picture", b"\xff\xd8\xff\xe0 cut short", b"GIF89a"])
def test_what_is_no_photograph_is_said(tmp_path: pathlib.Path, raw: bytes) -> None:
    path = tmp_path / "dash.jpg"
    path.write_bytes(raw)
    made, findings = make_photograph(path, "pictures/dash.jpg", NOWHERE)
    assert made is None
    assert [finding.code for finding in findings] == ["picture-unreadable"]


def test_the_cache_gives_the_same_bytes_and_forgets_what_is_not_used(tmp_path: pathlib.Path) -> None:
    path = tmp_path / "dash.jpg"
    halves().save(path)
    cache = Cache(tmp_path / "cache")
    first, _ = make_photograph(path, "pictures/dash.jpg", cache)
    again, _ = make_photograph(path, "pictures/dash.jpg", Cache(tmp_path / "cache"))
    assert first == again
    ignored = tmp_path / "cache" / ".gitignore"
    assert ignored.read_text(encoding="utf-8") == "*\n", "never committed with the facts beside it"
    kept = [path for path in (tmp_path / "cache").iterdir() if path != ignored]
    assert len(kept) == 3  # one for each width
    kept[0].write_bytes(b"0\ndamaged")
    mended, _ = make_photograph(path, "pictures/dash.jpg", Cache(tmp_path / "cache"))
    assert mended == first
    Cache(tmp_path / "cache").tidy()
    assert list((tmp_path / "cache").iterdir()) == [ignored]
