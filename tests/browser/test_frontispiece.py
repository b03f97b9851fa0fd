"""The car drawn on the start page: every number leads to its part, from the drawing and from the list beside it."""

from __future__ import annotations

import pathlib
from typing import Any

import pytest

from tests.browser.site import go, open_page

pytestmark = pytest.mark.browser


def test_every_number_leads_to_its_part(chromium: Any, built_guide: pathlib.Path) -> None:
    with open_page(chromium) as opened:
        go(opened.page, built_guide, "index.html")
        drawn, listed = opened.page.evaluate("""() => ["svg a", "figcaption a"].map((which) =>
            Array.from(document.querySelectorAll(".frontispiece " + which)).map((one) => one.getAttribute("href")))""")
        assert len(drawn) == len(set(drawn)) == len(listed)
        assert sorted(drawn) == sorted(listed)
        assert all((built_guide / one).is_file() for one in drawn)
        opened.page.locator(".frontispiece svg a[href='marks/dials.html'] .hit").click()
        opened.page.wait_for_url("**/marks/dials.html")


@pytest.mark.parametrize("width", [390, 1280])
def test_numbers_are_large_enough_to_touch_and_keep_apart(chromium: Any, built_guide: pathlib.Path, width: int) -> None:
    """24 CSS pixels, or that much room around it: WCAG 2.2, 2.5.8; the list beside has links of 44."""
    with open_page(chromium, width=width) as opened:
        go(opened.page, built_guide, "index.html")
        boxes = opened.page.evaluate("""() => Array.from(document.querySelectorAll(".frontispiece svg")).map((svg) =>
            Array.from(svg.querySelectorAll("text")).map((one) => {
              const box = one.getBoundingClientRect();
              return [box.left + box.width / 2, box.top + box.height / 2, box.height];
            }))""")
        for plate in boxes:
            for at, (across, down, tall) in enumerate(plate):
                assert tall >= 12
                near = [abs(one[1] - down) for one in plate[:at] if abs(one[0] - across) < 24]
                assert min(near, default=24) >= 20


def test_beside_the_doors_on_a_desk_and_under_them_on_a_phone(chromium: Any, built_guide: pathlib.Path) -> None:
    where = {}
    for width in (390, 1280):
        with open_page(chromium, width=width) as opened:
            go(opened.page, built_guide, "index.html")
            where[width] = opened.page.evaluate("""() => {
              const [drawn, doors] = [".frontispiece", ".doors"].map(
                (one) => document.querySelector(one).getBoundingClientRect());
              return [drawn.left >= doors.right, drawn.top >= doors.bottom];
            }""")
    assert where == {390: [False, True], 1280: [True, False]}
