"""The content folder: which files are there, which are read, and what is odd about their names.

A folder of facts is carried about by sticks, mail and three operating systems, so names that differ only
in case, names Windows cannot have, second endings that Explorer hides and links out of the folder are all
said before anything is read.
"""

from __future__ import annotations

import os
import re
import unicodedata
from dataclasses import dataclass
from pathlib import Path

from guide.facts.text.desk import Desk, id_problem
from guide.facts.text.meant import id_meant, nearest
from guide.facts.text.source import MAX_BYTES, Node, compose
from guide.facts.values import Text
from guide.finding import Place
from guide.sentence import listed, sentence

__all__ = ["ABOUT", "ABOUT_IN", "EDITIONS", "LETTERS", "PRIVATE", "ROOT_FILES", "SUBFOLDERS", "Folder", "open_folder"]

ABOUT = "about.md"  # the one file of text alone; in a further language "about.de.md"
ABOUT_IN = re.compile(r"about\.([a-z]{2,3}(?:-[A-Za-z0-9]+)*)\.md")
EDITIONS = "editions"  # the folder of what was published before, which nobody types
PRIVATE = "private"  # the folder of what is nobody else's business: no guide is made of it
LETTERS = f"{PRIVATE}/letters"
ROOT_FILES = (
    "guide.yml",
    "sources.yml",
    "periods.yml",
    "interiors.yml",
    "areas.yml",
    "words.yml",
    "statements.csv",
    ABOUT,
)
PICTURES = "pictures"
SUBFOLDERS = {"numbers": ".yml", "marks": ".yml", "care": ".yml", "cars-seen": ".csv"}
_FOLDERS = listed(f"{folder}/" for folder in SUBFOLDERS)
_ALSO = {"cars-seen": ".json"}  # what else is read there: cars as the key hands them in
_PICTURES = (".svg", ".jpg", ".jpeg", ".png", ".webp", ".heic")
_WORKBOOKS = (".xlsx", ".xlsm", ".xls", ".ods", ".numbers")
_IGNORED = (".", "~$", "Thumbs.db", "desktop.ini", "Icon\r")


@dataclass(frozen=True, slots=True)
class Folder:
    """The files of a content folder by their path in it, with ``/``, sorted."""

    root: Path
    files: tuple[str, ...]

    def has(self, name: str) -> bool:
        """Tell whether a file is there."""
        return name in self.files

    def of(self, subfolder: str) -> tuple[tuple[str, str], ...]:
        """Return the files of a subfolder that are read, each as its id and path; a name that is no id, as it is meant;
        one with the other ending that is read there keeps that in its id. A copy ("june (1)") comes after its like."""
        named = self._named(subfolder)
        read = {} if SUBFOLDERS[subfolder] != ".yml" else {id_meant(name): path for name, path in named}
        read = {name: path for name, path in read.items() if id_problem(name, "") is None}
        read |= {name: path for name, path in named if _is_named(name, path)}
        return tuple(sorted(read.items(), key=lambda one: one[1].removesuffix(SUBFOLDERS[subfolder])))

    def has_unnamed(self, subfolder: str) -> bool:
        """Tell whether some file of a subfolder has a name of which no id can be made, and so is not read."""
        return not {path for _, path in self._named(subfolder)} <= {path for _, path in self.of(subfolder)}

    def _named(self, subfolder: str) -> list[tuple[str, str]]:
        ending = SUBFOLDERS[subfolder]
        return [
            (path.split("/")[1].removesuffix(ending), path)
            for path in self.files
            if path.count("/") == 1
            and path.startswith(f"{subfolder}/")
            and path.endswith((ending, _ALSO.get(subfolder, ending)))
        ]

    def bytes_of(self, path: str, desk: Desk) -> bytes | None:
        """Return what a file holds, or None: not there; or unreadable, with a finding."""
        if not self.has(path):
            return None
        place = Place(path)
        try:
            with (self.root / path).open("rb") as file:
                data = file.read(MAX_BYTES + 1)
        except OSError as error:
            desk.find("facts.unreadable-file", place, why=error.strerror or str(error))
            return None
        if len(data) > MAX_BYTES:
            desk.find("facts.too-large", place, megabytes=MAX_BYTES // 1_000_000)
            return None
        return data

    def text_of(self, path: str, desk: Desk) -> str | None:
        """Return a file's text with its lines kept for findings, or None as `bytes_of` has it."""
        data = self.bytes_of(path, desk)
        return None if data is None else desk.text_of(data, path)

    def node_of(self, path: str, desk: Desk) -> Node | None:
        """Return a YAML file's document, or None: not there; or empty or unreadable, with a finding."""
        before = desk.count
        text = self.text_of(path, desk)
        if text is None:
            return None
        node, found = compose(text, path, keys=desk.known_keys)
        desk.add(found)
        if node is None and desk.count == before:
            desk.say_empty(path)
        return None if node is None else desk.in_language(node)


def _is_named(name: str, path: str) -> bool:
    return not path.endswith(".yml") or id_problem(name, "") is None


def open_folder(root: Path, desk: Desk) -> Folder:
    """Return the files of a content folder but the private ones, having said what is odd about them."""
    files: list[str] = []
    _walk(root, "", files, desk)
    files.sort()
    _check_case(files, desk)
    plain = [_plain(path) for path in files]
    for path in files:
        if plain.count(_plain(path)) == 1 or path == _plain(path):
            _check_name(path, desk)
    return Folder(root, tuple(files))


def _walk(root: Path, inside: str, files: list[str], desk: Desk) -> None:
    try:
        entries = sorted(os.scandir(root / inside), key=lambda entry: entry.name)
    except OSError as error:
        place = Place(inside or "guide.yml")
        desk.find("facts.unreadable-file.folder", place, why=error.strerror or str(error))
        return
    for entry in entries:
        path = f"{inside}{entry.name}"
        if entry.name.startswith(_IGNORED) or (not inside and entry.name.casefold() == PRIVATE):
            continue
        if entry.is_symlink():
            desk.find("facts.link-in-folder", Place(path))
        elif entry.is_dir():
            if inside.count("/") < 4:
                _walk(root, f"{path}/", files, desk)
        else:
            files.append(path)


def _check_case(files: list[str], desk: Desk) -> None:
    seen: dict[str, str] = {}
    for path in files:
        plain = _plain(path)
        if plain in seen:
            related = ((Place(seen[plain]), sentence("facts.same-name.other")),)
            desk.find("facts.same-name", Place(path), related, file=path, other=seen[plain])
        seen.setdefault(plain, path)


def _plain(path: str) -> str:
    return unicodedata.normalize("NFC", path).casefold()


_ENDINGS = re.compile(
    r"(.+(?:\.yml|\.csv|\.md|(\.svg)))(\.txt|\.yml|\.yaml|\.csv|\.doc|\.docx|\.rtf|\.html)", re.IGNORECASE
)


def _check_name(path: str, desk: Desk) -> None:
    parent, _, name = path.rpartition("/")
    place, ending, lower = Place(path), SUBFOLDERS.get(parent), name.casefold()
    of_facts = lower.endswith((".yml", ".yaml", ".csv"))
    twice = _ENDINGS.fullmatch(name)
    if twice and (ending or (parent == "" and not twice[2])):
        desk.find("facts.double-ending", place, ending=twice[3].casefold(), better=twice[1])
        said = sentence("facts.double-ending.put-right", ending=twice[3].casefold(), better=twice[1])
        desk.misplace(id_meant(twice[1].rpartition(".")[0]), place, said)
    elif ending == ".csv" and lower.endswith(_WORKBOOKS):
        desk.find("facts.file-not-read.workbook", place)
    elif ending and not name.endswith((ending, _ALSO.get(parent, ending))):
        better = name.rpartition(".")[0] + ending
        desk.find("facts.file-not-read.ending", place, folder=parent, ending=ending, better=better)
        said = sentence("facts.file-not-read.ending.put-right", folder=parent, ending=ending, better=better)
        desk.misplace(id_meant(name.rpartition(".")[0]), place, said)
    elif ending == ".yml":
        desk.usable_id(Text(name.removesuffix(ending), place), sentence("facts.file-in", folder=parent))
    elif parent == "" and of_facts and name not in ROOT_FILES and not ABOUT_IN.fullmatch(name):
        known = next((file for file in ROOT_FILES if file.casefold() == lower.replace(".yaml", ".yml")), None)
        put_right = sentence("facts.file-not-read.rename", better=known) if known else None
        into = nearest(name.rpartition(".")[0], SUBFOLDERS)
        if into is not None and lower.endswith(".csv"):
            put_right = sentence("facts.file-not-read.into", folder=into)
        desk.find("facts.file-not-read", place, put_right=put_right, files=listed(ROOT_FILES), folders=_FOLDERS)
    elif parent == "" and lower.endswith(_PICTURES):
        put_right = sentence("facts.file-not-read.into", folder=PICTURES)
        desk.find("facts.file-not-read", place, put_right=put_right, files=listed(ROOT_FILES), folders=_FOLDERS)
    elif parent.startswith(f"{PICTURES}/") and lower.endswith(_PICTURES):
        desk.find("facts.file-not-read.deeper", place, folder=parent, known=PICTURES)
    elif of_facts and parent and ending is None:
        top = path.split("/")[0]
        known = top if top in SUBFOLDERS else nearest(top, SUBFOLDERS)
        if known:
            desk.find("facts.file-not-read.deeper", place, folder=parent, known=known)
            said = sentence("facts.file-not-read.deeper.put-right", folder=parent, known=known)
            desk.misplace(id_meant(name.rpartition(".")[0]), place, said)
