"""At a desk the width is used: drawings side by side, facts beside the figure, the sheet beside its chooser."""

from __future__ import annotations

import pathlib
from typing import Any

import pytest

from tests.browser.site import go, open_page

WANTED = "key.html#interior=tan-vinyl&switches=toggle&horn-push=plain&--car=C1650&--at=result"


def box(page: Any, selector: str, at: int = 0) -> Any:
    """Return where an element stands."""
    page.locator(selector).nth(at).wait_for()
    return page.locator(selector).nth(at).bounding_box()


def test_a_desk_sets_side_by_side_what_a_phone_sets_one_below_the_other(
    chromium: Any, built_guide: pathlib.Path
) -> None:
    with open_page(chromium, width=1280, height=900) as opened:
        page = opened.page
        go(page, built_guide, "key.html#--reach=glass&--look=switches")
        assert len({round(box(page, ".plates li", at)["y"]) for at in range(3)}) == 1
        assert box(page, ".screen:not([hidden]) .dock")["y"] + 56 < 900
        go(page, built_guide, "marks/switches.html")
        facts = box(page, ".margin")
        assert facts["x"] > box(page, ".spread")["x"] + box(page, ".spread")["width"]
        assert abs(facts["y"] - box(page, ".spread")["y"]) < 40
        go(page, built_guide, "sheets.html#--car=C1840")
        page.locator("[data-title]").wait_for()
        assert box(page, "[data-sheet]")["x"] > box(page, "[data-buy]")["x"] + 300
        go(page, built_guide, "marks/switches.html")
        assert box(page, "table.because")["width"] > 0.9 * box(page, ".spread")["width"]
        page.set_viewport_size({"width": 1680, "height": 900})
        go(page, built_guide, "timeline.html")
        assert box(page, ".timeline-leaf")["width"] > 1500
        for address in ("key.html#--reach=glass&--look=switches", "marks/switches.html", "timeline.html"):
            go(page, built_guide, address)
            assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
        assert opened.faults == []


@pytest.mark.parametrize("width", [360, 1280])
def test_what_to_look_at_before_a_car_is_handed_in_takes_none_of_its_room(
    chromium: Any, built_guide: pathlib.Path, width: int
) -> None:
    with open_page(chromium, width=width, height=900) as opened:
        page = opened.page
        go(page, built_guide, WANTED)
        page.locator("[data-keep]").click()
        page.locator("[data-kept]:not(:empty)").wait_for()
        go(page, built_guide, "notes.html")
        listed, wanted, hand_in = (box(page, one) for one in (".cars li", "[data-wanted]", "[data-hand-in]"))
        assert box(page, ".car")["width"] > 0.6 * listed["width"]
        assert wanted["width"] > 0.9 * listed["width"]
        beside = hand_in["x"] > listed["x"] + listed["width"]
        assert beside == (width == 1280)
