"""The facts themselves as a folder to build from, ``content.zip`` among the downloads: for whoever goes on with a guide
after its editors.

It holds what readers are told, and nothing else that lies in the content folder. Each file is written anew from what
was read of it, so that remarks after ``#`` and whatever nobody reads stay behind; a number that the guide hides takes
the whole statement with it, as in the sheet of statements, and the ruling on it. Cars seen, earlier editions, a theme
and the private folder stay as well; a README says so. A picture keeps its name only where that is made of ids.
"""

from __future__ import annotations

import hashlib
import pickle
import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path, PurePath
from typing import Any
from urllib.parse import quote

import yaml

from guide.checks.missing import pictures_named
from guide.facts.records.every import KEYS
from guide.facts.records.statements_csv import FILE as STATEMENTS
from guide.facts.records.withdrawn import KEY as WITHDRAWN
from guide.facts.text.csv_tables import write_csv
from guide.facts.text.decoding import decode
from guide.facts.text.desk import Desk
from guide.facts.text.folder import ABOUT, ABOUT_IN, ROOT_FILES, SUBFOLDERS, open_folder
from guide.facts.text.source import Items, Keyed, Node, compose
from guide.facts.text.written import as_yaml
from guide.facts.types import Guide, StatementKind
from guide.finding import Place
from guide.pages.parts.naming import content_name, slug
from guide.pages.parts.open_data import is_hidden, statement_rows
from guide.pages.parts.wording import licence_said
from guide.pages.shelf import Drawing, Photograph, Shelf
from guide.press.archive import zipped
from guide.press.cache import Cache
from guide.press.drawings import drawing_file
from guide.press.fingerprint import program_digest

__all__ = ["CONTENT", "content_files"]

CONTENT = "content.zip"
_README = "README.md"
_SEEN = str(StatementKind.SEEN)


@dataclass(frozen=True, slots=True)
class _Left:
    """What of a guide stays behind: where the statements that are told stand, and the rulings that are not."""

    told: frozenset[Place]  # of the statements that a car was seen
    rulings: frozenset[Place]
    statements: int  # how many are hidden

    def by_file(self) -> dict[str, list[tuple[int, int, bool]]]:
        """Return what stands in each file: line, column, whether it is told."""
        found: dict[str, list[tuple[int, int, bool]]] = {}
        for one in sorted(self.told | self.rulings):
            found.setdefault(one.file, []).append((one.line, one.column, one in self.told))
        return found


def content_files(
    folder: Path,
    shelf: Shelf,
    pictures: tuple[Mapping[str, Drawing], Mapping[str, Photograph]],
    store: Cache,
    fingerprint: str,
) -> dict[str, bytes]:
    """Return the archive of a guide's facts under its name; the same bytes for the same facts. ``pictures`` are the
    drawings and the photographs of its folder by their names there."""
    opened = open_folder(folder, Desk())
    names = [name for name in (*ROOT_FILES, STATEMENTS) if opened.has(name) and name.endswith(".yml")]
    names += [path for inside, ending in SUBFOLDERS.items() if ending == ".yml" for _, path in opened.of(inside)]
    left = _left(shelf)
    renamed, files = _pictures(shelf.guide, *pictures)
    typed = {name: (folder / name).read_bytes() for name in names}
    files[_README] = _readme(shelf, left, renamed, fingerprint).encode()
    for name in (name for name in opened.files if name == ABOUT or ABOUT_IN.fullmatch(name)):
        if about := decode((folder / name).read_bytes(), name)[0].rstrip():
            files[name] = f"{_with_names(about, renamed)}\n".encode()
    if opened.has(STATEMENTS):
        files[STATEMENTS] = write_csv(statement_rows(shelf, lambda one: one.place.file == STATEMENTS))
    key, apart = f"written {program_digest()} {yaml.__version__}", left.by_file()
    held = store.get(key)
    before, now = pickle.loads(held) if held else {}, dict[bytes, bytes]()
    for name, data in typed.items():
        known = hashlib.sha256(f"{name}\0{apart.get(name)}\0{sorted(renamed.items())}\0".encode() + data).digest()
        now[known] = files[name] = before.get(known) or _written(name, data, left, renamed)
    if now.keys() != before.keys():
        store.put(key, pickle.dumps(now, pickle.HIGHEST_PROTOCOL))
    return {CONTENT: zipped("content", files)}


def _written(name: str, data: bytes, left: _Left, renamed: Mapping[str, str]) -> bytes:
    """Return a file of facts anew, less what stays behind."""
    node = compose(decode(data, name)[0], name)[0]
    plain = None if node is None else _plain(node, left, renamed)
    if isinstance(plain, dict) and name == "guide.yml":
        plain.pop(WITHDRAWN, None)
    return as_yaml(plain).encode()


def _left(shelf: Shelf) -> _Left:
    told, rulings, hidden = set[Place](), set[Place](), 0
    for mark in shelf.guide.marks.values():
        for at, one in enumerate(mark.statements):
            ruled = [ruling for ruling in mark.rulings if ruling.statement == at]
            if is_hidden(shelf, one.when):
                hidden += 1
                rulings |= {ruling.place for ruling in ruled}
            elif one.kind is StatementKind.SEEN:
                told.add(one.place)
    return _Left(frozenset(told), frozenset(rulings), hidden)


def _plain(node: Node, left: _Left, renamed: Mapping[str, str]) -> Any:
    """Return a node as plain data, less what stays behind; None for what then says nothing."""
    if isinstance(node, Items):
        each = [_plain(one, left, renamed) for one in node.items]
        return [one for one in each if one is not None]
    if not isinstance(node, Keyed):
        return _with_names(node, renamed)
    if node.place in left.rulings:
        return None
    found = {}
    for key, value in node.pairs:
        plain = _plain(value, left, renamed)
        if key == _SEEN:
            plain = _seen(value, left)
        if plain is not None:
            found[str(key)] = plain
    stated = [key for key in StatementKind if node.get(key) is not None]
    return None if _SEEN in stated and not any(key in found for key in stated) else found


def _seen(node: Node, left: _Left) -> Any:
    """Return the cars that a statement names as seen, or a ruling reads so, but those that stay behind."""
    items = node.items if isinstance(node, Items) else (node,)
    kept = [str(one) for one in items if not isinstance(one, Items | Keyed) and one.place in left.told]
    return None if not kept else kept if len(kept) > 1 else kept[0]


def _with_names(text: str, renamed: Mapping[str, str]) -> str:
    """Return a text with the new names of pictures."""
    for old, new in renamed.items():
        for spelt in (old, quote(old)):
            if spelt in text:
                text = re.sub(rf"(?<![\w-]){re.escape(spelt)}(?![\w-])", new, text)
    return text


def _pictures(
    guide: Guide, drawings: Mapping[str, Drawing], photographs: Mapping[str, Photograph]
) -> tuple[dict[str, str], dict[str, bytes]]:
    """Return the pictures that have another name, old to new, and each file."""
    renamed, files = dict[str, str](), dict[str, bytes]()
    public = _ids(guide)
    for name in sorted(pictures_named(guide, {*drawings, *photographs})):
        if name in drawings:
            data, ending = drawing_file(drawings[name]), ".svg"
        elif name in photographs:
            data, ending = photographs[name].data, PurePath(photographs[name].path).suffix
        else:
            continue
        stem = name.rpartition(".")[0]
        ours = {*stem.split("-")} <= public and f"pictures/{stem}{ending}" not in files
        new = f"{stem if ours else content_name(data)}{ending}"
        files[f"pictures/{new}"] = data
        if new != name:
            renamed[name] = new
    return renamed, files


def _ids(guide: Guide) -> set[str]:
    """Return the words of which the ids of a guide are made, the names of its splits, and the keys of its files."""
    ids = [*guide.marks, *guide.series, *guide.interiors, *guide.periods, *guide.areas, *guide.splits]
    ids += [form for mark in guide.marks.values() for form in mark.forms]
    ids += [value for split in guide.splits.values() for value in split.values]
    ids += [slug(split.name) for split in guide.splits.values()]
    return {part for one in (*ids, *map(slug, KEYS)) for part in one.split("-")}


def _readme(shelf: Shelf, left: _Left, renamed: Mapping[str, str], fingerprint: str) -> str:
    guide, say = shelf.guide, shelf.say
    sheets = {sheet for car in guide.cars_seen for sheet in car.sheets}
    lines = [
        say("press.content.remarks"),
        *([say("press.content.cars", n=len(guide.cars_seen), m=len(sheets))] if sheets else []),
        *([say("press.content.seen", n=left.statements)] if left.statements else []),
        *([say("press.content.withdrawn", n=len(guide.withdrawn))] if guide.withdrawn else []),
        *([say("press.content.renamed", n=len(renamed))] if renamed else []),
        say("press.content.folders"),
    ]
    parts = [
        f"# {say('press.content.title', title=guide.title)}",
        say("press.content.lead", edition=guide.edition, fingerprint=fingerprint),
        f"## {say('press.content.left')}",
        "\n".join(f"- {line}" for line in lines),
        *([say("pages.downloads.licence", licence=licence_said(guide.licence))] if guide.licence else []),
        *([say("pages.shell.wrong", contact=guide.contact)] if guide.contact else []),
    ]
    return "\n\n".join(parts) + "\n"
