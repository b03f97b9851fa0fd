"""Two forms of one mark told apart on a phone, scripts off: side by side at one scale, chosen through links."""

from __future__ import annotations

import pathlib
from typing import Any

import pytest

from tests.browser.site import follow, go, open_page

pytestmark = pytest.mark.browser


def pages_of_two(built_guide: pathlib.Path) -> list[pathlib.Path]:
    """Return the pages of two forms, without those that only lead on to the chooser."""
    found = sorted((built_guide / "forms").glob("*.html"))
    return [path for path in found if 'http-equiv="refresh"' not in path.read_text("utf-8")]


@pytest.mark.parametrize("width", [390, 1280])
def test_both_forms_stand_side_by_side_at_one_scale_without_scripts(
    chromium: Any, built_guide: pathlib.Path, width: int
) -> None:
    with open_page(chromium, width=width, java_script_enabled=False) as opened:
        for path in pages_of_two(built_guide)[::6]:
            go(opened.page, built_guide, f"forms/{path.name}")
            assert opened.page.locator(".spread .half svg").count() == 2, path.name
            one, other = opened.page.locator(".spread .half svg").all()
            first, second = one.bounding_box(), other.bounding_box()
            assert first is not None
            assert second is not None
            assert second["x"] > first["x"] + first["width"]
            assert (first["y"], first["width"], first["height"]) == pytest.approx(
                (second["y"], second["width"], second["height"]), abs=1.0
            )
            assert one.get_attribute("viewBox") == other.get_attribute("viewBox")
            main = opened.page.locator("main").bounding_box()
            assert main is not None
            assert main["width"] <= width
        assert opened.faults == []
        assert opened.outside == []


def test_any_two_forms_are_chosen_through_links_from_the_mark_and_from_the_page_of_all_pairs(
    chromium: Any, built_guide: pathlib.Path
) -> None:
    with open_page(chromium, java_script_enabled=False) as opened:
        page = opened.page
        go(page, built_guide, "marks/switches.html")
        follow(page.get_by_role("link", name="Toggles or rockers", exact=True))
        assert page.get_by_role("heading", level=1).inner_text() == "Toggles or rockers?"
        follow(page.get_by_role("link", name="Two others"))
        assert page.url.endswith("/apart.html#forms")
        follow(page.locator("#forms-switches").get_by_role("link", name="Toggles or rockers with signs"))
        assert page.url.endswith("/marks/switches.html#two=toggle,symbols")
        assert page.get_by_role("heading", level=1).inner_text() == "Small switches"
        assert not page.locator("[data-two]").is_visible(), "both are drawn on the page; choosing needs scripts"
        go(page, built_guide, "apart.html")
        assert page.locator("dl.choose [id^=forms-] a").count() == len(list((built_guide / "forms").glob("*.html")))


def test_any_two_forms_are_told_apart_on_the_parts_page_and_by_an_old_address(
    chromium: Any, built_guide: pathlib.Path
) -> None:
    with open_page(chromium) as opened:
        page = opened.page
        page.goto((built_guide / "forms/switches-toggle-or-symbols.html").as_uri())
        page.wait_for_url("**/marks/switches.html#two=toggle,symbols")
        told = page.locator("[data-two-told]")
        assert told.get_by_role("heading", level=2).inner_text() == "Toggles or rockers with signs?"
        assert told.locator("figure svg:not(.leading)").count() == 2
        rows = told.locator("tbody tr")
        assert rows.count() > 5
        first = rows.first.inner_text()
        page.locator("[data-two] select").first.select_option("rocker")
        page.get_by_role("button", name="Tell them apart").click()
        told.get_by_role(
            "heading", level=2, name="Rockers or rockers with signs?", exact=True
        ).wait_for()  # once the address has changed
        assert rows.first.inner_text() != first
        page.locator("[data-two] select").first.select_option("symbols")
        page.get_by_role("button", name="Tell them apart").click()
        assert page.locator("[data-two-says]").inner_text() == "Choose two that are not the same."
        assert opened.faults == []


def test_a_look_leads_to_how_its_forms_are_told_apart_and_back_to_itself(
    chromium: Any, built_guide: pathlib.Path
) -> None:
    with open_page(chromium) as opened:
        page = opened.page
        go(page, built_guide, "key.html#--reach=outside,glass&--look=switches")
        asked = page.locator("[data-screen=look] h1").inner_text()
        page.get_by_role("link", name="How to tell them apart").click()
        page.wait_for_url("**/marks/switches.html#told")
        page.get_by_role("link", name="Rockers or rockers with signs", exact=True).click()
        page.wait_for_url("**/forms/switches-rocker-or-symbols.html")
        page.go_back()
        page.go_back()
        assert page.locator("[data-screen=look] h1").inner_text() == asked
        go(page, built_guide, "guide-in-one-file.html#--reach=outside,glass&--look=switches")
        assert page.locator("[data-screen=look] h1").is_visible()
        assert page.get_by_role("link", name="How to tell them apart").count() == 0


def test_no_page_of_two_forms_is_heavy(built_guide: pathlib.Path) -> None:
    """They are many, so each must be light: a tenth of what any page may weigh."""
    weights = {path.name: path.stat().st_size for path in pages_of_two(built_guide)}
    assert len(weights) > 40
    assert {name: size for name, size in weights.items() if size > 100_000} == {}


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_two_forms_print_on_few_sheets_without_the_ways_on(
    chromium: Any, built_guide: pathlib.Path, paper: str
) -> None:
    with open_page(chromium) as opened:
        for name in ("switches-toggle-or-rocker", "dials-black-rim-or-orange", "belts-static-or-reel"):
            go(opened.page, built_guide, f"forms/{name}.html")
            assert opened.page.pdf(format=paper).count(b"/Type /Page\n") <= 5, name
        opened.page.emulate_media(media="print")
        assert not opened.page.locator(".onward").is_visible()
