"""Text as it is compared: without capitals and accents, and a part number without its spacing and signs."""

from __future__ import annotations

import re
import unicodedata

__all__ = ["WORD", "compact", "fold"]

_SPECIAL = {"ß": "ss", "æ": "ae", "œ": "oe", "ø": "o", "đ": "d", "ł": "l", "ı": "i", "þ": "th", "ð": "d"}
WORD = re.compile(r"[^\W_]+")


def fold(text: str) -> str:
    """Return text without capitals and accents, in which two ways of writing one word are alike."""
    if text.isascii():
        return text.lower()
    spelt = "".join(_SPECIAL.get(letter, letter) for letter in unicodedata.normalize("NFC", text).lower())
    parted = unicodedata.normalize("NFKD", spelt)
    return "".join(letter for letter in parted if not unicodedata.category(letter).startswith("M"))


def compact(text: str) -> str:
    """Return only the letters and digits of a part number, folded: "T 1091-3" is T1091/3."""
    return "".join(WORD.findall(fold(text)))
