"""Prints, counted in pages on A4 and on US Letter from the same file, and looked at: dark ink on white, ticks there.

Counted in the theme's own faces and in DejaVu, the widest in common use: no reader's printer makes a third sheet.

Paper sizes: ISO 216 (A4, 210 x 297 mm) and ANSI/ASME Y14.1 (Letter, 8.5 x 11 in).
"""

from __future__ import annotations

import io
import pathlib
import re
import subprocess
from collections.abc import Iterator
from typing import Any, NamedTuple

import pytest
from PIL import Image

from tests.browser.site import kinds, open_page, samples
from tests.conftest import find_program

pytestmark = [pytest.mark.browser, pytest.mark.long]

PAPERS = ("A4", "Letter")
SHEETS = {
    "index.html": 1,
    "card.html": 2,
    "record.html": 2,
    "timeline.html": 9,
    "a-to-z.html": 8,
}  # most pages that each may take, on either paper
BUYERS_SHEET = 2  # whichever car it is for
MARK = 6  # the longest page of a mark


def printed(page: Any, address: str, *papers: str, pages: str = "") -> list[bytes]:
    """Return a page of the guide as PDF, once for each paper; ``pages`` names those that alone are wanted."""
    page.goto("about:blank")
    page.goto(address)
    page.evaluate("document.fonts.ready.then(() => 1)")
    return [bytes(page.pdf(format=paper, print_background=False, page_ranges=pages)) for paper in papers]


def counted(page: Any, address: str) -> dict[str, int]:
    """Return on how many pages of each paper a page of the guide prints."""
    return {paper: page_count(pdf) for paper, pdf in zip(PAPERS, printed(page, address, *PAPERS), strict=True)}


class Printed(NamedTuple):
    """A page on both papers, and the headings that can be read on paper."""

    pdfs: dict[str, bytes]
    headings: frozenset[str]


HEADINGS = """() => Array.from(document.querySelectorAll("h1, h2, h3, h4, caption, dt, legend, .group, .pair-head"),
  (one) => one.innerText)"""


class Press:
    """A browser's page, and what it has printed so far."""

    def __init__(self, page: Any) -> None:
        self.page = page
        self.kept: dict[str, Printed] = {}

    def of(self, address: str) -> Printed:
        if address not in self.kept:
            pdfs = dict(zip(PAPERS, printed(self.page, address, *PAPERS), strict=True))
            self.page.emulate_media(media="print")
            headings = frozenset(" ".join(text.split()) for text in self.page.evaluate(HEADINGS))
            self.page.emulate_media(media="null")
            self.kept[address] = Printed(pdfs, headings)
        return self.kept[address]

    def counted(self, address: str) -> dict[str, int]:
        """Return on how many pages of each paper a page of the guide prints."""
        return {paper: page_count(pdf) for paper, pdf in self.of(address).pdfs.items()}


@pytest.fixture(scope="module")
def press(chromium: Any) -> Iterator[Press]:
    """What prints each page of the guide once, for all tests that look at it on paper."""
    with open_page(chromium, width=1280) as watched:
        yield Press(watched.page)


def page_count(pdf: bytes) -> int:
    """Return the number of pages of a PDF."""
    said = subprocess.run([find_program("pdfinfo"), "-"], input=pdf, capture_output=True, check=True, timeout=60).stdout
    pages = re.search(rb"^Pages:\s+(\d+)$", said, re.MULTILINE)
    assert pages, said
    return int(pages[1])


def sizes(pdf: bytes) -> list[tuple[float, float]]:
    """Return width and height of each page of a PDF, in points."""
    said = subprocess.run(
        [find_program("pdfinfo"), "-l", "-1", "-"], input=pdf, capture_output=True, check=True, timeout=60
    ).stdout.decode()
    return [(float(width), float(height)) for width, height in re.findall(r"size:\s+([\d.]+) x ([\d.]+) pts", said)]


def words_of(pdf: bytes) -> list[str]:
    """Return the words of each page of a PDF, laid out as they stand there."""
    said = subprocess.run(
        [find_program("pdftotext"), "-layout", "-", "-"], input=pdf, capture_output=True, check=True, timeout=60
    ).stdout.decode("utf-8")
    return said.split("\f")[:-1]


def reached(pdf: bytes) -> list[tuple[float, float, float]]:
    """Return how far to the left and to the right the words of each page of a PDF reach, and its width, in points."""
    said = subprocess.run(
        [find_program("pdftotext"), "-bbox", "-", "-"], input=pdf, capture_output=True, check=True, timeout=60
    ).stdout.decode("utf-8")
    found = []
    for page in said.split("<page ")[1:]:
        lefts, rights = (map(float, re.findall(rf'<word [^>]*{side}="([-\d.]+)"', page)) for side in ("xMin", "xMax"))
        width = re.match(r'width="([\d.]+)"', page)
        assert width, page
        found.append((min(lefts), max(rights), float(width[1])))
    return found


def looked_at(pdf: bytes, tmp_path: pathlib.Path) -> Image.Image:
    """Return the first page of a PDF as a grey picture."""
    (tmp_path / "sheet.pdf").write_bytes(pdf)
    subprocess.run(
        [find_program("pdftoppm"), "-r", "50", "-singlefile", "-png", "sheet.pdf", "sheet"],
        cwd=tmp_path,
        check=True,
        timeout=60,
    )
    return Image.open(io.BytesIO((tmp_path / "sheet.png").read_bytes())).convert("L")


def shares(picture: Image.Image) -> tuple[float, float]:
    """Return which share of a page is white and which is dark ink."""
    counts = picture.histogram()
    every = sum(counts)
    return sum(counts[250:]) / every, sum(counts[:100]) / every


def test_pages_are_counted(chromium: Any) -> None:
    with open_page(chromium) as watched:
        watched.page.set_content("<p>one</p>" + 2 * "<p style='break-before: page'>another</p>")
        assert page_count(watched.page.pdf(format="A4")) == 3


def test_no_sheet_of_paper_but_the_last_ends_in_a_heading(press: Press, built_guide: pathlib.Path) -> None:
    addresses = [
        *samples(built_guide),
        "marks/outside-mirror.html",
        "marks/filler-cap.html",
        "forms/maker-plate-etched-or-printed.html",
    ]
    ends = []
    for address in addresses:
        pdfs, headings = press.of(f"{built_guide.as_uri()}/{address}")
        for paper, pdf in pdfs.items():
            last = [" ".join(page.rstrip().rsplit("\n", 1)[-1].split()) for page in words_of(pdf)[:-1]]
            ends += [f"{address} on {paper}: {line}" for line in last if line in headings]
    assert ends == []


def test_a_heading_at_the_end_of_a_sheet_is_noticed(chromium: Any) -> None:
    with open_page(chromium) as watched:
        watched.page.set_content("<h2>A heading</h2><p style='break-before: page'>and its words</p>")
        assert words_of(watched.page.pdf(format="A4"))[0].split() == ["A", "heading"]
        assert watched.page.evaluate(HEADINGS) == ["A heading"]


def test_the_card_within_the_single_file_takes_its_own_two_sheets(press: Press, faced_guide: pathlib.Path) -> None:
    for pdf in press.of(f"{faced_guide.as_uri()}/guide-in-one-file.html").pdfs.values():
        cards = [page for page in words_of(pdf) if "Sum of this strip" in page]
        assert ["Side 1 of 2" in page for page in cards] == [True, False]
        assert ["Side 2 of 2" in page for page in cards] == [False, True]
        assert not any("Things to look at" in page for page in cards)


def buyers_sheets(out: pathlib.Path) -> list[pathlib.Path]:
    """Return the ready-made buyer's sheets."""
    return kinds(out).get("sheets", [])


def test_the_card_and_the_timeline_fit_their_sheets_on_both_papers(press: Press, faced_guide: pathlib.Path) -> None:
    counts = {name: press.counted(f"{faced_guide.as_uri()}/{name}") for name in SHEETS}
    print("\n", counts)
    assert {name: count for name, count in counts.items() if max(count.values()) > SHEETS[name]} == {}


def test_every_buyers_sheet_takes_two_pages_at_most_on_both_papers(chromium: Any, faced_guide: pathlib.Path) -> None:
    sheets = buyers_sheets(faced_guide)
    assert len(sheets) >= 5, "a sheet for each period at least"
    with open_page(chromium, java_script_enabled=False) as watched:
        counts = {sheet.name: counted(watched.page, sheet.as_uri()) for sheet in sheets}
    print("\n", counts)
    assert {name: count for name, count in counts.items() if max(count.values()) > BUYERS_SHEET} == {}


def test_the_page_where_a_sheet_is_chosen_prints_what_there_is_to_choose(
    chromium: Any, built_guide: pathlib.Path
) -> None:
    with open_page(chromium) as watched:
        (chosen,) = printed(watched.page, f"{built_guide.as_uri()}/sheets.html", "A4")
        (made,) = printed(watched.page, f"{built_guide.as_uri()}/sheets.html#--car=C1840", "A4")
    (page,) = words_of(chosen)
    assert "Ready-made sheets" in page
    assert "Make the sheet" not in page
    assert "Ready-made sheets" not in "".join(words_of(made))


@pytest.mark.parametrize(
    "asked",
    [
        "--car=C1840",
        "--car=D1500",
        "year=1968",
        "body=open",
        "colour=red",
        "year=1970&body=coupe&colour=black",
        "year=1969&body=open&colour=grey",
        "year=1970",
    ],
)
def test_a_sheet_made_for_a_number_or_an_advert_takes_two_pages_too(
    chromium: Any, faced_guide: pathlib.Path, asked: str
) -> None:
    with open_page(chromium) as watched:
        watched.page.goto(f"{faced_guide.as_uri()}/sheets.html#{asked}")
        watched.page.locator("[data-sheet] [data-title]").wait_for()
        watched.page.locator("[data-sheet] .drawing").nth(10).wait_for()
        counts = {paper: page_count(watched.page.pdf(format=paper)) for paper in PAPERS}
        assert max(counts.values()) <= BUYERS_SHEET, counts
        assert watched.faults == []


def test_the_result_of_the_key_prints_on_one_page_and_cars_side_by_side_with_a_label(
    chromium: Any, built_guide: pathlib.Path
) -> None:
    with open_page(chromium, width=390) as watched:
        result = (
            f"{built_guide.as_uri()}/key.html#--car=C2500&switches=rocker&horn-push=crest&--reach=glass&--at=result"
        )
        doubted = "switches=symbols&dials=orange&stalk=black-symbol&tail-lamps=oblong-reverse&horn-push=padded"
        for address in (result, f"{built_guide.as_uri()}/key.html#{doubted}&--car=C1840&--reach=glass&--at=result"):
            assert set(counted(watched.page, address).values()) == {1}
        beside = f"{built_guide.as_uri()}/side-by-side.html#--car=C1217&--car=C2711"
        assert max(counted(watched.page, beside).values()) <= 2, "two cars stand on one leaf, to talk from"
        for address, number in ((result, "C2500"), (beside, "C1217, C2711")):
            last = words_of(printed(watched.page, address, "A4")[0])[-1]
            label = last[last.index(f"Number on the car {number}") :]
            assert "Looked at by" in label
            assert "Day" in label
            assert last.count("Edition: autumn 2026") == label.count("Edition: autumn 2026") == 1
        assert watched.faults == []


def test_the_longest_page_of_a_mark_prints_on_few_sheets(press: Press, faced_guide: pathlib.Path) -> None:
    marks = kinds(faced_guide)["marks"]
    longest = max(marks, key=lambda path: path.stat().st_size)
    counts = press.counted(longest.as_uri())
    print("\n", longest.name, counts)
    assert max(counts.values()) <= MARK


@pytest.mark.parametrize(
    "address",
    [
        "card.html",
        "timeline.html",
        "marks/switches.html",
        "sheets",
        "key.html#switches=rocker&--reach=glass&--at=result",
    ],
)
def test_a_print_from_the_dark_is_dark_ink_on_white(
    chromium: Any, built_guide: pathlib.Path, tmp_path: pathlib.Path, address: str
) -> None:
    """The same ink comes out whatever the light on the screen, and grounds are left white."""
    if address == "sheets":
        address = buyers_sheets(built_guide)[0].relative_to(built_guide).as_posix()
    ink = []
    for light, query in (("light", ""), ("dark", ""), ("dark", "?light=sun")):
        page, _, place = address.partition("#")
        with open_page(chromium, color_scheme=light) as watched:
            url = f"{built_guide.as_uri()}/{page}{query}" + (f"#{place}" if place else "")
            first = looked_at(printed(watched.page, url, "A4", pages="1")[0], tmp_path)
        white, dark = shares(first)
        assert white > 0.5, f"{light}{query}: the ground is not white"
        assert dark > 0.004, f"{light}{query}: the ink is faint"
        ink.append(dark)
    assert max(ink) < 1.5 * min(ink), f"the print should not depend on the light: {ink}"


BOXES = """
[...document.querySelectorAll(".card .answer .points, .tick")].filter((one) => one.checkVisibility()).map((one) => {
  const style = getComputedStyle(one);
  return [parseFloat(style.borderTopWidth), style.borderTopStyle, style.borderTopColor];
})
"""


def test_boxes_to_tick_are_there_on_paper(chromium: Any, built_guide: pathlib.Path) -> None:
    """A sheet of boxes without its boxes would be a list; they are borders, which print without grounds."""
    with open_page(chromium, color_scheme="dark") as watched:
        page = watched.page
        for address in ((built_guide / "card.html").as_uri(), buyers_sheets(built_guide)[0].as_uri()):
            page.goto(address)
            page.emulate_media(media="print", color_scheme="dark")
            boxes = page.evaluate(BOXES)
            assert len(boxes) > 10, f"{address} has {len(boxes)} boxes"
            assert {style for _, style, _ in boxes} == {"solid"}, address
            assert min(width for width, _, _ in boxes) > 0.5, address
            assert max(luminance(colour) for _, _, colour in boxes) < 0.6, address
            page.emulate_media(media="null")


def test_a_tick_made_on_the_record_sheet_is_on_paper(chromium: Any, built_guide: pathlib.Path) -> None:
    """Its ground is left out there, and with it the browser's own tick: a sign of ours stands in the box."""
    with open_page(chromium, width=1280) as watched:
        page = watched.page
        page.goto((built_guide / "record.html").as_uri())
        page.locator("input[name=body]").first.check()
        page.emulate_media(media="print")
        signs = page.locator("input[name=body]").evaluate_all(
            "boxes => boxes.map((one) => [one.checked, getComputedStyle(one, '::before').content])"
        )
        assert signs[0] == [True, '"×"']
        assert signs[1] == [False, "none"]


def luminance(colour: str) -> float:
    """Return the mean brightness of ``rgb(r, g, b)``, 0 to 1."""
    return sum(int(part) for part in re.findall(r"\d+", colour)[:3]) / 3 / 255


def test_the_figures_beneath_strips_of_cars_seen_are_on_paper(press: Press, built_guide: pathlib.Path) -> None:
    """On the screen they are folded."""
    address = f"{built_guide.as_uri()}/seen/horn-push.html"
    for pdf in press.of(address).pdfs.values():
        assert re.search(r"C22·· +3 +– +–", " ".join(words_of(pdf)))
    press.page.goto(address)
    assert not press.page.locator("details table").first.is_visible()
