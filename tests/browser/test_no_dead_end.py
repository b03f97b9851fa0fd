"""A volunteer, a buyer and a registrar with a thumb on a small phone, each to the end: no screen on the way is a dead
end, and every verdict is two taps from its source."""

from __future__ import annotations

import csv
import io
import pathlib
from typing import Any

import pytest

from tests.browser.site import MIDDLE_CAR, expect
from tests.browser.test_key import Visit, asked, on_result, visit

pytestmark = pytest.mark.browser

PHONE = {"width": 360, "height": 640, "accept_downloads": True}
WAYS_ON = """() => [...document.querySelectorAll('main a[href], main button, main summary')].filter((one) => {
  const box = one.getBoundingClientRect();
  return box.width > 0 && box.height > 0 && !one.disabled; }).length"""


def tap(one: Visit, selector: str) -> None:
    """Tap what matches, having seen that the screen leads on, and that nothing on it lies outside its width."""
    one.page.locator("main h1, main h2").locator("visible=true").first.wait_for()
    one.page.wait_for_function(WAYS_ON)  # fails on a dead end
    assert not one.page.evaluate("document.documentElement.scrollWidth > innerWidth + 1"), one.page.url
    one.page.locator(selector).locator("visible=true").first.tap()


def look_around(one: Visit, found: dict[str, str], most: int = 30) -> None:
    """Answer look after look until there is a result."""
    for _ in range(most):
        if on_result(one):
            return
        before = one.page.url
        tap(one, f"[data-screen=look] [data-answer='{found.get(asked(one), 'cannot-tell')}']")
        one.page.wait_for_function("(before) => location.href !== before", arg=before)
    raise AssertionError("the key never comes to a result")


def test_a_volunteer_dates_a_car_asks_why_settles_a_doubt_and_hands_it_in(
    chromium: Any, built_guide: pathlib.Path
) -> None:
    found = {**MIDDLE_CAR, "dash-facing": "veneer", "hand": "right"}
    with visit(chromium, built_guide, **PHONE) as one:
        one.go("index.html")
        tap(one, ".doors a[href^='key.html']")
        tap(one, "[name=first-body][value=coupe]")
        tap(one, "[data-begin] [type=submit]")
        look_around(one, found)
        tap(one, ".why summary")
        tap(one, ".why a")
        tap(one, "main a[href*='sources.html#']")
        one.page.locator(":target").wait_for()  # a verdict is two taps from its source
        one.page.go_back()
        one.page.go_back()
        one.page.locator("[data-screen=result] h1").wait_for()
        # the facing would tell the key nothing more: it stands in a line that somebody sent
        one.page.goto(one.page.url.replace("&--reach", f"&dash-facing={found['dash-facing']}&--reach"))
        tap(one, "[data-settle]")
        tap(one, "[data-answer=black-leather]")
        one.page.wait_for_function("() => location.hash.includes('interior=black-leather')")
        look_around(one, found)
        assert one.page.locator("[data-settle]").count() == 0
        tap(one, "[data-keep]")
        tap(one, "[data-panel] a[href='notes.html']")
        with one.page.expect_download() as waiting:
            tap(one, "[data-csv]")
        sheet = pathlib.Path(waiting.value.path()).read_text(encoding="utf-8-sig")
        (row,) = csv.DictReader(io.StringIO(sheet))
        assert (row["body"], row["interior"]) == ("coupe", "black-leather")
        tap(one, "[data-cars] a")
        tap(one, "a.button.first")
        one.page.locator("[data-screen=result] h1").wait_for()
        one.check()


def test_a_buyer_answers_the_key_from_photographs_and_takes_a_sheet_along(
    chromium: Any, built_guide: pathlib.Path
) -> None:
    with visit(chromium, built_guide, **PHONE) as one:
        one.go("index.html")
        tap(one, ".doors a[href^='sheets.html']")
        tap(one, "[data-buy] a[href^='key.html']")
        one.page.locator("[data-begin]").wait_for()
        expect(one.page.locator("[name=reach]:checked")).to_have_count(1)
        expect(one.page.locator("[name=reach]:checked")).to_have_value("photographs")
        tap(one, "[name=first-body][value=coupe]")
        tap(one, "[data-begin] [type=submit]")
        look_around(one, MIDDLE_CAR)
        said = one.title()
        tap(one, "a[data-sheet]")
        one.page.locator("[data-title]", has_text="look").wait_for()
        assert one.page.locator("[data-when]").inner_text() == said
        tap(one, "[data-sheet] .item a")
        one.page.wait_for_url("**/marks/*")
        one.check()


def test_a_registrar_is_told_that_a_number_does_not_fit_and_finds_out_why(
    chromium: Any, built_guide: pathlib.Path
) -> None:
    with visit(chromium, built_guide, **PHONE) as one:
        one.go("index.html")
        tap(one, ".contents a[href='notes.html']")
        tap(one, "a[href='record.html']")
        one.page.fill("#car", "C1040")
        for mark, form in (
            ("switches", "symbols"),
            ("dials", "orange"),
            ("stalk", "black-symbol"),
            ("market", "home"),
            ("tail-lamps", "oblong-reverse"),
            ("horn-push", "padded"),
        ):
            box = f"[name='{mark}'][value='{form}']"
            tap(one, box)
            one.page.locator(box + ":checked").first.wait_for()  # the click comes a moment after the finger is lifted
        tap(one, "[data-record] [type=submit]")
        expect(one.page.locator("[data-told]")).to_contain_text("doesn’t fit the number C1040")
        tap(one, "[data-keep-anyway]")
        tap(one, "[data-count]")
        tap(one, "[data-cars] a")
        tap(one, "a.button.first")
        one.page.locator("[data-screen=result] h1").wait_for()
        assert "doesn’t fit the number C1040" in one.page.locator("[data-screen=result]").inner_text()
        tap(one, "a[href^='fits.html']")
        one.page.locator(".fit.differs").first.wait_for()
        tap(one, ".fit.differs a[href^='marks/']")
        tap(one, "main a[href*='sources.html#']")
        one.page.locator(":target").wait_for()
        one.check()
