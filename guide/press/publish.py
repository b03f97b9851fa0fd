"""Write a finished site to its folder, all or nothing, and go back to the edition before.

A site is a mapping of output names to bytes, made whole before a byte is written. Beside the folder ``out`` that it is
to become stands a folder of our own, ``.out.publishing``, whose name nobody else uses; in it are

* ``new``: the edition being written, whole once it carries the marker, which goes in last;
* ``old-1``, ``old-2``...: an edition that makes way, between the two renames that swap another in, or for longer where
  a program holds it;
* ``before``: the edition before the one in ``out``;
* ``gone-1``...: what is being deleted: nothing in it is asked for again, so that a kill may leave it in any state;
* ``lock``: held while anything here is touched, so that builds at the same time take turns.

Whatever moment a kill comes at, ``out`` is a whole edition, or it is missing and the next command puts a whole one in
its place from ``new`` or ``old``. Only a folder that carries our marker is ever replaced. The same site gives the same
bytes, marker included.
"""

from __future__ import annotations

import errno
import hashlib
import os
import shutil
import signal
import time
import unicodedata
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import IO

from guide.finding import Finding, Place
from guide.pages.parts.naming import unsafe_name

__all__ = [
    "MARKER",
    "edition_of",
    "files_in",
    "go_back",
    "ignore_interrupts",
    "is_published",
    "marker_of",
    "publish_guide",
    "recover_out",
    "site_digest",
]

MARKER = ".running-change"  # the name of the marker file
_MARKER_HEAD = (
    "This folder was made by Running Change and is replaced whole at every build.\nKeep nothing of your own in it.\n"
)
_EDITION = "edition: "  # begins the marker's line that names the edition
_RETRIES = 6  # a folder held by another program is tried again this often...
_FIRST_WAIT_SECONDS = 0.1  # ...waiting this long at first and twice as long each time
_TURNS = 600  # how often one asks for the lock, a tenth of a second between: far longer than writing any guide takes


class InTheWay(Exception):
    """The folder may not be replaced; ``finding`` says why."""

    def __init__(self, finding: Finding) -> None:
        super().__init__(finding.code)
        self.finding = finding


def site_digest(site: Mapping[str, bytes]) -> str:
    """Return a SHA-256 over every name and content of a site, in order of name."""
    digest = hashlib.sha256()
    for name in sorted(site):
        data = site[name]
        digest.update(f"{name}\0{len(data)}\0".encode())
        digest.update(data)
    return digest.hexdigest()


def marker_of(site: Mapping[str, bytes], edition: str) -> str:
    """Return the text of the marker in a folder that holds exactly this site."""
    named = f"{_EDITION}{' '.join(edition.split())}\n" if edition else ""
    return f"{_MARKER_HEAD}{len(site)} files, sha256 {site_digest(site)}\n{named}"


class _Files(Mapping[str, bytes]):
    """The files of a folder by output name, the marker left out, each read when it is asked for."""

    def __init__(self, folder: Path) -> None:
        found = {path.relative_to(folder).as_posix(): path for path in folder.rglob("*") if path.is_file()}
        self._paths = {name: path for name, path in found.items() if name != MARKER}

    def __getitem__(self, name: str) -> bytes:
        return self._paths[name].read_bytes()

    def __iter__(self) -> Iterator[str]:
        return iter(self._paths)

    def __len__(self) -> int:
        return len(self._paths)


def files_in(folder: Path) -> Mapping[str, bytes]:
    """Return the files of a folder by output name, the marker left out."""
    return _Files(folder)


def is_published(out: Path, marker: str) -> bool:
    """Tell whether a folder holds, byte for byte, the site whose marker this is."""
    try:
        held = _ours(out) and (out / MARKER).read_text(encoding="utf-8") == marker
        return held and marker_of(_Files(out), edition_of(out)) == marker
    except OSError:
        return False


def publish_guide(
    site: Mapping[str, bytes],
    out: Path,
    *,
    edition: str = "",
    marker: str = "",
    sleep: Callable[[float], None] = time.sleep,
    too_late: Callable[[], object] = lambda: None,
) -> tuple[Finding, ...]:
    """Replace ``out`` by ``site``, or leave it as it was and say why not; ``marker`` is its marker where that is known.

    Returns no findings when ``out`` now holds exactly the site. Nothing is written when the folder already holds it.
    ``sleep`` waits between tries at a folder that another program holds. ``too_late`` is called when all is written and
    the new edition is about to take the old one's place: from then on an interrupt would come too late.
    """
    findings = _name_findings(site)
    if findings:
        return findings
    marker = marker or marker_of(site, edition)

    def put(shelf: _Shelf) -> None:
        if _holds(shelf.out, site, marker):
            return
        shelf.clear("new")
        _write(shelf.at("new"), site, marker)
        too_late()
        shelf.swap(shelf.at("new"), sleep)

    return _changed(out, put, sleep)


def go_back(
    out: Path, *, sleep: Callable[[float], None] = time.sleep, too_late: Callable[[], object] = lambda: None
) -> tuple[Finding, ...]:
    """Put the edition before in the place of the one in ``out``, which becomes the edition before.

    Returns no findings when that was done, otherwise what was in the way; then ``out`` is as it was. The rest is as for
    `publish_guide`.
    """

    def put(shelf: _Shelf) -> None:
        if not _ours(shelf.at("before")):
            raise InTheWay(Finding.of("press.none-before", Place(out.name), out=out.name))
        shelf.clear("new")
        too_late()
        shelf.swap(shelf.at("before"), sleep)

    return _changed(out, put, sleep)


def recover_out(out: Path) -> None:
    """Put back what a killed build left: a whole new edition if there is one, else the old one."""
    if _Shelf(out).folder.exists():
        _changed(out, lambda _shelf: None, time.sleep)


def ignore_interrupts() -> None:
    """Let Ctrl-C change nothing more in this process: for ``too_late``."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)


def edition_of(out: Path) -> str:
    """Return the name of the edition in a folder of ours, or nothing."""
    try:
        lines = (out / MARKER).read_text(encoding="utf-8").splitlines()
    except (OSError, UnicodeDecodeError):
        return ""
    return next((line.removeprefix(_EDITION) for line in lines if line.startswith(_EDITION)), "")


def _changed(out: Path, change: Callable[[_Shelf], None], sleep: Callable[[float], None]) -> tuple[Finding, ...]:
    """Change ``out`` while nobody else does; return why that could not be done."""
    out = Path(os.path.abspath(out))
    if out.is_symlink():
        out = out.resolve()
    around = next((folder for folder in out.parents if _ours(folder)), None)
    if around is not None:  # before anything of ours is put beside it, in there
        return (Finding.of("press.out-not-ours.in-another", Place(out.name), out=out.name, other=around.name),)
    shelf = _Shelf(out)
    stood = _ours(out)
    try:
        with _locked(shelf, sleep):
            shelf.recover()
            refused = _refusal(out)
            if refused is not None:
                raise InTheWay(refused)
            change(shelf)
            shelf.tidy()
    except InTheWay as no:
        return (no.finding,)
    except OSError as error:
        return (_cannot_write(out, error, lost=stood and not _ours(out)),)
    return ()


class _Shelf:
    """The folder of our own beside ``out``, and what is done with the editions in it."""

    def __init__(self, out: Path) -> None:
        self.out = out
        self.folder = out.with_name(f".{out.name}.publishing")

    def at(self, what: str) -> Path:
        return self.folder / what

    def all(self, what: str) -> list[Path]:
        """Return the folders of a numbered kind, the oldest first."""
        return sorted(self.folder.glob(f"{what}-*"), key=_number)

    def next(self, what: str) -> Path:
        """Return a free name of a numbered kind, later than all that are taken."""
        return self.at(f"{what}-{max(map(_number, self.all(what)), default=0) + 1}")

    def recover(self) -> None:
        """Finish what a killed command began."""
        if not self.out.exists():
            whole = [folder for folder in (*self.all("old"), self.at("new")) if _ours(folder)]
            if whole:
                os.replace(whole[-1], self.out)
        self.tidy()

    def swap(self, coming: Path, sleep: Callable[[float], None]) -> None:
        """Let a whole edition take the place of the one in ``out``."""
        if not _ours(self.out):
            if self.out.exists():
                self.out.rmdir()  # empty, or this raises
            _move(coming, self.out, sleep)
            return
        leaving = self.next("old")
        _move(self.out, leaving, sleep)
        try:
            _move(coming, self.out, sleep)
        except OSError:
            _move(leaving, self.out, sleep)
            raise

    def clear(self, what: str) -> None:
        """Take a folder off the shelf: out of sight at once, deleted as far as the system lets us."""
        folder, gone = self.at(what), self.next("gone")
        if folder.exists() or folder.is_symlink():
            os.replace(folder, gone)
            shutil.rmtree(gone, ignore_errors=True)

    def tidy(self) -> None:
        """Keep the edition before and delete what is no longer asked for.

        The edition that made way last becomes the edition before, unless it bears the name of the one in ``out`` and
        what is kept does not: an editor who builds ten times in an afternoon still goes back to last season's. What
        another program holds waits for the next time.
        """
        now = edition_of(self.out)
        with suppress(OSError):
            for old in self.all("old"):
                kept = edition_of(self.at("before"))
                if edition_of(old) != now or kept in ("", now):
                    self.clear("before")
                    os.replace(old, self.at("before"))
                else:
                    self.clear(old.name)
        for gone in self.all("gone"):
            shutil.rmtree(gone, ignore_errors=True)


def _number(folder: Path) -> int:
    digits = folder.name.rpartition("-")[2]
    return int(digits) if digits.isdecimal() else 0


@contextmanager
def _locked(shelf: _Shelf, sleep: Callable[[float], None]) -> Iterator[None]:
    """Hold the lock of a shelf; the system lets go of it when a process ends, however it ends.

    Raises InTheWay when another command holds it for a minute. Where a disk knows no locks (some network shares) one
    goes on without.
    """
    shelf.folder.mkdir(parents=True, exist_ok=True)
    with open(shelf.at("lock"), "a+b") as file:
        for turn in range(_TURNS + 1):
            try:
                _lock(file)
                break
            except (BlockingIOError, PermissionError):
                if turn == _TURNS:
                    found = Finding.of("press.out-busy", Place(shelf.out.name), out=shelf.out.name)
                    raise InTheWay(found) from None
                sleep(0.1)
            except OSError:
                break
        yield


def _lock(file: IO[bytes]) -> None:
    """Take the lock of a file, or raise OSError at once; closing the file lets go of it."""
    if os.name == "nt":
        import msvcrt

        file.seek(0)
        msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined,unused-ignore]
    else:
        import fcntl

        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)


def _ours(folder: Path) -> bool:
    try:
        return (folder / MARKER).read_text(encoding="utf-8").startswith(_MARKER_HEAD)
    except (OSError, UnicodeDecodeError):
        return False


def _refusal(out: Path) -> Finding | None:
    """Return why ``out`` may not be replaced, whole as it would be, or None when it may."""
    if not out.exists():
        return None
    if not out.is_dir():
        return Finding.of("press.out-not-ours.file", Place(out.name), out=out.name)
    inside = next(
        (path.parent for path in sorted(out.rglob(MARKER)) if path.parent != out and _ours(path.parent)), None
    )
    if inside is not None:
        other = inside.relative_to(out).as_posix()
        return Finding.of("press.out-not-ours.holds-another", Place(out.name), out=out.name, other=other)
    if _ours(out) or not any(out.iterdir()):
        return None
    return Finding.of("press.out-not-ours", Place(out.name), out=out.name)


def _holds(out: Path, site: Mapping[str, bytes], marker: str) -> bool:
    """Tell whether the folder already holds exactly this site."""
    if not _ours(out) or (out / MARKER).read_text(encoding="utf-8") != marker:
        return False
    found = _Files(out)
    return found.keys() == site.keys() and all(found[name] == site[name] for name in site)


def _write(folder: Path, site: Mapping[str, bytes], marker: str) -> None:
    for inside in sorted({"", *(name.rpartition("/")[0] for name in site)}):
        (folder / inside).mkdir(parents=True, exist_ok=True)
    for name in sorted(site):
        (folder / name).write_bytes(site[name])
    with open(folder / MARKER, "w", encoding="utf-8", newline="\n") as file:
        file.write(marker)
        file.flush()
        os.fsync(file.fileno())  # last, so that a marked folder is a whole one


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


def _cannot_write(out: Path, error: OSError, *, lost: bool) -> Finding:
    """Say what kept a guide from being written, and what is true of the one before."""
    full = error.errno == errno.ENOSPC
    name = "out-held" if isinstance(error, PermissionError) else "cannot-write.full" if full else "cannot-write"
    if lost:
        name = "out-moved"
    return Finding.of(f"press.{name}", Place(out.name), out=out.name, why=error.strerror or type(error).__name__)


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
        folder = name
        while folder := folder.rpartition("/")[0]:
            if unicodedata.normalize("NFC", folder).casefold() in taken:
                findings.append(Finding.of("press.names-differ-in-case.folder", Place(name), folder=folder))
    return tuple(findings)
