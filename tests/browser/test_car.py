"""All about one car, on its page: what the terminal writes, at three depths, on at most two sheets of either paper."""

from __future__ import annotations

import json
import pathlib
import re
from typing import Any

import pytest

from guide.command.main import main
from tests.browser.site import go, open_page
from tests.browser.test_prints import PAPERS, page_count

pytestmark = pytest.mark.browser

SIDES = 2
LOOKED = {"switches": "toggle", "seat-facing": "wide", "gear-knob": "wood", "belts": "changed"}
# the most that there can be to say of one car: every part looked at, most of them of another time
MOST = {
    "bonnet-badge": "enamel-remade",
    "outside-mirror": "wing",
    "door-handles": "lift",
    "filler-cap": "locking",
    "tail-lamps": "oblong-reverse",
    "switches": "symbols",
    "dials": "orange",
    "horn-push": "padded",
    "dash-facing": "veneer",
    "glove-latch": "knob",
    "stalk": "ivory",
    "inside-mirror": "black-back",
    "seat-facing": "wide",
    "belts": "reel-later",
    "gear-knob": "pear",
    "pedal-rubbers": "dimpled",
    "sun-visors": "single",
    "steering-wheel": "thin-rim",
    "demister-vents": "four",
    "door-card": "plain",
    "window-winder": "black",
    "inner-lever": "paddle",
    "courtesy-lamp": "single",
    "handbrake-grip": "smooth",
    "seat-lever": "wire",
    "kick-panel": "board",
    "luggage-strap": "leather-remade",
    "tunnel-tray": "open",
    "maker-plate": "etched-remade",
    "washer-bottle": "bag",
}
DATES = {"registered": "1969-11", "part:belts": "1970-03", "part:washer-bottle": "1969-03"}


def address(answers: dict[str, str], car: str, depth: str, known: dict[str, str]) -> str:
    pairs = [f"{mark}={form}" for mark, form in answers.items()]
    return "car.html#" + "&".join(
        [*pairs, f"--car={car}", *(f"--known={kind}={when}" for kind, when in known.items()), f"--depth={depth}"]
    )


def in_terminal(
    root: pathlib.Path, built: pathlib.Path, capsys: Any, answers: dict[str, str], car: str, depth: str
) -> Any:
    told = [f"{mark}={form}" for mark, form in answers.items()]
    call = ["letter", "--content", str(root / "content"), "--out", str(built), car, *told, "--depth", depth, "--json"]
    assert main(call) == 0
    return json.loads(capsys.readouterr().out)


@pytest.mark.parametrize("depth", ["letter", "list", "quote"])
def test_the_page_says_what_the_terminal_writes_and_every_word_leads_somewhere(
    chromium: Any, built_guide: pathlib.Path, root: pathlib.Path, capsys: Any, depth: str
) -> None:
    letter = in_terminal(root, built_guide, capsys, LOOKED, "C2711", depth)
    with open_page(chromium) as watched:
        go(watched.page, built_guide, address(LOOKED, "C2711", depth, {}))
        shown = watched.page.locator("article.letter")
        assert shown.locator("h1").inner_text() == letter["title"]
        sections = shown.locator("section:not(.of-sources)")
        assert sections.locator("h2").all_inner_texts() == [one["heading"] for one in letter["sections"]]
        for at, one in enumerate(letter["sections"]):
            texts = (
                sections.nth(at)
                .locator(":scope > ul > li")
                .evaluate_all("items => items.map((one) => one.firstChild.textContent)")
            )
            assert texts == [line["says"] for line in one["lines"]]
        sources = shown.locator(".of-sources li").all_inner_texts()
        assert [text.split(" ", 1)[1].strip() for text in sources] == [one["name"] for one in letter["sources"]]
        links = shown.locator(".by a").evaluate_all("links => links.map((one) => one.getAttribute('href'))")
        assert links
        assert [link for link in set(links) if not (built_guide / link.split("#")[0]).is_file()] == []
        assert watched.faults == []


def test_a_number_looked_up_leads_to_its_letter_and_the_depth_is_kept_in_the_address(
    chromium: Any, built_guide: pathlib.Path
) -> None:
    with open_page(chromium) as watched:
        page = watched.page
        go(page, built_guide, "search.html?q=C2711")
        page.get_by_role("link", name="All about this car").click()
        page.wait_for_url("**/car.html#--car=C2711")
        page.get_by_text("A paragraph to quote").click()
        page.wait_for_url("**--depth=quote")
        assert "C2711 is believed built between" in page.locator("article.letter").inner_text()
        page.reload()
        assert page.locator("article.letter section h2").first.inner_text() == "To quote"
        assert page.locator("h1:visible").count() == 1
        page.locator("[data-choose] summary").click()
        page.fill("#car", "KLM 123X")
        page.get_by_role("button", name="Write the letter").click()
        page.locator("[data-reply]:has-text('looks like a registration')").wait_for()
        page.fill("#car", "")
        page.get_by_role("button", name="Write the letter").click()
        page.get_by_text("Give a number, or what was looked at.", exact=True).wait_for()
        page.fill("#sent", "switches=toggle --car C1500 --known part:belts=1967-11")
        page.get_by_role("button", name="Write the letter").click()
        assert page.locator("article.letter h1").inner_text() == "Larkhythe Tern C1500"
        assert "the date on its seat belts (in November 1967)" in page.locator("article.letter").inner_text()
        page.locator("[data-choose] summary").click()
        page.fill("#car", "")
        page.fill("#sent", "Small switches: toggles; trim: tan vinyl; car C1840")
        page.get_by_role("button", name="Write the letter").click()
        page.wait_for_url("**#switches=toggle&interior=tan-vinyl&--car=C1840**")
        page.go_back()
        assert watched.faults == []


@pytest.mark.parametrize("depth", ["letter", "list", "quote"])
def test_a_letter_takes_two_sides_of_either_paper(chromium: Any, faced_guide: pathlib.Path, depth: str) -> None:
    with open_page(chromium) as watched:
        counts = {}
        for car, answers, known in (("C2711", MOST, DATES), ("D1600L", LOOKED, {}), ("C1001", {}, {})):
            go(watched.page, faced_guide, "index.html")
            go(watched.page, faced_guide, address(answers, car, depth, known))
            watched.page.locator("article.letter").wait_for()
            counts[car] = [page_count(watched.page.pdf(format=paper)) for paper in PAPERS]
        print("\n", depth, counts)
        assert max(max(each) for each in counts.values()) <= SIDES, counts
        assert watched.faults == []


def test_letters_printed_together_each_take_sheets_of_their_own(
    chromium: Any, built_guide: pathlib.Path, root: pathlib.Path, tmp_path: pathlib.Path
) -> None:
    season, out = tmp_path / "season.txt", tmp_path / "letters.html"
    season.write_text(
        "C1912 switches=rocker\nC2711\nD744 dials=both\n".replace("both", "bright-rim+black-rim"), encoding="utf-8"
    )
    demo = ["--content", str(root / "content"), "--out", str(built_guide)]
    assert main(["letter", *demo, "--many", str(season), "--to", str(out)]) == 0
    with open_page(chromium) as watched:
        watched.page.goto(out.as_uri())
        counts = [page_count(watched.page.pdf(format=paper)) for paper in PAPERS]
        text = re.sub(r"\s+", " ", watched.page.inner_text("body"))
        assert all(3 <= count <= 3 * SIDES for count in counts), counts
        assert text.count("First, take care") == 3
        assert watched.requests == [out.as_uri()]
        assert watched.faults == []
