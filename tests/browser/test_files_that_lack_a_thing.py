"""Guides whose files lack what the demo has, each built whole: every page of them, and their key, in Chromium.

They are folders of `tests/papers/`, laid over the starter guide. A guide that lacks something else gets a line in
`GUIDES`.
"""

from __future__ import annotations

import pathlib
from typing import Any

import pytest

from tests.browser.site import open_page
from tests.papers.laid import lay

pytestmark = pytest.mark.browser

GUIDES = ("no-calendar", "by-number")


@pytest.fixture(scope="module", params=GUIDES)
def built(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> pathlib.Path:
    """A guide that lacks a thing, written out as a site."""
    out = tmp_path_factory.mktemp(str(request.param)) / "out"
    for name, content in lay(request.param, out.parent).site.items():
        (out / name).parent.mkdir(parents=True, exist_ok=True)
        (out / name).write_bytes(content)
    return out


def test_every_page_opens_without_an_error(chromium: Any, built: pathlib.Path) -> None:
    with open_page(chromium) as watched:
        for path in sorted(built.rglob("*.html")):
            watched.page.goto(path.as_uri())
            assert watched.page.locator("h1").count(), path.name
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
        while not result.is_visible() and looks < 10:
            page.locator('[data-screen="look"] .answer').nth(answer).click()
            looks += 1
        assert looks > 0
        assert "built" in result.inner_text()
        assert watched.faults == []
        assert watched.outside == []
