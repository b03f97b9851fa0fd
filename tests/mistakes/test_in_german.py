"""Mistakes in a guide begun in German: keys and words to choose from typed in German, dates as they are said there."""

from __future__ import annotations

import pathlib
import shutil

import pytest

from guide.command.main import main
from guide.words.say import load_words
from tests.mistakes.spoil import findings_of

_LAMP, _HANDLE = "marks/roof-lamp.yml", "marks/door-handle.yml"
_MISTAKES = (  # the file, what is right, what was typed, the kind of finding, what its mend names
    (_LAMP, "survives: most ", "survives: die meisten ", "unknown-choice", "most schreiben"),
    (_LAMP, "reach: glass", "reach: von außen", "unknown-choice", "outside schreiben"),
    (_LAMP, "    answer: Eine runde", "    antwort: Eine runde", "unknown-key", "`answer:`"),
    (_LAMP, "question: Welche", "Frage: Welche", "unknown-key", "`question:`"),
    (_LAMP, "source: parts-list}", "Quelle: parts-list}", "unknown-key", "`source:`"),
    (_LAMP, "{last: S598,", "{letzter: S598,", "unknown-key", "`last:`"),
    (_LAMP, "{last: S598,", "{last: Nr. 598,", "short-number", "S598 schreiben"),
    (_HANDLE, "first: etwa Januar 1962", "first: Januar 1962 (ca.)", "bad-when", "`about January 1962`"),
    (_HANDLE, "first: etwa Januar 1962", "first: 1962 Januar", "bad-when", "`1962-01`"),
    (_HANDLE, "first: etwa Januar 1962", "first: 1. Quartal 1962", "bad-when", "`1962-01/1962-03`"),
    (_HANDLE, "survives: nearly all", "survives: fast alle", "unknown-choice", "nearly all schreiben"),
    (_HANDLE, "survives: nearly all", "survives: 90", "unknown-choice", "90 % schreiben"),
    ("sources.yml", "trust: good", "trust: gut", "unknown-choice", "good schreiben"),
    ("periods.yml", "to: 1961-12-31", "bis: 1961-12-31", "unknown-key", "`to:`"),
    ("areas.yml", "marks: [roof-lamp]", "marks: [Dachleuchte]", "unknown-mark", "roof-lamp schreiben"),
    ("areas.yml", "marks: [roof-lamp]", "merkmale: [roof-lamp]", "unknown-key", "`marks:`"),
)


@pytest.fixture(scope="module")
def begun(tmp_path_factory: pytest.TempPathFactory) -> pathlib.Path:
    content = tmp_path_factory.mktemp("german") / "neu"
    assert main(["start", str(content), "--language", "de"]) == 0
    return content


@pytest.mark.parametrize(("file", "right", "wrong", "code", "mend"), _MISTAKES, ids=[one[2] for one in _MISTAKES])
def test_a_mistake_is_told_alone_with_its_mend(
    file: str, right: str, wrong: str, code: str, mend: str, begun: pathlib.Path, tmp_path: pathlib.Path
) -> None:
    content = shutil.copytree(begun, tmp_path / "content")
    text = (content / file).read_text(encoding="utf-8")
    assert right in text
    (content / file).write_text(text.replace(right, wrong, 1), encoding="utf-8")
    found = findings_of(content)
    line = text.count("\n", 0, text.index(right)) + 1
    assert [(one.code, one.place.file, one.place.line) for one in found] == [(code, file, line)]
    assert mend in load_words("de").tell(found[0].put_right)
