"""Bright sun and larger text: chosen in the same corner of every screen, they go along from page to page."""

from __future__ import annotations

import pathlib
from collections.abc import Iterator
from typing import Any

import pytest

from tests.browser.site import Watched, open_page, serve

pytestmark = pytest.mark.browser

REFUSED = """Object.defineProperty(window, "localStorage", {get() { throw new Error("refused"); }});"""


@pytest.fixture
def phone(chromium: Any) -> Iterator[Watched]:
    """A phone; whatever nobody should meet fails the test."""
    with open_page(chromium, has_touch=True) as watched:
        yield watched
        assert watched.faults == []
        assert watched.outside == []


def light(page: Any) -> str | None:
    value = page.evaluate("document.documentElement.getAttribute('data-light')")
    return None if value is None else str(value)


def test_bright_sun_is_in_the_same_corner_of_every_screen(phone: Watched, built_guide: pathlib.Path) -> None:
    places = {}
    for name in sorted(path.name for path in built_guide.glob("*.html")):
        phone.page.goto(f"{built_guide.as_uri()}/{name}")
        box = phone.page.evaluate("document.querySelector('[data-sun]')?.getBoundingClientRect().toJSON()")
        if box:  # a page that only leads on to another has none
            places[name] = (round(390 - box["x"] - box["width"]), round(box["width"]), box["y"] + box["height"] <= 60)
    assert len(places) > 10
    assert len(set(places.values())) == 1, "the words themselves should stand in one place"
    assert places["index.html"][::2] == (16, True)


def test_bright_sun_follows_from_page_to_page_opened_from_a_disk_and_goes_again(
    phone: Watched, built_guide: pathlib.Path
) -> None:
    page = phone.page
    page.goto(f"{built_guide.as_uri()}/index.html")
    page.locator("[data-sun]").click()
    assert light(page) == "sun"
    page.locator(".doors a").first.click()
    page.wait_for_url("**/key.html?light=sun")
    assert (light(page), page.locator("[data-sun]").get_attribute("aria-pressed")) == ("sun", "true")
    page.get_by_role("button", name="Start looking").click()
    page.locator('[data-screen="look"] .answer').first.click()
    assert light(page) == "sun"
    page.locator("[data-sun]").click()
    page.goto(f"{built_guide.as_uri()}/timeline.html")
    assert light(page) == "plain"


def test_bright_sun_is_remembered_by_a_hosted_guide_without_showing_in_the_address(
    phone: Watched, built_guide: pathlib.Path
) -> None:
    with serve(built_guide) as address:
        phone.page.goto(f"{address}index.html")
        phone.page.locator("[data-sun]").click()
        phone.page.locator(".doors a").first.click()
        phone.page.wait_for_url("**/key.html")
        assert light(phone.page) == "sun"


def test_larger_text_follows_from_page_to_page_beside_bright_sun(phone: Watched, built_guide: pathlib.Path) -> None:
    def size(page: Any) -> float:
        return float(page.evaluate("parseFloat(getComputedStyle(document.documentElement).fontSize)"))

    page = phone.page
    page.goto(f"{built_guide.as_uri()}/index.html")
    assert size(page) == 16
    page.get_by_role("button", name="Larger text").click()
    page.locator("[data-sun]").click()
    either = ("index.html?text=large&light=sun", "index.html?light=sun&text=large")
    page.wait_for_url(lambda url: url.endswith(either))
    page.locator(".doors a").first.click()
    page.wait_for_url("**/key.html?*")
    assert size(page) == pytest.approx(20.8)
    assert light(page) == "sun"
    assert page.get_by_role("button", name="Larger text").get_attribute("aria-pressed") == "true"
    page.get_by_role("button", name="Larger text").click()
    page.goto(f"{built_guide.as_uri()}/timeline.html?light=sun&text=plain")
    assert (size(page), light(page)) == (16, "sun"), "each goes by itself"
    page.goto(f"{built_guide.as_uri()}/timeline.html?text=large")
    page.emulate_media(media="print")
    assert size(page) == pytest.approx(14), "a print is as it was"
    with serve(built_guide) as address:
        page.emulate_media(media="screen")
        page.goto(f"{address}index.html")
        page.get_by_role("button", name="Larger text").click()
        page.locator(".doors a").first.click()
        page.wait_for_url("**/key.html")
        assert size(page) == pytest.approx(20.8), "a hosted guide remembers it, and nothing shows in the address"


@pytest.mark.parametrize("width", [360, 390])
def test_larger_text_leaves_the_first_answer_in_sight_above_a_bar_of_one_line(
    chromium: Any, built_guide: pathlib.Path, width: int
) -> None:
    with open_page(chromium, width=width, height=640) as opened:
        page = opened.page
        page.goto(f"{built_guide.as_uri()}/key.html?text=large#--reach=outside,glass,door")
        back, sun, answer, tell, other = (
            page.locator(one).first.bounding_box()
            for one in (".back", "[data-sun]", ".answer", "[data-dock] > .button", "[data-dock] > .else")
        )
        assert back["y"] + back["height"] > sun["y"], "the head is one line"
        assert tell["y"] == other["y"], "and so is the bar"
        assert answer["y"] + answer["height"] <= tell["y"], "which covers nothing of the first answer"


def test_bright_sun_goes_along_in_the_address_where_nothing_is_kept(chromium: Any, built_guide: pathlib.Path) -> None:
    with serve(built_guide) as address, open_page(chromium) as watched:
        watched.page.add_init_script(REFUSED)
        watched.page.goto(f"{address}search.html?q=switch")
        watched.page.locator("[data-sun]").click()
        watched.page.wait_for_url(lambda url: url.endswith("?q=switch&light=sun"))
        watched.page.locator("form[role=search]:visible, main form").first.locator("input").first.press("Enter")
        watched.page.wait_for_url("**/search.html?*light=sun*")
        assert light(watched.page) == "sun"
