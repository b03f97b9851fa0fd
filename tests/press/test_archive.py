"""The archive: unpacked, it is the site; and the same files are the same bytes."""

from __future__ import annotations

import io
import zipfile

from guide.press.archive import ARCHIVE, zipped


def test_what_is_packed_is_unpacked_again_but_for_the_archive_itself() -> None:
    files = {"index.html": b"<p>Look.</p>" * 40, "marks/Türgriff.html": b"", "pictures/noise.png": bytes(range(256))}
    packed = zipped("guide", {**files, ARCHIVE: b"of the last time"})
    with zipfile.ZipFile(io.BytesIO(packed)) as archive:
        assert archive.testzip() is None
        assert {name: archive.read(name) for name in archive.namelist()} == {
            f"guide/{name}": data for name, data in files.items()
        }
        assert {one.external_attr >> 16 for one in archive.infolist()} == {0o644}
        assert {one.date_time for one in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}
    assert packed == zipped("guide", dict(reversed(files.items())))
