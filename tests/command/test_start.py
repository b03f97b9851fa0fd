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
    assert 'preview --content . --out "../my guide-out"' in page
    assert f'"{tmp_path}' not in page, "a shared folder serves a second machine"
    preview = (folder / "Preview this guide.cmd").read_bytes()
    assert b'preview --content "%~dp0." --out "%~dp0..\\my guide-out"' in preview
    assert "It goes to the folder `my guide-out`" in page
    assert preview.count(b"\r\n") == preview.count(b"\n") > 4


def test_the_handbook_lies_beside_a_new_guide(tmp_path: pathlib.Path) -> None:
    assert main(["start", str(tmp_path / "new")]) == 0
    assert beside(tmp_path / "new") == handbook(load_words())


def beside(folder: pathlib.Path) -> dict[str, str]:
    """Return what the handbook beside a guide holds."""
    pages = (path for path in (folder / "handbook").rglob("*") if path.is_file())
    return {path.relative_to(folder / "handbook").as_posix(): path.read_text(encoding="utf-8") for path in pages}


def test_again_renews_what_stands_beside_the_facts_and_leaves_these_alone(
    tmp_path: pathlib.Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "new"
    assert main(["start", str(folder)]) == 0
    (folder / "handbook" / "keys.md").write_text("old", encoding="utf-8")
    (folder / "Preview this guide.cmd").unlink()
    (folder / "guide.yml").write_text("title: mine, and not yet whole\n", encoding="utf-8")
    (folder / "HOW-TO-EDIT.md").write_text("my own notes\n", encoding="utf-8")
    assert main(["start", str(folder), "--again"]) == 0
    assert "is renewed" in capsys.readouterr().out
    assert beside(folder) == handbook(load_words())
    assert (folder / "Preview this guide.cmd").is_file()
    assert (folder / "guide.yml").read_text(encoding="utf-8") == "title: mine, and not yet whole\n"
    assert (folder / "HOW-TO-EDIT.md").read_text(encoding="utf-8") == "my own notes\n"
    assert main(["start", str(tmp_path / "nowhere"), "--again"]) == 2
    assert "holds no guide.yml" in capsys.readouterr().err


def test_files_of_a_new_guide_say_where_their_schema_is(tmp_path: pathlib.Path) -> None:
    assert main(["start", str(tmp_path / "new")]) == 0
    for name in ("guide.yml", "marks/roof-lamp.yml", "numbers/saloon.yml"):
        path = tmp_path / "new" / name
        line = path.read_text(encoding="utf-8").split("\n")[0]
        assert line.startswith("# yaml-language-server: $schema=")
        assert (path.parent / line.rpartition("=")[2]).is_file()


def test_marks_are_begun_from_a_table(tmp_path: pathlib.Path, capsys: pytest.CaptureFixture[str]) -> None:
    table = tmp_path / "marks.csv"
    table.write_text(
        "area;mark;form;answer;last;first;source;colour\n"
        "Dash;Wiper switch;Pull;A knob to pull;S500;;Parts list;\n"
        ";;Turn;A knob to turn;;S501;Parts list\n"
        'Dash;"Horn ""push""";Round;;;;\n'
        ";;Square;;;about May 1962;Newsletter\n",
        encoding="cp1252",
    )
    folder = tmp_path / "new"
    assert main(["start", str(folder), "--from", str(table)]) == 0
    assert "marks.csv:1:41: " in (said := capsys.readouterr().out), "a column that says nothing here is told"
    assert "'colour' is not read" in said
    assert main(["check", "--content", str(folder), "--out", str(tmp_path / "out")]) == 0, capsys.readouterr().out
    assert "0 errors" in capsys.readouterr().out
    assert sorted(path.name for path in (folder / "marks").iterdir()) == ["horn-push.yml", "wiper-switch.yml"]
    wiper = (folder / "marks" / "wiper-switch.yml").read_text(encoding="utf-8")
    assert '      - {last: "S500", source: parts-list}' in wiper
    assert "order: [pull, turn]" in wiper
    areas = (folder / "areas.yml").read_text(encoding="utf-8")
    assert 'dash: {name: "Dash", marks: [wiper-switch, horn-push]}' in areas
    table.write_text("part,kind\nx,y\n", encoding="utf-8")
    assert main(["start", str(tmp_path / "other"), "--from", str(table)]) == 2
    assert "no columns 'mark' and 'form'" in capsys.readouterr().err
    assert main(["start", str(tmp_path / "other"), "--from", str(tmp_path / "none.csv")]) == 2
    assert not (tmp_path / "other").exists()


def test_a_folder_that_holds_something_is_left_alone(
    tmp_path: pathlib.Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "notes.txt").write_text("mine", encoding="utf-8")
    assert main(["start", str(tmp_path)]) == 2
    assert "holds something" in capsys.readouterr().err
    assert [path.name for path in tmp_path.iterdir()] == ["notes.txt"]
