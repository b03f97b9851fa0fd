"""What is kept between runs beside the folder that a guide is made into, so that the same is not worked out twice.

A thing is kept under the digest of all that it can depend on: the program itself with its words and its packages, the
theme, and every file of the content folder, or what of the facts was looked at. Nothing rests on a time. What is there
was made from the very same by the very same program, or it is not looked at; the folder may be deleted at any moment,
and costs time and nothing else.
"""

from __future__ import annotations

import hashlib
import os
import pickle
import re
import sys
from collections.abc import Iterator
from contextlib import suppress
from functools import cache
from pathlib import Path
from typing import TypeVar, cast

from guide.facts.text.folder import PRIVATE
from guide.press.cache import Cache
from guide.press.theme import Theme

__all__ = ["Kept", "bytes_of", "digest_of", "folder_beside", "names_in"]

_PACKAGE = Path(__file__).resolve().parent.parent
_PACKAGES = ("jinja2", "markupsafe", "markdown", "pyyaml", "pillow")
_INSTALLED = re.compile(rf"({'|'.join(_PACKAGES)})-\d.*[.](dist|egg)-info", re.IGNORECASE)
_COMPILED = ("__pycache__", ".git")
Thing = TypeVar("Thing")


def digest_of(*folders: Path) -> str:
    """Return a SHA-256 over every name and content in some folders, but for what is private in each."""
    digest = hashlib.sha256()
    for folder in folders:
        for name in names_in(folder):
            data = bytes_of(folder, name)
            digest.update(f"{name}\0{len(data)}\0".encode("utf-8", "surrogateescape"))
            digest.update(data)
        digest.update(b"\0\0")
    return digest.hexdigest()


def names_in(folder: Path) -> list[str]:
    """Return every file of a folder by its name from there, in order, but for what is private."""
    return sorted(_files_in(str(folder), "", frozenset()))


def bytes_of(folder: Path, name: str) -> bytes:
    """Return what a file holds. Raises OSError."""
    with open(f"{folder}{os.sep}{name}", "rb", buffering=0) as file:
        return file.readall()


def _files_in(folder: str, within: str, above: frozenset[str]) -> Iterator[str]:
    """Yield every file of a folder by its name from the first on, links to others followed; none of a folder twice in
    one line of descent."""
    real = os.path.realpath(folder)
    if real in above or not os.path.isdir(folder):
        return
    with os.scandir(folder) as entries:
        for entry in entries:
            if entry.name in _COMPILED or (not within and entry.name.casefold() == PRIVATE):
                continue
            if entry.is_dir():
                yield from _files_in(entry.path, f"{within}{entry.name}/", above | {real})
            elif entry.is_file():
                yield f"{within}{entry.name}"


def folder_beside(out: Path) -> Path:
    """Return the folder in which things are kept between runs that make a guide in ``out``."""
    return out.resolve().with_name(f".{out.resolve().name}.cache")


def _program_of(theme: Theme) -> str:
    return f"{sys.version} {' '.join(_packages())} {digest_of(_PACKAGE, *theme.layers)}"


@cache
def _packages() -> tuple[str, ...]:
    """Return the packages with their versions, as the folders name them in which they are installed; only where there
    are none is each asked, which costs a good part of a start."""
    found = []
    for folder in sys.path:
        with suppress(OSError):
            found += [name for name in os.listdir(folder or ".") if _INSTALLED.fullmatch(name)]
    if {name.partition("-")[0].casefold() for name in found} >= {*_PACKAGES}:
        return tuple(sorted(found))
    from importlib.metadata import version

    return tuple(f"{name} {version(name)}" for name in _PACKAGES)


class Kept:
    """What was worked out by the program with a theme as they are now; nowhere when ``folder`` is None.

    What rests on more of the facts than is said (``of``) is that of the content folder as it is now, read in
    ``language`` where it is given in several.

    Raises OSError where a file of them cannot be read.
    """

    def __init__(self, folder: Path | None, content: Path, theme: Theme, language: str = "") -> None:
        self._language = language
        self.cache = Cache(folder)
        self.there = folder is not None and folder.is_dir()
        self._program, self._content = "", ""
        if folder is not None:
            self._program, self._content = _program_of(theme), self._digest_of(content)

    def _digest_of(self, content: Path) -> str:
        return f"{digest_of(content)} {self._language}".rstrip()

    @classmethod
    def beside(cls, out: Path, content: Path, theme: Theme, language: str = "") -> Kept:
        """Return what is kept beside the folder that a guide is made into; nothing where files cannot be read."""
        try:
            return cls(folder_beside(out), content, theme, language)
        except OSError:
            return cls(None, content, theme, language)

    def is_of(self, content: Path, theme: Theme) -> bool:
        """Tell whether the files are still what they were; one may be saved while a guide is made."""
        try:
            return (self._program, self._content) == (_program_of(theme), self._digest_of(content))
        except OSError:
            return False

    def get(self, kind: type[Thing], of: str | None = None) -> Thing | None:
        """Return what was kept of a kind, or None; ``of`` is a digest of all the facts that it rests on."""
        data = self.cache.get(self._name_of(kind, of)) if self.there else None
        return None if data is None else cast(Thing, pickle.loads(data))

    def hold(self, kind: type, of: str) -> None:
        """Let what was kept of a kind stay, whether it is asked for or not."""
        self.cache.hold(self._name_of(kind, of))

    def put(self, thing: object, of: str | None = None) -> None:
        """Keep a thing under its kind, ``of`` as for `get`."""
        self.cache.put(self._name_of(type(thing), of), pickle.dumps(thing, pickle.HIGHEST_PROTOCOL))

    def _name_of(self, kind: type, of: str | None) -> str:
        return f"{kind.__module__}.{kind.__qualname__} {self._program} {self._content if of is None else of}"
