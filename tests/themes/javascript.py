"""Cuts a script into tokens, far enough to lint it: comments are gone, strings and patterns stand apart.

Follows the lexical grammar of ECMA-262. A slash begins a pattern where an operand is expected; after a
closing bracket of any sort it is taken for a division.
"""

from __future__ import annotations

import re
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
    tokens: list[Token] = []
    at = _read(text, 0, tokens, ends_with="")
    assert at == len(text)
    return tokens


def _read(text: str, at: int, tokens: list[Token], *, ends_with: str) -> int:
    depth = 0
    while True:
        space = _SPACE.match(text, at)
        at = space.end() if space else at
        if at >= len(text):
            if ends_with:
                raise ValueError("a template literal is never closed")
            return at
        line = text.count("\n", 0, at) + 1
        if ends_with and text[at] == ends_with and depth == 0:
            return at
        if text[at] == "`":
            at = _read_template(text, at + 1, tokens)
            continue
        token, at = _one(text, at, line, tokens[-1] if tokens else None)
        depth += (token.text == "{") - (token.text == "}") if token.kind == "sign" else 0
        tokens.append(token)


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


def _read_template(text: str, at: int, tokens: list[Token]) -> int:
    start = at
    while at < len(text):
        line = text.count("\n", 0, start) + 1
        if text[at] == "\\":
            at += 2
        elif text[at] == "`":
            tokens.append(Token("string", text[start:at], line))
            return at + 1
        elif text.startswith("${", at):
            tokens.append(Token("string", text[start:at], line))
            tokens.append(Token("sign", "+", line))
            at = start = _read(text, at + 2, tokens, ends_with="}") + 1
            tokens.append(Token("sign", "+", line))
        else:
            at += 1
    raise ValueError("a template literal is never closed")
