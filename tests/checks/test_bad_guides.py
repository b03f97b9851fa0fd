"""Each folder in bad/ lays its files over the small guide that `start` makes; expected.txt is what is said."""

from __future__ import annotations

import pathlib
import shutil

import pytest

from guide.command.start import STARTER
from guide.command.work import work_out
from tests.starting import started
from tests.told import ENGLISH, told

BAD = sorted(path for path in (pathlib.Path(__file__).parent / "bad").glob("*/") if path.is_dir())
assert BAD, "no bad guides found"


def report(folder: pathlib.Path, tmp_path: pathlib.Path) -> str:
    content = started(tmp_path, over=folder)
    return "\n\n".join(finding.printed(ENGLISH) for finding in work_out(content).findings) + "\n"


@pytest.mark.parametrize("folder", BAD, ids=lambda folder: folder.name)
def test_findings_are_exactly(folder: pathlib.Path, tmp_path: pathlib.Path) -> None:
    assert report(folder, tmp_path) == (folder / "expected.txt").read_text(encoding="utf-8")


def test_the_guide_they_are_laid_over_is_clean(tmp_path: pathlib.Path) -> None:
    assert work_out(started(tmp_path)).findings == ()


def test_every_finding_of_the_checks_has_a_bad_guide() -> None:
    text = "".join((folder / "expected.txt").read_text(encoding="utf-8") for folder in BAD)
    words = (one.split(".") for one in ENGLISH.templates)
    worded = {one[1] for one in words if one[0] == "checks" and one[-1] == "put-right"}
    assert len(worded) >= 15
    assert sorted(code for code in worded if f"({code})" not in text) == []


@pytest.mark.parametrize(
    "typed",
    [
        "[S598, V100]",
        "S598, for: {series: saloon}",
        "[S598, 1962-03]",
        "S598}\n      - {last: V100, source: parts-list, for: {series: van}",
    ],
)
def test_a_changeover_stated_of_every_series_or_said_to_be_of_one_is_well(typed: str, tmp_path: pathlib.Path) -> None:
    folder = pathlib.Path(__file__).parent / "bad" / "periods-of-two-models"
    assert "(stated-of-one-series)" in report(folder, tmp_path / "before")
    with_vans, mark = tmp_path / "with vans", "marks/roof-lamp.yml"
    shutil.copytree(folder, with_vans)
    (with_vans / "marks").mkdir()
    text = (STARTER / mark).read_text(encoding="utf-8").replace("last: S598", f"last: {typed}")
    (with_vans / mark).write_text(text, encoding="utf-8")
    assert "(stated-of-one-series)" not in report(with_vans, tmp_path / "after")


def test_days_on_which_one_series_stood_shut_are_no_gap_in_its_cars(tmp_path: pathlib.Path) -> None:
    """The saloons' line stood still from March to May 1961; the vans' did not."""
    content = started(tmp_path)
    shut = "closed: [{from: 1961-03-01, to: 1961-05-31, why: a new hall, series: saloon}]\nproduction: {first"
    guide = (content / "guide.yml").read_text(encoding="utf-8")
    (content / "guide.yml").write_text(
        guide.replace("production: {first", shut).replace("made: 1200, ", ""), encoding="utf-8"
    )
    saloon = (content / "numbers" / "saloon.yml").read_text(encoding="utf-8")
    saloon = saloon.replace("  1961-12: S600\n", "  1961-02-28: S300\n  1961-12: S600\n")
    (content / "numbers" / "saloon.yml").write_text(saloon, encoding="utf-8")
    (content / "numbers" / "van.yml").write_text(
        "name: Van\nbody: van\nwritten: V###\nruns: [{cars: V001..V100}]\nbuilt by: {1963-10-31: V100}\n"
        "first built: {1960-03-01: V001}\n",
        encoding="utf-8",
    )
    lamp = content / "marks" / "roof-lamp.yml"
    said = lamp.read_text(encoding="utf-8")
    for old, new in (("last: S598", "last: S300"), ("first: S590", "first: S301")):
        said = said.replace(old, new)
    lamp.write_text(said, encoding="utf-8")
    assert [told(one.message) for one in work_out(content).findings if one.code == "time-without-form"] == []
