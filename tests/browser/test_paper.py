"""On paper every kind of page is dark letters on white ground, whatever the light on the screen was."""

from __future__ import annotations

import pathlib
from typing import Any

import pytest

from tests.browser.site import go, open_page, probe, samples

pytestmark = pytest.mark.browser

LIGHTS = {"light": ("light", ""), "dark": ("dark", ""), "bright sun": ("dark", "light=sun")}
FAULTY = """<body style="background: #171614; color: #efeae0"><p>pale on dark</p>
<p style="background: #fff; color: #000">dark on white</p>"""


def test_what_is_planted_is_found(chromium: Any) -> None:
    with open_page(chromium) as opened:
        opened.page.set_content(FAULTY)
        assert [one.split(":")[0] for one in probe(opened.page, "unprinted")] == [
            "ground rgb(23, 22, 20)",
            "letters rgb(239, 234, 224)",
        ]


@pytest.mark.parametrize("light", LIGHTS)
def test_every_kind_of_page_is_dark_on_white_on_paper(chromium: Any, built_guide: pathlib.Path, light: str) -> None:
    scheme, query = LIGHTS[light]
    found = {}
    with open_page(chromium, color_scheme=scheme) as opened:
        opened.page.emulate_media(media="print", color_scheme=scheme)
        for address in samples(built_guide, longest=False):
            page, mark, place = address.partition("#")
            sign = "&" if "?" in page else "?"
            go(opened.page, built_guide, f"{page}{sign}{query}{mark}{place}" if query else address)
            if said := probe(opened.page, "unprinted"):
                found[address] = said
        assert opened.faults == []
    assert found == {}
