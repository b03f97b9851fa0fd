"""The parser's messages in plain words.

PyYAML's two parsers word the same fault differently, so the fault is told from the text at the place they
name, and their own words are only used to choose between what can stand there.
"""

from __future__ import annotations

import re

from guide.facts.problem import Problem

__all__ = ["explain_parser_error"]

_At = tuple[int, int]  # line and column from 0
_CANNOT_BEGIN = "@`%&*!|>"


def explain_parser_error(
    problem: str, context: str, lines: tuple[str, ...], at: _At, began: _At
) -> tuple[Problem, _At]:
    """Return what is wrong in plain words, and where; places are line and column from 0."""
    row = min(at[0], len(lines) - 1)
    line = lines[row]
    here = line[at[1] : at[1] + 1]
    if "quoted scalar" in context:
        quote = lines[min(began[0], len(lines) - 1)][began[1] : began[1] + 1] or '"'
        if "escape" in problem:
            return Problem(
                "bad-escape",
                "found a backslash inside double quotes with a letter that means nothing after it",
                "use single quotes round the text, or write two backslashes",
            ), at
        return Problem(
            "unclosed-quotes",
            f"the quotes that begin here with {quote} are never closed",
            f"put {quote} at the end of the text; a quotation mark inside it is written twice",
        ), began
    if _has_tab_indent(lines, row):
        return Problem(
            "tab",
            "found a tab at the start of the line",
            "use spaces; a tab is not allowed before a key or a dash",
        ), (row, lines[row].index("\t"))
    if "mapping values are not allowed" in problem:
        return _colon_or_indent(lines, at)
    if here in tuple(_CANNOT_BEGIN) or "alias" in context or "anchor" in context:
        start = _value_start(line, at[1])
        text = line[start:].strip()
        return Problem(
            "needs-quotes",
            f"a text may not begin with {line[start : start + 1]!r} here",
            f"put quotes round this: {_quoted(text)}",
        ), (row, start)
    if "flow" in context or here in ("]", "}"):
        return Problem(
            "unclosed-bracket",
            "a bracket or brace that opens here is not closed, or text inside it needs quotes",
            "close it with ] or }; inside { } put quotes round text that has a comma, colon or bracket in it",
        ), began
    if "simple key" in context or "could not find expected ':'" in problem:
        return Problem(
            "no-colon",
            "expected a key with a colon after it, found a line without one",
            "write `key: text`, or put two more spaces before the line when it goes on with the text above",
        ), began if began[0] < len(lines) else at
    if "block" in context or "document start" in problem:
        return Problem(
            "indentation",
            "this line does not stand under the one it belongs to",
            "give the keys of one thing the same number of spaces before them",
        ), (row, at[1])
    return Problem("not-yaml", f"this cannot be read: {problem or context}", "put quotes round the text"), at


def _has_tab_indent(lines: tuple[str, ...], row: int) -> bool:
    return bool(re.match(r" *\t", lines[row]))


def _colon_or_indent(lines: tuple[str, ...], at: _At) -> tuple[Problem, _At]:
    """A colon where none is allowed: a text with a colon and a blank in it, or a line too far right."""
    row, column = at
    line = lines[row]
    match = re.match(r"\s*(?:- )*([^:#]+?):\s+(.*?)\s*(?:#.*)?$", line)
    if match and column > match.end(1):
        key, text = match.group(1), match.group(2)
        return Problem(
            "colon-in-text",
            f"the text after `{key}:` has a colon and a blank in it, which makes it look like a key",
            f"put quotes round this: {key}: {_quoted(text)}",
        ), (row, match.start(2))
    return Problem(
        "indentation",
        "this key stands further right than the ones it belongs with",
        "give the keys of one thing the same number of spaces; text over several lines needs `|` first",
    ), (row, len(line) - len(line.lstrip()))


def _value_start(line: str, column: int) -> int:
    """Where the value that holds this column begins."""
    match = re.search(r"(?:^|[:\-,\[{]\s+|\s)([@`%&*!|>])", line[: column + 1])
    return match.start(1) if match else min(column, max(len(line) - 1, 0))


def _quoted(text: str) -> str:
    return f'"{text}"' if '"' not in text else "'" + text.replace("'", "''") + "'"
