"""On the smallest of telephones: no word is broken, the next step is in sight, one thing is said once."""

from __future__ import annotations

import pathlib
from typing import Any

from tests.browser.site import go, open_page

LOOKS = "switches=rocker&horn-push=crest&tail-lamps=round&--reach=glass&--at=result"
ODD = "--car=C2500&switches=toggle&horn-push=padded&tail-lamps=round&--reach=glass&--at=result"
TWO_DOUBTS = "--car=C1217&switches=symbols&dials=orange&horn-push=padded&--reach=outside,glass,door,seat&--at=result"
APART = ["Small switches: Toggles", "Horn button: Padded centre"]
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
    with open_page(chromium, width=360, height=640) as opened:
        page = opened.page
        for address in (LOOKS, ODD):
            go(page, built_guide, f"key.html#{address}")
            step = page.locator("[data-more]").bounding_box()
            assert step is not None
            assert step["y"] + step["height"] <= 640
            parts = [one.get_attribute("aria-label") for one in page.get_by_role("link", name="Change").all()]
            assert len(parts) == len(set(parts)) == 3, "each part stands in one place"
            page.goto("about:blank")
        go(page, built_guide, f"key.html#{TWO_DOUBTS}")
        step = page.locator("[data-more]").bounding_box()
        assert step is not None
        assert step["y"] + step["height"] <= 640
        assert page.locator("[data-screen=result] .said").count() == 2


BARS = """() => [...document.querySelectorAll('.look-lines li')].map((row) => {
  const box = (one) => { const at = one.getBoundingClientRect(); return [at.left, at.right]; };
  const drawn = row.querySelector('.thin'), behind = [...drawn.querySelectorAll('.behind')].map(box);
  const says = row.querySelector('span').textContent;
  return { says, axis: box(drawn), behind, bar: box(drawn.querySelector('.look-bar')) };
})"""


def test_under_the_scale_of_a_result_one_thin_bar_for_the_number_and_for_each_look(
    chromium: Any, built_guide: pathlib.Path
) -> None:
    with open_page(chromium, width=360, height=640) as opened:
        page = opened.page
        for address, number in ((LOOKS, 0), (ODD, 1)):
            go(page, built_guide, f"key.html#{address}")
            folded = page.locator(".look-lines")
            assert folded.get_attribute("open") is None, "it would push the next step off the screen"
            folded.locator("summary").click()
            rows = page.evaluate(BARS)
            assert len(rows) == number + 3
            assert rows[0]["says"].startswith("C2500, ") == bool(number)
            scale = page.locator(".build-line:not(.thin)").first.bounding_box()
            assert scale is not None
            for row in rows:
                assert row["axis"] == [scale["x"], scale["x"] + scale["width"]], "the axis is that of the scale above"
                assert row["axis"][0] <= row["bar"][0] < row["bar"][1] <= row["axis"][1]
            (behind,) = rows[0]["behind"]
            assert all(row["behind"] == [behind] for row in rows)
            beside = [row["says"] for row in rows if row["bar"][0] >= behind[1] or row["bar"][1] <= behind[0]]
            assert [one.rpartition(", ")[0] for one in beside] == APART * number, "they are of another time"
            page.goto("about:blank")
    with open_page(chromium, width=1280, height=900) as opened:
        go(opened.page, built_guide, f"key.html#{LOOKS}")
        assert opened.page.locator(".look-lines").get_attribute("open") == "", "where there is room it is unfolded"
