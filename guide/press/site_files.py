"""The files of a site in the making: few stand in memory, the rest in a nameless file of the system's.

That file is seen by nobody else, and gone with the process that opened it, however that ends. Where the disk takes no
more, all stands in memory as before.
"""

from __future__ import annotations

import errno
import os
import tempfile
from collections.abc import Iterator, MutableMapping
from pathlib import Path
from typing import IO

__all__ = ["SiteFiles"]

_ROOM_BYTES = 16_000_000  # in memory: a guide of fifty parts needs no disk until it is published


class SiteFiles(MutableMapping[str, bytes]):
    """Bytes by output name; of two processes, one may not read what the other has written.

    ``beside`` is a folder where there is room for what does not stand in memory, more than ``room`` bytes; the system's
    own place for such files is taken where that is none.
    """

    def __init__(self, beside: Path | None = None, room: int | None = None) -> None:
        self._beside, self._room = beside, _ROOM_BYTES if room is None else room
        self._held: dict[str, bytes | tuple[int, int]] = {}  # the bytes, or where they begin on the disk and how many
        self._disk: IO[bytes] | None = None
        self._end = 0

    def __getitem__(self, name: str) -> bytes:
        held = self._held[name]
        return held if isinstance(held, bytes) else self._read(*held)

    def __setitem__(self, name: str, data: bytes) -> None:
        before = self._held.get(name)
        if isinstance(before, bytes):
            self._room += len(before)
        if len(data) <= self._room:
            self._room -= len(data)
            self._held[name] = data
            return
        try:
            at = before[0] if isinstance(before, tuple) and before[1] == len(data) else self._end
            self._write(at, data)
        except OSError:
            self._room -= len(data)
            self._held[name] = data
        else:
            self._held[name] = at, len(data)
            self._end = max(self._end, at + len(data))

    def __delitem__(self, name: str) -> None:
        del self._held[name]

    def __contains__(self, name: object) -> bool:
        return name in self._held

    def __iter__(self) -> Iterator[str]:
        return iter(self._held)

    def __len__(self) -> int:
        return len(self._held)

    def __del__(self) -> None:
        if self._disk is not None:
            self._disk.close()

    def size(self, name: str) -> int:
        """Return how many bytes a file has."""
        held = self._held[name]
        return len(held) if isinstance(held, bytes) else held[1]

    def _write(self, at: int, data: bytes) -> None:
        if self._disk is None:
            near = self._beside if self._beside is not None and self._beside.is_dir() else None
            self._disk = tempfile.TemporaryFile(buffering=0, dir=near)  # noqa: SIM115  (open as long as this lives)
        self._disk.seek(at)
        left = memoryview(data)
        while left:
            left = left[self._disk.write(left) :]

    def _read(self, at: int, count: int) -> bytes:
        assert self._disk is not None, "what stands on the disk was written there"
        self._disk.seek(at)
        found = self._disk.read(count)
        if len(found) < count:
            raise OSError(errno.EIO, os.strerror(errno.EIO))
        return found
