"""The terminal: words looked up, lines wrapped to the window, colour on a terminal and nowhere else."""

from __future__ import annotations

import io

import pytest

from guide.command.main import main
from guide.command.window import fitted, shown
from guide.finding import Finding, Place
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
        ("about month days", "is a default, 30"),
    ],
)
def test_a_word_is_looked_up(word: str, says: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["help", *word.split()]) == 0
    assert says in capsys.readouterr().out


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
