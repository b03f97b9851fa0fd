"""Text to nodes: YAML composed so that every scalar stays text and knows its place.

YAML 1.1 turns ``no``, ``1.10``, ``00412`` and ``1968-03`` into things the editor never typed. So nothing is
resolved here: the parser's events are built into three kinds of node, and the field that wants a value
converts it. Building from events (and not from the parser's own nodes) also lets depth, size and the
expansion of aliases be capped before anything is unfolded, without recursion.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

import yaml

from guide.facts.text.decoding import split_lines
from guide.facts.text.parser_words import explain_parser_error
from guide.facts.text.problem import Problem, Trouble
from guide.facts.values import Text
from guide.finding import Place

__all__ = ["MAX_BYTES", "MAX_DEPTH", "MAX_NODES", "Items", "Keyed", "Node", "compose"]

MAX_BYTES = 4_000_000  # a file of facts is a few kilobytes; this is a mistake or mischief
MAX_DEPTH = 24  # the deepest fact stands nine levels down
MAX_NODES = 200_000  # after unfolding aliases

_LOADER: Any = getattr(yaml, "CLoader", yaml.Loader)


@dataclass(frozen=True, slots=True)
class Items:
    """A list."""

    items: tuple[Node, ...]
    place: Place


@dataclass(frozen=True, slots=True)
class Keyed:
    """A mapping, in the order typed; no key stands twice. ``braces`` tells ``{a: b}`` from lines."""

    pairs: tuple[tuple[Text, Node], ...]
    place: Place
    braces: bool = False

    def get(self, key: str) -> Node | None:
        """Return the value at a key, or None."""
        return next((value for name, value in self.pairs if name == key), None)


Node = Text | Items | Keyed


def compose(text: str, file: str, loader: Any = None) -> tuple[Node | None, list[Trouble]]:
    """Return the one document of a file as nodes, and its troubles; None when empty or unreadable."""
    text = _without_inner_tabs(text)
    builder = _Builder(file, split_lines(text))
    try:
        for event in yaml.parse(text, Loader=loader or _LOADER):
            if not builder.take(event):
                break
    except yaml.MarkedYAMLError as error:
        builder.troubles.append(_trouble_of(error, text, file))
        return None, builder.troubles
    except yaml.YAMLError as error:  # the reader's own errors carry no mark
        problem = Problem("not-yaml", f"this cannot be read as YAML: {error}", "compare it with a file that works")
        builder.troubles.append(Trouble(problem, Place(file)))
        return None, builder.troubles
    return builder.root, builder.troubles


def _without_inner_tabs(text: str) -> str:
    """Return the text with a space for each tab that does not stand at the start of its line.

    The two parsers differ over tabs after a colon, after a dash and inside a text, where they do no harm.
    """
    if "\t" not in text:
        return text
    lines = []
    for line in split_lines(text):
        rest = line.lstrip(" \t")
        lines.append(line[: len(line) - len(rest)] + rest.replace("\t", " "))
    return "\n".join(lines)


def _trouble_of(error: yaml.MarkedYAMLError, text: str, file: str) -> Trouble:
    lines = split_lines(text)
    mark = error.problem_mark or error.context_mark
    at = (mark.line, mark.column) if mark else (0, 0)
    began = (error.context_mark.line, error.context_mark.column) if error.context_mark else at
    problem, (line, column) = explain_parser_error(error.problem or "", error.context or "", lines, at, began)
    return Trouble(problem, Place(file, line + 1, column + 1))


class _Open:
    """A list or mapping whose end has not come yet."""

    __slots__ = ("anchor", "braces", "items", "key", "keyed", "keys", "pairs", "place", "size")

    def __init__(self, place: Place, keyed: bool, anchor: str | None, braces: bool) -> None:
        self.place, self.keyed, self.anchor, self.braces = place, keyed, anchor, braces
        self.items: list[Node] = []
        self.pairs: list[tuple[Text, Node]] = []
        self.keys: dict[str, Place] = {}
        self.key: Node | None = None  # a key whose value has not come yet
        self.size = 1


class _Builder:
    """Builds nodes from events; `take` returns False when there is no sense in going on."""

    def __init__(self, file: str, lines: tuple[str, ...]) -> None:
        self.file, self.lines = file, lines
        self.root: Node | None = None
        self.troubles: list[Trouble] = []
        self._open: list[_Open] = []
        self._anchors: dict[str, tuple[Node, int] | None] = {}  # None while the anchored thing is still open
        self._documents = 0

    def take(self, event: Any) -> bool:
        place = Place(self.file, event.start_mark.line + 1, event.start_mark.column + 1)
        if isinstance(event, yaml.DocumentStartEvent):
            self._documents += 1
            if self._documents > 1:
                self._trouble(
                    "second-document",
                    place,
                    "found a second document after `---`",
                    "keep one document to a file: delete the line `---`",
                )
                return False
            return True
        if isinstance(event, yaml.AliasEvent):
            return self._alias(event.anchor, place)
        if isinstance(event, yaml.ScalarEvent | yaml.CollectionStartEvent):
            self._check_tag(event, place)
        if isinstance(event, yaml.ScalarEvent):
            if not event.style:
                self._check_plain(event, place)
            return self._add(Text(event.value.strip(), place), 1, event.anchor)
        if isinstance(event, yaml.CollectionStartEvent):
            if len(self._open) >= MAX_DEPTH:
                self._trouble(
                    "too-deep",
                    place,
                    f"found lists or mappings nested more than {MAX_DEPTH} deep",
                    "facts stand at most nine levels down; look for a stray bracket",
                )
                return False
            keyed = isinstance(event, yaml.MappingStartEvent)
            if event.anchor:
                self._anchors[event.anchor] = None
            self._open.append(_Open(place, keyed, event.anchor, bool(event.flow_style)))
        elif isinstance(event, yaml.CollectionEndEvent):
            done = self._open.pop()
            node: Node = (
                Keyed(tuple(done.pairs), done.place, done.braces)
                if done.keyed
                else Items(tuple(done.items), done.place)
            )
            return self._add(node, done.size, done.anchor)
        return True

    def _trouble(
        self, code: str, place: Place, message: str, put_right: str, related: tuple[tuple[Place, str], ...] = ()
    ) -> None:
        self.troubles.append(Trouble(Problem(code, message, put_right), place, related))

    def _line(self, row: int) -> str:
        return self.lines[row] if row < len(self.lines) else ""

    def _check_plain(self, event: Any, place: Place) -> None:
        """Say what a text without quotes has lost, or swallowed, without the parser minding."""
        before = self._line(event.start_mark.line)[: event.start_mark.column]
        if event.anchor:
            self._trouble(
                "needs-quotes",
                place,
                f"`&{event.anchor}` is read as a name for what follows, and is lost from the text",
                "put quotes round a text that begins with &",
            )
        if not before.strip() and re.match(r"-[^\s\d-]", event.value):
            self._trouble(
                "no-blank",
                place,
                "expected a blank after the dash, found none",
                f"write `- {self._line(event.start_mark.line).strip()[1:]}`",
            )
        rest = self._line(event.end_mark.line)[event.end_mark.column :]
        if event.value and (cut := re.match(r"\s+(#[^\s#].*)", rest)):
            self._trouble(
                "cut-by-hash",
                place,
                f"what stands from `{cut[1].split()[0]}` on is taken for a remark and not read",
                "put quotes round a text with # in it; begin a remark with # and a blank",
            )

    def _check_tag(self, event: Any, place: Place) -> None:
        if event.tag:
            self._trouble(
                "yaml-tag",
                place,
                f"found the tag {event.tag!r}, which is not used here",
                "delete the word that begins with `!`, or put quotes round the text",
            )

    def _alias(self, anchor: str | None, place: Place) -> bool:
        assert anchor
        known = self._anchors.get(anchor)
        if known is None:
            inside = anchor in self._anchors
            self._trouble(
                "yaml-alias",
                place,
                f"`*{anchor}` stands inside the very thing it repeats"
                if inside
                else f"`*{anchor}` repeats a thing that is named nowhere before it",
                f'a text that begins with `*` needs quotes: "*{anchor}"',
            )
            return self._add(Text("", place), 1, None)
        node, size = known
        return self._add(node, size, None)

    def _add(self, node: Node, size: int, anchor: str | None) -> bool:
        if anchor:
            self._anchors[anchor] = (node, size)
        if not self._open:
            self.root = node
            return True
        inside = self._open[-1]
        inside.size += size
        if sum(level.size for level in self._open) > MAX_NODES:
            self._trouble(
                "too-large",
                node.place,
                f"found more than {MAX_NODES} values once `*` repeats are unfolded",
                "write the facts out without `&` and `*`, or divide the file",
            )
            return False
        if not inside.keyed:
            inside.items.append(node)
        elif inside.key is None:
            inside.key = node
        else:
            key, inside.key = inside.key, None
            self._pair(inside, key, node)
        return True

    def _pair(self, inside: _Open, key: Node, value: Node) -> None:
        if not isinstance(key, Text):
            self._trouble(
                "key-not-text",
                key.place,
                "expected a key, found a list or mapping in its place",
                "a key is a word followed by a colon; put quotes round text with brackets in it",
            )
        elif key == "<<":
            self._trouble(
                "merge-key",
                key.place,
                "found the merge key `<<`, which is not used here",
                "write the lines out where they are meant",
            )
        elif key in inside.keys:
            first = inside.keys[key]
            self._trouble(
                "repeated-key",
                key.place,
                f"the key {str(key)!r} stands twice here: first on line {first.line}, again on line {key.place.line}",
                "put both together under one key, or rename one",
                ((first, "the first one"),),
            )
        else:
            inside.keys[key] = key.place
            inside.pairs.append((key, value))
