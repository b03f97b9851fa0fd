"""content.zip: the facts to go on with, from which the guide can be made, without what is nobody else's business."""

from __future__ import annotations

import io
import json
import pathlib
import zipfile
from typing import Any

import pytest

from guide.command.main import main
from guide.command.work import check_guide_whole
from guide.facts.bones import bones
from guide.facts.read import read_guide
from guide.finding import Severity
from guide.press.cache import Cache
from guide.press.content_archive import CONTENT, content_files
from guide.press.theme import open_theme
from tests.conftest import CONTENT as DEMO
from tests.press.test_disclosed import NEVER, STARTER, made, planted
from tests.starting import change, started

TOLD = ("downloads/facts.json", "downloads/limits.json", "downloads/statements.csv")


def unpacked(making: Any, folder: pathlib.Path) -> pathlib.Path:
    data = making.whole()[CONTENT]
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        archive.extractall(folder)
    return folder / "content"


def errors(content: pathlib.Path) -> list[str]:
    found = check_guide_whole(content, open_theme("", content)).findings
    return [f"{one.place} {one.code}" for one in found if one.severity is Severity.ERROR]


def everything(content: pathlib.Path) -> str:
    paths = sorted(path for path in content.rglob("*") if path.is_file())
    return "\n".join(f"{path.relative_to(content)}\n{path.read_bytes().decode('utf-8', 'replace')}" for path in paths)


def test_a_guide_made_of_it_tells_the_same(tmp_path: pathlib.Path) -> None:
    content = started(
        tmp_path,
        {
            "statements.csv": "mark,form,kind,when,source,private: told by\nroof-lamp,square,seen,S700,register,Hobb\n",
            "private/letters/a.txt": "Quillfeather",
            "notes.txt": "Quillfeather",
            "cars-seen/show.csv": "car,remarks,roof-lamp\nS477,Quillfeather's,round\n",
        },
    )
    making = made(content)
    copy = unpacked(making, tmp_path / "copy")
    assert sorted(path.name for path in copy.iterdir()) == [
        "README.md",
        "about.md",
        "areas.yml",
        "guide.yml",
        "interiors.yml",
        "marks",
        "numbers",
        "periods.yml",
        "pictures",
        "sources.yml",
        "statements.csv",
    ]
    again = made(copy)
    assert {name: again.get(name) for name in TOLD} == {name: making.get(name) for name in TOLD}
    text = everything(copy)
    assert [one for one in ("Quillfeather", "Hobb", "S477", "#", "told by") if one in text.replace("# ", "")] == ["#"]
    readme = (copy / "README.md").read_text(encoding="utf-8")
    assert "- 1 car seen, in 1 file:" in readme
    assert "withdrawn" not in readme
    assert main(["--content", str(copy), "--out", str(tmp_path / "out")]) == 0
    assert (tmp_path / "out" / "marks" / "roof-lamp.html").is_file()


def test_nothing_that_was_planted_is_in_it_and_it_builds(tmp_path: pathlib.Path) -> None:
    content = planted(tmp_path)
    lamp = content / "marks" / "roof-lamp.yml"
    ruling = "rulings:\n  - {set aside: register seen S612, why: a misprint for S613, on: 2026-11-25, by: Hobb}\n"
    lamp.write_text(lamp.read_text(encoding="utf-8") + ruling, encoding="utf-8")
    (content / "theme").mkdir()
    (content / "theme" / "theme.yml").write_text("# Quillfeather's\ninherits: plain\n", encoding="utf-8")
    copy = unpacked(made(content), tmp_path / "copy")
    text = everything(copy)
    assert [one for one in NEVER if one in text] == []
    assert "a misprint" not in text, "a ruling on what is not there"
    assert "some limits may be wider" in text
    assert errors(copy) == []
    shown = {path.name for path in (copy / "pictures").iterdir()}
    assert len(shown) == 6
    assert made(copy).whole()


def test_what_is_withdrawn_is_told_there_no_more(tmp_path: pathlib.Path) -> None:
    guide = (STARTER / "guide.yml").read_text(encoding="utf-8")
    content = started(tmp_path, {"guide.yml": f"{guide}withdrawn: [S612, S571]\n"})
    change(content, "marks/roof-lamp.yml", "{seen: S612,", "{seen: [S612, S650], first: S591,")
    copy = unpacked(made(content), tmp_path / "copy")
    told = everything(copy)
    assert [one for one in ("S612", "S571", "withdrawn:") if one in told] == []
    assert "seen: S650" in told
    assert "2 cars withdrawn" in told
    assert errors(copy) == []


def test_the_demo_s_facts_are_all_in_it(tmp_path: pathlib.Path) -> None:
    copy = tmp_path / "content"
    making = made(DEMO)
    files = content_files(DEMO, making.shelf, making._pictured, Cache(None), "12345678")
    assert files == content_files(DEMO, making.shelf, making._pictured, Cache(tmp_path / "kept"), "12345678")
    assert files == content_files(DEMO, making.shelf, making._pictured, Cache(tmp_path / "kept"), "12345678")
    with zipfile.ZipFile(io.BytesIO(files[CONTENT])) as archive:
        archive.extractall(tmp_path)
    ours, theirs = (read_guide(folder).guide for folder in (DEMO, copy))
    assert ours is not None
    assert theirs is not None
    for name in ("productions", "closures", "splits", "shares", "changed_together", "sources", "periods", "marks"):
        assert bones(getattr(theirs, name)) == bones(getattr(ours, name)), name
    assert [one.about for one in theirs.marks.values()] == [one.about for one in ours.marks.values()]
    assert theirs.about == ours.about
    assert errors(copy) == []
    german = read_guide(copy, language="de").guide
    assert german is not None
    assert bones(german.marks) == bones(read_guide(DEMO, language="de").guide.marks)  # type: ignore[union-attr]


@pytest.mark.parametrize("language", ["en", "de"])
def test_the_page_in_it_says_what_was_left_out_in_the_guide_s_language(language: str, tmp_path: pathlib.Path) -> None:
    content = tmp_path / "neu"
    assert main(["start", str(content), "--language", language]) == 0
    making = made(content)
    readme = (unpacked(making, tmp_path / "copy") / "README.md").read_text(encoding="utf-8")
    assert {"en": "What was left out", "de": "Was weggelassen ist"}[language] in readme
    fingerprint = json.loads(making.whole()["edition.json"])["edition"][:8]
    assert f"({fingerprint})" in readme
