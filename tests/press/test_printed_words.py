"""The demo guide as read: no page shows a raw id, an unset mark, a doubled word or a sentence begun in the middle."""

from __future__ import annotations

import pathlib
import re
from collections.abc import Iterator
from html.parser import HTMLParser

import pytest

from guide.facts.types import Guide

_INLINE = frozenset({"a", "b", "i", "em", "strong", "small", "span", "sup", "label", "code", "abbr", "cite"})
_EMPTY = frozenset({"area", "base", "br", "col", "hr", "img", "input", "link", "meta", "source", "track", "wbr"})
_UNREAD = frozenset({"kbd", "script", "style", "head", "template"})  # kbd: what is to be written, by ids
_RUNNING = frozenset({"p", "li", "dd", "td", "figcaption", "caption"})


class _Reader(HTMLParser):
    """Gathers a page's text by block, as a reader meets it, with what screen readers are told besides."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.blocks: list[tuple[str, str]] = []
        self.open: list[str] = []
        self.veiled: list[bool] = []  # of each that is open: whether it is hidden until scripts fill it
        self.text = ""

    def _close(self) -> None:
        said = " ".join(self.text.split())
        if said:
            block = next((tag for tag in reversed(self.open) if tag not in _INLINE), "")
            self.blocks.append(("" if any(self.veiled) else block, said))
        self.text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.blocks += [
            ("spoken", value or "") for name, value in attrs if name in ("alt", "aria-label", "title", "placeholder")
        ]
        if tag == "br":
            self.text += " "
        if tag not in _INLINE and tag != "br":
            self._close()
        if tag not in _EMPTY:
            self.open.append(tag)
            self.veiled.append(any(name == "hidden" for name, _ in attrs))

    def handle_endtag(self, tag: str) -> None:
        if tag not in _INLINE:
            self._close()
        if tag in self.open:
            at = len(self.open) - 1 - self.open[::-1].index(tag)
            del self.open[at:], self.veiled[at:]

    def handle_data(self, data: str) -> None:
        if not _UNREAD.intersection(self.open) and "title" not in self.open:
            self.text += data


def blocks_of(text: str) -> list[tuple[str, str]]:
    """Return every block of a page, ``(tag, text)``."""
    reader = _Reader()
    reader.feed(text)
    return reader.blocks


_FAULTS = {
    "two full stops": r"\.\.",
    "a blank before a stop": r"\w [,.;:?!](?!\w)",
    "empty brackets": r"\(\s*\)|\[\s*\]|“”|‘’",
    "a word twice": r"\b([A-Za-z]{2,}) \1\b",
    "a typewriter's quotation mark": r"['\"]",
    "a hyphen for a dash or a minus": r" - | -\d",
    "a hole in a template": r"[{}]|\bundefined\b|\bNaN\b|(?<!\w)None(?= [^o]|[.,;)])|\bTrue\b|\bFalse\b",
    "two stops that do not go together": r"[,;:]\.|\.[,;:](?!\w)|,,|;;|: :",
}


def faults(tag: str, said: str, ids: re.Pattern[str]) -> Iterator[str]:
    """Yield what is wrong with a block of text."""
    for name, pattern in _FAULTS.items():
        if re.search(pattern, said):
            yield name
    if ids.search(said):
        yield "a raw id"
    if tag in _RUNNING and said[0].islower() and said.endswith("."):
        yield "a sentence that begins in small letters"


@pytest.fixture(scope="module")
def ids(guide: Guide) -> re.Pattern[str]:
    """Every id of the guide that no reader would take for words: those that hold a hyphen."""
    known = {*guide.marks, *guide.interiors, *guide.sources, *guide.care, *guide.words, *guide.areas, *guide.series}
    known |= {form for mark in guide.marks.values() for form in mark.forms}
    known |= {value for split in guide.splits.values() for value in split.values}
    known -= {"re-trim", "soft-top", "steering-wheel"}  # words as well
    worded = "|".join(sorted(re.escape(one) for one in known if "-" in one))
    return re.compile(rf"(?<![\w/-])(?:{worded})(?![\w-])")


def test_every_page_reads_as_print(built_guide: pathlib.Path, ids: re.Pattern[str]) -> None:
    found = {
        (path.relative_to(built_guide).as_posix(), fault, said)
        for path in sorted(built_guide.rglob("*.html"))
        for tag, said in blocks_of(path.read_text(encoding="utf-8"))
        for fault in faults(tag, said, ids)
    }
    assert sorted(found) == []


@pytest.mark.parametrize(
    ("said", "fault"),
    [
        ("It was so..", "two full stops"),
        ("It was so .", "a blank before a stop"),
        ("A form ()", "empty brackets"),
        ("on On the door", ""),
        ("on on the door", "a word twice"),
        ("the maker's plate", "a typewriter's quotation mark"),
        ("bag - bottle", "a hyphen for a dash or a minus"),
        ("at -68", "a hyphen for a dash or a minus"),
        ("Fitted by None.", "a hole in a template"),
        ("None of these", ""),
        ("twelve cars looked at here.", "a sentence that begins in small letters"),
        ("to parts-list-2", "a raw id"),
        ("Borne out.,", "two stops that do not go together"),
    ],
)
def test_a_fault_in_print_is_noticed(said: str, fault: str, ids: re.Pattern[str]) -> None:
    assert list(faults("p", said, ids)) == ([fault] if fault else [])


_AMERICAN = re.compile(
    r"\b(colors?|gray|centers?|molds?|molded|aluminum|tires?|catalogs?|fiber|meters?|honors?|"
    r"license|windshields?|fenders?|trunk|turn signals?|gasoline|parking lights?)\b",
    re.IGNORECASE,
)


def test_the_demo_is_written_in_british_english(root: pathlib.Path) -> None:
    """Words of the other side of the sea stand only where they are given as such."""
    elsewhere = re.compile(r'^\s*(american|german|also):|"us: [^"]*"|"de: [^"]*"')
    found = []
    for path in sorted((root / "content").rglob("*")):
        if path.suffix not in (".yml", ".md"):
            continue
        for at, line in enumerate(path.read_text(encoding="utf-8").splitlines(), start=1):
            said = "" if re.match(r"^\s*american:", line) else elsewhere.sub("", line)
            found += [f"{path.name}:{at}: {word[0]}" for word in _AMERICAN.finditer(said)]
    assert found == []


_PROMISES = {"h1", "h2", "h3", "h4"}


def headings_over_nothing(text: str) -> list[str]:
    """Return headings with nothing beneath them before one of the same rank or a higher one."""
    blocks = [(tag, said) for tag, said in blocks_of(text) if tag not in ("spoken", "")]
    empty = []
    for at, (tag, said) in enumerate(blocks):
        follows = blocks[at + 1][0] if at + 1 < len(blocks) else "h1"
        if tag in _PROMISES and follows in _PROMISES and follows <= tag:
            empty.append(said)
    return empty


def test_no_heading_stands_over_nothing(built_guide: pathlib.Path) -> None:
    found = {
        path.relative_to(built_guide).as_posix(): headings_over_nothing(path.read_text(encoding="utf-8"))
        for path in sorted(built_guide.rglob("*.html"))
    }
    assert {name: empty for name, empty in found.items() if empty} == {}


def test_a_heading_over_nothing_is_noticed() -> None:
    assert headings_over_nothing("<h2>One</h2><h2>Two</h2><p>x</p>") == ["One"]
    assert headings_over_nothing("<h2>One</h2><h3>Two</h3><p>x</p><h2>Three</h2>") == ["Three"]
