"""A car withdrawn at its owner's request by one line: no stage after reading knows of it."""

from __future__ import annotations

import shutil
from pathlib import Path

from guide.facts.read import GuideRead, read_guide
from tests.told import told

SMALL = Path(__file__).parent / "small"
CARS = "car,switches\nc 1845 l,toggle\nC1846,toggle\nC9999,rocker\n"
RULING = "rulings:\n  - {read: ledger seen C1845, as: {for: {hand: left}}, why: it is left-hand, on: 2026-11-25}\n"


def read(tmp_path: Path, line: str) -> GuideRead:
    content = tmp_path / "content"
    shutil.copytree(SMALL, content)
    (content / "cars-seen").mkdir()
    (content / "cars-seen" / "june.csv").write_text(CARS, encoding="utf-8")
    mark = content / "marks" / "switches.yml"
    text = mark.read_text(encoding="utf-8").replace(
        "      - {last: C1840", "      - {seen: C1845, source: ledger}\n      - {last: C1840"
    )
    mark.write_text(text + RULING, encoding="utf-8")
    with (content / "guide.yml").open("a", encoding="utf-8") as file:
        file.write(line)
    return read_guide(content)


def test_what_was_noted_and_stated_of_it_is_gone_whatever_way_its_number_is_typed(tmp_path: Path) -> None:
    found = read(tmp_path, "withdrawn: [C 1845, c 9999]\n")
    assert found.guide is not None
    assert {finding.code for finding in found.findings} == {"seen-not-in-tables"}
    assert [car.number_text for car in found.guide.cars_seen] == ["C1846"]
    assert "C1845" not in repr(found.guide.marks)
    assert "1845" not in repr(found.guide.cars_seen)


def test_without_the_line_all_of_it_is_there(tmp_path: Path) -> None:
    found = read(tmp_path, "")
    assert found.guide is not None
    assert [car.number_text for car in found.guide.cars_seen] == ["c 1845 l", "C1846", "C9999"]
    assert len(found.guide.marks["switches"].rulings) == 1


def test_a_number_that_no_car_bears_is_told_since_it_keeps_nothing_back(tmp_path: Path) -> None:
    found = read(tmp_path, "withdrawn: C1854\n")
    (finding,) = (finding for finding in found.findings if finding.code == "withdrawn-unmet")
    assert told(finding.message) == "the number 'C1854' is withdrawn, and no car seen bears it"
