"""Bytes to text: encodings, line ends, and signs that no screen shows."""

from __future__ import annotations

from guide.facts.text.problem import Problem, Trouble
from guide.finding import Place

__all__ = ["decode", "split_lines"]

# Characters that YAML takes for line ends, or that nobody sees: named, and read as a space or as nothing.
_INVISIBLE = {
    "\x85": ("a next-line character (U+0085)", " "),
    "\u2028": ("a line separator (U+2028)", " "),
    "\u2029": ("a paragraph separator (U+2029)", " "),
    "\u200b": ("a zero-width space (U+200B)", ""),
    "\u2060": ("a word joiner (U+2060)", ""),
    "\ufeff": ("a byte order mark in the middle of the file (U+FEFF)", ""),
}


def split_lines(text: str) -> tuple[str, ...]:
    """Return the lines as an editor counts them."""
    return tuple(text.split("\n"))


def decode(data: bytes, file: str) -> tuple[str, list[Trouble]]:
    """Return the text with ``\\n`` for every line end, and what is wrong with its encoding.

    UTF-8 with or without a byte order mark is right. Anything else is an error that names the first byte
    concerned; the text is then read as well as can be, so that further problems come out in the same run.
    """
    troubles: list[Trouble] = []
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        text = data.decode("utf-16", errors="replace")
        troubles.append(Trouble(_not_utf8('the file is saved as UTF-16 ("Unicode")'), Place(file)))
    elif data.count(b"\0") * 3 > len(data):  # every other byte: UTF-16 without its mark
        text = data.decode("utf-16-be" if data.startswith(b"\0") else "utf-16-le", errors="replace")
        troubles.append(Trouble(_not_utf8('the file is saved as UTF-16 ("Unicode")'), Place(file)))
    else:
        data = data.removeprefix(b"\xef\xbb\xbf")
        try:
            text = data.decode("utf-8")
        except UnicodeDecodeError as error:
            text = data.decode("cp1252", errors="replace")
            line_start = max(data.rfind(b"\n", 0, error.start), data.rfind(b"\r", 0, error.start)) + 1
            before = data[:line_start].replace(b"\r\n", b"\n").replace(b"\r", b"\n")
            column = len(data[line_start : error.start].decode("utf-8", errors="replace")) + 1
            byte = data[error.start]
            reads = bytes([byte]).decode("cp1252", errors="replace")
            what = f"found the byte 0x{byte:02X}, which is {reads!r} in windows-1252"
            troubles.append(Trouble(_not_utf8(what), Place(file, before.count(b"\n") + 1, column)))
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    text, more = _without_invisible(text, file)
    return text, troubles + more


def _not_utf8(found: str) -> Problem:
    return Problem(
        "not-utf-8",
        f"expected text in UTF-8, {found}",
        "save the file again as UTF-8 (Notepad: File, Save as, and choose UTF-8 under Encoding)",
    )


def _place_at(text: str, index: int, file: str) -> Place:
    return Place(file, text.count("\n", 0, index) + 1, index - (text.rfind("\n", 0, index) + 1) + 1)


def _without_invisible(text: str, file: str) -> tuple[str, list[Trouble]]:
    troubles = []
    for character, (name, instead) in _INVISIBLE.items():
        if character in text:
            place = _place_at(text, text.index(character), file)
            times = text.count(character)
            often = "" if times == 1 else f" and {times - 1} more"
            troubles.append(
                Trouble(
                    Problem(
                        "invisible-character",
                        f"found {name}, which no screen shows{often}",
                        "delete it and type a space or a new line; it comes with text copied from web pages",
                    ),
                    place,
                )
            )
            text = text.replace(character, instead)
    for index, character in enumerate(text):
        if (character < " " and character not in "\n\t") or character == "\x7f":
            troubles.append(
                Trouble(
                    Problem(
                        "control-character",
                        f"found a control character (U+{ord(character):04X})",
                        "delete it, or open the file in a plain text editor and save it again",
                    ),
                    _place_at(text, index, file),
                )
            )
            text = "".join(c if (c >= " " and c != "\x7f") or c in "\n\t" else " " for c in text)
            break
    return text, troubles
