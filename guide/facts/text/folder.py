"""The content folder: which files are there, which are read, and what is odd about their names.

A folder of facts is carried about by sticks, mail and three operating systems, so names that differ only
in case, names Windows cannot have, second endings that Explorer hides and links out of the folder are all
said before anything is read.
"""

from __future__ import annotations

import os
import unicodedata
from dataclasses import dataclass
from pathlib import Path

from guide.facts.text.decoding import decode
from guide.facts.text.desk import Desk, id_problem
from guide.facts.text.problem import nearest
from guide.facts.text.source import MAX_BYTES, Node, compose
from guide.facts.values import Text
from guide.finding import Place

__all__ = ["ROOT_FILES", "SUBFOLDERS", "Folder", "open_folder"]

ROOT_FILES = (
    "guide.yml",
    "sources.yml",
    "periods.yml",
    "interiors.yml",
    "areas.yml",
    "words.yml",
    "statements.csv",
    "about.md",
)
SUBFOLDERS = {"numbers": ".yml", "marks": ".yml", "care": ".yml", "cars-seen": ".csv"}
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
        """Return the files of a subfolder that are read, each as its id and path."""
        return tuple((name, path) for name, path in self._named(subfolder) if _is_named(name, path))

    def has_unnamed(self, subfolder: str) -> bool:
        """Tell whether some file of a subfolder has a name that is no id, and so is not read."""
        return not all(_is_named(name, path) for name, path in self._named(subfolder))

    def _named(self, subfolder: str) -> list[tuple[str, str]]:
        ending = SUBFOLDERS[subfolder]
        return [
            (path.split("/")[1].removesuffix(ending), path)
            for path in self.files
            if path.count("/") == 1 and path.startswith(f"{subfolder}/") and path.endswith(ending)
        ]

    def bytes_of(self, path: str, desk: Desk) -> bytes | None:
        """Return what a file holds, or None with a finding."""
        place = Place(path)
        try:
            with (self.root / path).open("rb") as file:
                data = file.read(MAX_BYTES + 1)
        except OSError as error:
            desk.say(
                "unreadable-file",
                place,
                f"this file cannot be opened: {error.strerror or error}",
                "close it in other programs and see that you may read it",
            )
            return None
        if len(data) > MAX_BYTES:
            desk.say(
                "too-large",
                place,
                f"expected a file of at most {MAX_BYTES // 1_000_000} MB, found more",
                "divide it, or take out what is no fact",
            )
            return None
        return data

    def text_of(self, path: str, desk: Desk) -> str | None:
        """Return a file's text with its lines kept for findings, or None with a finding."""
        data = self.bytes_of(path, desk)
        if data is None:
            return None
        decoded, troubles = decode(data, path)
        desk.keep_lines(path, decoded)
        desk.troubles(troubles)
        return decoded

    def node_of(self, path: str, desk: Desk) -> Node | None:
        """Return a YAML file's document, or None: not there; or empty or unreadable, with a finding."""
        if not self.has(path):
            return None
        before = desk.count
        decoded = self.text_of(path, desk)
        if decoded is None:
            return None
        node, troubles = compose(decoded, path)
        desk.troubles(troubles)
        if node is None and desk.count == before:
            desk.say_empty(path)
        return node


def _is_named(name: str, path: str) -> bool:
    return not path.endswith(".yml") or id_problem(name, "") is None


def open_folder(root: Path, desk: Desk) -> Folder:
    """Return the files of a content folder, having said what is odd about them."""
    files: list[str] = []
    _walk(root, "", files, desk)
    files.sort()
    _check_case(files, desk)
    for path in files:
        _check_name(path, desk)
    return Folder(root, tuple(files))


def _walk(root: Path, inside: str, files: list[str], desk: Desk) -> None:
    try:
        entries = sorted(os.scandir(root / inside), key=lambda entry: entry.name)
    except OSError as error:
        desk.say(
            "unreadable-file",
            Place(inside or "guide.yml"),
            f"this folder cannot be opened: {error.strerror or error}",
            "see that it is there and you may read it",
        )
        return
    for entry in entries:
        path = f"{inside}{entry.name}"
        if entry.name.startswith(_IGNORED):
            continue
        if entry.is_symlink():
            desk.say(
                "link-in-folder",
                Place(path),
                "found a link to another place in the content folder",
                "copy the file itself here: a link is lost on a stick or another computer",
            )
        elif entry.is_dir():
            if inside.count("/") < 4:
                _walk(root, f"{path}/", files, desk)
        else:
            files.append(path)


def _check_case(files: list[str], desk: Desk) -> None:
    seen: dict[str, str] = {}
    for path in files:
        plain = unicodedata.normalize("NFC", path).casefold()
        if plain in seen:
            desk.say(
                "same-name",
                Place(path),
                f"{path} and {seen[plain]} differ only in small and capital letters or in how an accent is stored",
                "rename one: on two of three systems one overwrites the other",
                ((Place(seen[plain]), "the other file"),),
            )
        seen.setdefault(plain, path)


def _check_name(path: str, desk: Desk) -> None:
    parent, _, name = path.rpartition("/")
    place = Place(path)
    lower = name.casefold()
    for wanted in (".yml", ".csv", ".md", ".svg"):
        for second in (".txt", ".yml", ".yaml", ".csv", ".doc", ".docx", ".rtf", ".html"):
            if lower.endswith(wanted + second) and (parent in SUBFOLDERS or (parent == "" and wanted != ".svg")):
                desk.say(
                    "double-ending",
                    place,
                    f"this file is not read: its name ends with {second}, which Windows may hide",
                    f"rename it to {name[: -len(second)]} (in Explorer: View, Show, File name extensions)",
                )
                return
    ending = SUBFOLDERS.get(parent)
    if ending and not name.endswith(ending):
        better = name.rpartition(".")[0] + ending
        desk.say(
            "file-not-read",
            place,
            f"this file is not read: {parent}/ holds files that end with {ending}",
            f"rename it to {better}, or move it out of {parent}/",
        )
    elif ending == ".yml":
        desk.usable_id(Text(name.removesuffix(ending), place), f"a file in {parent}/")
    elif parent == "" and lower.endswith((".yml", ".yaml", ".csv")) and name not in ROOT_FILES:
        known = next((file for file in ROOT_FILES if file.casefold() == lower.replace(".yaml", ".yml")), None)
        desk.say(
            "file-not-read",
            place,
            "this file is not read: no such file belongs here",
            f"rename it to {known}, or put its lines there"
            if known
            else f"files here are {', '.join(ROOT_FILES)}; marks stand in marks/",
        )
    elif lower.endswith((".yml", ".yaml", ".csv")) and ending is None:
        top = path.split("/")[0]
        known = top if top in SUBFOLDERS else nearest(top, SUBFOLDERS)
        if known:
            desk.say(
                "file-not-read",
                place,
                f"this file is not read: it stands in {parent}/",
                f"move it into {known}/ itself",
            )
