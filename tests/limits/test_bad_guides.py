"""Each folder in bad/ lays its files over the small guide that `start` makes; expected.txt is what limits say."""

from __future__ import annotations

import pathlib
from dataclasses import replace

import pytest

from guide.facts.read import read_guide
from guide.limits.derive import derive_limits
from tests.starting import started
from tests.told import ENGLISH

HERE = pathlib.Path(__file__).parent
BAD = sorted(path for path in (HERE / "bad").glob("*/") if path.is_dir())
assert BAD, "no bad guides found"


def report(folder: pathlib.Path, tmp_path: pathlib.Path) -> str:
    content = started(tmp_path, over=folder)
    reading = read_guide(content)
    assert reading.guide is not None, [finding.line(ENGLISH) for finding in reading.findings]
    assert reading.findings == ()
    lines = reading.lines
    found = [
        replace(one, excerpt=lines[one.place.file][one.place.line - 1]) for one in derive_limits(reading.guide).findings
    ]
    return "\n\n".join(one.printed(ENGLISH) for one in found) + "\n"


@pytest.mark.parametrize("folder", BAD, ids=lambda folder: folder.name)
def test_findings_are_exactly(folder: pathlib.Path, tmp_path: pathlib.Path) -> None:
    assert report(folder, tmp_path) == (folder / "expected.txt").read_text(encoding="utf-8")


def test_every_finding_of_limits_has_a_bad_guide() -> None:
    """The codes are read from the words: every sentence of this stage that says how to put something right."""
    text = "".join((folder / "expected.txt").read_text(encoding="utf-8") for folder in BAD)
    words = (one.split(".") for one in ENGLISH.templates)
    said = {one[1] for one in words if one[0] == "limits" and one[-1] == "put-right"}
    assert len(said) >= 23
    assert sorted(code for code in said if f"({code})" not in text) == []
