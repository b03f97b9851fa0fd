"""What may be typed, what comes of it, and the exit status: 0 good, 1 errors found, 2 the call is off."""

from __future__ import annotations

import errno
import io
import json
import pathlib
import re
import signal

import pytest

from guide.command.main import main
from guide.press.publish import publish_guide
from tests.starting import change, started

EDGE = {"date", "cars", "because"}
STEP = {"kind", "file", "line", "column", "source", "says", "adds_days"}


@pytest.fixture
def small(tmp_path: pathlib.Path) -> pathlib.Path:
    """The small guide that `start` makes."""
    return started(tmp_path)


def spoil(content: pathlib.Path) -> None:
    change(content, "marks/roof-lamp.yml", "S590", "1961-02-30")


def contents(folder: pathlib.Path) -> dict[str, bytes]:
    return {str(p.relative_to(folder)): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


def test_check_prints_one_json_value_shaped_as_stated(root: pathlib.Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", "--json", "--content", str(root / "content")]) == 0
    value = json.loads(capsys.readouterr().out)
    assert list(value) == ["format", "edition", "findings", "limits"]
    assert value["format"] == 1
    for finding in value["findings"]:
        assert list(finding) == [
            "file",
            "line",
            "column",
            "severity",
            "code",
            "message",
            "put_right",
            "related",
            "chain",
            "set_aside",
        ]
    order = [(f["file"], f["line"], f["column"], f["code"]) for f in value["findings"]]
    assert order == sorted(order)
    assert len(value["limits"]) > 90
    for row in value["limits"]:
        assert list(row) == ["mark", "form", "spell", "scope", "first", "last"]
        for limits in (row["first"], row["last"]):
            assert set(limits) == {"earliest", "latest"}
            for edge in limits.values():
                assert set(edge) == EDGE
                assert edge["because"]
                assert all(set(step) == STEP for step in edge["because"])


def test_check_says_what_only_the_pages_can_tell_and_ends_as_the_build_would(
    small: pathlib.Path, tmp_path: pathlib.Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A link that leads nowhere, a cell that is lost and a picture that is none: seen without a build."""
    with (small / "about.md").open("a", encoding="utf-8") as about:
        about.write("\n\n[lamp](mark:no-such)\n\na | b\n--|--\n1 | 2 | 3\n")
    (small / "pictures" / "broken.jpg").write_bytes(b"no picture")
    before = contents(tmp_path)
    assert main(["check", "--json", "--content", str(small)]) == 0
    checked = json.loads(capsys.readouterr().out)["findings"]
    assert {one["code"] for one in checked} >= {"link-dangling", "table-cells-lost", "picture-unreadable"}
    assert main(["check", "--content", str(small), "--stop-on", "warnings"]) == 1
    assert contents(tmp_path) == before
    capsys.readouterr()
    assert main(["--json", "--content", str(small), "--out", str(tmp_path / "out")]) == 0
    assert json.loads(capsys.readouterr().out)["findings"] == checked


def test_a_build_says_how_many_pages_there_are(
    small: pathlib.Path, tmp_path: pathlib.Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out"
    assert main(["--content", str(small), "--out", str(out)]) == 0
    pages = len(list(out.rglob("*.html")))
    last = capsys.readouterr().out.splitlines()[-1]
    assert last == f"The guide is in {out.as_posix()}/: {pages} pages. Nothing to put right."


def test_the_same_facts_make_the_same_bytes(small: pathlib.Path, tmp_path: pathlib.Path) -> None:
    for name in ("one", "two"):
        assert main(["--content", str(small), "--out", str(tmp_path / name)]) == 0
    assert contents(tmp_path / "one") == contents(tmp_path / "two")


def test_a_failing_build_leaves_what_was_published(
    small: pathlib.Path, tmp_path: pathlib.Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out"
    assert main(["--content", str(small), "--out", str(out)]) == 0
    before = contents(out)
    spoil(small)
    capsys.readouterr()
    assert main(["--content", str(small), "--out", str(out)]) == 1
    said = capsys.readouterr().out
    assert "marks/roof-lamp.yml:19:17: error:" in said
    assert "- {first: 1961-02-30, source: parts-list}" in said
    assert said.splitlines()[-1].startswith("The guide was not made; nothing was changed in ")
    assert contents(out) == before


def test_warnings_stop_a_build_only_when_asked_to(small: pathlib.Path, tmp_path: pathlib.Path) -> None:
    (small / "pictures" / "roof-lamp-round.svg").unlink()
    assert main(["--content", str(small), "--out", str(tmp_path / "one")]) == 0
    assert main(["--content", str(small), "--out", str(tmp_path / "two"), "--stop-on", "warnings"]) == 1
    assert not (tmp_path / "two").exists()


def test_a_folder_that_is_not_ours_is_never_replaced(small: pathlib.Path, tmp_path: pathlib.Path) -> None:
    documents = tmp_path / "documents"
    documents.mkdir()
    (documents / "letter.txt").write_text("keep me", encoding="utf-8")
    assert main(["--content", str(small), "--out", str(documents)]) == 1
    assert contents(documents) == {"letter.txt": b"keep me"}


@pytest.mark.parametrize(
    "arguments",
    [
        ["wash"],
        ["--stop-on", "notes"],
        ["check", "--content", "nowhere"],
        ["--theme", "nowhere"],
        ["ask", "switches"],
        ["ask", "switches=x"],
        ["ask", "nothing=x"],
        ["ask", "switches=toggle", "switches=rocker"],
        ["ask", "--reach", "roof"],
        ["ask", "--known", "sold=1968"],
        ["ask", "--known", "registered=spring"],
        ["ask", "--many", "nowhere.jsonl"],
    ],
    ids=" ".join,
)
def test_a_call_that_is_off_says_how_to_call(
    arguments: list[str],
    root: pathlib.Path,
    built_guide: pathlib.Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(root)
    if arguments[0] == "ask":
        arguments = [*arguments, "--out", str(built_guide)]  # which kept what is asked
    assert main(arguments) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert len(said.err.strip()) > 30
    assert main([*arguments, "--json"]) == 2
    value = json.loads(capsys.readouterr().out)
    assert list(value) == ["format", "error"]
    assert value["error"] == said.err.strip()


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (
            ["chek"],
            "There is no word 'chek' here. Did you mean check? These are the words: check, preview, ask, letter, "
            "tally, back, publish, disclosed, sent, untranslated, handing-over, help, rename, start.",
        ),
        (["--stop-on", "notes"], "--stop-on takes errors or warnings, not 'notes'."),
        (["start"], "There is a FOLDER missing after start."),
        (["check", "--content"], "There is a FOLDER missing after --content."),
        (["--json=yes"], "--json takes nothing after it, not 'yes'."),
        (["preview", "--port", "x"], "--port takes a whole number, not 'x'."),
        (["--thme", "plain"], "'--thme' is nothing that can be said here. Did you mean --theme?"),
        (["ask", "--reech", "outside"], "'--reech' is nothing that can be said here. Did you mean --reach?"),
        (["letter", "C1912", "--pages"], "'--pages' is said after check only."),
        (["--keep", "letter", "C1912"], "'--keep' is said after letter only."),
        (["tally", "--keep"], "'--keep' is nothing that can be said here. Type "),
        (["check", "--zzz"], "'--zzz' is nothing that can be said here. Type "),
        (["ask", "--many", "nowhere.jsonl"], "'nowhere.jsonl' cannot be read: There is no such file."),
        (
            ["ask", "--many", "pyproject.toml"],
            'pyproject.toml:1: expected a line such as {"answers": {"switches": "toggle"}, "car": null}, found ',
        ),
        (["ask", "--many", "x.jsonl", "switches=toggle"], "With --many every car's answers stand in the file."),
        (["ask", "swiches=toggle"], "This guide has no mark 'swiches'. Did you mean switches? It has: "),
        (["start", "README.md/mine"], "'README.md/mine' cannot be made: "),
    ],
)
def test_a_call_that_is_off_is_told_in_plain_words(
    arguments: list[str],
    said: str,
    root: pathlib.Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(root)
    assert main(arguments) == 2
    assert capsys.readouterr().err.startswith(said)


def test_help_is_plain(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["--help"])
    assert ended.value.code == 0
    said = capsys.readouterr().out
    for word in ("check", "preview", "ask", "start", "--content", "--out", "--theme", "--json", "--stop-on"):
        assert word in said


def test_a_whole_disk_is_no_folder_for_a_guide(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--out", pathlib.Path("/").resolve().anchor]) == 2
    assert "is a whole disk" in capsys.readouterr().err


def test_back_says_which_edition_is_out_again(tmp_path: pathlib.Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "out"
    for edition in ("spring", "autumn"):
        publish_guide({"index.html": edition.encode()}, out, edition=edition)
    restored = signal.getsignal(signal.SIGINT)
    try:
        assert main(["back", "--out", str(out)]) == 0
        assert "is edition spring again" in capsys.readouterr().out
        assert main(["back", "--out", str(out), "--json"]) == 0
        assert json.loads(capsys.readouterr().out)["edition"] == "autumn"
        assert main(["back", "--out", str(tmp_path / "none")]) == 1
    finally:
        signal.signal(signal.SIGINT, restored)


def test_an_interrupted_command_leaves_status_130(monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted(*_args: object, **_named: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("guide.command.make.run", interrupted)
    assert main([]) == 130


def test_what_nobody_foresaw_becomes_a_finding(
    small: pathlib.Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def planted(*_args: object, **_named: object) -> None:
        raise KeyError("planted\nhere")

    monkeypatch.setattr("guide.command.work.derive_limits", planted)
    assert main(["check", "--content", str(small)]) == 1
    said = capsys.readouterr().err
    assert re.match(r"guide/command/work\.py:\d+:1: error: the program met something that it was not made for", said)
    assert "(KeyError: 'planted\\nhere'); nothing published was changed" in said
    assert re.search(r"put right \(unforeseen\): undo what you changed last.* guide/command/work\.py:\d+", said)
    assert main(["check", "--json", "--content", str(small)]) == 1
    (finding,) = json.loads(capsys.readouterr().out)["findings"]
    assert (finding["code"], finding["severity"]) == ("unforeseen", "error")


class Full(io.StringIO):
    """A stream on a disk that has no room left."""

    def write(self, text: str) -> int:
        raise OSError(errno.ENOSPC, f"No space left on device for {len(text)} signs")


@pytest.mark.parametrize("as_json", [[], ["--json"]])
def test_what_cannot_be_printed_because_the_disk_is_full_is_told_aside(
    as_json: list[str], small: pathlib.Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("sys.stdout", Full())
    assert main(["check", *as_json, "--content", str(small)]) == 1
    monkeypatch.undo()
    said = capsys.readouterr().err
    assert said.startswith("What was to be written could not be: No space left on device for ")
