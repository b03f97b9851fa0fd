"""Files to nodes: decoding, and YAML composed so that every scalar stays text and knows its place.

YAML 1.1 turns ``no``, ``1.10``, ``00412`` and ``1968-03`` into things the editor never typed. So nothing is
resolved here: the parser's events are built into three kinds of node, and the field that wants a value
converts it. Building from events (and not from the parser's own nodes) also lets depth, size and the
expansion of aliases be capped before anything is unfolded, without recursion.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import yaml

from guide.facts.parser_words import explain_parser_error
from guide.facts.problem import Problem
from guide.facts.types import Text
from guide.finding import Place

__all__ = [
    "MAX_BYTES", "MAX_DEPTH", "MAX_NODES", "Items", "Keyed", "Node", "Trouble", "compose", "decode", "split_lines",
]

MAX_BYTES = 4_000_000    # a file of facts is a few kilobytes; this is a mistake or mischief
MAX_DEPTH = 24           # the deepest fact stands nine levels down
MAX_NODES = 200_000      # after unfolding aliases

_LOADER: Any = getattr(yaml, "CLoader", yaml.Loader)

# Characters that YAML takes for line ends, or that nobody sees: named, and read as a space or as nothing.
_INVISIBLE = {
    "\x85": ("a next-line character (U+0085)", " "),
    "\u2028": ("a line separator (U+2028)", " "),
    "\u2029": ("a paragraph separator (U+2029)", " "),
    "\u200b": ("a zero-width space (U+200B)", ""),
    "\u2060": ("a word joiner (U+2060)", ""),
    "\ufeff": ("a byte order mark in the middle of the file (U+FEFF)", ""),
}


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


@dataclass(frozen=True, slots=True)
class Trouble:
    """A problem with its place, before it becomes a finding; ``related`` is a second place and its words."""

    problem: Problem
    place: Place
    related: tuple[tuple[Place, str], ...] = ()


def split_lines(text: str) -> tuple[str, ...]:
    """Return the lines as an editor counts them."""
    return tuple(text.split("\n"))


def decode(data: bytes, file: str) -> tuple[str, list[Trouble]]:
    """Return the text with ``\\n`` for every line end, and what is wrong with its encoding.

    UTF-8 with or without a byte order mark is right. Anything else is an error that names the first byte
    concerned; the text is then read as well as can be, so that further problems come out in the same run.
    """
    troubles: list[Trouble] = []
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        text = data.decode("utf-16", errors="replace")
        troubles.append(Trouble(_not_utf8("the file is saved as UTF-16 (\"Unicode\")"), Place(file)))
    else:
        data = data.removeprefix(b"\xef\xbb\xbf")
        try:
            text = data.decode("utf-8")
        except UnicodeDecodeError as error:
            text = data.decode("cp1252", errors="replace")
            line_start = max(data.rfind(b"\n", 0, error.start), data.rfind(b"\r", 0, error.start)) + 1
            before = data[:line_start].replace(b"\r\n", b"\n").replace(b"\r", b"\n")
            column = len(data[line_start:error.start].decode("utf-8", errors="replace")) + 1
            byte = data[error.start]
            reads = bytes([byte]).decode("cp1252", errors="replace")
            what = f"found the byte 0x{byte:02X}, which is {reads!r} in windows-1252"
            troubles.append(Trouble(_not_utf8(what), Place(file, before.count(b"\n") + 1, column)))
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    text, more = _without_invisible(text, file)
    return text, troubles + more


def _not_utf8(found: str) -> Problem:
    return Problem(
        "not-utf-8", f"expected text in UTF-8, {found}",
        "save the file again as UTF-8 (Notepad: File, Save as, and choose UTF-8 under Encoding)",
    )


def _place_at(text: str, index: int, file: str) -> Place:
    return Place(file, text.count("\n", 0, index) + 1, index - (text.rfind("\n", 0, index) + 1) + 1)


def _without_invisible(text: str, file: str) -> tuple[str, list[Trouble]]:
    troubles = []
    for character, (name, instead) in _INVISIBLE.items():
        if character in text:
            place = _place_at(text, text.index(character), file)
            times = text.count(character)
            often = "" if times == 1 else f" and {times - 1} more"
            troubles.append(Trouble(Problem(
                "invisible-character", f"found {name}, which no screen shows{often}",
                "delete it and type a space or a new line; it often comes with text copied from a web page or a PDF",
            ), place))
            text = text.replace(character, instead)
    for index, character in enumerate(text):
        if character < " " and character not in "\n\t" or character == "\x7f":
            troubles.append(Trouble(Problem(
                "control-character", f"found a control character (U+{ord(character):04X})",
                "delete it, or open the file in a plain text editor and save it again",
            ), _place_at(text, index, file)))
            text = "".join(c if c >= " " and c != "\x7f" or c in "\n\t" else " " for c in text)
            break
    return text, troubles


def compose(text: str, file: str, loader: Any = None) -> tuple[Node | None, list[Trouble]]:
    """Return the one document of a file as nodes (None when it is empty or cannot be read), and its troubles."""
    builder = _Builder(file)
    try:
        for event in yaml.parse(text, Loader=loader or _LOADER):
            if not builder.take(event):
                break
    except yaml.MarkedYAMLError as error:
        builder.troubles.append(_trouble_of(error, text, file))
        return None, builder.troubles
    except yaml.YAMLError as error:      # the reader's own errors carry no mark
        problem = Problem("not-yaml", f"this cannot be read as YAML: {error}", "compare it with a file that works")
        builder.troubles.append(Trouble(problem, Place(file)))
        return None, builder.troubles
    return builder.root, builder.troubles


def _trouble_of(error: yaml.MarkedYAMLError, text: str, file: str) -> Trouble:
    lines = split_lines(text)
    mark = error.problem_mark or error.context_mark
    at = (mark.line, mark.column) if mark else (0, 0)
    began = (error.context_mark.line, error.context_mark.column) if error.context_mark else at
    problem, (line, column) = explain_parser_error(
        error.problem or "", error.context or "", lines, at, began
    )
    return Trouble(problem, Place(file, line + 1, column + 1))


class _Open:
    """A list or mapping whose end has not come yet."""

    __slots__ = ("anchor", "braces", "items", "key", "keys", "keyed", "pairs", "place", "size")

    def __init__(self, place: Place, keyed: bool, anchor: str | None, braces: bool) -> None:
        self.place, self.keyed, self.anchor, self.braces = place, keyed, anchor, braces
        self.items: list[Node] = []
        self.pairs: list[tuple[Text, Node]] = []
        self.keys: dict[str, Place] = {}
        self.key: Node | None = None     # a key whose value has not come yet
        self.size = 1


class _Builder:
    """Builds nodes from events; `take` returns False when there is no sense in going on."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.root: Node | None = None
        self.troubles: list[Trouble] = []
        self._open: list[_Open] = []
        self._anchors: dict[str, tuple[Node, int] | None] = {}   # None while the anchored thing is still open
        self._documents = 0

    def take(self, event: Any) -> bool:
        place = Place(self.file, event.start_mark.line + 1, event.start_mark.column + 1)
        if isinstance(event, yaml.DocumentStartEvent):
            self._documents += 1
            if self._documents > 1:
                self._trouble("second-document", place, "found a second document after `---`",
                              "keep one document to a file: delete the line `---`")
                return False
            return True
        if isinstance(event, yaml.AliasEvent):
            return self._alias(event.anchor, place)
        if isinstance(event, yaml.ScalarEvent | yaml.CollectionStartEvent):
            self._check_tag(event, place)
        if isinstance(event, yaml.ScalarEvent):
            return self._add(Text(event.value.strip(), place), 1, event.anchor)
        if isinstance(event, yaml.CollectionStartEvent):
            if len(self._open) >= MAX_DEPTH:
                self._trouble("too-deep", place, f"found lists or mappings nested more than {MAX_DEPTH} deep",
                              "facts stand at most nine levels down; look for a stray bracket")
                return False
            keyed = isinstance(event, yaml.MappingStartEvent)
            if event.anchor:
                self._anchors[event.anchor] = None
            self._open.append(_Open(place, keyed, event.anchor, bool(event.flow_style)))
        elif isinstance(event, yaml.CollectionEndEvent):
            done = self._open.pop()
            node: Node = (Keyed(tuple(done.pairs), done.place, done.braces) if done.keyed
                          else Items(tuple(done.items), done.place))
            return self._add(node, done.size, done.anchor)
        return True

    def _trouble(self, code: str, place: Place, message: str, put_right: str,
                 related: tuple[tuple[Place, str], ...] = ()) -> None:
        self.troubles.append(Trouble(Problem(code, message, put_right), place, related))

    def _check_tag(self, event: Any, place: Place) -> None:
        if event.tag and event.tag != "!":
            self._trouble("yaml-tag", place, f"found the tag {event.tag!r}, which is not used here",
                          "delete the word that begins with `!`, or put quotes round the text")

    def _alias(self, anchor: str, place: Place) -> bool:
        known = self._anchors.get(anchor)
        if known is None:
            inside = anchor in self._anchors
            self._trouble("yaml-alias", place,
                          f"`*{anchor}` stands inside the very thing it repeats" if inside
                          else f"`*{anchor}` repeats a thing that is named nowhere before it",
                          f'a text that begins with `*` needs quotes: "*{anchor}"')
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
            self._trouble("too-large", node.place, f"found more than {MAX_NODES} values once `*` repeats are unfolded",
                          "write the facts out without `&` and `*`, or divide the file")
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
            self._trouble("key-not-text", key.place, "expected a key, found a list or mapping in its place",
                          "a key is a word followed by a colon; put quotes round text with brackets in it")
        elif key == "<<":
            self._trouble("merge-key", key.place, "found the merge key `<<`, which is not used here",
                          "write the lines out where they are meant")
        elif key in inside.keys:
            first = inside.keys[key]
            self._trouble("repeated-key", key.place,
                          f"the key {str(key)!r} stands twice here: first on line {first.line}, again on line "
                          f"{key.place.line}",
                          "put both together under one key, or rename one", ((first, "the first one"),))
        else:
            inside.keys[key] = key.place
            inside.pairs.append((key, value))


def scalars(node: Node) -> Iterator[Text]:
    """Yield every scalar of a node that is a value, in order."""
    stack: list[Node] = [node]
    while stack:
        node = stack.pop()
        if isinstance(node, Text):
            yield node
        elif isinstance(node, Items):
            stack.extend(reversed(node.items))
        else:
            stack.extend(value for _, value in reversed(node.pairs))
