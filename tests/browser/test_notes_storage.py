"""Notes where the browser will not keep them: refused, full, emptied. Nothing is lost while the page stays open."""

from __future__ import annotations

import pathlib
from typing import Any

import pytest

from guide.words.say import load_words
from tests.browser.site import Watched, open_page

pytestmark = pytest.mark.browser

WORDS = load_words("en")
RESULT = "key.html#switches=rocker&dials=black-rim&--car=C2500&--reach=glass&--at=result"

REFUSED = """
for (const kind of ["localStorage", "sessionStorage", "indexedDB"]) {
  Object.defineProperty(window, kind, { get() { throw new DOMException("insecure", "SecurityError"); } });
}
"""
# everything there is to read, nothing more to write
FULL = """
Storage.prototype.setItem = function () { throw new DOMException("full", "QuotaExceededError"); };
"""
# the store works at first and is full from the third note on
FILLING = """
const real = Storage.prototype.setItem;
Storage.prototype.setItem = function (name, text) {
  if (text.length > 900) { throw new DOMException("full", "QuotaExceededError"); }
  return real.call(this, name, text);
};
"""


def keep(watched: Watched, folder: pathlib.Path, address: str = RESULT) -> str:
    """Keep the car of a result and return what the page says of it."""
    watched.page.goto("about:blank")
    watched.page.goto(f"{folder.as_uri()}/{address}")
    watched.page.locator("[data-keep]").click()
    return str(watched.page.locator("[data-kept]").inner_text())


def downloaded(page: Any, selector: str) -> str:
    """Press something that hands over a file and return what is in it."""
    with page.expect_download() as waiting:
        page.locator(selector).first.click()
    return pathlib.Path(waiting.value.path()).read_bytes().decode("utf-8-sig")


@pytest.mark.parametrize(("script", "state"), [(REFUSED, "refused"), (FULL, "full")], ids=["refused", "full"])
def test_a_note_that_cannot_be_kept_stays_on_the_screen_and_can_be_downloaded(
    chromium: Any, built_guide: pathlib.Path, script: str, state: str
) -> None:
    with open_page(chromium, accept_downloads=True) as watched:
        watched.page.add_init_script(script)
        said = keep(watched, built_guide)
        assert said == WORDS.say(f"pages.notes.state.{state}", n=1, count=WORDS.count(1))
        watched.page.locator("#note-remarks").fill("rust, left sill")
        csv = downloaded(watched.page, "[data-panel] button.button")
        header, line, *rest = csv.splitlines()
        assert rest == []
        cells = dict(zip(header.split(","), line.replace('"rust, left sill"', "remark").split(","), strict=True))
        assert (cells["car"], cells["switches"], cells["dials"], cells["remarks"]) == (
            "C2500",
            "rocker",
            "black-rim",
            "remark",
        )
        assert watched.faults == []


@pytest.mark.parametrize("page", ["index.html", "key.html", "notes.html", "record.html", "fits.html"])
def test_every_page_works_where_nothing_may_be_stored(chromium: Any, built_guide: pathlib.Path, page: str) -> None:
    with open_page(chromium) as watched:
        watched.page.add_init_script(REFUSED)
        watched.page.goto(f"{built_guide.as_uri()}/{page}")
        assert watched.page.locator("h1:visible").count() >= 1
        watched.page.locator("[data-sun]").first.click()
        assert watched.page.locator("html").get_attribute("data-light") == "sun"
        watched.page.wait_for_url(lambda url: "light=sun" in url)  # the choice must travel in the address
        assert watched.faults == []


def test_the_record_sheet_keeps_what_is_ticked_in_the_address(chromium: Any, built_guide: pathlib.Path) -> None:
    with open_page(chromium) as watched:
        watched.page.add_init_script(REFUSED)
        watched.page.goto(f"{built_guide.as_uri()}/record.html")
        watched.page.locator("[data-mark=switches] input[value=rocker]").check()
        watched.page.locator("#car").fill("C2500")
        watched.page.locator("#car").press("Tab")
        watched.page.reload()
        assert watched.page.locator("[data-mark=switches] input[value=rocker]").is_checked()
        assert watched.page.locator("#car").input_value() == "C2500"
        watched.page.locator("[data-record] [type=submit]").click()
        assert (
            watched.page.locator("[data-told]")
            .inner_text()
            .startswith(WORDS.say("pages.notes.state.refused", n=1, count=WORDS.count(1)))
        )
        assert watched.faults == []


def test_notes_survive_a_store_that_fills_up(chromium: Any, built_guide: pathlib.Path) -> None:
    with open_page(chromium) as watched:
        watched.page.add_init_script(FILLING)
        states = [keep(watched, built_guide, RESULT.replace("C2500", f"C250{n}")) for n in range(4)]
        kept = [WORDS.say("pages.notes.state.kept", n=n, count=WORDS.count(n)) for n in (1, 2, 3)]
        assert states[0] == kept[0]
        assert states[-1] not in kept, "a full store must be said"
        watched.page.goto(f"{built_guide.as_uri()}/notes.html")
        assert watched.page.locator("[data-cars] > li").count() >= 1, "what was kept before stays"
        assert watched.faults == []


def test_an_emptied_store_is_an_empty_list_and_a_spoilt_one_harms_nothing(
    chromium: Any, built_guide: pathlib.Path
) -> None:
    with open_page(chromium) as watched:
        page = watched.page
        keep(watched, built_guide)
        page.goto(f"{built_guide.as_uri()}/notes.html")
        assert page.locator("[data-cars] > li").count() == 1
        page.evaluate("localStorage.clear(); sessionStorage.clear()")
        page.reload()
        assert page.locator("[data-cars] > li").count() == 0
        assert page.locator("[data-empty]").is_visible()
        for spoilt in ("{", "[1, null, {}]", '[{"id": "1", "changed": 1, "note": {"answers": 3}}]', '"text"'):
            page.evaluate("(text) => localStorage.setItem(guide.key.store, text)", spoilt)
            page.reload()
            assert page.locator("[data-cars] > li").count() == 0
        keep(watched, built_guide)
        page.goto(f"{built_guide.as_uri()}/notes.html")
        assert page.locator("[data-cars] > li").count() == 1
        assert watched.faults == []


def test_a_removed_note_comes_back_from_the_list_and_from_its_own_page(
    chromium: Any, built_guide: pathlib.Path
) -> None:
    with open_page(chromium) as watched:
        page = watched.page
        keep(watched, built_guide)
        page.goto(f"{built_guide.as_uri()}/notes.html")
        for way in ("list", "note"):
            if way == "note":
                page.locator("[data-cars] a.car").click()
                page.get_by_role("button", name="Remove this note").click()
            else:
                page.locator("[data-cars] button.press").click()
            page.wait_for_timeout(100)  # the browser may still be going back to the list
            assert page.locator("[data-cars] > li").count() == 0
            page.locator("[data-undo]").click()
            assert page.locator("[data-cars] > li").count() == 1
        page.locator("[data-clear]").click()
        assert page.locator("[data-cars] > li").count() == 0
        page.locator("[data-undo]").click()
        assert page.locator("[data-cars] > li").count() == 1
        assert watched.faults == []


def test_two_tabs_lose_neither_note(chromium: Any, built_guide: pathlib.Path) -> None:
    with open_page(chromium) as watched:
        one = watched.page
        one.goto(f"{built_guide.as_uri()}/{RESULT}")
        other = one.context.new_page()
        other.goto(f"{built_guide.as_uri()}/{RESULT.replace('C2500', 'C2501')}")
        one.locator("[data-keep]").click()
        other.locator("[data-keep]").click()
        one.goto(f"{built_guide.as_uri()}/notes.html")
        names = one.locator("[data-cars] b").all_inner_texts()
        assert sorted(names) == ["C2500", "C2501"]
