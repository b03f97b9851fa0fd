"""The terminal: words looked up, lines wrapped to the window, colour on a terminal and nowhere else."""

from __future__ import annotations

import io
import pathlib
import sys
from typing import Any

import pytest

from guide.command.main import main
from guide.command.version import VERSION
from guide.command.window import fitted, shown
from guide.finding import Finding, Place, told_once
from tests.told import ENGLISH

FINDING = Finding.of("facts.mark-without-area", Place("marks/a.yml", 2, 1), mark="a mark of a very long name " * 4)


class Window(io.StringIO):
    """A terminal of its own."""

    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize(
    ("word", "says"),
    [
        ("misread", "It means: the chance that it is read wrongly"),
        ("old stock:", "`old stock:` takes a whole number"),
        ("statements-clash", "`statements-clash` is a finding, warning:"),
        ("clash", "`statements-clash` is a finding"),
        ("about month days", "is a default, 30"),
    ],
)
def test_a_word_is_looked_up(word: str, says: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["help", *word.split()]) == 0
    assert says in capsys.readouterr().out


def test_what_is_called_just_so_is_told_alone(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["help", "set-aside"]) == 0
    finding = capsys.readouterr().out
    assert finding.startswith("`set-aside` is a finding, warning:")
    assert "takes" not in finding
    assert main(["help", "set", "aside"]) == 0
    assert "is a finding" not in capsys.readouterr().out


def test_a_word_that_nothing_is_called_is_said_with_the_nearest(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["help", "misred"]) == 2
    assert "Did you mean misread?" in capsys.readouterr().err
    assert main(["help", "zzz"]) == 2


def test_lines_are_wrapped_to_the_window_and_to_nothing_else(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "60")
    text = "    " + "word " * 30
    wrapped = fitted(text, Window())
    assert max(len(line) for line in wrapped.split("\n")) < 60
    assert wrapped.split("\n")[1].startswith("      word")
    assert wrapped.split() == text.split()
    assert fitted(text, io.StringIO()) == text


def test_colour_stands_on_a_terminal_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("NO_COLOR", raising=False)
    assert shown(FINDING, ENGLISH, Window()).startswith("\x1b[1;31mmarks/a.yml:2:1\x1b[0m: error:")
    assert "\x1b" not in shown(FINDING, ENGLISH, io.StringIO())
    monkeypatch.setenv("NO_COLOR", "1")
    assert "\x1b" not in shown(FINDING, ENGLISH, Window())
    monkeypatch.delenv("NO_COLOR")
    monkeypatch.setenv("TERM", "dumb")
    assert "\x1b" not in shown(FINDING, ENGLISH, Window())


def test_a_word_that_is_looked_up_is_wrapped_too(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "60")
    window = Window()
    monkeypatch.setattr(sys, "stdout", window)
    assert main(["help", "stated"]) == 0
    lines = window.getvalue().split("\n")
    assert len(lines) > 3
    assert max(map(len, lines)) < 60


def test_what_the_preview_says_is_wrapped_and_coloured(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "60")
    monkeypatch.delenv("NO_COLOR", raising=False)
    window = Window()
    monkeypatch.setattr(sys, "stdout", window)

    def serve(*_: Any, show: Any, **__: Any) -> None:
        show("word " * 30)
        show(FINDING)

    monkeypatch.setattr("guide.command.preview.serve_preview", serve)
    folder = pathlib.Path(__file__).parent
    assert main(["preview", "--content", str(folder), "--port", "1", "--no-browser"]) == 0
    lines = window.getvalue().replace("\x1b[1;31m", "").replace("\x1b[0m", "").split("\n")
    assert max(map(len, lines)) < 60
    assert "\x1b[1;31mmarks/a.yml:2:1\x1b[0m: error:" in window.getvalue()


def test_the_version_is_said(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as left:
        main(["--version"])
    assert left.value.code == 0
    assert capsys.readouterr().out.strip() == VERSION


def test_what_is_wrong_in_the_same_way_in_many_places_is_told_once() -> None:
    def unread(line: int, found: str) -> Finding:
        return Finding.of("facts.set-aside.bad-answer", Place("cars-seen/a.csv", line, 2), found=found)

    def lacking(file: str, line: int) -> Finding:
        return Finding.of("checks.missing-picture", Place(file, line, 3), shown=f"{file} {line}", picture="a.svg")

    given = [unread(9, "x"), *(unread(line, "ring") for line in (2, 3, 4, 7)), lacking("marks/b.yml", 5)]
    once = told_once([*given, lacking("marks/a.yml", 8), lacking("marks/a.yml", 9)])
    assert [(str(one.place), len(one.again)) for one in once] == [
        ("cars-seen/a.csv:2:2", 3),
        ("cars-seen/a.csv:9:2", 0),
        ("marks/a.yml:8:3", 2),
    ]
    assert once[0].printed(ENGLISH).endswith("likewise 3 more: cars-seen/a.csv:3-4, 7")
    assert once[2].printed(ENGLISH).endswith("likewise 2 more: marks/a.yml:9, marks/b.yml:5")
    assert "likewise" not in once[1].printed(ENGLISH)
