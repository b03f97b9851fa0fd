"""What comes by area of the car: what is said and drawn of its parts, in the key as it is asked, on the record sheet as
one comes near."""

from __future__ import annotations

import json
import pathlib
from typing import Any

import pytest

from tests.browser.site import open_page, serving

pytestmark = pytest.mark.browser


def test_the_key_fetches_the_words_of_an_area_with_its_first_question(chromium: Any, built_guide: pathlib.Path) -> None:
    text = (built_guide / "data" / "model.js").read_text(encoding="utf-8")
    marks = json.loads(text[text.index("={") + 1 : text.rindex(";")])["marks"]
    assert [one["id"] for one in marks if "question" in one] == [one["id"] for one in marks if "kind" in one]
    with open_page(chromium) as watched:
        page = watched.page
        page.goto(f"{built_guide.as_uri()}/key.html#--reach=outside,glass")
        asked = page.locator("h1.ask").inner_text()
        assert sum("data/area" in url for url in watched.requests) == 1
        assert page.evaluate("guide.model.marks.filter((one) => one.question).length") < len(marks)
        mark = page.evaluate("asked => guide.model.marks.find((one) => one.question === asked).id", asked)
        drawn = page.locator("[data-answer] svg.drawing > *").count()
        assert (page.locator("[data-answer]").count() > 2, drawn > 0, mark != "body") == (True, True, True)
        assert watched.faults == []


def test_where_the_signal_is_lost_the_key_says_so_and_goes_on_when_it_is_back(
    chromium: Any, built_guide: pathlib.Path
) -> None:
    areas = {f"data/{path.name}" for path in (built_guide / "data").glob("area*.js")}
    with serving(built_guide) as served, open_page(chromium, service_workers="block") as watched:
        page = watched.page
        page.goto(f"{served.address}key.html")
        served.refused |= areas
        page.locator("[data-begin] [type=submit]").click()
        page.get_by_role("heading", name="The next look could not be fetched").wait_for()
        assert page.url == f"{served.address}key.html", "the address still is the screen's"
        assert page.evaluate("document.activeElement.tagName") == "H1"
        served.refused.clear()
        page.locator("[data-again]").click()
        page.locator("h1.ask").wait_for()
        page.wait_for_url("**#--reach=outside,glass")
        assert page.locator("[data-answer] svg.drawing > *").count() > 0


def test_the_record_sheet_draws_an_area_as_it_nears(chromium: Any, built_guide: pathlib.Path) -> None:
    with open_page(chromium) as watched:
        page = watched.page
        page.goto(f"{built_guide.as_uri()}/record.html")
        areas = page.locator("[data-area]")
        areas.first.scroll_into_view_if_needed()
        areas.first.locator(".form svg.drawing > *").first.wait_for(state="attached")
        assert areas.last.locator(".form svg.drawing > *").count() == 0
        areas.last.scroll_into_view_if_needed()
        areas.last.locator(".form svg.drawing > *").first.wait_for(state="attached")
        assert watched.faults == []
