"""Access: WCAG 2.2 AA by axe on every kind of page in every light, and the keyboard alone.

Axe cannot see that the keyboard reaches everything (2.1.1) and shows where it is (2.4.7); that is done by hand
here, key by key. Sizes, and what people ask their devices for, are in test_sizes.py.
"""

from __future__ import annotations

import contextlib
import pathlib
import re
from collections.abc import Iterator, Sequence
from functools import cache
from typing import Any

import pytest

from guide.pages.listing import PAGES
from guide.pages.shelf import Shelf
from guide.tally.count import derive_tally
from tests.browser.site import IN_THE_SUN, Watched, go, open_page, probe, samples
from tests.pages.shelves import shelf_of
from tests.themes.test_contrast import contrast

pytestmark = [pytest.mark.browser, pytest.mark.long]

LIGHTS = {"light": ("light", "0"), "dark": ("dark", "0"), "bright sun": ("dark", IN_THE_SUN)}
COLOURS = ["color-contrast", "link-in-text-block"]
LEVELS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]

A_NOTE = """
const store = guide.keeping.open(guide.key.store, () => 1790000000000);
store.add({car: "C2500", reach: ["glass"], edition: guide.model.edition, words: "A sentence.", remarks: "a remark",
  answers: [{mark: "switches", forms: ["rocker"], kind: "form"}, {mark: "dials", forms: [], kind: "changed"}]});
"""


@contextlib.contextmanager
def with_a_note(chromium: Any, out: pathlib.Path) -> Iterator[Watched]:
    """A phone with the guide on a stick and a car noted."""
    with open_page(chromium) as opened:
        go(opened.page, out, "notes.html")
        opened.page.evaluate(A_NOTE)
        yield opened
        assert opened.faults == []
        assert opened.outside == []


@pytest.fixture
def watched(chromium: Any, built_guide: pathlib.Path) -> Iterator[Watched]:
    with with_a_note(chromium, built_guide) as opened:
        yield opened


def axe_script() -> str:
    from axe_playwright_python.sync_playwright import Axe

    return str(Axe().axe_script)


def violations(page: Any, only: list[str] | None = None, *, without: Sequence[str] = (), before: str = "") -> list[str]:
    """Return what axe finds, one line each: the rule, the element, and why; a script may be run just before."""
    run_only = {"type": "rule", "values": only} if only else {"type": "tag", "values": LEVELS}
    # without its preload, for which axe would fetch the styles, and a page on a disk may fetch nothing
    options = {"resultTypes": ["violations"], "runOnly": run_only, "preload": False}
    options["rules"] = {rule: {"enabled": False} for rule in without}
    run = f"(options) => {{ {before}; return globalThis.axe ? axe.run(options) : null; }}"
    found = page.evaluate(run, options)
    if found is None:
        page.evaluate(axe_script())
        found = page.evaluate(run, options)
    return [
        f"{rule['id']}: {node['target']} {node['failureSummary'].splitlines()[1].strip()}"
        for rule in found["violations"]
        for node in rule["nodes"]
    ]


FAULTY = """<html lang="en"><title>x</title><main><h1>x</h1><img src="data:,">
<p style="color: #999; background: #fff">faint</p><button style="outline: none">x</button>
<span tabindex="0">y</span><a href="#" tabindex="-1">z</a></main>"""


def test_what_is_planted_is_found(chromium: Any) -> None:
    with open_page(chromium) as opened:
        opened.page.set_content(FAULTY)
        found = violations(opened.page)
        assert {line.split(":")[0] for line in found} >= {"image-alt", "color-contrast"}
        assert violations(opened.page, ["image-alt"]) == [line for line in found if line.startswith("image-alt")]
        missed, unseen = tab_through(opened.page)
        assert [name.split(">")[0] for name in missed] == ['<a href="#" tabindex="-1" data-test-at="2"']
        assert [name.split(">")[0] for name in unseen] == [
            '<button style="outline: none" data-test-at="0"',
            '<span tabindex="0" data-test-at="1"',
        ]


@cache
def violations_by_light(chromium: Any, out: pathlib.Path) -> dict[str, dict[str, list[str]]]:
    """Return what axe finds, by light and address: every page is opened once, and looked at in every light.

    The rules about colours come last, when long rows of alike things are thinned: what is alike in kind and class is
    coloured by the same rules. In the lights that change roles only, the first page of a kind is looked at.
    """
    first = set(samples(out, longest=False))
    found: dict[str, dict[str, list[str]]] = {light: {} for light in LIGHTS}
    with with_a_note(chromium, out) as opened:
        opened.page.add_init_script(axe_script())  # which a browser reads once for all pages
        for address in samples(out):
            opened.page.emulate_media(color_scheme="light")
            go(opened.page, out, address)
            whole = violations(opened.page, without=COLOURS)
            probe(opened.page, "thin")
            for light, (scheme, before) in LIGHTS.items() if address in first else [("light", LIGHTS["light"])]:
                opened.page.emulate_media(color_scheme=scheme)
                said = violations(opened.page, COLOURS, before=before)
                if said := [*whole, *said] if light == "light" else said:
                    found[light][address] = said
    return found


@pytest.mark.parametrize("light", LIGHTS)
def test_every_kind_of_page_is_without_violation(chromium: Any, built_guide: pathlib.Path, light: str) -> None:
    assert violations_by_light(chromium, built_guide)[light] == {}


def test_a_note_and_the_open_panels_of_the_key_are_without_violation(
    watched: Watched, built_guide: pathlib.Path
) -> None:
    page = watched.page
    go(page, built_guide, "notes.html")
    page.locator("[data-cars] a").first.click()
    assert violations(page) == []
    go(page, built_guide, "key.html#--reach=outside,glass&--look=switches")
    page.locator("details.else summary").click()
    assert violations(page) == []
    go(page, built_guide, "key.html#switches=rocker&--reach=glass&--at=result")
    for panel in ("[data-keep]", "[data-send]"):
        page.locator(panel).click()
        assert violations(page) == []


def tab_through(page: Any) -> tuple[list[str], list[str]]:
    """Press Tab through the whole page; return the controls not met, and those met that do not show it."""
    count = int(probe(page, "controls"))
    met: set[int] = set()
    unseen = []
    for _ in range(count + 5):
        page.keyboard.press("Tab")
        focused = page.evaluate("probes.focused()")
        if focused is None or focused["at"] in met:
            break
        if focused["at"] is not None:
            met.add(focused["at"])
        if not focused["seen"]:
            unseen.append(focused["name"])
    names = page.evaluate("[...document.querySelectorAll('[data-test-at]')].map((one) => one.outerHTML.slice(0, 120))")
    return [name for at, name in enumerate(names) if at not in met], unseen


FROM_THE_TOP = "document.body.tabIndex = -1; document.body.focus(); document.body.removeAttribute('tabindex');"
WHOLE = (
    "index.html",
    "key.html",
    "notes.html",
    "fits.html",
    "search.html",
    "timeline.html",
    "marks/switches.html",
    "card.html",
)


@pytest.mark.parametrize(
    "address",
    [
        "index.html",
        "key.html",
        "key.html#--reach=outside,glass",
        "key.html#switches=rocker&--at=result",
        "notes.html",
        "fits.html#--car=C2500",
        "car.html#switches=toggle&--car=C2500",
        "search.html?q=switches",
        "timeline.html",
        "marks/switches.html",
        "card.html",
    ],
)
def test_the_keyboard_reaches_everything_and_shows_where_it_is(
    watched: Watched, built_guide: pathlib.Path, address: str
) -> None:
    go(watched.page, built_guide, address)
    watched.page.evaluate(FROM_THE_TOP)
    watched.page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true; })")
    assert tab_through(watched.page) == ([], [])


def test_the_keyboard_reaches_every_kind_of_control_on_every_other_kind_of_page(
    watched: Watched, built_guide: pathlib.Path
) -> None:
    """Long rows of alike things are thinned first: what is alike in kind and class is reached and ringed alike."""
    missed = {}
    rest = [address for address in samples(built_guide, longest=False) if not address.startswith(WHOLE)]
    assert len(rest) > 20
    for address in rest:
        go(watched.page, built_guide, address)
        watched.page.evaluate(FROM_THE_TOP)
        watched.page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true; })")
        probe(watched.page, "thin")
        found = tab_through(watched.page)
        if found != ([], []):
            missed[address] = found
    assert missed == {}


# Of each sample of a colour: its edge, the words beside it, and what both stand on, as red, green and blue.
SWATCHES = """() => [...document.querySelectorAll(".swatch")].filter((one) => one.getClientRects().length).map(one => {
  const ground = (at) => {
    const own = getComputedStyle(at).backgroundColor;
    return own === "rgba(0, 0, 0, 0)" && at.parentElement ? ground(at.parentElement) : own;
  };
  const text = (at) => [...at.childNodes].find((part) => part.nodeType === 3 && part.data.trim());
  const box = one.getBoundingClientRect(), label = one.closest("label, a, li, h1");
  const words = [label, ...label.querySelectorAll("*")].find(text);
  const range = document.createRange();
  range.selectNodeContents(text(words));
  const said = range.getBoundingClientRect();
  return { edge: getComputedStyle(one).borderTopColor, words: getComputedStyle(words).color, ground: ground(label),
    over: said.left < box.right && box.left < said.right && said.top < box.bottom && box.top < said.bottom };
})"""


@pytest.mark.parametrize("light", LIGHTS)
def test_every_sample_of_a_colour_has_an_edge_and_its_name_can_be_read(
    chromium: Any, built_guide: pathlib.Path, light: str
) -> None:
    """WCAG 2.2: the words 4.5 to 1 (1.4.3), the edge, by which a sample is told from the page, 3 to 1 (1.4.11)."""
    scheme, script = LIGHTS[light]
    with open_page(chromium) as opened:
        opened.page.emulate_media(color_scheme=scheme)
        for address, least in (("interiors.html", 8), ("interiors/red-vinyl.html", 1), ("record.html", 8)):
            go(opened.page, built_guide, address)
            opened.page.evaluate(script)
            found = opened.page.evaluate(SWATCHES)
            assert len(found) >= least, address
            for one in found:
                ground, words, edge = (
                    "".join(f"{int(part):02x}" for part in re.findall(r"\d+", one[name])[:3])
                    for name in ("ground", "words", "edge")
                )
                assert contrast(words, ground) >= 4.5, (address, one)
                assert contrast(edge, ground) >= 3, (address, one)
                assert not one["over"], (address, one)


NOT_OF_THE_DEMO = {"editor", "missing"}  # for the preview alone; for a guide with an address


@pytest.fixture(scope="module")
def shelf(guide: Any, limits: Any, model: Any) -> Shelf:
    """Everything the demo guide's pages are made from."""
    return shelf_of(guide, limits, model, derive_tally(limits))


def test_every_kind_of_page_in_the_listing_is_among_those_looked_at(built_guide: pathlib.Path, shelf: Shelf) -> None:
    """What is held of "every kind of page" is held of each entry of the guide's own list of pages."""
    looked_at = {address.partition("#")[0].partition("?")[0] for address in samples(built_guide, longest=False)}
    unseen = []
    for page in PAGES:
        paths = {address.path for address in page.addresses(shelf)}
        if page.kind in NOT_OF_THE_DEMO:
            assert not paths, page.template
            continue
        assert paths, page.template
        if not paths & looked_at:
            unseen.append(page.template)
    assert unseen == []
