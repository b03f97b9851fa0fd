"""The timeline as a poster: one sheet of A3 stands alone, and what it cannot hold goes on to the next."""

from __future__ import annotations

import re
from xml.etree import ElementTree

from guide.pages.kinds import timeline
from guide.pages.parts.poster import PosterRow, posters
from guide.pages.parts.strips import DrawnSpell, Strip
from guide.pages.shelf import Shelf

SVG = "{http://www.w3.org/2000/svg}"


def test_the_demo_fits_one_sheet_of_a3_that_needs_no_other_file(shelf: Shelf) -> None:
    files = timeline.data_files(shelf)
    assert list(files) == ["downloads/timeline.svg"]
    svg = ElementTree.fromstring(files["downloads/timeline.svg"])
    assert (svg.get("width"), svg.get("height")) == ("297mm", "420mm")
    said = {"".join(text.itertext()) for text in svg.iter(f"{SVG}text")}
    assert {"Small switches", "Front lamps", "1968", "Restart"} <= said
    assert not any("…" in one for one in said)
    text = files["downloads/timeline.svg"].decode("utf-8")
    fills = set(re.findall(r'fill="url\(#([\w-]+)\)"', text))
    assert fills
    assert fills <= set(re.findall(r'<pattern id="([\w-]+)"', text)), "it brings its own patterns"
    assert "href" not in text


def test_more_rows_than_a_sheet_holds_go_on_to_another(shelf: Shelf) -> None:
    strip = Strip(0, 99)
    rows = [PosterRow(f"Part {at}", "", [DrawnSpell("All", (0, 0), (99, 99), False, False)]) for at in range(150)]
    sheets = [sheet.decode("utf-8") for sheet in posters(shelf, strip, rows)]
    assert len(sheets) == 2
    assert all(sum(f">Part {at}<" in sheet for sheet in sheets) == 1 for at in range(150))
    assert "Sheet 2 of 2." in sheets[1]


def test_a_name_too_long_for_its_column_takes_further_lines_and_its_strip_stands_beside_their_middle(
    shelf: Shelf,
) -> None:
    spells = [DrawnSpell("All", (0, 0), (99, 99), False, False)]
    rows = [PosterRow("Wiper", "Open car, any interior but black leather", spells), PosterRow("Horn", "", spells)]
    (sheet,) = (sheet.decode("utf-8") for sheet in posters(shelf, Strip(0, 99), rows))
    places = {
        words: float(y)
        for y, words in re.findall(r'<text class="(?:part|cars)" [^>]*y="([.0-9]+)"[^>]*>([^<]*)', sheet)
    }
    assert list(places) == ["Wiper", "Open car, any interior but black", "leather", "Horn"]
    assert (places["leather"] - places["Wiper"], places["Horn"] - places["Wiper"]) == (7.0, 14.0)
    first, second = (float(y) for y in re.findall(r'<svg x="107.5" y="([.0-9]+)"', sheet))
    assert second - first == 10.5


def test_no_name_runs_past_the_end_of_its_strip_or_over_a_stoppage(shelf: Shelf) -> None:
    """By the width of a letter in DejaVu Sans, the widest of the faces named, at 3 mm."""
    text = timeline.data_files(shelf)["downloads/timeline.svg"].decode("utf-8")
    frames = re.findall(
        r'<svg x="107.5" y="([\d.]+)" width="177.5" height="([\d.]+)".*?</svg>((?:<text.*?</text>)*)', text
    )
    assert len(frames) > 60
    for strip, names in re.findall(r'<svg x="107.5"(.*?)</svg>((?:<text class="name".*?</text>)*)', text):
        edges = [107.5 + float(at) * 0.1775 for at in re.findall(r'class="frame" d="M([\d.]+) 0(?:H|V)', strip)]
        edges += [
            107.5 + float(at) * 0.1775 for at in re.findall(r'class="frame" d="M[\d.]+ 0(?:H|V\d+M)([\d.]+)', strip)
        ]
        for x, words in re.findall(r'x="([\d.]+)"[^>]*>(.*?)</text>', names):
            end = float(x) + 1.75 * len(re.sub("<[^>]*>", "", words))
            assert not any(float(x) < edge < end for edge in edges), words
