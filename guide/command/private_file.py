"""Files that are nobody else's business: letters, and what is handed over. They stand neither in what is published nor
among the facts, but for the private folder there."""

from __future__ import annotations

from pathlib import Path

from guide.command.calls import Call, CallIsOff
from guide.facts.text.folder import PRIVATE

__all__ = ["check_private", "write_private"]


def check_private(call: Call) -> None:
    """Raise CallIsOff where the file that ``--to`` names would be published or handed on with the facts."""
    to = call.options.to
    if to is None or to.resolve().is_relative_to((call.content / PRIVATE).resolve()):
        return
    for folder in (call.out, call.content):
        if to.resolve().is_relative_to(folder.resolve()):
            raise CallIsOff.of("letter.not-there", file=str(to), folder=str(folder))


def write_private(path: Path, text: str) -> None:
    """Write a text to a file. Raises CallIsOff where that cannot be done."""
    try:
        path.write_text(text, encoding="utf-8", newline="\n")
    except OSError as error:
        raise CallIsOff.of("letter.not-written", file=str(path), why=error.strerror or str(error)) from None
