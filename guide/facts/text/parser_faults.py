"""The parser's complaints, told from the text itself.

PyYAML's two parsers word the same fault differently, so the fault is told from the text at the place they
name; their own words only choose between what can stand there. Each rule below looks at one `Fault` and
either knows it or leaves it to the next; the last one knows them all.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Sequence
from contextlib import suppress
from dataclasses import dataclass

import yaml

from guide.facts.text.problem import Problem
from guide.sentence import one_of

__all__ = ["Fault", "explain_parser_error"]

_At = tuple[int, int]  # line and column from 0
_Told = tuple[Problem, _At]
_CANNOT_BEGIN = frozenset("@`%&*!|>?,-")
_LONGEST_LINE = 10_000  # characters; what stands in a longer one is not guessed at, which would take hours
_KEY = r"[^\W\d_][\w -]*"


@dataclass(frozen=True, slots=True)
class Fault:
    """What the parser says, and of which text; ``at`` is the place, ``began`` where the thing begins."""

    problem: str
    context: str
    lines: Sequence[str]
    at: _At
    began: _At
    keys: Collection[str] = ()  # those that stand anywhere in such a file

    @property
    def line(self) -> str:
        return self.lines[self.at[0]]

    @property
    def here(self) -> str:
        return self.line[self.at[1] : self.at[1] + 1]


def explain_parser_error(fault: Fault) -> tuple[Problem, _At]:
    """Return what is wrong, and where; places are line and column from 0."""
    unknown = Problem.of("facts.not-yaml.unknown", why=fault.problem or fault.context), fault.at
    rules = _RULES if len(fault.line) <= _LONGEST_LINE else _RULES[:2]
    return next((told for rule in rules if (told := rule(fault))), unknown)


def _quotes(fault: Fault) -> _Told | None:
    if "quoted scalar" not in fault.context:
        return None
    if "escape" in fault.problem:
        return Problem.of("facts.bad-escape"), (fault.at[0], fault.line.rfind("\\", 0, fault.at[1] + 1))
    row, column = fault.began
    quote = fault.lines[row][column : column + 1] or '"'
    return Problem.of("facts.unclosed-quotes", quote=quote), fault.began


def _opened_above(fault: Fault) -> _Told | None:
    """Quotes that nobody closed end at the next quotation mark, lines below; what stands behind that fits nowhere."""
    text = "\n".join(fault.lines)
    opened: tuple[yaml.Mark, yaml.Mark] | None = None
    with suppress(yaml.YAMLError):
        for token in yaml.scan(text, yaml.SafeLoader):
            if token.start_mark.line > fault.at[0]:
                break
            if isinstance(token, yaml.ScalarToken) and token.style in ("'", '"'):
                opened = token.start_mark, token.end_mark
    if opened is None or opened[0].line == opened[1].line or opened[1].line < fault.at[0] - 1:
        return None
    row, column = opened[0].line, opened[0].column
    swallowed = fault.lines[row + 1 : opened[1].line + 1]
    if not any(re.match(rf"\s*(?:- +)*{_KEY}:(?:\s|$)", line) for line in swallowed):
        return None
    return Problem.of("facts.unclosed-quotes", quote=fault.lines[row][column]), (row, column)


def _tab(fault: Fault) -> _Told | None:
    if not re.match(r" *\t", fault.line) and fault.here != "\t":
        return None
    return Problem.of("facts.tab"), (fault.at[0], fault.line.index("\t"))


def _blank_missing(fault: Fault) -> _Told | None:
    """A key with no blank after its colon swallows the line that follows: look at both lines."""
    for row in (fault.at[0], fault.at[0] - 1):
        line = fault.lines[row] if row >= 0 else ""
        match = re.match(rf"(\s*(?:- +)*{_KEY}):(?!//)([^\s:]\S*|\u00a0.*)", line)
        if match and not re.search(r":[ \t]", line):
            name = "facts.no-blank.no-break-space" if match[2].startswith("\u00a0") else "facts.no-blank"
            return Problem.of(name, key=match[1].strip(), text=match[2].strip()), (row, match.end(1))
    return None


def _no_dash(fault: Fault) -> _Told | None:
    """A list as a word processor sets it: a bullet or a long dash at its head, or round brackets for braces."""
    match = re.match(r"(?P<inset>\s*)(?P<sign>[•·◦‣▪–—])\s*(?P<text>\S.*)", fault.line)
    if match:
        text = match["text"].strip()
        return Problem.of("facts.no-blank.bullet", sign=match["sign"], text=text), (fault.at[0], match.start("sign"))
    match = re.match(rf"\s*(?:- +)*(?:{_KEY}: +)?(?P<round>\((?P<text>{_KEY}: [^()]*)\))\s*$", fault.line)
    if match:
        return Problem.of("facts.unclosed-bracket.round", open="{", text=match["text"], close="}"), (
            fault.at[0],
            match.start("round"),
        )
    return None


def _two_keys(fault: Fault) -> _Told | None:
    """A second key behind the value of the first, where nothing holds the two together."""
    if "mapping values are not allowed" not in fault.problem:
        return None
    match = re.match(
        rf"\s*(?:- +)+(?P<one>(?P<key>{_KEY}): +(?P<value>[^\s:][^:]*?))[ ,;]+(?P<rest>{_KEY}): ", fault.line
    )
    if match is None or match["key"] not in fault.keys:
        return None
    second = max((key for key in fault.keys if match["rest"] == key), key=len, default="")
    if not second:
        return None
    whole = f"{{{match['one']}, {fault.line[match.start('rest') :].split(' #')[0].strip()}}}"
    return Problem.of("facts.no-comma.no-braces", key=second, better=whole), (fault.at[0], match.start("one"))


def _colon(fault: Fault) -> _Told | None:
    """A text with a colon and a blank in it: the commonest fault of all."""
    if "mapping values are not allowed" not in fault.problem:
        return None
    row, column = fault.at
    match = re.match(r"\s*(?:- )*([^:#]+?):\s+(.*?)\s*(?:\s#.*)?$", fault.line)
    if match and column > match.end(1):
        return _colon_in_text(match[1], match[2]), (row, match.start(2))
    if row and (told := _lost_colon(fault, row - 1)):
        return told
    return Problem.of("facts.indentation.further-right"), (row, len(fault.line) - len(fault.line.lstrip()))


def _lost_colon(fault: Fault, row: int) -> _Told | None:
    """Return that a line has lost its colon, or has another sign in its place; None for one that has it."""
    line = fault.lines[row]
    match = re.match(r"(?P<before>\s*(?:- +)*)(?P<text>[^\s#:][^:#]*)$", line)
    if match is None:
        return None
    text = match["text"].strip()
    known = sorted((key for key in fault.keys if text.casefold().startswith(key)), key=len)
    key = known[-1] if known else re.split(r"[\s;=]", text)[0]
    rest = text[len(key) :].lstrip(" ;=,").strip()
    return Problem.of("facts.no-colon.of", key=key, text=rest), (row, match.start("text"))


def _colon_in_text(key: str, text: str) -> Problem:
    return Problem.of("facts.colon-in-text", key=key, quoted=_quoted(text))


def _colon_in_braces(fault: Fault) -> _Told | None:
    if "flow" not in fault.context:
        return None
    plain = r"[^,{}\[\]\"']*"
    match = re.search(rf"({_KEY}):\s+((?![\s,\"'\[{{]){plain}?:\s[^,{{}}\[\]]*)", fault.line)
    if match:
        value = match[2].split(":")[0]
        key = max((one for one in fault.keys if value.endswith(f" {one}")), key=len, default="")
        if key:
            text = value.removesuffix(f" {key}").rstrip(" ;.|/")
            said = Problem.of("facts.no-comma", key=key, found=f"{value}:", better=f"{text}, {key}:")
            return said, (fault.at[0], match.start(2))
    return (_colon_in_text(match[1].strip(), match[2].strip()), (fault.at[0], match.start(2))) if match else None


def _block_text(fault: Fault) -> _Told | None:
    if "block scalar" not in fault.context:
        return None
    start = max(fault.line.rfind("|", 0, fault.at[1] + 1), fault.line.rfind(">", 0, fault.at[1] + 1))
    quoted = _quoted(fault.line[start:].strip())
    return Problem.of("facts.needs-quotes.block", sign=fault.line[start], quoted=quoted), (fault.at[0], start)


def _dash(fault: Fault) -> _Told | None:
    match = re.match(r"\s*-(?=[{\[\"'\w])(?!\d)(.*)", fault.line)
    if match is None:
        return None
    return Problem.of("facts.no-blank.dash", text=match[1]), (fault.at[0], fault.line.index("-"))


def _dash_too_many(fault: Fault) -> _Told | None:
    """A dash at the head of one line among lines of keys: at the fault, or before it at the first of dated lines; or of
    a list, of which the line before has lost its own."""
    for row in (fault.at[0], max(fault.at[0] - 1, 0)):
        match = re.match(r"(?P<inset> *)- +(?P<text>(?P<key>[^\s:#'\"\[{][^:#]*): +\S.*)$", fault.lines[row])
        other = fault.lines[row - 1 if row == fault.at[0] else row + 1] if row else ""
        beside = match and re.match(rf"{match['inset']}(?P<key>[^\s:#-][^:#]*):\s+[^\s#]", other)
        if match and beside and (row == fault.at[0] or not {match["key"], beside["key"]} & set(fault.keys)):
            return Problem.of("facts.indentation.dash", text=match["text"].strip()), (row, match.end("inset"))
    head = re.match(r"(?P<inset> *)- ", fault.line)
    if head is None or fault.at[0] == 0 or fault.at[1] != head.end("inset"):
        return None
    before = re.match(rf"{head['inset']}(?P<braces>\{{[^#]*\}})\s*(?:#.*)?$", fault.lines[fault.at[0] - 1])
    if before:
        said = Problem.of("facts.no-blank.bullet", sign="{", text=before["braces"])
        return said, (fault.at[0] - 1, head.end("inset"))
    return Problem.of("facts.indentation"), fault.at


def _cannot_begin(fault: Fault) -> _Told | None:
    percent = next((row for row, line in enumerate(fault.lines) if line.startswith("%")), None)
    if percent is not None and ("directive" in fault.context or "document start" in fault.problem):
        row, start = percent, 0
    elif fault.here == "," and "flow" in fault.context and re.search(r"[,{\[]\s*$", fault.line[: fault.at[1]]):
        return Problem.of("facts.no-comma.one-too-many", better=_without(fault).removeprefix("- ")), fault.at
    elif fault.here in _CANNOT_BEGIN or "alias" in fault.context or "anchor" in fault.context:
        row = fault.at[0]
        begins = list(re.finditer(r"(?:^|[:\-,\[{]\s+|\s)([-@`%&*!|>?,])", fault.line[: fault.at[1] + 1]))
        within = bool(begins) and fault.line[: begins[-1].start(1)].count("{") > fault.line[
            : begins[-1].start(1)
        ].count("}")
        match = begins[-1 if within else 0] if begins else None
        start = match.start(1) if match else min(fault.at[1], max(len(fault.line) - 1, 0))
        if within:
            text = re.split(r"[,}\]]", fault.lines[row][start:])[0].strip()
            return Problem.of("facts.needs-quotes", sign=text[:1], quoted=_quoted(text)), (row, start)
    else:
        return None
    text = fault.lines[row][start:].strip()
    return Problem.of("facts.needs-quotes", sign=text[:1], quoted=_quoted(text)), (row, start)


def _bracket(fault: Fault) -> _Told | None:
    if "flow" in fault.context:
        return Problem.of("facts.unclosed-bracket", closing=one_of("]}")), fault.began
    if fault.here and fault.here in "]}":
        return Problem.of("facts.unclosed-bracket.closes-nothing", sign=fault.here, better=_without(fault)), fault.at
    return None


def _without(fault: Fault) -> str:
    """Return the line without the sign at which it cannot be read, nor the same again after it."""
    rest = re.sub(rf"^(?:\s*{re.escape(fault.here)})+", "", fault.line[fault.at[1] :])
    return (fault.line[: fault.at[1]] + rest).strip()


def _after_quotes(fault: Fault) -> _Told | None:
    match = re.match(rf"\s*(?:- )*(?:{_KEY}: +)?(?:(\"[^\"]*\")|('[^']*'))", fault.line)
    if not match or fault.at[1] < match.end() or not fault.line[match.end() :].strip():
        return None
    start = match.start(1 if match[1] else 2)
    text = fault.line[start:].strip()
    quote = "'" if match[1] else '"'
    inner = text.replace("'", "''") if match[1] else _within_single(text).replace('"', '\\"')
    return Problem.of("facts.needs-quotes.after", quoted=f"{quote}{inner}{quote}"), (fault.at[0], start)


def _within_single(text: str) -> str:
    """Return a text without the single quotes round it, where what else is in it are apostrophes; else all of it."""
    inner = text[1:-1]
    return inner if text.endswith("'") and "'" not in re.sub(r"(?<=\w)'(?=\w)", "", inner) else text


def _no_colon(fault: Fault) -> _Told | None:
    if "simple key" not in fault.context and "could not find expected ':'" not in fault.problem:
        return None
    return _lost_colon(fault, fault.began[0]) or (Problem.of("facts.no-colon"), fault.began)


def _indentation(fault: Fault) -> _Told | None:
    if "block" not in fault.context and "document start" not in fault.problem:
        return None
    row, column = fault.at
    inset = [len(line) - len(line.lstrip()) for line in fault.lines[max(row - 1, 0) : row + 2] if line.strip()]
    if len(inset) == 3 and inset[0] > inset[1] == inset[2] and not fault.lines[row - 1].rstrip().endswith(":"):
        row, column = row - 1, inset[0]  # the line before is the one that stands apart
    return Problem.of("facts.indentation"), (row, column)


_RULES: tuple[Callable[[Fault], _Told | None], ...] = (
    _quotes,
    _opened_above,
    _tab,
    _no_dash,
    _two_keys,
    _colon_in_braces,
    _block_text,
    _blank_missing,
    _colon,
    _dash,
    _dash_too_many,
    _cannot_begin,
    _bracket,
    _after_quotes,
    _no_colon,
    _indentation,
)


def _quoted(text: str) -> str:
    return f'"{text}"' if '"' not in text else "'" + text.replace("'", "''") + "'"
