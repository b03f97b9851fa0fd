"""What the terminal shows, fitted to its window: long lines wrapped between words, colour for what a finding matters.

Only where it is a terminal, and colour where that shows it: what goes into a file or another program stays as it is.
``NO_COLOR`` in the environment takes the colour away, as is usual (no-color.org).
"""

from __future__ import annotations

import os
import shutil
import textwrap
from collections.abc import Iterable
from typing import TextIO

from guide.finding import Finding, Severity
from guide.words.say import Words

__all__ = ["fitted", "say", "say_parts", "shown"]

_COLOURS = {Severity.ERROR: "1;31", Severity.WARNING: "33", Severity.NOTE: "36"}  # ECMA-48: bold red, yellow, cyan
_NARROWEST = 30  # columns: narrower than this nothing is wrapped


def fitted(text: str, out: TextIO) -> str:
    """Return a text with its lines wrapped to the window, what follows of each set in as its beginning is."""
    if not out.isatty():
        return text
    wide = shutil.get_terminal_size().columns - 1
    return "\n".join(_wrapped(line, wide) for line in text.split("\n"))


def say(text: str, out: TextIO) -> None:
    """Print what is meant to be read and not to be pasted, fitted to the window."""
    print(fitted(text, out), file=out, flush=True)


def say_parts(lead: str, parts: Iterable[tuple[str, Iterable[str]]], out: TextIO) -> None:
    """Print what goes ahead, and headings, each with its lines."""
    say(lead, out)
    for heading, lines in parts:
        say(f"\n{heading}", out)
        for line in lines:
            say(f"  {line}", out)


def _wrapped(line: str, wide: int) -> str:
    inset = " " * (len(line) - len(line.lstrip()))
    if len(line) <= wide or wide < _NARROWEST + len(inset):
        return line
    return textwrap.fill(
        line, wide, subsequent_indent=f"{inset}  ", break_long_words=False, break_on_hyphens=False, drop_whitespace=True
    )


def shown(finding: Finding, words: Words, out: TextIO) -> str:
    """Return a finding as this window shows it."""
    text = fitted(finding.printed(words), out)
    if not out.isatty() or os.environ.get("NO_COLOR") or not _colours_are_shown():
        return text
    place = str(finding.place)
    return text.replace(place, f"\x1b[{_COLOURS[finding.severity]}m{place}\x1b[0m", 1)


def _colours_are_shown() -> bool:
    """Tell whether a terminal knows how colours are written; Windows' older window prints the signs themselves."""
    return "WT_SESSION" in os.environ if os.name == "nt" else os.environ.get("TERM") != "dumb"
