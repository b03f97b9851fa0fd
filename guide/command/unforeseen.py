"""The net beneath every command: what nobody foresaw becomes a finding that says what to send to whom."""

from __future__ import annotations

import pathlib
import traceback

from guide.finding import Finding, Place

__all__ = ["unforeseen"]

_PROGRAM = pathlib.Path(__file__).resolve().parent.parent
_LONGEST = 200  # characters of what an exception says of itself
_FRAMES = 5  # of the places that led there, the last


def unforeseen(error: Exception) -> Finding:
    """Return the finding of an exception that nothing caught; its place is the program's own, where it was raised."""
    frames = traceback.extract_tb(error.__traceback__)
    own = [frame for frame in frames if _PROGRAM in pathlib.Path(frame.filename).resolve().parents]
    names = [pathlib.Path(frame.filename).resolve().relative_to(_PROGRAM.parent).as_posix() for frame in own]
    way = [f"{name}:{frame.lineno}" for name, frame in zip(names, own, strict=True)]
    place = Place(names[-1], own[-1].lineno or 1) if own else Place("build.py")
    why = " ".join(str(error).split())[:_LONGEST]
    return Finding.of(
        "command.unforeseen", place, kind=type(error).__name__, why=why or "-", way=" ".join(way[-_FRAMES:]) or "-"
    )
