"""Archives: the whole site in one zip, to take along."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping

__all__ = ["ARCHIVE", "zip_of", "zipped"]

ARCHIVE = "guide.zip"


def zip_of(site: Mapping[str, bytes]) -> dict[str, bytes]:
    """Return the whole site as an archive under its name; one that it has already stays out."""
    return {ARCHIVE: zipped("guide", site)}


def zipped(folder: str, files: Mapping[str, bytes]) -> bytes:
    """Return files within a folder as an archive, the same bytes for the same files."""
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        for name in sorted(files.keys() - {ARCHIVE}):
            entry = zipfile.ZipInfo(f"{folder}/{name}", (1980, 1, 1, 0, 0, 0))
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.external_attr = 0o644 << 16
            archive.writestr(entry, files[name])
    return stream.getvalue()
