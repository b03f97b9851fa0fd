"""The archive: the whole site in one zip, to take along."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping

__all__ = ["ARCHIVE", "zip_of"]

ARCHIVE = "guide.zip"


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
