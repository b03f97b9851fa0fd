"""One thing gets another id: every reference follows, remarks stay, and the old id is kept under `formerly`."""

from __future__ import annotations

import pathlib
import shutil

import pytest

from guide.command.main import main
from guide.facts.read import read_guide
from tests.mistakes.spoil import GUIDE


@pytest.fixture
def content(tmp_path: pathlib.Path) -> pathlib.Path:
    content = pathlib.Path(shutil.copytree(GUIDE, tmp_path / "content"))
    (content / "about.md").write_text("See [the dials](mark:dials) and [late cars](period:late).\n", encoding="utf-8")
    with (content / "marks" / "dials.yml").open("a", encoding="utf-8") as file:
        file.write("# dials: a remark that stays\n")
    return content


def rename(content: pathlib.Path, which: str, new: str) -> int:
    return main(["rename", which, new, "--content", str(content), "--out", str(content.parent / "out")])


@pytest.mark.parametrize(
    ("which", "new", "file", "line"),
    [
        ("mark/dials", "clock-faces", "marks/clock-faces.yml", "formerly: [clocks, dials]"),
        ("mark/switches", "minor-switches", "marks/minor-switches.yml", "formerly: switches"),
        ("form/switches/toggle", "lever", "marks/switches.yml", "    formerly: toggle"),
        ("form/dials/bright", "chromed", "marks/dials.yml", "    formerly: [chrome, bright]"),
        ("source/bulletin-7", "works-bulletin-7", "sources.yml", "works-bulletin-7: {formerly: bulletin-7, name:"),
        ("source/newsletter", "club-news", "sources.yml", "  formerly: newsletter"),
        ("period/late", "second", "periods.yml", "second: {formerly: late, name: Late"),
        ("interior/tan-cloth", "tan", "interiors.yml", "tan: {formerly: tan-cloth, name:"),
        ("area/dash", "board", "areas.yml", "board: {formerly: dash, name: Dash"),
    ],
)
def test_every_reference_follows(content: pathlib.Path, which: str, new: str, file: str, line: str) -> None:
    assert rename(content, which, new) == 0
    text = (content / file).read_text(encoding="utf-8")
    assert line in text
    found = read_guide(content).findings
    assert found == ()
    assert "# dials: a remark that stays" in "".join(path.read_text("utf-8") for path in (content / "marks").iterdir())
    old = which.rpartition("/")[2]
    assert f":{old})" not in (content / "about.md").read_text(encoding="utf-8")
    if which.startswith(("mark", "form")):
        assert sorted(path.name for path in (content / "pictures").iterdir() if new in path.name) != []


def test_what_cannot_be_renamed_is_said_and_nothing_changes(
    content: pathlib.Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = {path: path.read_bytes() for path in content.rglob("*") if path.is_file()}
    for which, new, says in (
        ("dials", "x", "names nothing that can be renamed"),
        ("mark/no-such", "x", "has no mark 'no-such'"),
        ("mark/dials", "belts", "has a mark 'belts' already"),
        ("mark/dials", "Clock Faces", "cannot be an id"),
    ):
        assert rename(content, which, new) == 2
        assert says in capsys.readouterr().err
    assert {path: path.read_bytes() for path in content.rglob("*") if path.is_file()} == before
