"""Results worth keeping between builds: bytes under a key made of everything they depend on.

A lost, stale or damaged cache costs time and nothing else: each entry carries the digest of its bytes.
"""

from __future__ import annotations

import hashlib
import os
from contextlib import suppress
from pathlib import Path

__all__ = ["Cache"]

_IGNORED = ".gitignore"  # of all that is kept, so that it is never committed with the facts that it lies beside


class Cache:
    """Bytes by key in a folder, or nowhere when ``folder`` is None or cannot be written."""

    def __init__(self, folder: Path | None) -> None:
        self.folder = folder
        self.used: set[str] = set()

    def get(self, key: str) -> bytes | None:
        """Return what was put under a key, or None."""
        if self.folder is None:
            return None
        try:
            digest, data = self._path(key).read_bytes().split(b"\n", 1)
        except (OSError, ValueError):
            return None
        return data if digest == hashlib.sha256(data).hexdigest().encode() else None

    def put(self, key: str, data: bytes) -> None:
        """Keep bytes under a key; a folder that cannot be written keeps nothing."""
        if self.folder is None:
            return
        with suppress(OSError):
            self.folder.mkdir(parents=True, exist_ok=True)
            if not (ignored := self.folder / _IGNORED).exists():
                ignored.write_text("*\n", encoding="utf-8")
            path = self._path(key)
            part = path.with_suffix(f".{os.getpid()}")
            with part.open("wb") as file:  # what is large stands in memory once
                file.write(hashlib.sha256(data).hexdigest().encode() + b"\n")
                file.write(data)
            os.replace(part, path)

    def hold(self, key: str) -> None:
        """Let what was put under a key stay, as if this build asked for it."""
        if self.folder is not None:
            self._path(key)

    def tidy(self) -> None:
        """Remove what this build did not ask for, so that the folder does not grow for ever."""
        if self.folder is None or not self.folder.is_dir():
            return
        for path in self.folder.iterdir():
            if path.name not in {*self.used, _IGNORED}:
                with suppress(OSError):
                    path.unlink()

    def _path(self, key: str) -> Path:
        assert self.folder is not None
        name = hashlib.sha256(key.encode()).hexdigest()[:32]
        self.used.add(name)
        return self.folder / name
