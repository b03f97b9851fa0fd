"""The archive: read by another program's rules, and the same bytes whatever was packed before."""

from __future__ import annotations

import io
import pathlib
import zipfile

from guide.press.archive import zipped
from guide.press.cache import Cache
from guide.press.offline import finds


def site(mark: str) -> dict[str, bytes]:
    """Return a small site with a mark, its fingerprint alone, both beside one another, and at either end of a file."""
    page = f'<meta content="{mark}" data-fingerprint="{mark[:8]}">{"Look at it. " * 400}{mark[:8]}{mark}</p>'
    return {
        "index.html": page.encode(),
        "marks/Türgriff.html": f"{mark}{page}{mark[:8]}".encode(),
        "marks/plain.css": b"p { color: red }" * 40,
        "marks/empty.txt": b"",
        "pictures/noise.png": bytes(range(256)) * 9,
    }


def test_another_program_unpacks_what_was_packed() -> None:
    files = site("0123456789abcdef01234567")
    for marks in (finds("0123456789abcdef01234567"), finds("nowhere in any of these.")):
        with zipfile.ZipFile(io.BytesIO(zipped("guide", files, marks=marks))) as archive:
            assert archive.testzip() is None
            assert {name: archive.read(name) for name in archive.namelist()} == {
                f"guide/{name}": data for name, data in files.items()
            }
            assert {one.external_attr >> 16 for one in archive.infolist()} == {0o644}


def test_what_was_packed_before_changes_no_byte(tmp_path: pathlib.Path) -> None:
    store = Cache(tmp_path / "kept")
    for mark in ("0123456789abcdef01234567", "fedcba98fedcba9876543210", "0123456789abcdef01234567"):
        files = site(mark)
        assert zipped("guide", files, store, finds(mark)) == zipped("guide", files, None, finds(mark))
        del files["pictures/noise.png"]
        files["marks/new.html"] = files["index.html"].replace(b"Look", b"Do not look", 1)
        assert zipped("guide", files, store, finds(mark)) == zipped("guide", files, None, finds(mark))
