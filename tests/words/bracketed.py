"""A made-up language in which every word of the program stands in brackets, and what to hold against it.

Each stretch of a sentence between its slots is bracketed by itself, so that what fills a slot stands outside unless it
came from the words folder as well: a word that some module made of its own accord is seen wherever it ends up.
"""

from __future__ import annotations

import csv
import json
import re
from collections.abc import Iterable, Iterator
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import yaml
from markdown import markdown

from guide.words.languages import own_templates
from guide.words.say import SLOT

__all__ = ["LANGUAGE", "OwnWords", "bracketed", "loose", "loose_in_page", "outside", "write_language"]

LANGUAGE = "qaa"  # kept for private use by ISO 639-2
_OPEN, _SHUT = "⟦", "⟧"
_AS_THEY_ARE = frozenset(
    # rules, and a sign
    {
        "facts.heard.amount",
        "facts.heard.when",
        "words.decimal",
        "words.language",
        "words.lowered",
        "words.plural",
        "words.thousands",
    }
)
_WORD_BY_WORD = frozenset({"words.count", "words.ordinals"})
_SPOKEN = frozenset({"title", "alt", "aria-label", "aria-description", "placeholder", "label", "data-heading"})
_UNREAD = frozenset({"script", "style"})


def bracketed(text: str) -> str:
    """Return a stretch of words in brackets; one without a letter as it is."""
    return f"{_OPEN}{text}{_SHUT}" if re.search(r"[^\W\d_]", text) else text


def _template(name: str, template: str) -> str:
    if name in _AS_THEY_ARE:
        return template
    if name in _WORD_BY_WORD:
        return " ".join(map(bracketed, template.split()))
    made, at = "", 0
    for slot in SLOT.finditer(template):
        choices = "".join(f"|{bracketed(choice)}" for choice in (slot[2] or "").split("|")[1:])
        made += f"{bracketed(template[at : slot.start()])}{{{slot[1]}{choices}}}"
        at = slot.end()
    return made + bracketed(template[at:])


def write_language(folder: Path) -> None:
    """Write the language into a folder of languages: every sentence of English in its brackets."""
    (folder / LANGUAGE).mkdir(parents=True)
    made = {name: _template(name, template) for name, template in own_templates("en").items()}
    (folder / LANGUAGE / "words.json").write_text(json.dumps(made, ensure_ascii=False), encoding="utf-8")


def outside(text: str) -> list[str]:
    """Return what stands outside brackets, in pieces; a bracket without its other half stays in a piece."""
    return [piece for piece in re.split(rf"{_OPEN}[^{_OPEN}{_SHUT}]*{_SHUT}", text) if piece.strip()]


# What is the same in every language: figures, numbers of cars, days written year first, addresses and file names.
_NUMBER = re.compile(r"[A-Z]{0,4}[\d./:#×+-]*\d[\d./:#×+-]*[A-Za-z]?")
_SIGNS = str.maketrans({"’": "'", "‘": "'", "“": '"', "”": '"', "–": "-", "—": "-", "−": "-", "\xa0": " "})
_PARTING = re.compile(r"[·,:;?()/=+|\[\]{}→←↑↓“”\"\n]+|\.\.+|\s[-–—]\s|(?<=\w)[-–—](?=\d)|\.\s|'\s|\s'|\s{2,}")
_SENTENCES, _LISTED = re.compile(r"(?<=[.!?])\s+"), re.compile(r"\s*[,;:]\s*")
_MOST = 50_000  # signs of a broken file that are looked at
_LIST = 90  # signs: a text no longer than this may be a list whose members are shown by themselves
_TRIM = " .,:;!?()\"'-•…*`<>[]{}×·→←↑↓↩\ufe0e✓%#&"


def _plain(text: str) -> str:
    return " ".join(text.translate(_SIGNS).casefold().split()).strip(_TRIM)


def _texts(kept: Any) -> Iterator[str]:
    """Yield every text in plain data."""
    if isinstance(kept, str):
        yield kept
    for one in kept.values() if isinstance(kept, dict) else kept if isinstance(kept, list) else ():
        yield from _texts(one)


class OwnWords:
    """Everything that stands in a content folder: texts, ids and keys, and each piece of a text between its marks."""

    def __init__(self, *folders: Path, further: Iterable[str] = (), broken: bool = False) -> None:
        """Gather from content folders; the files of a ``broken`` one are cut at every sign instead of read."""
        self.known = {_plain(text) for text in further}
        self.files = ""
        for folder in folders:
            for path in sorted(path for path in folder.rglob("*") if path.is_file()):
                self.known |= {_plain(path.name), _plain(path.stem), _plain(path.relative_to(folder).as_posix())}
                if (
                    path.parent.name == "editions" and not broken
                ):  # what an earlier edition said, in the words that it was said in
                    kept = json.loads(path.read_text(encoding="utf-8"))
                    self.known |= {_plain(text) for text in _texts(kept)}
                elif path.suffix in (".yml", ".md", ".csv", ".json"):
                    text = path.read_text(encoding="utf-8-sig", errors="replace")
                    self.files += "\n" + text.translate(_SIGNS)
                    if broken:
                        self.known |= {_plain(part) for part in re.split(r"[\n:{}\[\],#\"']|- ", text[:_MOST])}
                        self.known |= {_plain(part) for part in re.split(r"[^\w-]+", text[:_MOST]) if "-" in part}
                    else:
                        self._add(path.suffix, text)

    def _add(self, kind: str, text: str) -> None:
        values: Iterable[str] = [text]
        if kind == ".csv":
            values = (cell for row in csv.reader(text.splitlines()) for cell in row)
        elif kind == ".yml":
            values = list(_scalars(yaml.load(text, yaml.BaseLoader)))
        for value in values:
            self.known |= {_plain(one) for one in (value, *value.splitlines(), *_SENTENCES.split(value))}
            if len(value) <= _LIST:
                self.known |= {_plain(part) for part in _LISTED.split(value)}
            if re.search(r"[*_`\[#>|]|\n", value):
                page = _Page(markdown(value, extensions=["footnotes", "tables", "sane_lists"]))
                self.known |= {_plain(sentence) for node in page.texts for sentence in (node, *_SENTENCES.split(node))}

    def own(self, piece: str) -> bool:
        """Tell whether a piece is nothing but the guide's own texts, numbers and single letters, parted by signs."""
        cuts = [(0, 0), *(found.span() for found in _PARTING.finditer(piece)), (len(piece), len(piece))]
        told = {0}  # the cuts up to which everything is known
        for at in range(1, len(cuts)):
            if any(before in told and self._whole(piece[cuts[before][1] : cuts[at][0]]) for before in range(at)):
                told.add(at)
        return len(cuts) - 1 in told

    def _whole(self, text: str) -> bool:
        plain = _plain(text)
        return len(plain) < 2 or plain in self.known or bool(_NUMBER.fullmatch(text.strip().strip(_TRIM)))

    def syntax(self, text: str) -> bool:
        """Tell whether a text is a row of keys, ids and numbers as it would be typed into a file, or a name of them."""
        rows = (re.split(r"[\s:;,{}\[\]()“”]+|\.\.+", text), re.split(r"\W+", text))
        return any(all(self._whole(word) for word in row) for row in rows)

    def rows(self, text: str) -> bool:
        """Tell whether each part of a text is the guide's own or a row of keys, ids and numbers."""
        return all(self.own(part) or self.syntax(part) for part in _PARTING.split(text))

    def typed(self, text: str) -> bool:
        """Tell whether a text stands in some file as it is."""
        return text.translate(_SIGNS) in self.files


def _scalars(value: Any) -> Iterator[str]:
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from (*_scalars(key), *_scalars(inner))
    elif isinstance(value, list | tuple):
        for inner in value:
            yield from _scalars(inner)
    elif value is not None:
        yield str(value)


class _Page(HTMLParser):
    """Gathers a page's texts, those told only to screen readers and those that show while one hovers."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.texts: list[str] = []
        self.unread: list[str] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        self.texts += [given[name] or "" for name in _SPOKEN & given.keys()]
        if tag == "meta" and given.get("name") == "description":
            self.texts.append(given.get("content") or "")
        if tag == "input" and given.get("type") in ("submit", "button", "reset"):
            self.texts.append(given.get("value") or "")
        if tag in _UNREAD:
            self.unread.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if tag in self.unread:
            self.unread.remove(tag)

    def handle_data(self, data: str) -> None:
        if not self.unread and data.strip():
            self.texts.append(data)


def loose_in_page(text: str, own: OwnWords) -> list[str]:
    """Return the pieces of a page that stand outside brackets and are not the guide's own words."""
    return [piece.strip() for node in _Page(text).texts for piece in outside(node) if not own.own(piece)]


_QUOTED = re.compile(r"'([^']*)'|`([^`]*)`|“([^”]*)”|\"([^\"]*)\"")


def loose(text: str, own: OwnWords) -> list[str]:
    """Return the pieces of what a terminal shows that stand outside brackets and are not the guide's own words.

    A line of a file shown as it stands is the guide's own, and so is what is quoted of one, and what is to be typed:
    a row of keys, ids and numbers.
    """

    def quoted(found: re.Match[str]) -> str:
        inner = next(group for group in found.groups() if group is not None)
        return "; " if own.own(inner) or own.typed(inner) or own.syntax(inner) else found[0]

    lines = [line for line in text.splitlines() if not own.typed(line.strip())]
    pieces = [_QUOTED.sub(quoted, piece).strip() for line in lines for piece in outside(line)]
    return [piece for piece in pieces if not own.own(piece) and not own.typed(piece) and not own.rows(piece)]
