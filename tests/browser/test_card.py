"""The walk-round card for those who hear the screen: its sums beside the periods, with scripts and without.

The sums are counted by a style sheet. Browsers give such a figure to a screen reader as text of its own, but leave
it out of the name of a link it stands in, and announce no change of it; what is held here is measured in the
tree that the browser hands to screen readers.
"""

from __future__ import annotations

import pathlib
from typing import Any

import pytest

from tests.browser.site import go, open_page

pytestmark = pytest.mark.browser

GROUP = "Points so far"


def heard(page: Any, group: str) -> list[str]:
    """Return what a screen reader reads in a group, in order: links by their names, and text."""
    session = page.context.new_cdp_session(page)
    session.send("Accessibility.enable")
    nodes = {node["nodeId"]: node for node in session.send("Accessibility.getFullAXTree")["nodes"]}
    (top,) = (node for node in nodes.values() if not node["ignored"] and node["name"]["value"] == group)
    read: list[str] = []

    def walk(node: Any) -> None:
        role = node.get("role", {}).get("value")
        if not node["ignored"] and role in ("link", "button", "StaticText"):
            read.append(node["name"]["value"].strip())
            return
        for child in node["childIds"]:
            walk(nodes[child])

    walk(top)
    return [text for text in read if text]


def added(page: Any) -> tuple[list[int], list[str]]:
    """Press an answer to every part but the last; return the sums that paper would give, and the periods."""
    sums = [int(text) for text in page.locator(".begin .points b").all_text_contents()]
    parts = page.locator(".card fieldset")
    for at in range(parts.count() - 1):
        answers = parts.nth(at).locator(".answer:not(.none)")
        chosen = answers.nth(at % answers.count())
        chosen.locator("input").check()
        points = [int(text) for text in chosen.locator(".points b").all_text_contents()]
        sums = [total + more for total, more in zip(sums, points, strict=True)]
    return sums, page.locator(".sums a").all_text_contents()


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no scripts"])
def test_each_sum_is_read_beside_its_period(chromium: Any, built_guide: pathlib.Path, scripts: bool) -> None:
    with open_page(chromium, java_script_enabled=scripts) as opened:
        go(opened.page, built_guide, "card.html")
        sums, periods = added(opened.page)
        assert len(set(sums)) > 2
        expected = [text for name, points in zip(periods, sums, strict=True) for text in (name, str(points))]
        assert heard(opened.page, GROUP) == [*expected, "Next car"]
        assert opened.faults == []


def test_a_period_has_its_years_on_a_small_phone(chromium: Any, built_guide: pathlib.Path) -> None:
    with open_page(chromium, width=360, height=640) as opened:
        go(opened.page, built_guide, "card.html")
        boxes = [years.bounding_box() for years in opened.page.locator(".sums small").all()]
        assert len(boxes) == 5
        assert min(box["width"] for box in boxes if box) > 20
        assert len({box["y"] for box in boxes if box}) == 1, "all in one row"


def test_the_sums_are_announced_as_they_change(chromium: Any, built_guide: pathlib.Path) -> None:
    with open_page(chromium) as opened:
        page = opened.page
        go(page, built_guide, "card.html")
        said = page.get_by_role("status").filter(has_not=page.locator("button"))
        assert page.locator("[data-heard]").inner_text() == "", "nothing is said before anything is pressed"
        sums, periods = added(page)
        wanted = " ".join(f"{name}: {points}." for name, points in zip(periods, sums, strict=True))
        assert said.last.inner_text() == wanted
        page.get_by_role("button", name="Next car").click()
        start = page.locator(".begin .points b").all_text_contents()
        wanted = " ".join(f"{name}: {points}." for name, points in zip(periods, start, strict=True))
        page.wait_for_function("(wanted) => document.querySelector('[data-heard]').textContent === wanted", arg=wanted)
        assert opened.faults == []


def test_the_whole_cell_leads_to_the_period_and_the_card_can_be_printed(
    chromium: Any, built_guide: pathlib.Path
) -> None:
    with open_page(chromium) as opened:
        page = opened.page
        go(page, built_guide, "card.html")
        page.evaluate("window.print = () => { window.printed = true; }")
        page.get_by_role("button", name="Print the card").click()
        assert page.evaluate("window.printed") is True
        figure = page.locator(".sums .sum-2").bounding_box()
        page.mouse.click(figure["x"] + figure["width"] / 2, figure["y"] + 10)
        page.wait_for_url("**/periods/*.html")
