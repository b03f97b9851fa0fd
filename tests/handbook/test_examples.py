"""Each subject of the handbook for editors has an example that can be pasted into a guide just begun, and is good."""

from __future__ import annotations

import pathlib
import re

import pytest

from guide.command.documents import HANDBOOK
from guide.facts.records.letters_kept import read_letters
from guide.facts.text.source import compose
from guide.press.told_findings import handbook_page
from tests.mistakes.spoil import findings_of
from tests.starting import started
from tests.told import ENGLISH

_BLOCK = re.compile(r"^(Whole file|Add to) `([^`]+)`:\n\n```(?:yaml|csv|md|svg)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
TEXT = (HANDBOOK / "for-editors.md").read_text(encoding="utf-8")
SUBJECTS = dict(re.findall(r"^## ([^\n]+)\n(.*?)(?=^## |\Z)", TEXT, re.MULTILINE | re.DOTALL))


def pasted(folder: pathlib.Path, subject: str) -> pathlib.Path:
    """Return a guide just begun with a subject's example pasted in."""
    blocks = _BLOCK.findall(SUBJECTS[subject])
    content = started(folder, {name: text for way, name, text in blocks if way == "Whole file"})
    for way, name, text in blocks:
        if way == "Add to":
            with (content / name).open("a", encoding="utf-8") as file:
                file.write(text)
    return content


@pytest.mark.parametrize("subject", [name for name, text in SUBJECTS.items() if "`:\n\n```" in text])
def test_an_example_can_be_pasted_and_is_good(subject: str, tmp_path: pathlib.Path) -> None:
    if subject == "Typing with help":
        (line,) = [text for _, _, text in _BLOCK.findall(SUBJECTS[subject])]
        assert compose(line, "words.yml") == (None, [])
        return
    found = findings_of(pasted(tmp_path, subject))
    assert [one.printed(ENGLISH) for one in found if one.severity != "note"] == []
    assert len(read_letters(tmp_path / "content")[0]) == ("private/letters" in SUBJECTS[subject])
    assert "ruling-decides-nothing" not in {one.code for one in found}


def test_every_subject_that_the_starter_leaves_out_has_its_section() -> None:
    assert len(SUBJECTS) == 16
    assert sum("`:\n\n```" in text for text in SUBJECTS.values()) == 15


def test_the_handbook_can_be_read_in_the_preview(tmp_path: pathlib.Path) -> None:
    page = handbook_page("for-editors.md", tmp_path, ENGLISH)
    assert page is not None
    assert b"<h2>Clashes and rulings</h2>" in page
    assert b"<title>For editors</title>" in page
    assert b"<table>" in (handbook_page("keys.md", tmp_path, ENGLISH) or b"")
    assert [handbook_page(name, tmp_path, ENGLISH) for name in ("no.md", "../x.md", "schemas/marks.json")] == [None] * 3
    (tmp_path / "handbook").mkdir()
    (tmp_path / "handbook" / "keys.md").write_text("# Of this guide\n", encoding="utf-8")
    assert b"<title>Of this guide</title>" in (handbook_page("keys.md", tmp_path, ENGLISH) or b"")


def test_every_block_of_code_is_an_example_for_a_file() -> None:
    assert len(re.findall(r"^```\w+$", TEXT, re.MULTILINE)) == len(_BLOCK.findall(TEXT))
