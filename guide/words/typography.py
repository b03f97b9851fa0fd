"""Typed apostrophes, quotation marks, dashes and minus signs as print has them, character for character.

The editor types what the keyboard has: ', " and -. Readers see ’, ‘ ’ and “ ”, or what the guide's language uses,
a dash where a hyphen stands between two blanks, and a minus before a figure (Bringhurst, The Elements of
Typographic Style, on quotation marks, apostrophes and dashes; the pairs are those of Unicode CLDR). Feet and
inches, which the keyboard writes alike, stay as typed. Nothing else is touched, and every character keeps its
place, so that marked-up text can be set piece by piece.
"""

from __future__ import annotations

__all__ = ["BREAK", "typographic"]

BREAK = "\x1e"  # between two texts set in one go: neither looks across it

# Double and single pairs by language, or by language and region, as CLDR has them (from memory, but for English and
# German). A language that is not here has only its apostrophes set: French wants blanks inside its marks as well.
_CURLY, _LOW, _NORDIC = ("“", "”", "‘", "’"), ("„", "“", "‚", "‘"), ("”", "”", "’", "’")
_PAIRS = {
    **dict.fromkeys(("en", "nl", "pt"), _CURLY),
    **dict.fromkeys(("de", "cs", "sk"), _LOW),
    **dict.fromkeys(("sv", "fi"), _NORDIC),
    **dict.fromkeys(("es", "it"), ("«", "»", "“", "”")),
    "de-ch": ("«", "»", "‹", "›"),
    "pl": ("„", "”", "«", "»"),
    "nb": ("«", "»", "‘", "’"),
}
_OPENING = frozenset(" \t\n\xa0([{—–-/„“‚‘«‹") | {BREAK, ""}
_BLANK = frozenset(" \t\n\xa0(") | {BREAK, ""}
_TYPED = frozenset("'\"-")
_ELIDED = ("em", "tis", "twas", "til", "cause", "n")  # words that begin with an apostrophe


def typographic(text: str, language: str = "en") -> str:
    """Return ``text`` with its ', " and - as ``language`` (a tag such as ``en-GB``) prints them, of equal length."""
    if not _TYPED.intersection(text):
        return text
    tag = language.lower()
    pairs = _PAIRS.get(tag) or _PAIRS.get(tag.partition("-")[0])
    setter = _Setter(text, pairs)
    return "".join(setter.set(at, sign) for at, sign in enumerate(text))


class _Setter:
    """Sets one text, knowing which quotations are open."""

    def __init__(self, text: str, pairs: tuple[str, str, str, str] | None) -> None:
        self.text = text
        self.pairs = pairs
        self.double = self.single = False

    def set(self, at: int, sign: str) -> str:
        """Return the sign to print for the one typed at a place."""
        if sign == BREAK:
            self.double = self.single = False
        before, after = self.text[at - 1 : at] if at else "", self.text[at + 1 : at + 2]
        if sign == "-":
            return _dash(before, after)
        if sign == '"' and self.pairs:
            return self._double(before, after, self.pairs)
        return self._single(at, before, after) if sign == "'" else sign

    def _double(self, before: str, after: str, pairs: tuple[str, str, str, str]) -> str:
        if before in _OPENING or (before == "'" and not self.double):
            if after.isspace() or not after:
                return '"'
            self.double = True
            return pairs[0]
        if not self.double and before.isdigit():
            return '"'  # inches
        self.double = False
        return pairs[1]

    def _single(self, at: int, before: str, after: str) -> str:
        if before.isalnum() and after.isalpha():
            return "’"
        if before in _OPENING or before == '"':
            rest = self.text[at + 1 : at + 8]
            elided = any(rest.startswith(word) and not rest[len(word) : len(word) + 1].isalpha() for word in _ELIDED)
            if after.isdigit() or elided:
                return "’"  # the ’68 car
            if not self.pairs or not (after.isalpha() or after == '"'):
                return "'"
            self.single = True
            return self.pairs[2]
        if before.isdigit() and not self.single:
            return "'"  # feet
        if self.single and self.pairs and not after.isalnum():
            self.single = False
            return self.pairs[3]
        return "’"


def _dash(before: str, after: str) -> str:
    """Return what a hyphen stands for: a minus before a figure, a dash between two blanks, else itself."""
    if before in _BLANK and after.isdigit():
        return "−"
    return "–" if before in (" ", "\xa0") and after in (" ", "\xa0") else "-"
