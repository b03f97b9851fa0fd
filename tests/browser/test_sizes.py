"""Sizes, and what people ask their devices for: large text, a narrow screen, thumbs, stillness, their own colours.

WCAG 2.2: text at 200 % (1.4.4), 320 CSS pixels wide (1.4.10), targets of 44 pixels (2.5.5, which is AAA, because
a thumb in the sun is not a mouse), non-text contrast in forced colours (1.4.11).
"""

from __future__ import annotations

import pathlib
from typing import Any

import pytest

from tests.browser.site import go, kinds, open_page, probe, samples

pytestmark = pytest.mark.browser

PAPER = 703  # the width of A4 within margins of 12 mm, in CSS pixels

FAULTY = """<style>p { transition: color 1s } .answer { color: CanvasText; background: CanvasText }</style>
<p>x</p><button>y</button><div style="width: 3000px">z</div><b class="answer">w</b>
<div style="width: 20px; overflow: hidden">unbreakable</div>"""


def test_what_is_planted_is_found(chromium: Any) -> None:
    with open_page(chromium, forced_colors="active") as opened:
        opened.page.set_content(FAULTY)
        assert len(probe(opened.page, "small")) == 1
        assert [one.split(":")[0] for one in probe(opened.page, "lost")] == ["scrolls sideways", "cut off"]
        assert len(probe(opened.page, "moving")) == 1
        assert [one.split(":")[0] for one in probe(opened.page, "faded")] == ["not to be seen"]


def over_all(
    chromium: Any, out: pathlib.Path, name: str, addresses: list[str], before: str = "0", **options: Any
) -> dict[str, Any]:
    """Return what a probe finds on the pages named, by address; ``before`` is run in each page first."""
    found = {}
    with open_page(chromium, **options) as opened:
        for address in addresses:
            go(opened.page, out, address)
            opened.page.evaluate(before)
            if said := probe(opened.page, name):
                found[address] = said
        assert opened.faults == []
    return found


def test_everything_to_press_is_large_enough_for_a_thumb(chromium: Any, faced_guide: pathlib.Path) -> None:
    """Beside a car and elsewhere; links within a sentence apart, as the criterion has it."""
    assert over_all(chromium, faced_guide, "small", samples(faced_guide)) == {}


def test_text_twice_as_large_loses_nothing(chromium: Any, faced_guide: pathlib.Path) -> None:
    larger = "document.documentElement.style.fontSize = '200%'"
    assert over_all(chromium, faced_guide, "lost", samples(faced_guide), larger, width=640, height=900) == {}


def test_the_head_of_a_page_holds_on_a_phone_with_text_twice_as_large(chromium: Any, faced_guide: pathlib.Path) -> None:
    with open_page(chromium) as opened:
        for address in ("a-to-z.html", "search.html", "search.html?q=switches"):
            go(opened.page, faced_guide, address)
            opened.page.evaluate("document.documentElement.style.fontSize = '200%'")
            assert probe(opened.page, "lost") == [], address
            crossed = opened.page.evaluate("""() => {
              const boxes = Array.from(document.querySelectorAll(".running-head :is(a, button, input)")).filter(
                (one) => one.checkVisibility({ visibilityProperty: true })).map((one) => {
                  const range = document.createRange();
                  range.selectNodeContents(one);
                  return one.matches("input") ? one.getBoundingClientRect() : range.getBoundingClientRect();
                });
              return boxes.flatMap((a, i) => boxes.slice(i + 1).filter((b) =>
                a.left < b.right - 1 && b.left < a.right - 1 && a.top < b.bottom - 1 && b.top < a.bottom - 1)).length;
            }""")
            assert crossed == 0, address


def test_the_narrowest_phone_scrolls_one_way_only(chromium: Any, faced_guide: pathlib.Path) -> None:
    assert over_all(chromium, faced_guide, "lost", samples(faced_guide), width=320, height=560) == {}


def test_nothing_moves_for_those_who_want_it_still(chromium: Any, built_guide: pathlib.Path) -> None:
    assert over_all(chromium, built_guide, "moving", samples(built_guide), reduced_motion="reduce") == {}


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize(
    "before", ["0", "document.documentElement.dataset.light = 'sun'"], ids=["as set", "in the sun"]
)
def test_colours_of_the_persons_own_keep_everything_in_sight(
    chromium: Any, built_guide: pathlib.Path, scheme: str, before: str
) -> None:
    """Windows says "dark" of its black high contrast, so the theme's dark colours stand beside the person's own."""
    assert (
        over_all(
            chromium,
            built_guide,
            "faded",
            samples(built_guide, longest=False),
            before,
            color_scheme=scheme,
            forced_colors="active",
        )
        == {}
    )


def test_two_answers_and_the_bar_fit_an_old_phone_without_scrolling(chromium: Any, faced_guide: pathlib.Path) -> None:
    with open_page(chromium, width=360, height=560) as opened:
        page = opened.page
        go(page, faced_guide, "key.html#--reach=outside,glass")
        marks = page.evaluate("guide.model.marks.filter((one) => one.forms.length === 2).map((one) => one.id)")
        assert len(marks) > 5
        lowest = {}
        for mark in marks:
            page.evaluate(f"location.hash = '#--reach=outside,glass&--look={mark}'")
            page.wait_for_function(
                "mark => document.querySelector('h1.ask').textContent.startsWith("
                "guide.model.marks.find((one) => one.id === mark).question)",
                arg=mark,
            )
            lowest[mark] = probe(page, "lowest")
        assert {mark: bottom for mark, bottom in lowest.items() if bottom > 560} == {}


@pytest.mark.parametrize("width", [320, 390, 897, 1024, 1280, 0])
def test_words_in_a_drawing_of_changeovers_keep_clear_of_one_another(
    chromium: Any, faced_guide: pathlib.Path, width: int
) -> None:
    """On the narrowest screen of each kind of layout, and (0) on the narrower of the two papers."""
    addresses = ["timeline.html", *(f"marks/{path.name}" for path in kinds(faced_guide)["marks"])]
    with open_page(chromium, width=width or PAPER) as opened:
        if not width:
            opened.page.emulate_media(media="print")
        found = {}
        for address in addresses:
            go(opened.page, faced_guide, address)
            if said := probe(opened.page, "crossed"):
                found[address] = said
        words = opened.page.evaluate("document.querySelectorAll('svg.band text').length")
    assert found == {}
    assert words > 0


def test_words_that_cross_are_found(chromium: Any) -> None:
    with open_page(chromium) as opened:
        opened.page.set_content(
            '<svg class="band" width="200" height="40"><path class="slope" d="M50 40L60 0"/>'
            '<text class="name" x="40" y="20">crossing</text><text class="date" x="45" y="22">under</text>'
            '<text class="name" x="190" y="20">beyond</text></svg>'
        )
        assert [one.split(":")[0] for one in probe(opened.page, "crossed")] == [
            "over a changeover",
            "over one another",
            "runs out",
        ]
