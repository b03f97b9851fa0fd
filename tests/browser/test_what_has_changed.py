"""Whoever holds an older print is told what is wrong on it: by what is typed, by the address, by an old result."""

from __future__ import annotations

import pathlib
import re
from typing import Any

import pytest

from guide.command.main import main
from tests.browser.site import open_page
from tests.starting import change, started

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def second(tmp_path_factory: pytest.TempPathFactory) -> tuple[pathlib.Path, str]:
    """The second edition of a small guide, and the fingerprint of the first."""
    folder = tmp_path_factory.mktemp("second")
    content, to = started(folder, {}), folder / "to"
    assert main(["publish", str(to), "--content", str(content)]) == 0
    first = re.search(r"Edition: first \(([0-9a-f]{8})\)", (to / "index.html").read_text(encoding="utf-8"))
    assert first is not None
    change(content, "guide.yml", "edition: first", "edition: second")
    change(content, "marks/roof-lamp.yml", "S598", "S605")
    assert main(["publish", str(to), "--content", str(content)]) == 0
    return to, first[1]


def test_a_sheet_is_told_by_its_name_or_fingerprint_as_they_are_printed(
    chromium: Any, second: tuple[pathlib.Path, str]
) -> None:
    folder, fingerprint = second
    page_address = (folder / "editions.html").as_uri()
    wrong = "Sheets of edition first are wrong on one part: roof lamp."
    with open_page(chromium) as opened:
        page = opened.page
        page.goto(page_address)
        said = page.locator("[data-held-says]")
        for typed in ("first", " First ", fingerprint, f"first ({fingerprint}).", fingerprint.upper()):
            page.get_by_label("Which edition does it say?").fill(typed)
            page.get_by_role("button", name="Tell me").click()
            assert said.inner_text() == wrong, typed
        page.get_by_label("Which edition does it say?").fill("Second")
        page.keyboard.press("Enter")
        assert said.inner_text().startswith("That is this edition.")
        page.get_by_label("Which edition does it say?").fill("firts")
        page.keyboard.press("Enter")
        assert "it knows those from first on" in said.inner_text()
        page.goto(f"{page_address}?edition=first")
        assert said.inner_text() == wrong


def test_an_old_result_leads_to_what_has_changed(chromium: Any, second: tuple[pathlib.Path, str]) -> None:
    folder, _ = second
    with open_page(chromium) as opened:
        page = opened.page
        page.goto(f"{(folder / 'key.html').as_uri()}#roof-lamp=round&--edition=first&--at=result")
        page.get_by_role("link", name="What has changed since that edition").click()
        page.wait_for_url("**/editions.html?edition=first")
        assert page.locator("[data-held-says]").inner_text().startswith("Sheets of edition first are wrong")


def test_without_scripts_all_of_it_stands_there(chromium: Any, second: tuple[pathlib.Path, str]) -> None:
    with open_page(chromium, java_script_enabled=False) as opened:
        opened.page.goto((second[0] / "editions.html").as_uri())
        assert "Sheets of edition first are wrong on one part" in opened.page.locator("#edition-first").inner_text()
        assert not opened.page.get_by_label("Which edition does it say?").is_visible()
