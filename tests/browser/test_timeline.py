"""The timeline in Chromium: its axis stays in sight, it is short enough for a phone, a number stands as a line."""

from __future__ import annotations

import pathlib
from typing import Any

from tests.browser.site import go, open_page


def test_its_axis_stays_in_sight_and_what_never_changed_takes_a_line(chromium: Any, built_guide: pathlib.Path) -> None:
    with open_page(chromium, width=390, height=844) as opened:
        page = opened.page
        go(page, built_guide, "timeline.html")
        assert page.evaluate("document.documentElement.scrollHeight") < 10000, "21,000 before"
        page.evaluate("window.scrollTo(0, 4000)")
        axis = page.locator(".timeline-axis").bounding_box()
        assert axis is not None
        assert axis["y"] == 0, "years and legend stay at the head of the screen"
        assert axis["height"] < 844 / 4
        badge = page.locator(".timeline > li", has_text="Bonnet badge")
        assert badge.locator("svg.band").count() == 1
        assert badge.locator(".strip-plain").inner_text() == "Unchanged: Open car: foil"
        assert opened.faults == []


def test_a_number_stands_as_a_line_down_the_whole_of_it(chromium: Any, built_guide: pathlib.Path) -> None:
    with open_page(chromium, width=1280, height=900) as opened:
        page = opened.page
        go(page, built_guide, "timeline.html")
        page.get_by_label("Draw a car’s number as a line").fill("c1840")
        page.get_by_role("button", name="Draw it").click()
        assert "May 1968" in page.locator("[data-number-says]").inner_text()
        line, whole = page.locator(".your-line").bounding_box(), page.locator(".timeline-stack").bounding_box()
        assert line is not None
        assert whole is not None
        assert line["height"] == whole["height"]
        place = float(page.locator(".your-line line").get_attribute("x1").rstrip("%"))
        assert 20 < place < 21, "21 May 1968, 407 days into 2,021"
        strips = page.locator(".band.row")
        assert strips.count() == strips.locator("> .your-place").count(), "each is crossed"
        assert strips.locator("> text ~ .your-place").count() == 0, "and its names stand over the line"
        page.get_by_label("Draw a car’s number as a line").fill("C9")
        page.get_by_role("button", name="Draw it").click()
        assert page.locator(".your-line, .your-time, .your-place").count() == 0
        assert page.locator("[data-number-says]").inner_text() != ""
        assert opened.faults == []


def test_its_figures_are_open_on_paper(chromium: Any, built_guide: pathlib.Path) -> None:
    with open_page(chromium, width=794, height=1123) as opened:
        page = opened.page
        go(page, built_guide, "timeline.html")
        assert not page.locator(".figures-table").is_visible()
        page.pdf()
        assert page.locator(".figures-table").is_visible()
