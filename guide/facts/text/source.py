"""Text to nodes: YAML composed so that every scalar stays text and knows its place.

YAML 1.1 turns ``no``, ``1.10``, ``00412`` and ``1968-03`` into things the editor never typed. So nothing is
resolved here: the parser's events are built into three kinds of node, and the field that wants a value
converts it. Building from events (and not from the parser's own nodes) also lets depth, size and the
expansion of aliases be capped before anything is unfolded, without recursion.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from typing import Any

import yaml

from guide.facts.text.meant import straight_quotes, unclosed_curly
from guide.facts.text.parser_faults import Fault, explain_parser_error
from guide.facts.values import Text
from guide.facts.when.dates_in_words import read_date_words
from guide.facts.when.edtf import Bounds
from guide.finding import Finding, Place, Related
from guide.sentence import Value, sentence

__all__ = [
    "MAX_BYTES",
    "MAX_DEPTH",
    "MAX_NODES",
    "Items",
    "Keyed",
    "Node",
    "compose",
    "in_language",
    "is_blank",
    "items_of",
    "members_of",
    "shape_of",
    "words_or_pairs",
]

MAX_BYTES = 4_000_000  # a file of facts is a few kilobytes; this is a mistake or mischief
MAX_DEPTH = 24  # the deepest fact stands nine levels down
MAX_NODES = 200_000  # after unfolding aliases

_OPENING = {"]": "[", "}": "{"}
_LOADER: Any = getattr(yaml, "CLoader", yaml.Loader)


@dataclass(frozen=True, slots=True)
class Items:
    """A list. ``brackets`` tells ``[a, b]`` from lines."""

    items: tuple[Node, ...]
    place: Place
    brackets: bool = False


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


def in_language(node: Node, language: str, languages: Sequence[str], lacking: list[Keyed]) -> Node:
    """Return a node with each thing that is given in several languages, as ``{en: ..., de: ...}``, in one of them.

    What is not given in that one is read in the first that it is given in, and added to ``lacking``; what is given once
    is in the guide's first. Each text of another language than the one asked for says so.
    """

    def read(node: Node, spoken: str) -> Node:
        if isinstance(node, Text):
            return Text(node, node.place, spoken) if spoken else node
        if isinstance(node, Items):
            return replace(node, items=tuple(read(one, spoken) for one in node.items))
        if node.pairs and all(_stands_for(tag, languages) for tag, _ in node.pairs):
            given = next((value for tag, value in node.pairs if _stands_for(tag, (language,))), None)
            if given is not None:
                return given
            lacking.append(node)
            return read(node.pairs[0][1], str(node.pairs[0][0]))
        pairs = ((Text(name, name.place, spoken) if spoken else name, read(one, spoken)) for name, one in node.pairs)
        return Keyed(tuple(pairs), node.place, node.braces)

    return read(node, "" if language == languages[0] else languages[0])


def _stands_for(key: str, languages: Collection[str]) -> bool:
    """Tell whether a key names one of some languages: "en" or "en-GB" for British English."""
    return any(key in (tag, tag.partition("-")[0]) for tag in languages)


def shape_of(node: Node) -> Value:
    """Say what a node is, for "found ..."."""
    if isinstance(node, Text):
        return repr(node) if node else sentence("facts.found.nothing")
    return sentence("facts.found.list" if isinstance(node, Items) else "facts.found.keys")


def is_blank(node: Node) -> bool:
    """Tell whether nothing was typed after the key: an empty list says no more than a blank does."""
    if isinstance(node, Items):
        return all(is_blank(one) for one in node.items)
    return isinstance(node, Text) and not node


def items_of(node: Node | None) -> tuple[Node, ...]:
    """Return what a list holds; a single thing counts as a list of one, and blanks as nothing."""
    return () if node is None else tuple(one for one in members_of(node) if not is_blank(one))


def members_of(node: Node) -> tuple[Node, ...]:
    """Return what a list holds, blanks and all; a single thing counts as a list of one."""
    return node.items if isinstance(node, Items) else (node,)


def words_or_pairs(node: Node) -> tuple[tuple[Text, Node], ...]:
    """Return the pairs of a mapping; a word alone, or in a list, counts as a key with nothing after it."""
    if isinstance(node, Keyed):
        return node.pairs
    return tuple((word, Text("", word.place)) for word in members_of(node) if isinstance(word, Text))


def compose(text: str, file: str, loader: Any = None, keys: Collection[str] = ()) -> tuple[Node | None, list[Finding]]:
    """Return the one document of a file as nodes, and what is wrong; None when empty or unreadable.

    ``keys`` are those that stand anywhere in such files: a word before a colon may be one that follows a lost comma.
    """
    text = straight_quotes(_without_inner_tabs(_INSET.sub(lambda inset: " " * len(inset[0]), text)))
    builder = _Builder(file, text.split("\n"))
    try:
        for event in yaml.parse(text, Loader=loader or _LOADER):
            if not builder.take(event):
                break
    except yaml.MarkedYAMLError as error:
        builder.root = None
        explained = _explained(error, text, file, keys)
        if explained.place.line not in {one.place.line for one in builder.found}:  # else it follows from that
            builder.found.append(explained)
    except yaml.YAMLError as error:  # the reader's own errors carry no mark
        builder.root = None
        builder.found.append(Finding.of("facts.not-yaml", Place(file), why=str(error)))
    return builder.root, builder.found


# How a line stands in, with a space that does not break among it: what is copied from a web page stands in so.
_INSET = re.compile("^ *[\u00a0\u2000-\u200a\u202f\u205f\u3000][ \u00a0\u2000-\u200a\u202f\u205f\u3000]*", re.MULTILINE)


def _without_inner_tabs(text: str) -> str:
    """Return the text with a space for each tab that does not stand at the start of its line.

    The two parsers differ over tabs after a colon, after a dash and inside a text, where they do no harm.
    """
    if "\t" not in text:
        return text
    lines = []
    for line in text.split("\n"):
        rest = line.lstrip(" \t")
        lines.append(line[: len(line) - len(rest)] + rest.replace("\t", " "))
    return "\n".join(lines)


def _explained(error: yaml.MarkedYAMLError, text: str, file: str, keys: Collection[str]) -> Finding:
    lines = text.split("\n")
    marks = error.problem_mark or error.context_mark, error.context_mark or error.problem_mark
    at, began = ((min(mark.line, len(lines) - 1), mark.column) if mark else (0, 0) for mark in marks)
    fault = Fault(error.problem or "", error.context or "", lines, at, began, keys)
    problem, (line, column) = explain_parser_error(fault)
    return problem.at(Place(file, line + 1, column + 1))


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

    def __init__(self, file: str, lines: list[str]) -> None:
        self.file, self.lines = file, lines
        self.root: Node | None = None
        self.found: list[Finding] = []
        self._open: list[_Open] = []
        self._size = 0  # of everything in the open ones, aliases unfolded
        self._anchors: dict[str, tuple[Node, int] | None] = {}  # None while the anchored thing is still open
        self._documents = 0

    def take(self, event: Any) -> bool:
        if isinstance(event, yaml.CollectionEndEvent):
            done = self._open.pop()
            self._size -= done.size  # counted again as one of what it stands in
            node: Node = Items(tuple(done.items), done.place, done.braces)
            if done.keyed:
                node = Keyed(tuple(done.pairs), done.place, done.braces)
            return self._add(node, done.size, done.anchor)
        start = event.start_mark
        place = Place(self.file, start.line + 1, start.column + 1)
        if isinstance(event, yaml.ScalarEvent):
            if event.tag:
                self._find("facts.yaml-tag", place, tag=repr(event.tag))
            if not event.style:
                self._check_plain(event, place)
            return self._add(self._plain(event, place), 1, event.anchor)
        if isinstance(event, yaml.CollectionStartEvent):
            if event.tag:
                self._find("facts.yaml-tag", place, tag=repr(event.tag))
            if len(self._open) >= MAX_DEPTH:
                self._find("facts.too-deep", place, levels=MAX_DEPTH)
                return False
            keyed = isinstance(event, yaml.MappingStartEvent)
            if event.anchor:
                self._anchors[event.anchor] = None
            self._open.append(_Open(place, keyed, event.anchor, bool(event.flow_style)))
            self._size += 1
        elif isinstance(event, yaml.AliasEvent):
            return self._alias(str(event.anchor), place)
        elif isinstance(event, yaml.DocumentStartEvent):
            self._documents += 1
            if self._documents > 1:
                self._find("facts.second-document", place)
                self.root = None  # what the rest of the file says is not known
                return False
        return True

    def _find(self, name: str, place: Place, related: tuple[Related, ...] = (), **values: Any) -> None:
        self.found.append(Finding.of(name, place, related=related, **values))

    def _line(self, row: int) -> str:
        return self.lines[row] if row < len(self.lines) else ""

    @staticmethod
    def _plain(event: Any, place: Place) -> Node:
        """Return a text; what has lost its opening bracket, as it was meant."""
        value = event.value.strip()
        if not event.style and value.endswith("]") and value.count("]") > value.count("["):
            return Items(tuple(Text(part.strip(), place) for part in value[:-1].split(",")), place)
        return Text(value, place)

    def _check_plain(self, event: Any, place: Place) -> None:
        """Say what a text without quotes has lost, or swallowed, without the parser minding."""
        value, ends = event.value, event.end_mark
        if event.anchor:
            self._find("facts.needs-quotes.anchor", place, anchor=event.anchor)
        if unclosed := unclosed_curly(value):
            self._find("facts.unclosed-quotes.curly", place, quote=unclosed)
        if value.startswith("-") and re.match(r"-[^\s\d-]", value):
            line = self._line(place.line - 1)
            if not line[: place.column - 1].strip():
                self._find("facts.no-blank.dash", place, text=line.strip()[1:])
        rest = self._line(ends.line)[ends.column :]
        if value and "#" in rest and (cut := re.match(r"\s+(#[^\s#]\S*)", rest)):
            self._find("facts.cut-by-hash", place, text=cut[1])
        sign = value[-1:]
        opening = _OPENING.get(sign)
        if opening and value.count(sign) > value.count(opening):
            better = opening + value if "," in value else value[:-1]
            self._find("facts.unclosed-bracket.closes-nothing", place, sign=sign, better=better)

    def _alias(self, anchor: str, place: Place) -> bool:
        known = self._anchors.get(anchor)
        if known is None:
            inside = anchor in self._anchors
            rest = self._line(place.line - 1)[place.column - 1 :].split(" #", 1)[0].strip()
            text = re.split(r"[,\]}]", rest)[0].strip() if any(one.braces for one in self._open) else rest
            quoted = "'" + text + "'" if '"' in text else f'"{text}"'
            way = "facts.yaml-alias.inside" if inside else "facts.yaml-alias"
            self._find(way, place, anchor=anchor, quoted=quoted)
        node, size = known or (Text(f"*{anchor}", place), 1)
        return self._add(node, size, None)

    def _add(self, node: Node, size: int, anchor: str | None) -> bool:
        if anchor:
            self._anchors[anchor] = (node, size)
        if not self._open:
            self.root = node
            return True
        inside = self._open[-1]
        inside.size += size
        self._size += size
        if self._size > MAX_NODES:
            self._find("facts.too-large.values", node.place, most=MAX_NODES)
            return False
        if not inside.keyed:
            inside.items.append(node)
        elif inside.key is None:
            inside.key = node
        else:
            key, inside.key = inside.key, None
            self._pair(inside, key, node)
        return True

    def _goes_on(self, inside: _Open, key: Text) -> bool:
        """Tell whether a key in braces goes on with the value before it, as in `March 1, 1962` or `3,600`; say so."""
        before, month_day = inside.pairs[-1] if inside.pairs else (None, None)
        if before is None or not isinstance(month_day, Text):
            return False
        if re.fullmatch(r"\d{3}", key) and re.fullmatch(r"\d{1,3}", month_day):
            whole, better = f"{month_day},{key}", f"{month_day}{key}"
            self._find("facts.not-a-whole-number.comma", month_day.place, found=repr(whole), better=better)
            inside.pairs[-1] = before, Text(better, month_day.place)
            return True
        if not re.fullmatch(r"\d{4}", key):
            return False
        whole = f"{month_day}, {key}"
        spoken = r"[^\W\d_]+\.? \d{1,2}(?:st|nd|rd|th)?|\d{1,2}(?:st|nd|rd|th)? [^\W\d_]+\.?"
        dated = re.fullmatch(spoken, month_day)
        read = read_date_words(whole if whole[0].isalpha() else whole.replace(",", ""), {}) if dated else None
        if not isinstance(read, Bounds) or read.earliest is None:
            return False
        self._find("facts.bad-date.comma", month_day.place, found=repr(whole), better=read.earliest.isoformat())
        inside.pairs[-1] = before, Text(read.earliest.isoformat(), month_day.place)
        return True

    def _was_empty(self, inside: _Open, key: Text, value: Node) -> bool:
        """Leave out whichever of two keys has nothing after it, and tell whether one has: a line pasted with its key
        beneath one that was left empty is what was meant."""
        at = next(at for at, (other, _) in enumerate(inside.pairs) if other == key)
        before = inside.pairs[at][1]
        if isinstance(before, Text) and not before:
            inside.keys[key] = key.place
            inside.pairs[at] = key, value
            return True
        return isinstance(value, Text) and not value

    def _pair(self, inside: _Open, key: Node, value: Node) -> None:
        if not isinstance(key, Text):
            self._find("facts.key-not-text", key.place)
        elif key == "<<":
            self._find("facts.merge-key", key.place)
        elif inside.braces and isinstance(value, Text) and not value and self._goes_on(inside, key):
            pass
        elif key in inside.keys:
            if not self._was_empty(inside, key, value):
                first = inside.keys[key]
                related, again = (Related(first, sentence("facts.the-first-one")),), key.place.line
                self._find("facts.repeated-key", key.place, related, key=repr(key), line=first.line, again=again)
        else:
            inside.keys[key] = key.place
            inside.pairs.append((key, value))
