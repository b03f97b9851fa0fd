"""How far a long build is, told on a terminal and nowhere else, in one line that is gone when the build is done."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import TextIO

from guide.words.say import Words

__all__ = ["Told", "progress"]

Told = Callable[[int, int], None]  # pages done, pages in all
_SILENT_SECONDS, _EVERY_SECONDS = 2.0, 0.2  # a short build needs no such line; a line a page would flicker


def progress(words: Words, stream: TextIO, clock: Callable[[], float] = time.monotonic) -> Told | None:
    """Return what tells how far a build is; None where nobody looks on. The last page takes the line away."""
    if not stream.isatty():
        return None
    next_at, shown = clock() + _SILENT_SECONDS, 0

    def told(done: int, pages: int) -> None:
        nonlocal next_at, shown
        if shown and done == pages:
            stream.write("\r" + " " * shown + "\r")
        elif done < pages and clock() >= next_at:
            line = words.say("command.making", done=done, pages=pages)
            stream.write(f"\r{line:<{shown}}")
            next_at, shown = clock() + _EVERY_SECONDS, len(line)
        else:
            return
        stream.flush()

    return told
