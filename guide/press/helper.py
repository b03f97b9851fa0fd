"""A second process that takes its share of the work where there is a second core.

Pieces of work lie in one heap, from which both take the next when they are done with the last, so that neither waits
for the other. What the second has made is handed over thing by thing once the heap is empty; what it has not handed
over, because it failed, is made here.
"""

from __future__ import annotations

import os
import pickle
import signal
import threading
from collections.abc import Callable, Iterator
from contextlib import suppress
from itertools import takewhile
from typing import Any

__all__ = ["Helper", "can_help"]

_NUMBER = 4  # bytes of a piece's number in the heap
_ROOM = 65_536 // _NUMBER  # numbers that a pipe holds everywhere


def can_help(pieces: int) -> bool:
    """Tell whether a second process can take its share of so many pieces: there is a core for it, this system can begin
    one where another stands, and no other thread runs that would be left in the middle of something."""
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    return hasattr(os, "fork") and cores > 1 and threading.active_count() == 1 and pieces <= _ROOM


class Helper:
    """The second process; it does ``work`` on its pieces, numbered from nought, and hands over what that yields."""

    def __init__(self, pieces: int, work: Callable[[Iterator[int]], Iterator[object]]) -> None:
        self._heap, fill = os.pipe()
        os.write(fill, b"".join(number.to_bytes(_NUMBER, "big") for number in range(pieces)))
        os.close(fill)
        self._handed, hand = os.pipe()
        self._process = os.fork()
        if self._process == 0:
            self._help(work, hand)
        os.close(hand)

    def _help(self, work: Callable[[Iterator[int]], Iterator[object]], hand: int) -> None:
        status, parent = 1, os.getppid()
        try:
            os.close(self._handed)
            with open(hand, "wb") as stream:
                for one in work(takewhile(lambda _: os.getppid() == parent, self.pieces())):
                    pickle.dump(one, stream, pickle.HIGHEST_PROTOCOL)
            status = 0
        finally:
            os._exit(status)  # not a word, and nothing of what the other process has to do at its end

    def pieces(self) -> Iterator[int]:
        """Take piece after piece from the heap until it is empty."""
        while number := os.read(self._heap, _NUMBER):
            yield int.from_bytes(number, "big")

    def made(self) -> Iterator[Any]:
        """Yield what is handed over, once the heap is empty."""
        with open(self._handed, "rb", closefd=False) as stream, suppress(EOFError, pickle.UnpicklingError):
            while True:
                yield pickle.load(stream)

    def stop(self) -> None:
        """End the other process, if it still runs, and forget it."""
        with suppress(ProcessLookupError):
            os.kill(self._process, signal.SIGKILL)
        os.waitpid(self._process, 0)
        os.close(self._heap)
        os.close(self._handed)
