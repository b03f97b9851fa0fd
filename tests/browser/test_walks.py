"""The three people at their whole job with nothing but a keyboard: no pointer, no address typed, no help."""

from __future__ import annotations

import csv
import io
import pathlib
from collections.abc import Iterator
from typing import Any

import pytest

from tests.browser.site import MIDDLE_CAR, Watched, open_page
from tests.browser.test_prints import BUYERS_SHEET, PAPERS, page_count

pytestmark = pytest.mark.browser


@pytest.fixture
def desk(chromium: Any, built_guide: pathlib.Path) -> Iterator[Watched]:
    """The start page opened from a stick, at a desk, the hand on the keyboard."""
    with open_page(chromium, width=1024, height=768, accept_downloads=True) as opened:
        opened.page.goto((built_guide / "index.html").as_uri())
        yield opened
        assert opened.faults == []
        assert opened.outside == []


def tab_to(page: Any, selector: str) -> None:
    """Press Tab until the keyboard is on something that matches."""
    page.locator(selector).first.wait_for()
    for _ in range(250):
        page.keyboard.press("Tab")
        if page.evaluate("(wanted) => document.activeElement === document.activeElement.closest(wanted)", selector):
            return
    raise AssertionError(f"the keyboard never comes to {selector}")


def enter(page: Any, selector: str) -> None:
    """Go to something by Tab and press Enter."""
    tab_to(page, selector)
    page.keyboard.press("Enter")


def asked(page: Any) -> str:
    """Return the id of the mark that the key asks for."""
    return str(
        page.evaluate("""guide.model.marks.find((mark) =>
      document.querySelector("[data-screen=look] h1").textContent.startsWith(mark.question)).id""")
    )


def test_a_volunteer_dates_a_car_keeps_a_note_and_hands_it_in(desk: Watched) -> None:
    page = desk.page
    enter(page, ".doors a[href^='key.html']")
    page.locator("[data-begin]").wait_for()
    enter(page, "[data-begin] [type=submit]")
    for _ in range(30):
        page.locator("[data-screen=look] h1, [data-screen=result] h1").locator("visible=true").first.wait_for()
        if page.locator("[data-screen=result]").is_visible():
            break
        mark, before = asked(page), page.url
        enter(page, f"[data-screen=look] [data-answer='{MIDDLE_CAR.get(mark, 'cannot-tell')}']")
        page.wait_for_function("(before) => location.href !== before", arg=before)
        assert page.evaluate("document.activeElement.tagName") == "H1", "the keyboard stands at the new question"
    said = page.locator("[data-screen=result] h1").inner_text()
    assert "1969" in said, said

    enter(page, "[data-keep]")
    tab_to(page, "#note-remarks")
    page.keyboard.type("hood, new in May")
    enter(page, "[data-panel] a[href='notes.html']")
    page.locator("[data-cars] > li").wait_for()
    with page.expect_download() as waiting:
        enter(page, "[data-csv]")
    sheet = pathlib.Path(waiting.value.path()).read_text(encoding="utf-8-sig")
    (row,) = csv.DictReader(io.StringIO(sheet))
    assert row["remarks"] == "hood, new in May"
    found = {mark: value for mark, value in row.items() if mark in MIDDLE_CAR}
    assert len(found) >= 3
    assert all(value in ("cannot-tell", MIDDLE_CAR[mark]) for mark, value in found.items()), found


def test_a_buyer_makes_a_sheet_for_a_number_and_one_from_an_advert(desk: Watched) -> None:
    page = desk.page
    enter(page, ".doors a[href^='sheets.html']")
    page.locator("[data-buy]").wait_for()
    tab_to(page, "#buy-car")
    page.keyboard.type("C 2500")
    page.keyboard.press("Enter")
    page.locator("[data-sheet] [data-title]").wait_for()
    assert "C2500" in page.locator("[data-sheet]").inner_text()
    assert page.locator("[data-sheet] .drawing").count() >= 15
    assert max(page_count(page.pdf(format=paper)) for paper in PAPERS) <= BUYERS_SHEET

    enter(page, "[data-again]")
    page.locator("[data-buy]").wait_for()
    tab_to(page, "#buy-car")
    page.keyboard.press("Control+a")
    page.keyboard.press("Delete")
    tab_to(page, "#buy-year")
    page.keyboard.type("1968")
    enter(page, "[data-buy] [type=submit]")
    page.locator("[data-sheet] [data-title]").wait_for()
    text = page.locator("[data-sheet]").inner_text()
    assert "before" in text, "where the period stays open both forms are printed"
    assert "inspect" in page.locator("[data-sheet] .warn").inner_text()


def test_a_reader_finds_a_part_by_another_name_and_follows_a_date_to_its_source(desk: Watched) -> None:
    page = desk.page
    enter(page, ".doors a[href^='search.html']")
    tab_to(page, "#question")
    page.keyboard.type("minor swithces")
    page.keyboard.press("Enter")
    page.locator("[data-results] a[href*='marks/switches.html']").first.wait_for()
    enter(page, "[data-results] a[href*='marks/switches.html']")
    page.wait_for_url("**/marks/switches.html*")
    assert page.locator("figure .drawing").count() >= 3
    enter(page, "main a[href*='sources.html#']")
    page.wait_for_url("**/sources.html#*")
    place = page.evaluate("decodeURIComponent(location.hash.slice(1))")
    assert page.locator(f"[id='{place}']").count() == 1
