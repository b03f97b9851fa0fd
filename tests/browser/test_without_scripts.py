"""Scripts off: every page can be read and left again, and the walk-round card adds itself up."""

from __future__ import annotations

import pathlib
from typing import Any

import pytest

from tests.browser.site import go, open_page, samples

pytestmark = pytest.mark.browser

# what is shown with scripts only, and what says so where a page can do nothing without them
READ = """
({ title: document.title, headings: [...document.querySelectorAll("h1")].filter((one) => one.checkVisibility()).length,
   words: document.querySelector("main").innerText.trim().split(/\\s+/).length,
   ways: [...document.querySelectorAll("a[href]:not(.skip)")].filter((one) => one.checkVisibility()).length })
"""


def laid_out(page: Any) -> list[str]:
    """Return every piece of text as it is laid out, what CSS makes included."""
    snapshot = page.context.new_cdp_session(page).send("DOMSnapshot.captureSnapshot", {"computedStyles": []})
    return [snapshot["strings"][at] for at in snapshot["documents"][0]["layout"]["text"] if at >= 0]


def shown(page: Any, periods: int) -> list[int]:
    """Return the sums in the bar, one for each period: the last numbers of the page."""
    return [int(text) for text in laid_out(page) if text.strip().isdigit()][-periods:]


def test_every_page_can_be_read_and_left(chromium: Any, built_guide: pathlib.Path) -> None:
    poor = {}
    with open_page(chromium, java_script_enabled=False) as opened:
        for address in samples(built_guide):
            go(opened.page, built_guide, address)
            seen = opened.page.evaluate(READ)
            if not (seen["title"] and seen["headings"] == 1 and seen["words"] >= 8 and seen["ways"]):
                poor[address] = seen
        assert opened.faults == []
    assert poor == {}


def test_the_card_adds_itself_up(chromium: Any, built_guide: pathlib.Path) -> None:
    """The sums that CSS counters show are the sums of the points that the paper card prints."""
    with open_page(chromium, java_script_enabled=False) as opened:
        page = opened.page
        go(page, built_guide, "card.html")
        start = [int(text) for text in page.locator(".begin .points b").all_text_contents()]
        sums = list(start)
        assert shown(page, len(start)) == sums
        parts = page.locator(".card fieldset")
        assert parts.count() >= 10
        for at in range(parts.count()):
            answers = parts.nth(at).locator(".answer:not(.none)")
            chosen = answers.nth(at % answers.count())
            chosen.locator("input").check()
            points = [int(text) for text in chosen.locator(".points b").all_text_contents()]
            sums = [total + more for total, more in zip(sums, points, strict=True)]
        assert shown(page, len(start)) == sums
        assert len(set(sums)) > 1
        parts.first.locator(".none input").check()
        taken_back = shown(page, len(start))
        assert taken_back != sums
        page.locator(".card [type=reset]").click()
        assert shown(page, len(start)) == start
        assert opened.faults == []
