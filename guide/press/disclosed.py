"""What goes out of a guide that is not prose: numbers of real cars, pictures, remarks, columns of sheets, names.

An editor knows what the texts say, having typed them. What else leaves the house is told here, and not from what the
program means to do: every number and remark is looked for in the very bytes that are published. Copies of the whole
(the archive, the single file) hold nothing that the pages do not.
"""

from __future__ import annotations

import html
import json
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from guide.facts.records.letters_kept import read_letters
from guide.facts.text.csv_tables import parse_csv
from guide.facts.text.decoding import decode
from guide.facts.text.folder import PRIVATE
from guide.facts.types import Guide
from guide.finding import Place
from guide.pages.parts.masked import of_papers, of_seen, shortened
from guide.pages.shelf import Shelf
from guide.press.offline import SPARED
from guide.press.told_findings import parts_page
from guide.sentence import Sentence, Value, all_of, sentence
from guide.words.say import Words

__all__ = ["Disclosed", "NumberOut", "PictureOut", "RemarkOut", "disclosed", "disclosed_json", "disclosed_page", "told"]

_TEXTS = (".html", ".js", ".json", ".csv", ".webmanifest")
_SEPARATORS = ",;\t|"
_OF_LOOKS = {"car", "id", "body", "built", "untouched", "seen on", "source", "another car", "interior"}
_OF_STATEMENTS = {"mark", "form", "kind", "when", "source", "page", "for", "spell"}
_AROUND, _FAR = 30, 300  # characters that are told on either side of a number, and those that they are looked for in
_LONGEST = 80  # characters of a remark that are told


@dataclass(frozen=True, slots=True)
class NumberOut:
    """A number of a real car: where it stands in the facts, in what, in how many files it stands whole, and what is
    printed in its place where that is something else (nothing: it does not go out)."""

    number: str
    place: Place
    kinds: tuple[str, ...]  # seen, paper, car-seen
    files: int
    instead: str
    within: tuple[str, str] | None  # the first file that has it whole, and the words around it there


@dataclass(frozen=True, slots=True)
class PictureOut:
    """A picture of the pictures folder: under which name it goes out (a drawing under none: it is drawn into pages), on
    how many pages it is shown (0 where it stays), and whose it is said to be."""

    file: str
    name: str
    pages: int
    credit: str


@dataclass(frozen=True, slots=True)
class RemarkOut:
    """A cell of a column of remarks, or of one that is not read: the text, and in how many files it stands."""

    place: Place
    column: str
    text: str
    files: int


@dataclass(frozen=True, slots=True)
class Disclosed:
    """Everything that goes out and is not prose; each list in the order of the guide or of names."""

    guide: Guide
    numbers: tuple[NumberOut, ...]
    pictures: tuple[PictureOut, ...]
    remarks: tuple[RemarkOut, ...]
    columns: tuple[tuple[str, tuple[str, ...]], ...]  # of each sheet that is published
    signed: tuple[tuple[str, Place], ...]  # a name beneath a ruling
    private: int  # files of the private folder, of which nothing goes out
    repeated: tuple[RemarkOut, ...]  # what the letters there name that stands in the guide too


class _Published:
    """The texts that are published, to look things up in."""

    def __init__(self, site: Mapping[str, bytes]) -> None:
        self.texts = {
            name: data.decode("utf-8", "replace")
            for name, data in site.items()
            if name.endswith(_TEXTS) and name not in SPARED and not name.startswith("scripts/")
        }
        self._having: dict[str, set[str]] = {}  # the files that have a word
        for name, text in self.texts.items():
            for word in set(re.findall(r"\w+", text)):
                self._having.setdefault(word, set()).add(name)

    def files(self, text: str) -> int:
        """Return in how many files a text stands whole, as typed or as HTML writes it."""
        return len(self.found(text))

    def found(self, text: str) -> list[tuple[str, re.Match[str]]]:
        """Return where a text first stands whole in each file that has it, pages first."""
        if not text:
            return []
        ways = list(dict.fromkeys((text, html.escape(text), json.dumps(text)[1:-1])))
        having = set().union(*map(self._may_have, ways))
        whole = re.compile(rf"(?<!\w)(?:{'|'.join(map(re.escape, ways))})(?!\w)")
        found = [(name, at) for name, one in self.texts.items() if name in having and (at := whole.search(one))]
        return sorted(found, key=lambda one: not one[0].endswith(".html"))

    def _may_have(self, way: str) -> Iterable[str]:
        """Return the files that have every word of a text."""
        words = re.findall(r"\w+", way)
        return set.intersection(*(self._having.get(word, set()) for word in words)) if words else self.texts

    def pages(self, *pieces: str) -> int:
        """Return on how many pages one of some pieces of markup stands."""
        return sum(any(one in text for one in pieces) for name, text in self.texts.items() if name.endswith(".html"))


def disclosed(shelf: Shelf, site: Mapping[str, bytes], folder: Path) -> Disclosed:
    """Return what goes out with a site that was made from a content folder, and is not prose."""
    published = _Published(site)
    rulings = [one for mark in shelf.guide.marks.values() for one in mark.rulings if one.by]
    return Disclosed(
        shelf.guide,
        tuple(_numbers(shelf.guide, published)),
        tuple(_pictures(shelf, site, published)),
        tuple(_remarks(shelf.guide, folder, published)),
        tuple(
            (name, tuple(str(cell) for cell in parse_csv(text.lstrip("\ufeff"), ",", name)[0][0]))
            for name, text in published.texts.items()
            if name.endswith(".csv")
        ),
        tuple((one.by, one.place) for one in rulings),
        sum(path.is_file() for path in (folder / PRIVATE).rglob("*")),
        tuple(_repeated(folder, published)),
    )


def _repeated(folder: Path, published: _Published) -> Iterator[RemarkOut]:
    for letter in read_letters(folder)[0]:
        for column, text in (("sent to", letter.sent_to), ("remarks", letter.remarks)):
            if files := published.files(text):
                yield RemarkOut(letter.place, column, text, files)


def _numbers(guide: Guide, published: _Published) -> Iterator[NumberOut]:
    found: dict[str, tuple[Place, dict[str, None]]] = {}

    def add(number: str, place: Place | None, kind: str) -> None:
        if number:
            found.setdefault(number, (place or Place("guide.yml"), {}))[1][kind] = None

    for kind, cars in (("seen", of_seen(guide)), ("paper", of_papers(guide))):
        for car in cars:
            add(car.written, car.place, kind)
    for seen in guide.cars_seen:
        for number in dict.fromkeys((seen.number_text, *(one.written for one in seen.numbers))):
            add(number, seen.place, "car-seen")
    for number, (place, kinds) in found.items():
        found_in = published.found(number)
        instead = shortened(number) if not found_in and published.files(shortened(number)) else ""
        within = (found_in[0][0], _around(found_in[0][1])) if found_in else None
        yield NumberOut(number, place, tuple(kinds), len(found_in), instead, within)


def _around(at: re.Match[str]) -> str:
    """Return what a reader has before his eyes around a number, by which one sees why it stands there."""
    before, after = (
        " ".join(html.unescape(re.sub(r"<[^>]*>|^[^<]*>|<[^>]*$", " ", text)).split())
        for text in (at.string[max(at.start() - _FAR, 0) : at.start()], at.string[at.end() : at.end() + _FAR])
    )
    before = f"… {before[-_AROUND:].partition(' ')[2]}" if len(before) > _AROUND else before
    after = f"{after[:_AROUND].rpartition(' ')[0]} …" if len(after) > _AROUND else after
    return " ".join((before, at[0], after)).replace("…  ", "… ").strip()


def _pictures(shelf: Shelf, site: Mapping[str, bytes], published: _Published) -> Iterator[PictureOut]:
    marks = shelf.guide.marks.values()
    told_of = (*shelf.guide.pictures, *(one for mark in marks for one in mark.pictures))
    told_of += tuple(one for mark in marks for form in mark.forms.values() for one in form.pictures)
    whose = {one.file: one.credit for one in told_of if one.credit}
    for file, photograph in sorted(shelf.photographs.items()):
        names = [one.path for one in (photograph, *photograph.smaller) if one.path in site]
        yield PictureOut(file, names[0] if names else "", published.pages(*names), whose.get(file, ""))
    for file, drawing in sorted(shelf.drawings.items()):
        pages = published.pages(drawing.shapes) if drawing.shapes else 0
        yield PictureOut(file, "", pages, whose.get(file, ""))


def _remarks(guide: Guide, folder: Path, published: _Published) -> Iterator[RemarkOut]:
    known = {*_OF_LOOKS, *_OF_STATEMENTS, *guide.splits, *guide.marks, *(one.kind for one in guide.series.values())}
    for path in (*sorted((folder / "cars-seen").glob("*")), folder / "statements.csv"):
        name = path.relative_to(folder).as_posix()
        for place, column, text in _cells(path, name) if path.is_file() else ():
            if text and column.strip().casefold() not in known and not text.isdigit():
                yield RemarkOut(place, column, text, published.files(text))


def _cells(path: Path, name: str) -> Iterator[tuple[Place, str, str]]:
    """Yield every cell of a table, or of notes handed in, under the heading of its column."""
    text = decode(path.read_bytes(), name)[0] or ""
    if path.suffix == ".json":
        try:
            cars = json.loads(text)["cars"]
        except (ValueError, RecursionError, KeyError, TypeError):
            return
        for car in cars if isinstance(cars, list) else ():
            yield from ((Place(name), "remarks", str(car["remarks"])) for _ in (0,) if dict(car).get("remarks"))
        return
    first = text.partition("\n")[0]
    rows, _ = parse_csv(text, max(_SEPARATORS, key=first.count), name)
    for row in rows[1:]:
        for heading, cell in zip(rows[0], row, strict=False):
            yield cell.place, str(heading), str(cell)


def told(found: Disclosed, words: Words) -> list[tuple[str, list[str]]]:
    """Return what goes out in words: headings, each with its lines."""
    guide, say = found.guide, words.tell
    lines: dict[str, Iterable[Sentence]] = {
        "numbers": [
            sentence(f"press.disclosed.seen-{'masked' if guide.mask_seen_statements else 'whole'}"),
            sentence(f"press.disclosed.cars-{'masked' if guide.mask_numbers else 'whole'}"),
            *map(_number_said, found.numbers),
        ],
        "pictures": map(_picture_said, found.pictures),
        "remarks": _remarks_said(found.remarks),
        "columns": [
            sentence("press.disclosed.column", sheet=sheet, columns=", ".join(columns))
            for sheet, columns in found.columns
        ],
        "signed": [sentence("press.disclosed.name", name=name, place=str(place)) for name, place in found.signed],
        "private": [sentence("press.disclosed.private-stays", n=found.private), *map(_remark_said, found.repeated)],
    }
    return [
        (words.say(f"press.disclosed.{part}"), [say(one) for one in said] or [words.say("press.disclosed.nothing")])
        for part, said in ((part, list(said)) for part, said in lines.items())
    ]


def _number_said(one: NumberOut) -> Sentence:
    kinds: Value = all_of(sentence(f"press.disclosed.kind.{kind}") for kind in one.kinds)
    way = "whole" if one.files else "masked" if one.instead else "stays"
    return sentence(
        f"press.disclosed.number.{way}",
        number=one.number,
        instead=one.instead,
        n=one.files,
        kinds=kinds,
        place=str(one.place),
        file=one.within[0] if one.within else "",
        text=one.within[1] if one.within else "",
    )


def _picture_said(one: PictureOut) -> Sentence:
    way = "stays" if not one.pages and not one.name else "photograph" if one.name else "drawing"
    said = sentence(f"press.disclosed.picture.{way}", file=one.file, name=one.name, n=one.pages)
    return sentence("press.disclosed.credited", picture=said, credit=one.credit) if one.credit else said


def _remarks_said(remarks: Iterable[RemarkOut]) -> Iterator[Sentence]:
    stay = 0
    for one in remarks:
        stay += not one.files
        if one.files:
            yield _remark_said(one)
    yield sentence("press.disclosed.remarks-stay", n=stay)


def _remark_said(one: RemarkOut) -> Sentence:
    text = one.text if len(one.text) <= _LONGEST else f"{one.text[:_LONGEST]}…"
    return sentence("press.disclosed.remark", place=str(one.place), column=one.column, text=text, n=one.files)


def disclosed_json(found: Disclosed) -> dict[str, object]:
    """Return what goes out for output."""

    def at(place: Place) -> dict[str, object]:
        return {"file": place.file, "line": place.line}

    def remarks(found: Iterable[RemarkOut]) -> list[dict[str, object]]:
        return [{"column": one.column, **at(one.place), "text": one.text, "files": one.files} for one in found]

    return {
        "format": 1,
        "edition": found.guide.edition,
        "numbers": [
            {"number": one.number, **at(one.place), "in": list(one.kinds), "files": one.files, "instead": one.instead}
            for one in found.numbers
        ],
        "pictures": [
            {"file": one.file, "name": one.name, "pages": one.pages, "credit": one.credit} for one in found.pictures
        ],
        "remarks": remarks(found.remarks),
        "sheets": [{"name": name, "columns": list(columns)} for name, columns in found.columns],
        "signed": [{"name": name, **at(place)} for name, place in found.signed],
        "private": {"files": found.private, "repeated": remarks(found.repeated)},
    }


def disclosed_page(found: Disclosed, words: Words) -> bytes:
    """Return a page, for the preview alone, that tells what goes out."""
    title, lead = (words.say(f"press.disclosed.{part}") for part in ("title", "lead"))
    return parts_page(title, lead, told(found, words), words)
