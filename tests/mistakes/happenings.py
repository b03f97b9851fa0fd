"""What is found wrong by nobody's typing in the facts: a disk, a theme, a host, another program, what nobody foresaw.

Each makes it happen and yields what is found; then does what the put-right says, and yields what is found after that.
"""

from __future__ import annotations

import os
import pathlib
import shutil
import subprocess
from collections.abc import Callable, Iterable, Iterator
from typing import Any

import pytest

from guide.command import publish
from guide.command.unforeseen import unforeseen
from guide.command.work import begin_guide, check_guide_whole, make_guide
from guide.facts.read import read_guide
from guide.facts.text.parser_faults import Fault, explain_parser_error
from guide.facts.types import Guide
from guide.finding import Finding, Place
from guide.press.branch import CannotCommit, commit_site
from guide.press.cache import Cache
from guide.press.host import handed, host_findings
from guide.press.keeping_editions import keep_edition
from guide.press.publish import go_back, publish_guide
from guide.press.scripts import Scripts
from guide.press.theme import Theme, open_theme
from tests.mistakes.spoil import GUIDE
from tests.starting import guide_in, started

__all__ = ["HAPPENINGS", "Happening"]

Found = Iterable[Finding]
Happening = Callable[[pathlib.Path, pytest.MonkeyPatch], Iterator[Found]]
_SITE, _OTHER = {"index.html": b"<p>one</p>"}, {"index.html": b"<p>two</p>"}
_PLAIN = open_theme()


def _content(folder: pathlib.Path) -> pathlib.Path:
    return pathlib.Path(shutil.copytree(GUIDE, folder / "content"))


def _checked(content: pathlib.Path) -> Found:
    return check_guide_whole(content, _PLAIN).findings


def unreadable_file(folder: pathlib.Path, patch: pytest.MonkeyPatch) -> Iterator[Found]:
    """Another program holds a file."""
    content, opened = _content(folder), pathlib.Path.open

    def refuse(self: pathlib.Path, *arguments: Any, **named: Any) -> Any:
        if self.name == "words.yml":
            raise PermissionError(13, "Permission denied")
        return opened(self, *arguments, **named)

    with patch.context() as held:
        held.setattr(pathlib.Path, "open", refuse)
        yield _checked(content)
    yield _checked(content)


def link_in_folder(folder: pathlib.Path, _: pytest.MonkeyPatch) -> Iterator[Found]:
    """A file is linked from elsewhere in place of being copied."""
    content, kept = _content(folder), folder / "belts.yml"
    inside = content / "marks" / "belts.yml"
    inside.rename(kept)
    inside.symlink_to(kept)
    yield _checked(content)
    inside.unlink()
    shutil.copy(kept, inside)
    yield _checked(content)


def not_yaml(folder: pathlib.Path, _: pytest.MonkeyPatch) -> Iterator[Found]:
    """The reader of YAML complains of what it never complained of before."""
    problem, _place = explain_parser_error(Fault("found a novelty", "", ("name: x", "b"), (1, 0), (0, 0)))
    yield (problem.at(Place("words.yml", 2)),)
    yield _checked(_content(folder))


def out_not_ours(folder: pathlib.Path, _: pytest.MonkeyPatch) -> Iterator[Found]:
    """The folder to build into holds letters."""
    (folder / "out").mkdir()
    (folder / "out" / "letter.txt").write_text("dear")
    yield publish_guide(_SITE, folder / "out")
    yield publish_guide(_SITE, folder / "guide-site")


def _refusing(patch: pytest.MonkeyPatch, error: OSError, is_refused: Callable[[pathlib.Path], bool]) -> None:
    replace = os.replace

    def refuse(old: pathlib.Path, new: pathlib.Path) -> None:
        if is_refused(pathlib.Path(old)):
            raise error
        replace(old, new)

    patch.setattr(os, "replace", refuse)


def out_held(folder: pathlib.Path, patch: pytest.MonkeyPatch) -> Iterator[Found]:
    """A window shows the folder."""
    out = folder / "out"
    publish_guide(_SITE, out)
    with patch.context() as held:
        _refusing(held, PermissionError(13, "held"), lambda _: True)
        yield publish_guide(_OTHER, out, sleep=lambda _: None)
    yield publish_guide(_OTHER, out)


def out_moved(folder: pathlib.Path, patch: pytest.MonkeyPatch) -> Iterator[Found]:
    """The old edition has left its place, and neither the new one nor it can be put there."""
    out = folder / "out"
    publish_guide(_SITE, out)
    with patch.context() as held:
        _refusing(held, OSError(5, "input/output error"), lambda old: old != out)
        yield publish_guide(_OTHER, out, sleep=lambda _: None)
    yield publish_guide(_OTHER, out)


def cannot_write(folder: pathlib.Path, patch: pytest.MonkeyPatch) -> Iterator[Found]:
    """The disk refuses."""
    out = folder / "out"
    publish_guide(_SITE, out)
    with patch.context() as held:
        _refusing(held, OSError(5, "input/output error"), lambda old: old.name == "new")
        yield publish_guide(_OTHER, out)
    yield publish_guide(_OTHER, out)


def out_busy(folder: pathlib.Path, _: pytest.MonkeyPatch) -> Iterator[Found]:
    """Another command is writing there."""
    fcntl = pytest.importorskip("fcntl")
    out = folder / "out"
    publish_guide(_SITE, out)
    with open(out.with_name(".out.publishing") / "lock", "ab") as held:
        fcntl.flock(held, fcntl.LOCK_EX)
        yield publish_guide(_OTHER, out, sleep=lambda _: None)
    yield publish_guide(_OTHER, out)


def none_before(folder: pathlib.Path, _: pytest.MonkeyPatch) -> Iterator[Found]:
    """One goes back where one edition was built."""
    out = folder / "out"
    publish_guide(_SITE, out, edition="spring")
    yield go_back(out)
    publish_guide(_OTHER, out, edition="autumn")
    yield go_back(out)


def names_differ_in_case(folder: pathlib.Path, _: pytest.MonkeyPatch) -> Iterator[Found]:
    """Two pictures that some systems take for one."""
    yield publish_guide({"pictures/Dash.jpg": b"1", "pictures/dash.jpg": b"2"}, folder / "out")
    yield publish_guide({"pictures/panel.jpg": b"1", "pictures/dash.jpg": b"2"}, folder / "out")


def unsafe_name(folder: pathlib.Path, _: pytest.MonkeyPatch) -> Iterator[Found]:
    """A name that Windows keeps to itself."""
    yield publish_guide({"marks/aux.html": b""}, folder / "out")
    yield publish_guide({"marks/aux-lamp.html": b""}, folder / "out")


def _theme(folder: pathlib.Path, name: str, text: str) -> pathlib.Path:
    path = folder / "content" / "theme" / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path


def theme_broken(folder: pathlib.Path, _: pytest.MonkeyPatch) -> Iterator[Found]:
    """A template asks for what is not there."""
    content = _content(folder)
    path = _theme(folder, "pages/words.html", "{{ nothing_of_that_name }}")

    def page() -> Found:
        _, making = begin_guide(content, open_theme("", content), Cache(None))
        assert making is not None
        found = making.get("words.html")
        return found if isinstance(found, tuple) else ()

    yield page()
    path.unlink()
    yield page()


def theme_manifest(folder: pathlib.Path, _: pytest.MonkeyPatch) -> Iterator[Found]:
    """A theme lies upon one that there is not."""
    content = _content(folder)
    _theme(folder, "theme.yml", "inherits: plane\n")
    yield open_theme("", content).findings
    _theme(folder, "theme.yml", "inherits: plain\n")
    yield open_theme("", content).findings


def script_name_taken(folder: pathlib.Path, _: pytest.MonkeyPatch) -> Iterator[Found]:
    """A theme's script is called as one of the guide's own."""
    theme = folder / "content" / "theme"
    path = _theme(folder, "scripts/say.js", "mine;\n")
    yield Scripts(Theme((theme, *_PLAIN.layers))).findings
    path.rename(path.with_name("my-say.js"))
    yield Scripts(Theme((theme, *_PLAIN.layers))).findings


def cannot_commit(folder: pathlib.Path, _: pytest.MonkeyPatch) -> Iterator[Found]:
    """The branch that is named holds the facts themselves."""
    if shutil.which("git") is None:
        pytest.skip("git is not there")
    folder = folder / "club"
    folder.mkdir()
    run = ("git", "-c", "user.name=A", "-c", "user.email=a@example.org", "-C", str(folder))
    subprocess.run((*run, "init", "-q", "-b", "facts"), check=True)
    subprocess.run((*run, "commit", "-q", "--allow-empty", "-m", "Facts"), check=True)
    for branch in ("facts", "pages"):
        try:
            commit_site(folder, branch, _SITE, "marker", "Guide")
        except CannotCommit as refused:
            yield (refused.finding,)
        else:
            yield ()


def edition_not_renamed(_folder: pathlib.Path, _: pytest.MonkeyPatch) -> Iterator[Found]:
    """Something is published under the name of the edition before."""
    changes = handed(_SITE, _OTHER)
    before = publish._Before(_SITE, "2026 autumn")
    yield publish._same_name(before, changes, "2026 autumn")
    yield publish._same_name(before, changes, "2026 winter")


_EDITIONS = ("{name: spring, date: 2026-04-18}", "{name: autumn, date: 2026-11-21}")


def _second(folder: pathlib.Path, edition: str = _EDITIONS[1]) -> Guide:
    """Return a guide in an edition of its own, after one that was kept."""
    content = started(folder, {})
    path = content / "guide.yml"
    path.write_text(path.read_text(encoding="utf-8").replace("first", _EDITIONS[0], 1), encoding="utf-8")
    worked, site = make_guide(content, _PLAIN, stop_on="errors")
    assert worked.guide is not None
    assert site is not None
    assert keep_edition(content, worked.guide, site) == ()
    path.write_text(path.read_text(encoding="utf-8").replace(_EDITIONS[0], edition), encoding="utf-8")
    return guide_in(content)


def edition_not_newer(folder: pathlib.Path, _: pytest.MonkeyPatch) -> Iterator[Found]:
    """An edition is dated before the one that was published last."""
    guide = _second(folder, "{name: autumn, date: 2026-04-17}")
    yield publish._not_newer(guide)
    yield publish._not_newer(_second(folder / "later"))


def bad_edition(folder: pathlib.Path, _: pytest.MonkeyPatch) -> Iterator[Found]:
    """A kept edition is cut short, as a copy that broke off leaves it."""
    _second(folder)
    (kept,) = (folder / "content" / "editions").iterdir()
    whole = kept.read_bytes()
    kept.write_bytes(whole[:-20])
    yield read_guide(folder / "content").findings
    kept.write_bytes(whole)
    yield read_guide(folder / "content").findings


def edition_not_kept(folder: pathlib.Path, _: pytest.MonkeyPatch) -> Iterator[Found]:
    """The folder in which editions are kept cannot be written."""
    content = started(folder, {"editions": "in the way"})
    worked, site = make_guide(content, _PLAIN, stop_on="errors")
    assert worked.guide is not None
    assert site is not None
    yield keep_edition(content, worked.guide, site)
    (content / "editions").unlink()
    yield keep_edition(content, worked.guide, site)


def dead_link(_folder: pathlib.Path, _: pytest.MonkeyPatch) -> Iterator[Found]:
    """A page leads to one that is not there."""
    yield host_findings({"index.html": b'<a href="marks/a.html">A</a>'})
    yield host_findings({"index.html": b'<a href="marks/a.html">A</a>', "marks/a.html": b""})


def outside_request(_folder: pathlib.Path, _: pytest.MonkeyPatch) -> Iterator[Found]:
    """A page asks somebody else's computer for a script."""
    yield host_findings({"index.html": b'<script src="https://elsewhere.example/x.js"></script>'})
    yield host_findings({"index.html": b'<script src="x.js"></script>', "x.js": b""})


def file_too_heavy(_folder: pathlib.Path, _: pytest.MonkeyPatch) -> Iterator[Found]:
    """A file that many hosts refuse."""
    yield host_findings({"one-file.html": b"x" * 30_000_000})
    yield host_findings({"one-file.html": b"x" * 3_000_000})


def foreseen_by_nobody(_folder: pathlib.Path, _: pytest.MonkeyPatch) -> Iterator[Found]:
    """The program itself fails."""
    yield (unforeseen(ZeroDivisionError("by nought")),)
    yield ()


# Each with its kind, the file that it stands in, and what the put-right names.
HAPPENINGS: tuple[tuple[Happening, str, str, str], ...] = (
    (unreadable_file, "unreadable-file", "words.yml", "close it in other programs"),
    (link_in_folder, "link-in-folder", "marks/belts.yml", "copy the file itself here"),
    (not_yaml, "not-yaml", "words.yml", "put quotes round the text"),
    (out_not_ours, "out-not-ours", "out", "--out guide-site"),
    (out_held, "out-held", "out", "close any window"),
    (out_moved, "out-moved", "out", "that puts it back"),
    (cannot_write, "cannot-write", "out", "then build again"),
    (out_busy, "out-busy", "out", "wait until the other command has ended"),
    (none_before, "none-before", "out", "kept when a build of another one"),
    (names_differ_in_case, "names-differ-in-case", "pictures/dash.jpg", "rename one of the two"),
    (unsafe_name, "unsafe-name", "marks/aux.html", "plainer, shorter name"),
    (theme_broken, "theme-broken", "theme/pages/words.html", "mend the template"),
    (theme_manifest, "theme-manifest", "theme/theme.yml", "write one of these: "),
    (script_name_taken, "script-name-taken", "theme/scripts/say.js", "give the script another name"),
    (cannot_commit, "cannot-commit", "club", "such as 'pages'"),
    (edition_not_renamed, "edition-not-renamed", "guide.yml", "a name of its own"),
    (edition_not_newer, "edition-not-newer", "guide.yml", "its own day"),
    (bad_edition, "bad-edition", "editions/spring.json", "as it was"),
    (edition_not_kept, "edition-not-kept", "editions/first.json", "publish once more"),
    (dead_link, "dead-link", "index.html", "mend the text"),
    (outside_request, "outside-request", "index.html", "put the file into the guide"),
    (file_too_heavy, "file-too-heavy", "one-file.html", "take photographs out"),
    (foreseen_by_nobody, "unforeseen", "build.py", "undo what you changed last"),
)
