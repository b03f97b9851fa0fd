"""Each folder in bad/ lays its files over the small guide that `start` makes; expected.txt is what is said."""

from __future__ import annotations

import pathlib
import shutil

import pytest

from guide.command.start import STARTER
from guide.command.work import work_out
from guide.finding import CODES

BAD = sorted(path for path in (pathlib.Path(__file__).parent / "bad").glob("*/") if path.is_dir())
assert BAD, "no bad guides found"


def report(folder: pathlib.Path, tmp_path: pathlib.Path) -> str:
    content = tmp_path / "content"
    shutil.copytree(STARTER, content)
    shutil.copytree(folder, content, dirs_exist_ok=True, ignore=shutil.ignore_patterns("expected.txt"))
    return "\n\n".join(finding.printed() for finding in work_out(content).findings) + "\n"


@pytest.mark.parametrize("folder", BAD, ids=lambda folder: folder.name)
def test_findings_are_exactly(folder: pathlib.Path, tmp_path: pathlib.Path) -> None:
    assert report(folder, tmp_path) == (folder / "expected.txt").read_text(encoding="utf-8")


def test_the_guide_they_are_laid_over_is_clean(tmp_path: pathlib.Path) -> None:
    content = tmp_path / "content"
    shutil.copytree(STARTER, content)
    assert work_out(content).findings == ()


def test_every_finding_of_the_checks_has_a_bad_guide() -> None:
    text = "".join((folder / "expected.txt").read_text(encoding="utf-8") for folder in BAD)
    checks = pathlib.Path(__file__).resolve().parents[2] / "guide" / "checks"
    source = "".join(path.read_text(encoding="utf-8") for path in checks.glob("*.py"))
    worded = {code for code in CODES if f'"{code}"' in source}
    assert worded
    assert sorted(code for code in worded if f"({code})" not in text) == []
