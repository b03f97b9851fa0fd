"""A photograph is larger on press, with a keyboard too, and without scripts its link leads to it."""

from __future__ import annotations

import pathlib
from typing import Any

import pytest

from guide.command.main import main
from tests.browser.site import open_page, serving
from tests.browser.test_offline import wait_told
from tests.press.test_pictures import with_pictures

pytestmark = pytest.mark.browser
PAGE = "marks/roof-lamp.html"


@pytest.fixture(scope="module")
def pictured(tmp_path_factory: pytest.TempPathFactory) -> pathlib.Path:
    """The small guide with photographs, made."""
    folder = tmp_path_factory.mktemp("pictured")
    assert main(["--content", str(with_pictures(folder)), "--out", str(folder / "out")]) == 0
    return folder / "out"


def test_a_photograph_opens_over_the_page_and_closes_again(chromium: Any, pictured: pathlib.Path) -> None:
    with open_page(chromium) as watched:
        page = watched.page
        page.goto((pictured / PAGE).as_uri())
        link = page.locator("a[data-larger]").first
        assert link.bounding_box()["height"] > 44
        link.focus()
        page.keyboard.press("Enter")
        large = page.locator("dialog[open] img")
        large.wait_for()
        page.wait_for_function("document.querySelector('dialog img').naturalWidth === 1600")
        assert large.get_attribute("alt") == "A round lamp lit in a dark car."
        assert page.evaluate("document.documentElement.scrollWidth") <= 390
        page.keyboard.press("Escape")
        page.locator("dialog").wait_for(state="detached")
        assert page.evaluate("document.activeElement.matches('a[data-larger]')")
        link.click()
        page.get_by_role("button", name="Close").click()
        page.locator("dialog").wait_for(state="detached")
        assert watched.faults == []
        assert page.url.endswith(PAGE)


def test_a_narrow_screen_fetches_the_narrow_picture(chromium: Any, pictured: pathlib.Path) -> None:
    with open_page(chromium, java_script_enabled=False) as watched:
        page = watched.page
        page.goto((pictured / PAGE).as_uri())
        page.locator("a[data-larger] img").first.scroll_into_view_if_needed()
        page.locator("a[data-larger] img").first.evaluate("(one) => one.decode()")
        fetched = {url.rpartition("/")[2] for url in watched.requests if "/pictures/" in url}
        narrow = {part.split()[0].rpartition("/")[2] for part in _sets(pictured)[0::3]}
        assert fetched
        assert fetched <= narrow
        page.locator("a[data-larger]").first.click()
        page.wait_for_url("**/pictures/*")


def _sets(out: pathlib.Path) -> list[str]:
    text = (out / PAGE).read_text(encoding="utf-8")
    return [one for part in text.split('srcset="')[1:] for one in part.partition('"')[0].split(", ")]


def test_what_is_handed_over_works_in_a_folder_of_a_host_and_without_a_signal(
    chromium: Any, tmp_path: pathlib.Path
) -> None:
    """`publish` into a folder that a host serves below its top; the whole guide is held, and opens from there."""
    content, to = with_pictures(tmp_path), tmp_path / "host" / "club" / "tern"
    with (content / "guide.yml").open("a", encoding="utf-8") as file:
        file.write("address: https://example.org/club/tern/\n")
    assert main(["publish", str(to), "--content", str(content)]) == 0
    with serving(tmp_path / "host") as served, open_page(chromium) as watched:
        page = watched.page
        page.goto(served.address + "club/tern/")
        wait_told(page, "held")
        served.refused |= {path.relative_to(tmp_path / "host").as_posix() for path in to.rglob("*")} | {"club/tern/"}
        for name in ("", PAGE, "key.html", "404.html"):
            page.goto(served.address + "club/tern/" + name)
            assert page.locator("h1:visible").count() == 1, name
        page.locator("a[href$='index.html']").first.click()
        page.wait_for_url("**/club/tern/index.html")
        assert watched.outside == []
