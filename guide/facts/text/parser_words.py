"""The parser's messages in plain words.

PyYAML's two parsers word the same fault differently, so the fault is told from the text at the place they
name; their own words only choose between what can stand there. Each rule below looks at one `_Fault` and
either knows it or leaves it to the next; the last one knows them all.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from guide.facts.text.problem import Problem

__all__ = ["explain_parser_error"]

_At = tuple[int, int]  # line and column from 0
_Told = tuple[Problem, _At]
_CANNOT_BEGIN = frozenset("@`%&*!|>?,-")
_KEY = r"[^\W\d_][\w -]*"


@dataclass(frozen=True, slots=True)
class _Fault:
    """What the parser says, and of which text; ``at`` is the place, ``began`` where the thing begins."""

    problem: str
    context: str
    lines: tuple[str, ...]
    at: _At
    began: _At

    @property
    def line(self) -> str:
        return self.lines[self.at[0]]

    @property
    def here(self) -> str:
        return self.line[self.at[1] : self.at[1] + 1]


def explain_parser_error(
    problem: str, context: str, lines: tuple[str, ...], at: _At, began: _At
) -> tuple[Problem, _At]:
    """Return what is wrong in plain words, and where; places are line and column from 0."""
    last = len(lines) - 1
    fault = _Fault(problem, context, lines, (min(at[0], last), at[1]), (min(began[0], last), began[1]))
    for rule in _RULES:
        told = rule(fault)
        if told is not None:
            return told
    cannot = Problem("not-yaml", f"this cannot be read: {problem or context}", "put quotes round the text")
    return cannot, fault.at


def _quotes(fault: _Fault) -> _Told | None:
    if "quoted scalar" not in fault.context:
        return None
    if "escape" in fault.problem:
        return Problem(
            "bad-escape",
            "found a backslash inside double quotes with a letter that means nothing after it",
            "use single quotes round the text, or write two backslashes",
        ), (fault.at[0], fault.line.rfind("\\", 0, fault.at[1] + 1))
    row, column = fault.began
    quote = fault.lines[row][column : column + 1] or '"'
    return Problem(
        "unclosed-quotes",
        f"the quotes that begin here with {quote} are never closed",
        f"put {quote} at the end of the text; a quotation mark of that kind inside it is written twice",
    ), fault.began


def _tab(fault: _Fault) -> _Told | None:
    if not re.match(r" *\t", fault.line) and fault.here != "\t":
        return None
    return Problem(
        "tab", "found a tab where spaces belong", "use spaces before a key, after a colon and after a dash"
    ), (fault.at[0], fault.line.index("\t"))


def _blank_missing(fault: _Fault) -> _Told | None:
    """A key with no blank after its colon swallows the line that follows: look at both lines."""
    for row in (fault.at[0], fault.at[0] - 1):
        if row < 0:
            continue
        match = re.match(rf"(\s*(?:- +)*{_KEY}):(?!//)([^\s:]\S*|\u00a0.*)", fault.lines[row])
        if match and not re.search(r":[ \t]", fault.lines[row]):
            sign = "a no-break space, which does not count" if match[2].startswith("\u00a0") else "none"
            return Problem(
                "no-blank",
                f"expected a blank after the colon, found {sign}",
                f"write `{match[1].strip()}: {match[2].strip()}`",
            ), (row, match.end(1))
    return None


def _colon(fault: _Fault) -> _Told | None:
    """A text with a colon and a blank in it: the commonest fault of all."""
    if "mapping values are not allowed" not in fault.problem:
        return None
    row, column = fault.at
    match = re.match(r"\s*(?:- )*([^:#]+?):\s+(.*?)\s*(?:\s#.*)?$", fault.line)
    if match and column > match.end(1):
        key, text = match.group(1), match.group(2)
        return _colon_in_text(key, text), (row, match.start(2))
    return Problem(
        "indentation",
        "this key stands further right than the ones it belongs with",
        "give the keys of one thing the same number of spaces; text over several lines needs `|` first",
    ), (row, len(fault.line) - len(fault.line.lstrip()))


def _colon_in_text(key: str, text: str) -> Problem:
    return Problem(
        "colon-in-text",
        f"the text after `{key}:` has a colon and a blank in it, which makes it look like a key",
        f"put quotes round this: {key}: {_quoted(text)}",
    )


def _colon_in_braces(fault: _Fault) -> _Told | None:
    if "flow" not in fault.context:
        return None
    row = fault.at[0]
    plain = r"[^,{}\[\]\"']*"
    match = re.search(rf"({_KEY}):\s+((?![\s,\"'\[{{]){plain}?:\s[^,{{}}\[\]]*)", fault.line)
    return (_colon_in_text(match[1].strip(), match[2].strip()), (row, match.start(2))) if match else None


def _block_text(fault: _Fault) -> _Told | None:
    if "block scalar" not in fault.context:
        return None
    start = max(fault.line.rfind("|", 0, fault.at[1] + 1), fault.line.rfind(">", 0, fault.at[1] + 1))
    sign = fault.line[start]
    return Problem(
        "needs-quotes",
        f"after {sign} the text begins on the next line, found text on the same line",
        f"put quotes round this: {_quoted(fault.line[start:].strip())}",
    ), (fault.at[0], start)


def _cannot_begin(fault: _Fault) -> _Told | None:
    percent = next((row for row, line in enumerate(fault.lines) if line.startswith("%")), None)
    if percent is not None and ("directive" in fault.context or "document start" in fault.problem):
        row, start = percent, 0
    elif fault.here in _CANNOT_BEGIN or "alias" in fault.context or "anchor" in fault.context:
        row = fault.at[0]
        match = re.search(r"(?:^|[:\-,\[{]\s+|\s)([-@`%&*!|>?,])", fault.line[: fault.at[1] + 1])
        start = match.start(1) if match else min(fault.at[1], max(len(fault.line) - 1, 0))
    else:
        return None
    text = fault.lines[row][start:].strip()
    return Problem(
        "needs-quotes", f"a text may not begin with {text[:1]} here", f"put quotes round this: {_quoted(text)}"
    ), (row, start)


def _bracket(fault: _Fault) -> _Told | None:
    if fault.here and fault.here in "]}" and "flow" not in fault.context:
        return Problem(
            "unclosed-bracket",
            f"found {fault.here}, which closes nothing",
            "take it out, or put quotes round the text it belongs to",
        ), fault.at
    if "flow" in fault.context:
        return Problem(
            "unclosed-bracket",
            "the bracket or brace that opens here is not closed, or a text inside it needs quotes",
            "close it with ] or }; inside, put quotes round text that has a comma, colon or bracket in it",
        ), fault.began
    return None


def _after_quotes(fault: _Fault) -> _Told | None:
    match = re.match(rf"\s*(?:- )*(?:{_KEY}: +)?(?:(\"[^\"]*\")|('[^']*'))", fault.line)
    if not match or fault.at[1] < match.end() or not fault.line[match.end() :].strip():
        return None
    start = match.start(1 if match[1] else 2)
    text = fault.line[start:].strip()
    quote = "'" if match[1] else '"'
    inner = text.replace("'", "''") if match[1] else text.strip("'").replace('"', '\\"')
    return Problem(
        "needs-quotes", "the text goes on after its closing quote", f"put quotes round all of it: {quote}{inner}{quote}"
    ), (fault.at[0], start)


def _no_colon(fault: _Fault) -> _Told | None:
    if "simple key" not in fault.context and "could not find expected ':'" not in fault.problem:
        return None
    return Problem(
        "no-colon",
        "expected a key with a colon after it, found a line without one",
        "write `key: text`, or put two more spaces before the line when it goes on with the text above",
    ), fault.began


def _indentation(fault: _Fault) -> _Told | None:
    if "block" not in fault.context and "document start" not in fault.problem:
        return None
    return Problem(
        "indentation",
        "this line does not stand under the one it belongs to",
        "give the keys of one thing, or the dashes of one list, the same number of spaces before them",
    ), fault.at


_RULES: tuple[Callable[[_Fault], _Told | None], ...] = (
    _quotes,
    _tab,
    _colon_in_braces,
    _block_text,
    _blank_missing,
    _colon,
    _cannot_begin,
    _bracket,
    _after_quotes,
    _no_colon,
    _indentation,
)


def _quoted(text: str) -> str:
    return f'"{text}"' if '"' not in text else "'" + text.replace("'", "''") + "'"
