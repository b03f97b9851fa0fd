"""Sizes, what people ask their devices for, and paper: large text, a narrow screen, thumbs, stillness, own colours.

WCAG 2.2: text at 200 % (1.4.4), 320 CSS pixels wide (1.4.10), targets of 44 pixels (2.5.5, which is AAA, because
a thumb in the sun is not a mouse), non-text contrast in forced colours (1.4.11).
"""

from __future__ import annotations

import pathlib
from collections.abc import Mapping
from functools import cache
from types import MappingProxyType
from typing import Any, NamedTuple

import pytest

from tests.browser.site import IN_THE_SUN, OUT_OF_THE_SUN, go, kinds, open_page, probe, samples

pytestmark = [pytest.mark.browser, pytest.mark.long]

PAPER = 703  # the width of A4 within margins of 12 mm, in CSS pixels


class Look(NamedTuple):
    """How a page is looked at once it stands open, and what the probe looks for."""

    probe: str
    width: int = 390
    height: int = 844
    media: Mapping[str, str] = MappingProxyType({})
    before: str = "0"  # run in the page first; a reader's own wishes are taken back by `AFTER`


CROSSED = {f"crossed-{width}": Look("crossed", width) for width in (320, 390, 897, 1024, 1280)}
CROSSED["crossed-0"] = Look("crossed", PAPER, media={"media": "print"})
LIT = {"as set": "0", "in the sun": IN_THE_SUN}
FADED = {
    f"faded-{light}-{scheme}": Look("faded", media={"color_scheme": scheme, "forced_colors": "active"}, before=before)
    for light, before in LIT.items()
    for scheme in ("light", "dark")
}
LIGHTS = {"light": ("light", "0"), "dark": ("dark", "0"), "bright sun": ("dark", IN_THE_SUN)}
ON_PAPER = {
    f"on paper, {light}": Look("unprinted", media={"media": "print", "color_scheme": scheme}, before=before)
    for light, (scheme, before) in LIGHTS.items()
}
STILL = {"moving": Look("moving", media={"reduced_motion": "reduce"})}
LARGER = "document.documentElement.style.fontSize = '200%'"
WHOLE = {"small": Look("small"), "narrow": Look("lost", 320, 560), "larger": Look("lost", 640, 900, before=LARGER)}
NARROW_AND_LARGER = {"narrow and larger": Look("wide", 320, 640, before=LARGER)}
FIRST = {**FADED, **ON_PAPER, **NARROW_AND_LARGER}
ALL = {**WHOLE, **STILL, **FIRST, **CROSSED}
OF_FACES = {**WHOLE, **CROSSED}  # what the widest faces bear on
# What scripts do when a page is turned is done before it is looked at, not when the browser next paints.
TURNED = """if (innerWidth !== %d) { throw new Error(`the page is ${innerWidth} px wide`); }
dispatchEvent(new Event("resize"));"""
AFTER = "document.documentElement.style.fontSize = '';" + OUT_OF_THE_SUN
AS_SET = {"media": "null", "color_scheme": "light", "forced_colors": "none", "reduced_motion": "no-preference"}


def alike(look: Look) -> tuple[Any, ...]:
    """Return what looks are sorted by, so that a page is turned, lit and printed no more often than need be."""
    return sorted(look.media.items()), look.width, look.height


@cache
def looked_over(chromium: Any, out: pathlib.Path) -> dict[str, dict[str, Any]]:
    """Return what the probes find, by look and address: every page is opened once, and looked at in every way.

    A page is turned as a phone is; what the theme's scripts decide by the width alone is decided at 80 rem.
    """
    whole, first = samples(out), set(samples(out, longest=False))
    drawn = ["timeline.html", *(f"marks/{path.name}" for path in kinds(out)["marks"])]
    looks = OF_FACES if out.parent.name == "widest" else ALL
    found: dict[str, dict[str, Any]] = {name: {} for name in looks}
    with open_page(chromium) as opened:
        for address in dict.fromkeys([*whole, *drawn]):
            size, media = {"width": 390, "height": 844}, AS_SET
            opened.page.set_viewport_size(size)
            opened.page.emulate_media(**media)
            go(opened.page, out, address)
            wanted = {**(WHOLE | STILL if address in whole else {}), **(FIRST if address in first else {})}
            wanted |= CROSSED if address in drawn else {}
            for name in sorted(wanted.keys() & looks.keys(), key=lambda name: alike(looks[name])):
                look = looks[name]
                if size != {"width": look.width, "height": look.height}:
                    size = {"width": look.width, "height": look.height}
                    opened.page.set_viewport_size(size)
                if media != {**AS_SET, **look.media}:
                    media = {**AS_SET, **look.media}
                    opened.page.emulate_media(**media)
                before = f"{TURNED % look.width}\n{look.before}"
                if said := probe(opened.page, look.probe, before=before, after=AFTER):
                    found[name][address] = said
        assert opened.page.evaluate("document.querySelectorAll('svg.band text').length") > 0
        assert opened.faults == []
    return found


FAULTY = """<style>p { transition: color 1s } .answer { color: CanvasText; background: CanvasText }</style>
<p>x</p><button>y</button><div style="width: 3000px">z</div><b class="answer">w</b>
<div style="width: 20px; overflow: hidden">unbreakable</div>
<div style="width: 5em; overflow: hidden"><i style="display: block; width: 90px">large</i></div>
<b style="background: #111; color: #efeae0">pale on dark</b>
<svg class="band" width="200" height="40"><path class="slope" d="M50 40L60 0"/>
<text class="name" x="40" y="20">crossing</text><text class="date" x="45" y="22">under</text>
<text class="name" x="190" y="20">beyond</text></svg>"""


def test_what_is_planted_is_found(chromium: Any, tmp_path: pathlib.Path) -> None:
    (tmp_path / "marks").mkdir()
    for name in ("timeline.html", "marks/switches.html"):
        (tmp_path / name).write_text(FAULTY, encoding="utf-8")
    found = looked_over(chromium, tmp_path)
    kinds_of = {name: [one.split(":")[0] for one in said["timeline.html"]] for name, said in found.items()}
    over = ["over a changeover", "over one another", "runs out"]
    cut = ["scrolls sideways", "cut off", "cut off"]
    assert {name: kinds_of.pop(name) for name in ("narrow", "larger")} == {"narrow": cut, "larger": cut[:2]}
    assert kinds_of.pop("narrow and larger") == ["3008 px wide"]
    assert len(kinds_of.pop("small")) == len(kinds_of.pop("moving")) == 1
    pale = {"ground rgb(17, 17, 17)", "letters rgb(239, 234, 224)"}
    assert {name for name in kinds_of if pale <= set(kinds_of[name])} == ON_PAPER.keys()
    assert {name for name in kinds_of if kinds_of[name] == ["not to be seen"]} == FADED.keys()
    assert {name for name in kinds_of if kinds_of[name] == over} == CROSSED.keys()


def test_everything_to_press_is_large_enough_for_a_thumb(chromium: Any, faced_guide: pathlib.Path) -> None:
    """Beside a car and elsewhere; links within a sentence apart, as the criterion has it."""
    assert looked_over(chromium, faced_guide)["small"] == {}


def test_text_twice_as_large_loses_nothing(chromium: Any, faced_guide: pathlib.Path) -> None:
    assert looked_over(chromium, faced_guide)["larger"] == {}


def test_the_head_of_a_page_holds_on_a_phone_with_text_twice_as_large(chromium: Any, faced_guide: pathlib.Path) -> None:
    with open_page(chromium) as opened:
        for address in ("a-to-z.html", "search.html", "search.html?q=switches"):
            go(opened.page, faced_guide, address)
            opened.page.evaluate(LARGER)
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
    assert looked_over(chromium, faced_guide)["narrow"] == {}


def test_text_twice_as_large_on_the_narrowest_phone_runs_wide_on_no_page(
    chromium: Any, built_guide: pathlib.Path
) -> None:
    assert looked_over(chromium, built_guide)["narrow and larger"] == {}


def test_nothing_moves_for_those_who_want_it_still(chromium: Any, built_guide: pathlib.Path) -> None:
    assert looked_over(chromium, built_guide)["moving"] == {}


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("light", LIT)
def test_colours_of_the_persons_own_keep_everything_in_sight(
    chromium: Any, built_guide: pathlib.Path, scheme: str, light: str
) -> None:
    """Windows says "dark" of its black high contrast, so the theme's dark colours stand beside the person's own."""
    assert looked_over(chromium, built_guide)[f"faded-{light}-{scheme}"] == {}


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
    assert looked_over(chromium, faced_guide)[f"crossed-{width}"] == {}


@pytest.mark.parametrize("light", LIGHTS)
def test_every_kind_of_page_is_dark_on_white_on_paper(chromium: Any, built_guide: pathlib.Path, light: str) -> None:
    """Whatever the light on the screen was."""
    assert looked_over(chromium, built_guide)[f"on paper, {light}"] == {}
