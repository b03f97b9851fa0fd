"""Files that are nobody else's business: letters, and what is handed over. They stand neither in what is published nor
among the facts, but for the private folder there."""

from __future__ import annotations

import argparse
from pathlib import Path

from guide.command.calls import CallIsOff
from guide.facts.text.folder import PRIVATE

__all__ = ["check_private", "write_private"]


def check_private(options: argparse.Namespace) -> None:
    """Raise CallIsOff where the file that ``--to`` names would be published or handed on with the facts."""
    if options.to is None or options.to.resolve().is_relative_to((options.content / PRIVATE).resolve()):
        return
    for folder in (options.out, options.content):
        if options.to.resolve().is_relative_to(folder.resolve()):
            raise CallIsOff.of("letter.not-there", file=str(options.to), folder=str(folder))


def write_private(path: Path, text: str) -> None:
    """Write a text to a file. Raises CallIsOff where that cannot be done."""
    try:
        path.write_text(text, encoding="utf-8", newline="\n")
    except OSError as error:
        raise CallIsOff.of("letter.not-written", file=str(path), why=error.strerror or str(error)) from None
