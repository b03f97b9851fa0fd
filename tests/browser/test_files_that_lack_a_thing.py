"""Guides whose files lack what the demo has, each built whole: every page of them, and their key, in Chromium.

They are folders of `tests/papers/`, laid over the starter guide. A guide that lacks something else gets a line in
`GUIDES`.
"""

from __future__ import annotations

import pathlib
from typing import Any

import pytest

from tests.browser.site import open_page, settle
from tests.papers.laid import lay

pytestmark = [pytest.mark.browser, pytest.mark.long]

GUIDES = (
    "no-calendar",
    "by-number",
    "second-numbers",
    "kits",
    "no-pictures",
    "no-series",
    "no-periods",
    "no-interiors",
    "rival-ends",  # a stray after the end of production, and one without a date
    "first-numbers",  # runs without ends, dated cars
    "model-years",
)


@pytest.fixture(scope="module", params=GUIDES)
def built(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> pathlib.Path:
    """A guide that lacks a thing, written out as a site."""
    return write(request.param, tmp_path_factory)


def write(guide: str, tmp_path_factory: pytest.TempPathFactory) -> pathlib.Path:
    out = tmp_path_factory.mktemp(guide) / "out"
    for name, content in lay(guide, out.parent).site.items():
        (out / name).parent.mkdir(parents=True, exist_ok=True)
        (out / name).write_bytes(content)
    return out


def test_every_page_opens_without_an_error(chromium: Any, built: pathlib.Path) -> None:
    with open_page(chromium) as watched:
        for path in sorted(built.rglob("*.html")):
            if 'http-equiv="refresh"' in path.read_text(encoding="utf-8"):
                continue  # it only leads on
            watched.page.goto(path.as_uri())
            assert watched.page.evaluate("document.querySelectorAll('h1').length"), path.name
        assert watched.faults == []
        assert watched.outside == []


@pytest.mark.parametrize("answer", [0, -1])
def test_the_key_runs_to_a_date_without_an_error(chromium: Any, built: pathlib.Path, answer: int) -> None:
    """The first answer to every question, and the last, after which the key says what it makes of them."""
    with open_page(chromium, has_touch=True) as watched:
        page = watched.page
        page.goto(f"{built.as_uri()}/key.html#--reach=outside,glass,door,seat,bonnet,hands")
        page.reload()
        result, looks = page.locator('[data-screen="result"]'), 0
        settle(page)
        while not result.is_visible() and looks < 10:
            page.locator('[data-screen="look"] .answer').nth(answer).click()
            settle(page)
            looks += 1
        assert looks > 0
        assert "built" in result.inner_text()
        assert watched.faults == []
        assert watched.outside == []


@pytest.fixture(scope="module")
def second_numbers(tmp_path_factory: pytest.TempPathFactory) -> pathlib.Path:
    return write("second-numbers", tmp_path_factory)


def test_each_kind_of_number_has_its_field(chromium: Any, second_numbers: pathlib.Path) -> None:
    with open_page(chromium) as watched:
        page = watched.page
        page.goto(f"{second_numbers.as_uri()}/key.html")
        page.get_by_label("Its body number").fill("b 9999")
        assert "b 9999" in page.locator("#car-reply").inner_text()
        page.locator("#car").fill("s600")
        page.get_by_label("Its body number").fill("b0640")
        assert page.locator("#car-reply").inner_text() == ""
        page.locator('[data-begin] button[type="submit"]').click()
        page.wait_for_url(lambda url: "--car=s600+b0640" in url)
        page.goto(page.url.split("#")[0] + "#--car=S600&--car=B0640&--at=result")
        page.reload()
        assert "11 December\u00a01961" in page.locator('[data-screen="result"]').inner_text()
        page.goto(page.url.split("#")[0] + "#--car=B0640+S600&--at=begin")
        page.reload()
        assert (page.locator("#car").input_value(), page.get_by_label("Its body number").input_value()) == (
            "S600",
            "B0640",
        )
        assert watched.faults == []


def test_a_further_number_is_looked_up_and_held_as_any_other(chromium: Any, second_numbers: pathlib.Path) -> None:
    with open_page(chromium) as watched:
        page = watched.page
        page.goto(f"{second_numbers.as_uri()}/search.html")
        page.locator('main input[type="search"]').fill("b 0640")
        page.locator('main input[type="search"]').press("Enter")
        assert "Body number" in page.locator("section.car").inner_text()
        for page_with_a_car in ("fits", "sheet", "key"):
            address = page.locator(f'section.car a[href^="{page_with_a_car}"]')
            if address.count():
                page.goto(f"{second_numbers.as_uri()}/{address.get_attribute('href')}")
                page.go_back()
        page.goto(f"{second_numbers.as_uri()}/marks/door-handle.html")
        page.locator("#your-number").fill("B0100")
        page.locator("#your-number").press("Enter")
        assert "lever" in page.locator("[data-expect-says]").inner_text()
        assert watched.faults == []
