"""Write a finished site to its folder, all or nothing.

A site is a mapping of output names to bytes, made whole before a byte is written. It is written beside the
folder it is to become, under a name of its own; the marker goes in last, so that a folder with a marker is
whole. Then two renames swap it in. Whatever moment a kill comes at, one of these holds:

* ``out`` is a whole edition (the old one, or the new one);
* ``out`` is missing and ``out.new`` (with a marker) or ``out.old`` is whole: the next run puts it back.

Only a folder that carries our marker is ever replaced. The same site gives the same bytes, marker included.
"""

from __future__ import annotations

import errno
import hashlib
import os
import shutil
import time
import unicodedata
from collections.abc import Callable, Mapping
from pathlib import Path

from guide.finding import Finding, Place
from guide.pages.parts.naming import unsafe_name
from guide.sentence import Sentence

__all__ = ["MARKER", "publish_guide", "recover_out", "site_digest"]

MARKER = ".running-change"  # the name of the marker file
_MARKER_HEAD = (
    "This folder was made by Running Change and is replaced whole at every build.\nKeep nothing of your own in it.\n"
)
_RETRIES = 6  # a folder held by another program is tried again this often...
_FIRST_WAIT_SECONDS = 0.1  # ...waiting this long at first and twice as long each time


class InTheWay(OSError):
    """Something that is not ours lies where a folder of ours has to go; ``why`` says what."""

    def __init__(self, why: str) -> None:
        super().__init__(errno.EEXIST, why)
        self.why = Sentence(why)


def site_digest(site: Mapping[str, bytes]) -> str:
    """Return a SHA-256 over every name and content of a site, in order of name."""
    digest = hashlib.sha256()
    for name in sorted(site):
        digest.update(f"{name}\0{len(site[name])}\0".encode())
        digest.update(site[name])
    return digest.hexdigest()


def publish_guide(
    site: Mapping[str, bytes], out: Path, *, sleep: Callable[[float], None] = time.sleep
) -> tuple[Finding, ...]:
    """Replace ``out`` by ``site``, or leave it as it was and say why not.

    Returns no findings when ``out`` now holds exactly the site. Nothing is written when the folder already
    holds it. ``sleep`` waits between tries at a folder that another program holds.
    """
    findings = _name_findings(site)
    if findings:
        return findings
    out = Path(os.path.abspath(out))
    if out.is_symlink():
        out = out.resolve()
    try:
        recover_out(out)
        refused = _refusal(out)
        if refused is not None:
            return (refused,)
        marker = _marker_text(site)
        if _holds(out, site, marker):
            return ()
        coming = _beside(out, "new")
        _remove(coming)
        _write(coming, site, marker)
        _swap(coming, out, sleep)
    except OSError as error:
        return (_cannot_write(out, error),)
    return ()


def recover_out(out: Path) -> None:
    """Put back what a killed build left: a whole new edition if there is one, else the old one."""
    coming, leaving = _beside(out, "new"), _beside(out, "old")
    if not out.exists():
        if _ours(coming):
            os.replace(coming, out)
        elif _ours(leaving):
            os.replace(leaving, out)
    if _ours(out) and _ours(leaving):
        _remove(leaving)


def _beside(out: Path, what: str) -> Path:
    return out.with_name(f"{out.name}.{what}")


def _ours(folder: Path) -> bool:
    try:
        return (folder / MARKER).read_text(encoding="utf-8").startswith(_MARKER_HEAD)
    except (OSError, UnicodeDecodeError):
        return False


def _marker_text(site: Mapping[str, bytes]) -> str:
    return f"{_MARKER_HEAD}{len(site)} files, sha256 {site_digest(site)}\n"


def _refusal(out: Path) -> Finding | None:
    """Return why ``out`` may not be replaced, or None when it may."""
    if not out.exists():
        return None
    if not out.is_dir():
        return Finding.of("press.out-not-ours.file", Place(out.name), out=out.name)
    if _ours(out) or not any(out.iterdir()):
        return None
    return Finding.of("press.out-not-ours", Place(out.name), out=out.name)


def _holds(out: Path, site: Mapping[str, bytes], marker: str) -> bool:
    """Tell whether the folder already holds exactly this site."""
    if not _ours(out) or (out / MARKER).read_text(encoding="utf-8") != marker:
        return False
    found = {path.relative_to(out).as_posix(): path for path in out.rglob("*") if path.is_file()}
    found.pop(MARKER, None)
    return found.keys() == site.keys() and all(found[name].read_bytes() == site[name] for name in site)


def _write(folder: Path, site: Mapping[str, bytes], marker: str) -> None:
    for name in sorted(site):
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(site[name])
    folder.mkdir(parents=True, exist_ok=True)
    with open(folder / MARKER, "w", encoding="utf-8", newline="\n") as file:
        file.write(marker)
        file.flush()
        os.fsync(file.fileno())  # last, so that a marked folder is a whole one


def _swap(coming: Path, out: Path, sleep: Callable[[float], None]) -> None:
    leaving = _beside(out, "old")
    if leaving.exists() and not _ours(leaving):
        raise InTheWay("press.somebody-else")
    _remove(leaving)
    if not out.exists():
        _move(coming, out, sleep)
        return
    if not _ours(out):
        out.rmdir()  # empty, or this raises
        _move(coming, out, sleep)
        return
    _move(out, leaving, sleep)
    try:
        _move(coming, out, sleep)
    except OSError:
        _move(leaving, out, sleep)
        raise
    _remove(leaving)


def _move(old: Path, new: Path, sleep: Callable[[float], None]) -> None:
    """Rename a folder, trying again while another program holds it (Windows: an open file or window)."""
    wait = _FIRST_WAIT_SECONDS
    for turn in range(_RETRIES + 1):
        try:
            os.replace(old, new)
            return
        except PermissionError:
            if turn == _RETRIES:
                raise
            sleep(wait)
            wait *= 2


def _remove(folder: Path) -> None:
    """Remove a folder that is ours to remove: one of our own names beside ``out``."""
    if folder.is_symlink() or folder.is_file():
        raise InTheWay("press.file-in-way")
    if folder.exists():
        shutil.rmtree(folder)


def _cannot_write(out: Path, error: OSError) -> Finding:
    full = error.errno == errno.ENOSPC
    name = "out-held" if isinstance(error, PermissionError) else "cannot-write.full" if full else "cannot-write"
    why = error.why if isinstance(error, InTheWay) else error.strerror or type(error).__name__
    return Finding.of(f"press.{name}", Place(out.name), out=out.name, why=why)


def _name_findings(site: Mapping[str, bytes]) -> tuple[Finding, ...]:
    """Return what is wrong with the output names: some systems ignore case, one refuses some names."""
    findings = []
    taken: dict[str, str] = {}
    for name in sorted(site):
        why = unsafe_name(name)
        if why:
            findings.append(Finding.of("press.unsafe-name", Place(name), name=repr(name), why=why))
        folded = unicodedata.normalize("NFC", name).casefold()
        if folded in taken:
            findings.append(Finding.of("press.names-differ-in-case", Place(name), one=taken[folded], other=name))
        taken.setdefault(folded, name)
    for name in sorted(site):
        for folder in Path(name).parents:
            inside = unicodedata.normalize("NFC", folder.as_posix()).casefold()
            if inside in taken:
                findings.append(Finding.of("press.names-differ-in-case.folder", Place(name), folder=folder.as_posix()))
    return tuple(findings)
