"""On the smallest of telephones: no word is broken, the next step is in sight, one thing is said once."""

from __future__ import annotations

import pathlib
from typing import Any

from tests.browser.site import go, open_page

BROKEN = """() => [...document.querySelectorAll('.card .says')].filter((says) => {
  const range = document.createRange(), text = says.firstChild;
  return [...text.data.matchAll(/[^\\s-]+/g)].some((word) => {
    range.setStart(text, word.index); range.setEnd(text, word.index + word[0].length);
    return new Set([...range.getClientRects()].map((box) => Math.round(box.top))).size > 1;
  }) || says.scrollWidth > says.clientWidth + 1;
}).map((says) => says.textContent)"""


def test_the_card_breaks_no_word_and_says_why_it_does_not_begin_at_nought(
    chromium: Any, faced_guide: pathlib.Path
) -> None:
    with open_page(chromium, width=360, height=640) as opened:
        page = opened.page
        go(page, faced_guide, "card.html")
        assert page.evaluate(BROKEN) == []
        assert "more cars were built in some than in others" in page.locator(".sheet-head .on-screen").inner_text()
        assert "1967–68" in page.locator(".sums .each").nth(1).text_content(), "a period is named with its dates"
        bar = page.locator(".sums").bounding_box()
        assert bar is not None
        assert bar["height"] < 640 / 4, bar


def test_a_result_says_one_thing_once_and_its_next_step_is_in_sight(chromium: Any, built_guide: pathlib.Path) -> None:
    looks = "switches=rocker&horn-push=crest&tail-lamps=round&--reach=glass&--at=result"
    odd = "--car=C2500&switches=toggle&horn-push=padded&tail-lamps=round&--reach=glass&--at=result"
    with open_page(chromium, width=360, height=640) as opened:
        page = opened.page
        for address in (looks, odd):
            go(page, built_guide, f"key.html#{address}")
            step = page.locator("[data-more]").bounding_box()
            assert step is not None
            assert step["y"] + step["height"] <= 640
            parts = [one.get_attribute("aria-label") for one in page.get_by_role("link", name="Change").all()]
            assert len(parts) == len(set(parts)) == 3, "each part stands in one place"
            page.goto("about:blank")
