"""`build.py publish`: the guide as a host gets it, into a folder or onto a branch, checked; nothing is sent."""

from __future__ import annotations

import json
import pathlib
import re
import subprocess

import pytest

from guide.command.main import main
from guide.press.host import handed, host_findings
from guide.press.publish import MARKER
from tests.conftest import find_program
from tests.starting import started
from tests.told import ENGLISH


def call(capsys: pytest.CaptureFixture[str], status: int, *arguments: str | pathlib.Path) -> str:
    assert main(["publish", *map(str, arguments)]) == status
    said = capsys.readouterr()
    return said.out + said.err


def test_a_folder_holds_the_guide_and_says_how_it_goes_up(
    tmp_path: pathlib.Path, capsys: pytest.CaptureFixture[str]
) -> None:
    content, to = started(tmp_path, {}), tmp_path / "to-host"
    said = call(capsys, 0, to, "--content", content)
    assert re.search(r"Since the last time \d+ files were added", said)
    first = (to / "HOST.md").read_text(encoding="utf-8")
    assert "- marks/roof-lamp.html\n" in first
    order = [line for line in first.splitlines() if line.startswith("- ")]
    assert order[-3:] == ["- edition.json", "- worker.js", "- index.html"]
    assert len(order) == sum(path.is_file() for path in to.rglob("*")) - 2  # this page and the marker
    call(capsys, 0, to, "--content", content)
    assert (to / "HOST.md").read_text(encoding="utf-8") == first, "what was not sent yet is not forgotten"

    about = content / "about.md"
    about.write_text(about.read_text(encoding="utf-8") + "\nOne word more.\n", encoding="utf-8")
    (content / "marks" / "door-handle.yml").unlink()
    areas = content / "areas.yml"
    areas.write_text("cabin: {name: Cabin, marks: [roof-lamp]}\n", encoding="utf-8")
    value = json.loads(call(capsys, 0, to, "--content", content, "--json"))
    assert value["added"] == []
    assert "marks/door-handle.html" in value["gone"]
    assert {"about.html", "index.html", "worker.js"} <= set(value["changed"])
    assert "edition-not-renamed" in {finding["code"] for finding in value["findings"]}
    assert "- marks/door-handle.html\n" in (to / "HOST.md").read_text(encoding="utf-8")
    assert "Say where the guide goes" in call(capsys, 2, "--content", content)


def test_no_folder_among_the_facts_is_written(tmp_path: pathlib.Path, capsys: pytest.CaptureFixture[str]) -> None:
    content = started(tmp_path, {})
    before = sorted(content.rglob("*"))
    for to in (content, content / "site", content / "pictures" / ".." / "site"):
        assert "lies among the facts" in call(capsys, 2, to, "--content", content)
    assert sorted(content.rglob("*")) == before


def test_what_a_host_would_stumble_over_is_told_with_its_place() -> None:
    site = {
        "index.html": b'<a href="marks/a.html#one">A</a>\n <a href="marks/a.html#two">B</a><a href="key.html#a=b">C</a>'
        b'<a href="https://example.org/">out</a><link rel="canonical" href="https://example.org/tern/">',
        "key.html": b'<a href="marks/b.html">B</a><a href="mailto:a@example.org">post</a><img src="data:,">',
        "marks/a.html": b'<p id="one"></p><script src="//elsewhere.example/x.js"></script><a href="../">up</a>'
        b'<img srcset="../p.jpg 480w, ../q.jpg 960w">',
        "404.html": b'<a href="/tern/key.html"></a><a href="/key.html"></a>',
        "p.jpg": b"0" * 10_000_001,
    }
    assert [finding.line(ENGLISH) for finding in host_findings(site, "https://example.org/tern/")] == [
        "404.html:1:30: warning: expected a link to a file of the guide, found '/key.html', which leads nowhere",
        "index.html:2:2: warning: expected a link to a file of the guide, found 'marks/a.html#two', "
        "which leads nowhere",
        "key.html:1:1: warning: expected a link to a file of the guide, found 'marks/b.html', which leads nowhere",
        "marks/a.html:1:17: warning: expected nothing from another host while a page opens, found "
        "'//elsewhere.example/x.js'",
        "marks/a.html:1:65: warning: expected a link to a file of the guide, found '../', which leads nowhere",
        "marks/a.html:1:85: warning: expected a link to a file of the guide, found '../q.jpg', which leads nowhere",
        "p.jpg:1:1: warning: expected no file above 10 MB, but p.jpg has 10 MB",
    ]
    changes = handed({"a": b"1", "b": b"2", "index.html": b"3"}, {"b": b"2", "c": b"4", "index.html": b"5"})
    assert (changes.added, changes.changed, changes.gone) == (("c",), ("index.html",), ("a",))
    assert changes.upload == ("c", "index.html")


@pytest.fixture
def repository(tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch) -> pathlib.Path:
    """A small guide in a repository of its own, with one commit; returns its content folder."""
    find_program("git")
    for name, value in {"NAME": "An editor", "EMAIL": "editor@example.org"}.items():
        monkeypatch.setenv(f"GIT_AUTHOR_{name}", value)
        monkeypatch.setenv(f"GIT_COMMITTER_{name}", value)
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", str(tmp_path / "none"))
    content = started(tmp_path, {})
    git(content, "init", "-q", "-b", "main", str(tmp_path))
    git(content, "add", "-A")
    git(content, "commit", "-qm", "The facts")
    return content


def git(folder: pathlib.Path, *words: str, given: str = "") -> str:
    return subprocess.run(["git", *words], cwd=folder, input=given, capture_output=True, text=True, check=True).stdout


def test_a_branch_gets_a_commit_and_nothing_else_changes(
    repository: pathlib.Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert "on the branch pages" in call(capsys, 0, "--branch", "pages", "--content", repository)
    names = git(repository, "ls-tree", "-r", "--full-tree", "--name-only", "pages").splitlines()
    assert {"index.html", "marks/roof-lamp.html", MARKER, ".nojekyll"} <= set(names)
    kept = git(repository, "status", "--porcelain", "--untracked-files=all", "--", ".")
    assert re.fullmatch(r"\?\? content/editions/first\.json\n", kept), "but what the edition said is kept"
    assert git(repository, "log", "--format=%s", "pages") == "Example car interiors, edition first\n"

    call(capsys, 0, "--branch", "pages", "--content", repository)
    assert git(repository, "rev-list", "--count", "pages") == "1\n", "nothing has changed"

    tip = git(repository, "rev-parse", "pages").strip()
    blob = git(repository, "hash-object", "-w", "--stdin", given="tern.example\n").strip()
    tree = git(repository, "ls-tree", "--full-tree", "pages") + f"100644 blob {blob}\tCNAME\n"
    made = git(repository, "mktree", given=tree).strip()
    named = git(repository, "commit-tree", made, "-p", tip, "-m", "A name").strip()
    git(repository, "update-ref", "refs/heads/pages", named)
    about = repository / "about.md"
    about.write_text(about.read_text(encoding="utf-8") + "\nOne word more.\n", encoding="utf-8")
    value = json.loads(call(capsys, 0, "--branch", "pages", "--content", repository, "--json"))
    assert value["gone"] == []
    assert "about.html" in value["changed"]
    assert git(repository, "show", "pages:CNAME") == "tern.example\n", "what the host keeps there stays"
    assert git(repository, "rev-list", "--count", "pages") == "3\n"


@pytest.mark.parametrize(("branch", "says"), [("main", "is checked out"), ("notes", "somebody else's")])
def test_a_branch_that_is_somebody_else_s_is_left_alone(
    repository: pathlib.Path, capsys: pytest.CaptureFixture[str], branch: str, says: str
) -> None:
    git(repository, "branch", "notes")
    before = git(repository, "for-each-ref")
    assert says in call(capsys, 1, "--branch", branch, "--content", repository)
    assert git(repository, "for-each-ref") == before
