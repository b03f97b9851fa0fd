"""The German handbook for editors has the same subjects, and each example is good in a guide begun in German."""

from __future__ import annotations

import pathlib
import re

import pytest

from guide.command.documents import HANDBOOK, handbook
from guide.command.main import main
from guide.words.say import load_words
from tests.mistakes.spoil import findings_of

_BLOCK = re.compile(
    r"^(Ganze Datei|Anfügen an) `([^`]+)`:\n\n```(?:yaml|csv|md|svg)\n(.*?)^```$", re.MULTILINE | re.DOTALL
)
_PART = re.compile(r"^## ([^\n]+)\n(.*?)(?=^## |\Z)", re.MULTILINE | re.DOTALL)
TEXT = (HANDBOOK / "for-editors.de.md").read_text(encoding="utf-8")
SUBJECTS = dict(_PART.findall(TEXT))
WITH_EXAMPLES = [name for name, text in SUBJECTS.items() if _BLOCK.search(text) and name != "Tippen mit Hilfe"]


def test_it_has_the_subjects_and_examples_of_the_english_one() -> None:
    english = (HANDBOOK / "for-editors.md").read_text(encoding="utf-8")
    files = [re.findall(r"^[^\n]+ `([^`]+)`:\n\n```", text, re.MULTILINE) for _, text in _PART.findall(english)]
    assert [[name for _, name, _ in _BLOCK.findall(text)] for text in SUBJECTS.values()] == files
    assert handbook(load_words("de"))["for-editors.md"] == TEXT


@pytest.mark.parametrize("subject", WITH_EXAMPLES)
def test_an_example_can_be_pasted_and_is_good(subject: str, tmp_path: pathlib.Path) -> None:
    content = tmp_path / "neu"
    assert main(["start", str(content), "--language", "de"]) == 0
    for way, name, text in _BLOCK.findall(SUBJECTS[subject]):
        (content / name).parent.mkdir(parents=True, exist_ok=True)
        with (content / name).open("a" if way == "Anfügen an" else "w", encoding="utf-8") as file:
            file.write(text)
    german = load_words("de")
    assert [one.printed(german) for one in findings_of(content) if one.severity != "note"] == []
