"""Bytes to text: encodings, line ends, and signs that no screen shows."""

from __future__ import annotations

import re
import unicodedata

from guide.finding import Finding, Place
from guide.sentence import sentence

__all__ = ["composed", "decode"]

# Characters that YAML takes for line ends, or that nobody sees: named, and read as a space or as nothing.
_INVISIBLE = {
    "\x85": ("next-line", " "),
    "\u2028": ("line-separator", " "),
    "\u2029": ("paragraph-separator", " "),
    "\u200b": ("zero-width-space", ""),
    "\u2060": ("word-joiner", ""),
    "\ufeff": ("byte-order-mark", ""),
    # A name that is read from right to left, or shown turned about, is not the name that was typed.
    **dict.fromkeys("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069", ("direction", "")),
}
_CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f]")


def decode(data: bytes, file: str, *, of_table: bool = False) -> tuple[str, list[Finding]]:
    """Return the text with ``\\n`` for every line end and its letters composed, and what is wrong with its encoding.

    UTF-8 with or without a byte order mark is right. Anything else is an error that names the first byte
    concerned; the text is then read as well as can be, so that further problems come out in the same run.
    A table in windows-1252 is only warned of: that is what spreadsheets save.
    """
    found: list[Finding] = []
    halves = data.count(b"\0") * 3 > len(data)  # every other byte: UTF-16, perhaps without its mark
    if data.startswith((b"\xff\xfe", b"\xfe\xff")) or halves:
        marked = data.startswith((b"\xff\xfe", b"\xfe\xff"))
        encoding = "utf-16" if marked else "utf-16-be" if data.startswith(b"\0") else "utf-16-le"
        text = data.decode(encoding, errors="replace")
        found.append(Finding.of("facts.not-utf-8.utf-16", Place(file)))
    else:
        data = data.removeprefix(b"\xef\xbb\xbf")
        try:
            text = data.decode("utf-8")
        except UnicodeDecodeError as error:
            text = data.decode("cp1252", errors="replace")
            before = _lined(data[: error.start].decode("utf-8"))
            sign = data[error.start : error.start + 1].decode("cp1252", errors="replace")
            name = "facts.read-as-windows-1252" if of_table else "facts.not-utf-8"
            place = _place_at(before, len(before), file)
            found.append(Finding.of(name, place, byte=f"{data[error.start]:02X}", sign=repr(sign)))
    text = composed(_lined(text))
    for character, (sign_name, instead) in _INVISIBLE.items():
        if times := text.count(character):
            name = "facts.invisible-character.several" if times > 1 else "facts.invisible-character"
            place = _place_at(text, text.index(character), file)
            found.append(
                Finding.of(
                    name,
                    place,
                    sign=sentence(f"facts.sign.{sign_name}", number=f"{ord(character):04X}"),
                    more=times - 1,
                )
            )
            text = text.replace(character, instead)
    if control := _CONTROL.search(text):
        place = _place_at(text, control.start(), file)
        found.append(Finding.of("facts.control-character", place, number=f"{ord(control[0]):04X}"))
    return _CONTROL.sub(" ", text), found


def composed(text: str) -> str:
    """Return a text, or a file's name, with its letters composed (Unicode's NFC): some systems write names the other
    way, and what looks the same is to be the same."""
    return unicodedata.normalize("NFC", text)


def _lined(text: str) -> str:
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _place_at(text: str, index: int, file: str) -> Place:
    return Place(file, text.count("\n", 0, index) + 1, index - text.rfind("\n", 0, index))
