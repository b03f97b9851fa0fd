"""Cuts a script into tokens, far enough to lint it: comments are gone, strings and patterns stand apart.

Follows the lexical grammar of ECMA-262. A slash begins a pattern where an operand is expected; after a
closing bracket of any sort it is taken for a division.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from dataclasses import dataclass

__all__ = ["Token", "tokens_of"]

_SPACE = re.compile(r"(?:\s|//[^\n]*|/\*.*?\*/)+", re.DOTALL)
_WORD = re.compile(r"#?[\w$]+")
_STRING = re.compile(r"'(?:\\.|[^'\\\n])*'|\"(?:\\.|[^\"\\\n])*\"", re.DOTALL)
_NUMBER = re.compile(r"(?:0[xXoObB][\da-fA-F_]+|\d[\d_]*\.?[\d_]*(?:[eE][+-]?\d+)?|\.\d+(?:[eE][+-]?\d+)?)n?")
_PATTERN = re.compile(r"/((?:\\.|\[(?:\\.|[^\]\\\n])*\]|[^/\\\[\n])+)/([a-z]*)")
_SIGN = re.compile(r"\?\.(?!\d)|=>|\.\.\.|&&=|\|\|=|\?\?=|&&|\|\||\?\?|\*\*|[<>=!]=+|.", re.DOTALL)
_OPERAND_AFTER = {
    "return",
    "typeof",
    "case",
    "in",
    "of",
    "delete",
    "void",
    "throw",
    "new",
    "else",
    "do",
    "await",
    "yield",
    "instanceof",
}


@dataclass(frozen=True, slots=True)
class Token:
    """One piece of a script; ``kind`` is word, number, string (without its quotes), pattern or sign."""

    kind: str
    text: str
    line: int


def tokens_of(text: str) -> list[Token]:
    """Return the tokens of a script; what stands in ``${}`` counts as script.

    Raises ValueError for a string or template literal that is never closed.
    """
    reader = _Reader(text)
    assert reader.read(0) == len(text)
    return reader.tokens


class _Reader:
    """A script, and what was read of it so far."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.tokens: list[Token] = []
        self._line_ends = [found.start() for found in re.finditer("\n", text)]

    def _line(self, at: int) -> int:
        return bisect_left(self._line_ends, at) + 1

    def read(self, at: int, ends_with: str = "") -> int:
        """Read on to a sign, or to the end; return where that stands."""
        text, depth = self.text, 0
        while True:
            space = _SPACE.match(text, at)
            at = space.end() if space else at
            if at >= len(text):
                if ends_with:
                    raise ValueError("a template literal is never closed")
                return at
            if ends_with and text[at] == ends_with and depth == 0:
                return at
            if text[at] == "`":
                at = self._read_template(at + 1)
                continue
            token, at = _one(text, at, self._line(at), self.tokens[-1] if self.tokens else None)
            depth += (token.text == "{") - (token.text == "}") if token.kind == "sign" else 0
            self.tokens.append(token)

    def _read_template(self, at: int) -> int:
        text, start = self.text, at
        while at < len(text):
            if text[at] == "\\":
                at += 2
            elif text[at] == "`":
                self.tokens.append(Token("string", text[start:at], self._line(start)))
                return at + 1
            elif text.startswith("${", at):
                line = self._line(start)
                self.tokens += [Token("string", text[start:at], line), Token("sign", "+", line)]
                at = start = self.read(at + 2, "}") + 1
                self.tokens.append(Token("sign", "+", line))
            else:
                at += 1
        raise ValueError("a template literal is never closed")


def _one(text: str, at: int, line: int, last: Token | None) -> tuple[Token, int]:
    operand = last is None or last.text in _OPERAND_AFTER or (last.kind == "sign" and last.text not in ")]}")
    tries: list[tuple[str, re.Pattern[str]]] = [("number", _NUMBER), ("word", _WORD), ("string", _STRING)]
    if operand:
        tries.append(("pattern", _PATTERN))
    tries.append(("sign", _SIGN))
    for kind, pattern in tries:
        found = pattern.match(text, at)
        if found:
            inside = found[0][1:-1] if kind == "string" else found[0]
            if kind == "sign" and inside in "\"'":
                raise ValueError(f"line {line}: a string is never closed")
            return Token(kind, inside, line), found.end()
    raise AssertionError("a sign is any one letter")
