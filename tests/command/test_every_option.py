"""Every option of every word is read by what the word does, or whoever says it is told that it changes nothing."""

from __future__ import annotations

import importlib
import inspect
import pathlib

import pytest

from guide.command.main import _COMMON, _MODULES, _SAYS_NOTHING, _parser, main
from guide.words.say import load_words
from tests.starting import started

ENTERED = _parser(load_words("en"), ["ask", "letter"])
WORDS = {"make": ENTERED, **next(one.choices for one in ENTERED._actions if isinstance(one.choices, dict))}
READ_BY = {
    "content": ("call.content", "call.kept("),
    "out": ("call.out", "call.kept("),
    "theme": ("call.theme",),
    "json": ("call.as_json",),
    "stop_on": ("call.stop_on",),
    "language": ("call.language", "call.kept("),
}
BY_ITS_WORDS = {
    ("back", "content"),
    ("help", "content"),
    ("help", "language"),
    ("rename", "language"),
    ("start", "content"),
}
"""Read before the word is: in their language it speaks."""
BY_ITS_FOLDER = ("back", "language")  # a site of its own lies in a folder of its own


def source(word: str) -> str:
    """Return the lines of a word's module, and of what it hands the call on to in other modules of the commands."""
    module = importlib.import_module(f"guide.command.{_MODULES.get(word, word)}")
    others = [
        one
        for one in vars(module).values()
        if inspect.isfunction(one) and one.__module__.startswith("guide.command") and one.__module__ != module.__name__
    ]
    handed_on = [inspect.getsource(one) for one in others if "call" in inspect.signature(one).parameters]
    return "\n".join((inspect.getsource(module), *handed_on))


@pytest.mark.parametrize("word", WORDS)
def test_every_option_is_read_or_said_to_change_nothing(word: str) -> None:
    text = source(word)
    options = {action.dest for action in WORDS[word]._actions} - {"help", "version", "word"}
    assert options >= _COMMON.keys()
    for name in options:
        read = any(one in text for one in READ_BY.get(name, (f"options.{name}", f"typed.{name}", f"told.{name}")))
        read = read or (word, name) in BY_ITS_WORDS or (word, name) == BY_ITS_FOLDER
        assert read is (name not in _SAYS_NOTHING.get(word, ())), (word, name)


def test_what_changes_nothing_is_told_and_what_was_asked_for_is_done(
    tmp_path: pathlib.Path, capsys: pytest.CaptureFixture[str]
) -> None:
    content = str(started(tmp_path))
    assert main(["--theme", "field", "help", "misread", "--stop-on", "errors", "--content", content]) == 0
    said = capsys.readouterr()
    assert said.err.splitlines() == [
        "--theme changes nothing about help, and was passed over.",
        "--stop-on changes nothing about help, and was passed over.",
    ]
    assert said.out


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--language", "xx", "start", "new"], "--language takes de or en, not 'xx'."),
        (["start", "there", "--again", "--language", "de"], "--language wird nicht neben --again gesagt."),
        (["start", "there", "--again", "--from", "x.csv"], "--from is not said beside --again."),
        (["letter", "S300", "--sent-to", "A. Reader", "--content", "there"], "--sent-to is said beside --keep only."),
        (["ask", "--edition", "x", "--content", "there"], "--edition is said beside MARK=FORM only."),
        (["ask", "--many", "x", "--edition", "y", "--content", "there"], "--edition is not said beside --many."),
        (["--language", "de", "--thme", "x"], "„--thme“ lässt sich hier nicht sagen. Meinten Sie --theme?"),
    ],
    ids=str,
)
def test_what_cannot_go_together_is_refused_in_the_language_of_the_call(
    arguments: list[str],
    said: str,
    tmp_path: pathlib.Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(tmp_path)
    started(tmp_path).rename(tmp_path / "there")
    assert main(arguments) == 2
    assert capsys.readouterr().err.replace("\n", " ").startswith(said)
    assert not (tmp_path / "new").exists()


def test_a_language_before_start_is_the_new_guide_s(tmp_path: pathlib.Path) -> None:
    assert main(["--language", "de", "start", str(tmp_path / "neu")]) == 0
    assert "language: de" in (tmp_path / "neu" / "guide.yml").read_text(encoding="utf-8")


def test_a_language_that_a_guide_has_not_is_told_of_the_call(
    tmp_path: pathlib.Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["check", "--language", "fr", "--content", str(started(tmp_path))]) == 1
    said = capsys.readouterr().out
    assert "after --language, which is en-GB, found 'fr'" in said
    assert "`also in: [fr]`" in said
