"""A finished site as a commit on a local branch of git, for hosts that serve one. Nothing is sent anywhere.

What is checked out stays as it is: the commit is made of a folder and an index of its own. A branch that is checked out
somewhere, or whose tip does not carry our marker, is left alone. What a host keeps there beside the guide (``CNAME``,
``.well-known``) stays.
"""

from __future__ import annotations

import os
import subprocess
import tempfile
from collections.abc import Mapping
from pathlib import Path

from guide.finding import Finding, Place
from guide.press.publish import MARKER

__all__ = ["CannotCommit", "commit_site", "site_on"]

_KEPT = ("CNAME", ".well-known")
_PLAIN = ".nojekyll"  # tells a common kind of host to serve the files as they are


class CannotCommit(Exception):
    """The branch cannot take the site; ``finding`` says why."""

    def __init__(self, finding: Finding) -> None:
        super().__init__(finding.code)
        self.finding = finding


def _git(folder: Path, *words: str, **also: str) -> str:
    """Run git and return what it printed. Raises CannotCommit where it is missing or says no."""
    try:
        done = subprocess.run(
            ["git", *words],
            cwd=folder,
            env={**os.environ, **also, "GIT_TERMINAL_PROMPT": "0"},
            capture_output=True,
            text=True,
            encoding="utf-8",
            errors="replace",
            check=False,
        )
    except OSError as error:
        raise CannotCommit(_no(folder, "no-git", why=error.strerror or str(error))) from None
    if done.returncode:
        raise CannotCommit(_no(folder, "refused", why=" ".join(done.stderr.split())[:200]))
    return done.stdout.strip()


def _no(folder: Path, way: str, *, why: str = "", branch: str = "") -> Finding:
    return Finding.of(f"press.cannot-commit.{way}", Place(folder.name or "."), why=why, branch=branch)


def _tip(folder: Path, branch: str) -> str:
    """Return the commit at the tip of a branch, or nothing."""
    _git(folder, "rev-parse", "--git-dir")
    _git(folder, "check-ref-format", "--branch", branch)
    return _git(folder, "for-each-ref", "--format=%(objectname)", f"refs/heads/{branch}")


def _within(folder: Path, work: str, aside: str) -> dict[str, str]:
    """Return what has git work in a folder of its own on the repository of another."""
    repository = _git(folder, "rev-parse", "--absolute-git-dir")
    return {"GIT_DIR": repository, "GIT_WORK_TREE": work, "GIT_INDEX_FILE": str(Path(aside, "index"))}


def site_on(folder: Path, branch: str) -> dict[str, bytes]:
    """Return what of a site stands on a branch, by name; nothing where there is no such branch."""
    if not _tip(folder, branch):
        return {}
    with tempfile.TemporaryDirectory() as work, tempfile.TemporaryDirectory() as aside:
        within = _within(folder, work, aside)
        _git(Path(work), "read-tree", f"refs/heads/{branch}", **within)
        _git(Path(work), "checkout-index", "-a", **within)
        files = {path.relative_to(work).as_posix(): path for path in Path(work).rglob("*") if path.is_file()}
        ours = {name: path for name, path in files.items() if name.split("/")[0] not in (*_KEPT, _PLAIN, MARKER)}
        return {name: path.read_bytes() for name, path in ours.items()}


def commit_site(folder: Path, branch: str, site: Mapping[str, bytes], marker: str, message: str) -> str:
    """Commit a site to a branch of the repository that a folder lies in; return the commit, or nothing where the branch
    holds the very same already. Raises CannotCommit."""
    tip = _tip(folder, branch)
    used = _git(folder, "for-each-ref", "--format=%(worktreepath)", f"refs/heads/{branch}")
    if used or _git(folder, "rev-parse", "--symbolic-full-name", "HEAD") == f"refs/heads/{branch}":
        raise CannotCommit(_no(folder, "checked-out", branch=branch))
    names = set(_git(folder, "ls-tree", "--full-tree", "--name-only", tip).splitlines()) if tip else set()
    if tip and MARKER not in names:
        raise CannotCommit(_no(folder, "not-ours", branch=branch))
    with tempfile.TemporaryDirectory() as work, tempfile.TemporaryDirectory() as aside:
        for name, data in {**site, MARKER: marker.encode(), _PLAIN: b""}.items():
            path = Path(work, name)
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)
        index = _within(folder, work, aside)
        _git(Path(work), "-c", "core.autocrlf=false", "-c", "core.safecrlf=false", "add", "-A", "-f", ".", **index)
        for kept in _KEPT:
            if kept in names:
                mode, kind, identity = _git(folder, "ls-tree", "--full-tree", tip, kept).split()[:3]
                if kind == "tree":
                    _git(Path(work), "read-tree", f"--prefix={kept}/", identity, **index)
                else:
                    _git(Path(work), "update-index", "--add", "--cacheinfo", f"{mode},{identity},{kept}", **index)
        tree = _git(Path(work), "write-tree", **index)
    if tip and _git(folder, "rev-parse", f"{tip}^{{tree}}") == tree:
        return ""
    commit = _git(folder, "commit-tree", tree, "-m", message, *(("-p", tip) if tip else ()))
    _git(folder, "update-ref", f"refs/heads/{branch}", commit, tip or "0" * 40)
    return commit
