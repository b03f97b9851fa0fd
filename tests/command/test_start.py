"""A club starts a guide of its own: it builds at once, and says how to edit it."""

from __future__ import annotations

import pathlib

import pytest

from guide.command.documents import handbook
from guide.command.main import main
from guide.words.say import load_words


def test_a_new_guide_builds_at_once_with_nothing_to_put_right(
    tmp_path: pathlib.Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "my guide"
    assert main(["start", str(folder)]) == 0
    said = capsys.readouterr().out
    assert "HOW-TO-EDIT.md" in said
    assert main(["--content", str(folder), "--out", str(tmp_path / "out")]) == 0
    assert capsys.readouterr().out.endswith("Nothing to put right.\n")
    assert (tmp_path / "out" / "index.html").is_file()


def test_the_page_on_editing_shows_lines_that_can_be_typed(tmp_path: pathlib.Path) -> None:
    folder = tmp_path / "my guide"
    assert main(["start", str(folder)]) == 0
    page = (folder / "HOW-TO-EDIT.md").read_text(encoding="utf-8")
    assert "{preview}" not in page
    assert f'preview --content "{folder}"' in page
    preview = (folder / "Preview this guide.cmd").read_bytes()
    assert b'preview --content "%~dp0." --out "%~dp0..\\my guide-out"' in preview
    assert "It goes to the folder `my guide-out`" in page
    assert preview.count(b"\r\n") == preview.count(b"\n") > 4


def test_the_handbook_lies_beside_a_new_guide(tmp_path: pathlib.Path) -> None:
    assert main(["start", str(tmp_path / "new")]) == 0
    written = {path.name: path.read_text(encoding="utf-8") for path in (tmp_path / "new/handbook").iterdir()}
    assert written == handbook(load_words())


def test_a_folder_that_holds_something_is_left_alone(
    tmp_path: pathlib.Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "notes.txt").write_text("mine", encoding="utf-8")
    assert main(["start", str(tmp_path)]) == 2
    assert "holds something" in capsys.readouterr().err
    assert [path.name for path in tmp_path.iterdir()] == ["notes.txt"]
