"""A long build says how far it is, on a terminal only, and leaves nothing behind."""

from __future__ import annotations

import io

from guide.command.progress import progress
from tests.told import ENGLISH


class Terminal(io.StringIO):
    """A stream that somebody looks at."""

    def isatty(self) -> bool:
        return True


def test_nobody_is_told_where_nobody_looks() -> None:
    assert progress(ENGLISH, io.StringIO()) is None


def test_a_long_build_says_how_far_it_is_and_takes_its_line_away() -> None:
    terminal = Terminal()
    told = progress(ENGLISH, terminal, iter([0.0, 1.0, 2.5, 2.5, 2.6, 3.0, 3.0]).__next__)
    assert told is not None
    for done in (1, 2, 3, 4):  # at 1, 2.5, 2.6 and 3 seconds
        told(done, 20)
    told(20, 20)
    assert terminal.getvalue() == "\r2 of 20 pages\r4 of 20 pages\r             \r"


def test_a_short_build_says_nothing() -> None:
    terminal = Terminal()
    told = progress(ENGLISH, terminal, lambda: 0.0)
    assert told is not None
    for done in range(1, 21):
        told(done, 20)
    assert terminal.getvalue() == ""
