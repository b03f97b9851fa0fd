"""Reads a stylesheet far enough to lint it: blocks, declarations and lines; comments and strings understood.

Follows the shape of CSS Syntax Level 3 (blocks, at-rules, declarations) and leaves out what the theme has no
use for: escapes outside strings and braces as values.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

__all__ = ["Block", "Declaration", "read_css", "walk", "without_comments"]


@dataclass(frozen=True, slots=True)
class Declaration:
    """``name: value``; the line is counted from 1. At-rules without a block have an empty value."""

    name: str
    value: str
    line: int


@dataclass(frozen=True, slots=True)
class Block:
    """A prelude (a selector, or an at-rule with its condition) and what stands between its braces."""

    prelude: str
    line: int
    declarations: tuple[Declaration, ...]
    blocks: tuple[Block, ...]


def without_comments(text: str) -> str:
    """Return the text with every comment blanked, lines kept, strings untouched."""
    kept: list[str] = []
    at = 0
    while at < len(text):
        if text.startswith("/*", at):
            end = text.find("*/", at + 2)
            end = len(text) if end < 0 else end + 2
            kept.append("".join("\n" if letter == "\n" else " " for letter in text[at:end]))
        elif text[at] in "\"'":
            end = _end_of_string(text, at)
            kept.append(text[at:end])
        else:
            end = at + 1
            kept.append(text[at])
        at = end
    return "".join(kept)


def _end_of_string(text: str, at: int) -> int:
    quote, at = text[at], at + 1
    while at < len(text) and text[at] not in (quote, "\n"):
        at += 2 if text[at] == "\\" else 1
    return min(at + 1, len(text))


def read_css(text: str) -> Block:
    """Return the whole sheet as one block without a prelude.

    Raises ValueError when braces do not match: a browser would drop what follows without a word.
    """
    reader = _Reader(without_comments(text))
    block = reader.block("", 1)
    if reader.at < len(reader.text):
        raise ValueError(f"line {reader.line(reader.at)}: a closing brace too many")
    return block


class _Reader:
    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0

    def line(self, at: int) -> int:
        return self.text.count("\n", 0, at) + 1

    def block(self, prelude: str, line: int) -> Block:
        declarations: list[Declaration] = []
        blocks: list[Block] = []
        while True:
            start, piece, stop = self._piece()
            words, at = piece.strip(), self.line(start + len(piece) - len(piece.lstrip()))
            if stop == "{":
                blocks.append(self.block(" ".join(words.split()), at))
                if self.at >= len(self.text) or self.text[self.at] != "}":
                    raise ValueError(f"line {at}: the block is never closed")
                self.at += 1
                continue
            if words:
                name, _, value = ("", "", "") if words.startswith("@") else words.partition(":")
                declarations.append(Declaration((name.strip() or words), " ".join(value.split()), at))
            if stop != ";":
                return Block(prelude, line, tuple(declarations), tuple(blocks))

    def _piece(self) -> tuple[int, str, str]:
        """Read up to ``;``, ``{`` or ``}`` outside brackets and strings; a closing brace is left standing."""
        start, depth = self.at, 0
        while self.at < len(self.text):
            letter = self.text[self.at]
            if letter in "\"'":
                self.at = _end_of_string(self.text, self.at)
                continue
            if letter == "}" or (depth == 0 and letter in ";{"):
                piece = self.text[start : self.at]
                self.at += letter != "}"
                return start, piece, letter
            depth += (letter in "([") - (letter in ")]")
            self.at += 1
        return start, self.text[start:], ""


def walk(block: Block, above: tuple[str, ...] = ()) -> Iterator[tuple[tuple[str, ...], Block]]:
    """Yield every block with the preludes above it, in the order of the sheet."""
    for inner in block.blocks:
        yield above, inner
        yield from walk(inner, (*above, inner.prelude))
