"""Each folder in bad/ lays its files over the small guide; expected.txt is exactly what reading then says.

A file ending in ``.gone`` stands for one that is taken away. Every kind of finding of this stage has its case.
"""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from guide.facts.read import read_guide
from guide.finding import CODES
from tests.told import ENGLISH

HERE = Path(__file__).parent
BAD = sorted(path for path in (HERE / "bad").glob("*/") if path.is_dir())
assert BAD, "no bad content found"
ELSEWHERE = "".join(
    (HERE.parent / name).read_text(encoding="utf-8")
    for name in ("facts/test_odd_files.py", "mistakes/table.py", "mistakes/of_files.py")
)


def report(folder: Path, content: Path) -> str:
    shutil.copytree(HERE / "small", content)
    shutil.copytree(folder, content, dirs_exist_ok=True, ignore=shutil.ignore_patterns("expected.txt"))
    for gone in content.rglob("*.gone"):
        gone.with_suffix("").unlink()
        gone.unlink()
    return "\n\n".join(finding.printed(ENGLISH) for finding in read_guide(content).findings) + "\n"


@pytest.mark.parametrize("folder", BAD, ids=lambda folder: folder.name)
def test_findings_are_exactly(folder: Path, tmp_path: Path) -> None:
    assert report(folder, tmp_path / "content") == (folder / "expected.txt").read_text(encoding="utf-8")


def test_the_guide_they_are_laid_over_is_clean() -> None:
    reading = read_guide(HERE / "small")
    assert reading.findings == ()
    assert reading.guide is not None


def test_every_kind_of_finding_of_this_stage_has_its_case() -> None:
    said = "".join((folder / "expected.txt").read_text(encoding="utf-8") for folder in BAD)
    sentences = {name.split(".")[1] for name in ENGLISH.templates if name.startswith("facts.")}
    worded = sentences & set(CODES)
    shown = set(re.findall(r"put right \((.+?)\)", said)) | set(re.findall(r'"([a-z0-9-]+)"', ELSEWHERE))
    assert len(worded) > 80
    assert sorted(worded - shown) == []
