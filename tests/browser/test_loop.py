"""From the key to the tally: a car is dated, noted and handed in; the files go into cars-seen/ as they come."""

from __future__ import annotations

import json
import pathlib
import shutil
from typing import Any

import pytest

from guide.command.main import main
from guide.facts.read import read_guide
from tests.browser.site import follow, open_page
from tests.browser.test_field import downloaded

RESULT = "key.html#interior=tan-vinyl&switches=toggle&horn-push=plain&--car=C1650&--at=result"
pytestmark = pytest.mark.browser


def test_what_the_phone_hands_in_reaches_the_tally_without_a_touch(
    chromium: Any,
    built_guide: pathlib.Path,
    root: pathlib.Path,
    tmp_path: pathlib.Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """A car with such a number is looked for, and asks for what would tell most; its CSV and its JSON say the same."""
    with open_page(chromium, has_touch=True, accept_downloads=True) as phone:
        page = phone.page
        page.goto(f"{built_guide.as_uri()}/{RESULT}")
        page.locator("[data-keep]").click()
        follow(page.get_by_role("link", name="Today’s cars"))
        asked = page.locator("[data-wanted]").inner_text()
        sheet, notes = downloaded(page, "[data-csv]"), downloaded(page, "[data-json]")
        assert phone.faults == []
    content = tmp_path / "content"
    shutil.copytree(root / "content", content, ignore=shutil.ignore_patterns("*.jpg", "field-days.csv"))
    (content / "cars-seen" / "cars-seen.csv").write_text(sheet, encoding="utf-8")
    (content / "cars-seen" / "cars-seen.json").write_text(notes, encoding="utf-8")
    reading = read_guide(content)
    assert reading.guide is not None
    assert [finding for finding in reading.findings if finding.place.file.startswith("cars-seen/cars-seen")] == []
    (car,) = (car for car in reading.guide.cars_seen if car.number_text == "C1650")
    assert [(report.mark, report.answer) for report in car.reports] == [("horn-push", "plain"), ("switches", "toggle")]
    assert (car.splits, len(car.looks), len(car.repeats)) == ({"interior": "tan-vinyl"}, 1, 1)
    assert main(["tally", "--json", "--content", str(content)]) == 0
    told = json.loads(capsys.readouterr().out)
    (again,) = told["repeated"]
    assert again["car"] == "C1650"
    assert {place["file"] for place in again["files"]} == {"cars-seen/cars-seen.csv", "cars-seen/cars-seen.json"}
    assert "Seat slide lever" in asked
