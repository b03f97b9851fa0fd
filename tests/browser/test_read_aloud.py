"""A screen reader's walk of the key in Chromium's accessibility tree: what is met, in which order, how it is called.

The walk, written down: the way back is named by where it leads, larger text and bright sun tell whether they are on,
what is known so far is a link to the result; the question is the one heading; each answer is a button named by its
words alone, its figure and its drawing unsaid; after them stand *Can't tell* and *Something else*. One polite status
tells the span after each answer, and nothing else speaks by itself.
"""

from __future__ import annotations

import pathlib
from typing import Any

from tests.browser.site import go, open_page

MET = ("button", "link", "heading", "DisclosureTriangle")


def walked(page: Any) -> tuple[list[tuple[str, str]], list[str]]:
    """Return what one meets, role and name in reading order, and the politeness of what speaks by itself."""
    session = page.context.new_cdp_session(page)
    session.send("Accessibility.enable")
    nodes = {node["nodeId"]: node for node in session.send("Accessibility.getFullAXTree")["nodes"]}
    met: list[tuple[str, str]] = []
    live: list[str] = []

    def walk(node: Any) -> None:
        role = node.get("role", {}).get("value")
        if not node["ignored"]:
            if role in MET:
                met.append((role, node["name"]["value"].replace("\u00a0", " ")))
            live.extend(one["value"]["value"] for one in node.get("properties", ()) if one["name"] == "live")
        for child in node.get("childIds", ()):
            if child in nodes:
                walk(nodes[child])

    walk(next(node for node in nodes.values() if "parentId" not in node))
    return met, live


def test_the_key_is_read_as_it_is_written_down(chromium: Any, built_guide: pathlib.Path) -> None:
    with open_page(chromium) as opened:
        page = opened.page
        go(page, built_guide, "key.html#--reach=glass&--look=switches")
        page.locator(".plates li").first.wait_for()
        met, live = walked(page)
        assert [one for one in met if one[0] == "heading"] == [("heading", "What do the small switches look like?")]
        at = met.index(("heading", "What do the small switches look like?"))
        assert [name for _, name in met[:at]] == [
            "To the page itself",
            "Back to Start",
            "Larger text",
            "Bright sun",
            "So far it fits anything from December 1967 to September 1972.",
        ]
        assert met[at + 1 : at + 6] == [
            ("button", "Round metal toggles"),
            ("button", "Flat black rockers, no signs"),
            ("button", "Black rockers with small white signs"),
            ("button", "Can’t tell"),
            ("DisclosureTriangle", "Something else"),
        ]
        assert live == ["polite"]
        page.get_by_role("button", name="Flat black rockers, no signs").click()
        page.locator("[role=status]", has_text="So far").first.wait_for(state="attached")
        go(page, built_guide, "key.html#switches=rocker&--reach=glass&--at=result")
        page.locator("[data-more]").wait_for()
        met, _ = walked(page)
        names = [name for _, name in met]
        assert names.index("Next look: Dash finish") < names.index("Why?") < names.index("Keep a note of this car")
        assert ("link", "Change Small switches") in met
        assert opened.faults == []
