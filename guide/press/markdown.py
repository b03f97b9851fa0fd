"""The editor's Markdown, made safe and tidy.

What comes out holds no markup that the editor typed as HTML: raw HTML is shown as text. Links go to web pages, mail
addresses, headings of the same text, records of the guide (`[tail lamps](mark:tail-lamps)`) and its other pages, as
their addresses are copied from a browser; each is looked for, and one that would lead to another computer without
saying how (`//host`, `\\\\host\\share`) is refused: a browser or a file manager would hand it the reader's name.
Pictures come from the guide's own pictures folder. Ids carry the record's id, so that two texts share a page without
clashing, and an id does not move when a heading is added above it.
"""

from __future__ import annotations

import html
import re
from collections.abc import Callable, Container, Sequence
from dataclasses import dataclass, field, replace
from typing import Any
from urllib.parse import unquote
from xml.etree.ElementTree import Element

from markdown import Markdown
from markdown.blockparser import BlockParser
from markdown.extensions.footnotes import FootnoteExtension
from markdown.extensions.sane_lists import SaneListExtension
from markdown.extensions.tables import TableProcessor
from markdown.inlinepatterns import InlineProcessor
from markdown.preprocessors import Preprocessor
from markdown.treeprocessors import Treeprocessor
from markdown.util import ETX, STX

from guide.facts.text.problem import Problem
from guide.facts.types import Text
from guide.finding import Finding, Place
from guide.pages.parts.naming import slug
from guide.sentence import Value
from guide.words.typography import BREAK, typographic

__all__ = ["DEEPEST_ITEM", "SCHEMES", "Job", "Prose"]

SCHEMES = ("http", "https", "mailto")  # what a link may start with, besides a record's kind
_SCHEME = re.compile(r"^([^/?#:]*):")
_ESCAPED = re.compile(f"{STX}(\\d+)\x03")  # how the library keeps a character typed after a backslash
_ITEM = re.compile(r"(?:[-*+]|\d{1,9}\.) {1,4}(?=\S)")
_BRACKET = re.compile(r"[\[\]]")
DEEPEST_ITEM, _DEEPEST_BRACKET = 20, 100
_NUMBER_SIGN = re.compile(r"#{1,6}[^\s#]")
_STAR_IN_WORD = r"(?<=[^\W_])(?<!\*)\*(?!\*)(?=[^\W_])"
_CODE = frozenset({"code", "pre"})
_INLINE = frozenset({"a", "em", "strong", "code", "img", "span", "sup", "br"})  # what does not begin a new text
_BLANKS = re.compile(r"[\x00-\x20\x7f-\xa0\u2028\u2029]+")


@dataclass(slots=True)
class Job:
    """One text to turn: where it stands, the record's id, and where links and pictures lead.

    ``to`` returns the link to a record of a kind, "" where that stays behind, None when there is none; ``page`` the
    same for an address within the guide; ``picture`` returns the markup of a picture by its file name and alternative
    text, or None when it is missing.
    """

    text: str
    record: str
    place: Place
    level: int = 3
    to: Callable[[str, str], str | None] = lambda _kind, _identity: None
    page: Callable[[str], str | None] = lambda _address: None
    picture: Callable[[str, str], str | None] = lambda _name, _alt: None
    findings: list[Finding] = field(default_factory=list)

    def find(self, name: str, near: str, /, **values: Value) -> None:
        """Record the finding of a name at the line of the text that holds ``near``."""
        found = Problem.of(name, put_right=None, **values).at(self.place_of(near))
        self.findings.append(replace(found, excerpt=near))

    def place_of(self, near: str) -> Place:
        """Return the place of the first line that holds ``near``; the text's own place when none does."""
        start = self.text.place if isinstance(self.text, Text) else self.place
        lines = self.text.splitlines()
        # A block in YAML starts on the line after its "|"; a file of its own starts with its first line.
        below = 1 if len(lines) > 1 and not start.file.endswith(".md") else 0
        for number, line in enumerate(lines):
            at = line.find(near)
            if near and at >= 0:
                if below == 0 and number == 0:
                    return Place(start.file, start.line, start.column + at)
                return Place(start.file, start.line + number + below, at + 1)
        return start


class Prose:
    """Turns Markdown into HTML; one object serves a whole build."""

    def __init__(self, kinds: Sequence[str], language: str = "en", *, names_language: bool = False) -> None:
        self.kinds = tuple(kinds)
        self.language = language
        self.names_language = names_language  # on every block, so that nothing in it is taken for another's
        self.job = Job("", "", Place(""))
        self._markdown = self._made()

    def _made(self) -> Markdown:
        """Return a library object that works as this module says."""
        made = Markdown(extensions=[SaneListExtension(), _Notes(self)], output_format="html")
        made.preprocessors.deregister("html_block")  # raw HTML is shown as text
        made.preprocessors.register(_AsTyped(made), "as-typed", 15)
        made.inlinePatterns.register(_StarInWord(_STAR_IN_WORD), "star-in-word", 185)  # after code
        made.inlinePatterns.deregister("html")
        made.ESCAPED_CHARS.append("|")
        made.parser.blockprocessors.register(_Rows(self, made.parser), "table", 75)
        made.treeprocessors.register(_Tidy(self, made), "tidy", -10)  # after all else, unescaping too
        return made

    def render(self, job: Job) -> str:
        """Return the HTML of a text; what is wrong with it is added to ``job.findings``."""
        if not job.text.strip():
            return ""
        self.job = job
        self._markdown.reset()
        try:
            if _is_deep(job.text):
                raise _TooDeep
            return self._markdown.convert(job.text)
        except (_TooDeep, RecursionError):
            self._markdown = self._made()  # what gave up in the middle of a text is of no use for the next
            job.find("press.text-too-deep", "", most=DEEPEST_ITEM)
            return f"<p>{html.escape(job.text)}</p>"


class _TooDeep(Exception):
    """Lists or brackets stand one in another further than any text needs; the library takes minutes, or gives up."""


def _is_deep(text: str) -> bool:
    """Tell whether a text opens more brackets than any reader could close."""
    depth = 0
    for sign in _BRACKET.findall(text):
        depth = max(0, depth + (1 if sign == "[" else -1))
        if depth > _DEEPEST_BRACKET:
            return True
    return False


class _AsTyped(Preprocessor):
    """Reads lists and headings as people type them, where the library wants more.

    A list nests when it stands in by the width of the item's own sign, as in CommonMark 0.31 (5.2), not by four spaces
    only; `#37 has blue trim` is a sentence and no heading, which needs a space after its signs (4.2 there).
    """

    def run(self, lines: list[str]) -> list[str]:
        made: list[str] = []
        within: list[int] = []  # the column where the text of each open item begins
        after_blank = False
        for line in lines:
            text = line.lstrip(" ")
            column = len(line) - len(text)
            while within and column < within[-1] and (after_blank or _ITEM.match(text)):
                within.pop()
            item = _ITEM.match(text)
            if within and text and within[-1] <= column < 4 * len(within) + 4:
                line = "    " * len(within) + text
            elif item and not within and column < 4:
                line = text
            if item and (within or column < 4) and column < 4 * len(within) + 4:
                within.append(column + item.end())
                if len(within) > DEEPEST_ITEM:
                    raise _TooDeep
            after_blank = not text
            made.append(f"\\{line}" if _NUMBER_SIGN.match(line) else line)
        return made


class _StarInWord(InlineProcessor):
    """A star between two letters or digits, as in the number `K7*1042*`, begins no emphasis."""

    def handleMatch(self, m: re.Match[str], _data: str) -> tuple[str, int, int]:  # type: ignore[override] # noqa: N802
        return f"{STX}{ord('*')}{ETX}", m.start(0), m.end(0)


class _Tidy(Treeprocessor):
    """Looks at every link, picture and heading once the tree is made."""

    def __init__(self, prose: Prose, md: Markdown) -> None:
        super().__init__(md)
        self.prose = prose

    def run(self, root: Element) -> None:
        job = self.prose.job
        language = (job.text.language if isinstance(job.text, Text) else "") or self.prose.language
        for block in root if self.prose.names_language else ():
            block.set("lang", language)
        _set_type(root, language)
        self._headings(root, job)
        parts = {identity for element in root.iter() if (identity := element.get("id"))}
        for parent in list(root.iter()):
            for at, child in enumerate(list(parent)):
                if child.tag == "a":
                    self._link(child, job, parts)
                elif child.tag == "img":
                    self._picture(parent, at, child, job)

    def _headings(self, root: Element, job: Job) -> None:
        """Give headings their level on the page, and an id made of the record and the headings above."""
        taken: set[str] = set()
        above: list[tuple[int, str]] = []
        found = [element for element in root.iter() if re.fullmatch(r"h[1-6]", element.tag)]
        highest = min((int(element.tag[1]) for element in found), default=1)  # becomes the level asked for
        for element in found:
            level = int(element.tag[1])
            own = slug("".join(element.itertext())) or "part"
            above = [(depth, name) for depth, name in above if depth < level]
            identity = f"{job.record}-{own}"
            if identity in taken and above:
                identity = f"{job.record}-{above[-1][1]}-{own}"
            base, turn = identity, 2
            while identity in taken:
                identity, turn = f"{base}-{turn}", turn + 1
            taken.add(identity)
            above.append((level, own))
            element.set("id", identity)
            element.tag = f"h{min(6, level - highest + job.level)}"

    def _link(self, element: Element, job: Job, parts: Container[str]) -> None:
        href = _plain(element.get("href", ""))
        found = _SCHEME.match(_BLANKS.sub("", href))
        scheme = found[1].lower() if found else ""
        if scheme in self.prose.kinds:
            identity = href[href.index(":") + 1 :]
            target = job.to(scheme, identity)
            if target is None:
                job.find("press.link-dangling", identity, kind=scheme, found=repr(identity))
                _unlink(element)
                return
            if target:
                element.set("href", target)
            else:  # a page that stays behind where this text is carried along
                _unlink(element)
        elif (found and scheme not in SCHEMES) or _control(href):
            job.find("press.link-refused", scheme or href, found=repr(found[0] if found else href))
            _unlink(element)
        elif not scheme and (href.startswith("\\") or href.replace("\\", "/").startswith("//")):
            job.find("press.link-refused.computer", href, found=href)
            _unlink(element)
        elif not scheme and href:
            self._within(element, job, href, parts)
        else:
            element.set("href", href)
            if scheme in ("http", "https"):
                element.set("rel", "noreferrer")  # nothing is told to the page that is gone to

    def _within(self, element: Element, job: Job, href: str, parts: Container[str]) -> None:
        """Lead to a heading of the same text or to another page of the guide."""
        if href.startswith("#"):
            own = next((one for one in (unquote(href[1:]), f"{job.record}-{unquote(href[1:])}") if one in parts), None)
            target = job.page(href) if own is None else f"#{own}"
        else:
            target = job.page(href)
        if target is None:
            way = "heading" if href.startswith("#") else "page"
            job.find(f"press.link-dangling.{way}", href, found=href)
        if target:
            element.set("href", target)
        else:
            _unlink(element)

    def _picture(self, parent: Element, at: int, element: Element, job: Job) -> None:
        name = unquote(_plain(element.get("src", "")))
        alt = _plain(element.get("alt", "")).strip()
        if not alt:
            job.find("press.picture-without-words", name, name=name)
        markup = job.picture(name, alt)
        if markup is None:
            job.find("press.text-picture-missing", name, name=name)
            stand_in = Element("em")
            stand_in.text = alt  # never the file's name, which may say whose car it is
        else:
            stand_in = Element("span", {"class": "picture"})
            stand_in.text = self.md.htmlStash.store(markup)
        stand_in.tail = element.tail
        parent[at] = stand_in


def _set_type(root: Element, language: str) -> None:
    """Give running text the apostrophes and quotation marks of print; code and addresses stay as typed."""
    pieces: list[tuple[Element, str, str]] = []  # an element, which of its texts ("" for neither), the text

    def gather(element: Element, *, code: bool) -> None:
        code = code or element.tag in _CODE
        ends = BREAK if element.tag not in _INLINE else ""
        pieces.append((element, "", ends))
        add(element, "text", element.text, code=code)
        for child in element:
            gather(child, code=code)
            add(child, "tail", child.tail, code=code)
        pieces.append((element, "", ends))

    def add(owner: Element, part: str, text: str | None, *, code: bool) -> None:
        if text:
            pieces.append((owner, "", "x" * len(text)) if code else (owner, part, text))

    gather(root, code=False)
    printed, at = typographic("".join(text for _, _, text in pieces), language), 0
    for element, part, text in pieces:
        if part:
            setattr(element, part, printed[at : at + len(text)])
        at += len(text)


class _Notes(FootnoteExtension):
    """Footnotes whose ids carry the record's id."""

    def __init__(self, prose: Prose) -> None:
        super().__init__(BACKLINK_TITLE="", BACKLINK_TEXT="\u21a9\ufe0e")
        self.prose = prose

    def makeFootnoteId(self, id: str) -> str:  # noqa: N802
        return super().makeFootnoteId(f"{self.prose.job.record}-{slug(id)}")

    def makeFootnoteRefId(self, id: str, found: bool = False) -> str:  # noqa: N802
        return super().makeFootnoteRefId(f"{self.prose.job.record}-{slug(id)}", found)


class _Rows(TableProcessor):
    """The library drops cells beyond the last heading without a word; here they are a finding."""

    def __init__(self, prose: Prose, parser: BlockParser) -> None:
        super().__init__(parser, {"use_align_attribute": True})
        self.prose = prose

    def _build_row(self, row: str, parent: Element, align: Sequence[str | None]) -> Any:
        cells = self._split_row(row)  # type: ignore[attr-defined]
        if len(cells) > len(align):
            extra = " | ".join(cell.strip() for cell in cells[len(align) :])
            self.prose.job.find(
                "press.table-cells-lost", row.strip(), heads=len(align), cells=len(cells), extra=repr(extra)
            )
        return super()._build_row(row, parent, align)  # type: ignore[misc]


def _plain(value: str) -> str:
    """Return an attribute as a browser would read it."""
    return html.unescape(_ESCAPED.sub(lambda found: chr(int(found[1])), value)).strip()


def _control(value: str) -> bool:
    return bool(re.search(r"[\x00-\x1f\x7f]", value))


def _unlink(element: Element) -> None:
    element.tag = "span"
    element.attrib.clear()
