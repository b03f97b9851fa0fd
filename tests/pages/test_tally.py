"""The tally as readers see it: no number gives a car away; and the editor's own page, in the preview alone."""

from __future__ import annotations

import pathlib
import re
import shutil
from collections.abc import Mapping

import pytest

from guide.command.work import begin_guide, make_guide
from guide.pages.parts.car_strip import car_strip, rising_line
from guide.press.cache import Cache
from guide.press.theme import open_theme
from tests.starting import started
from tests.tally.seasons import small_season


@pytest.fixture(scope="module")
def content(tmp_path_factory: pytest.TempPathFactory) -> pathlib.Path:
    planted = "car,private owner,remarks,roof-lamp\nS703,A Planted Owner,Kept at Planted Place,square\n"
    sheets = {"cars-seen/june-by-a-planted-name.csv": small_season(), "cars-seen/july.csv": planted}
    return started(tmp_path_factory.mktemp("tally"), sheets)


def texts(site: Mapping[str, bytes]) -> dict[str, str]:
    pages = (name for name in site if name.startswith(("tally", "seen/", "look-for", "field-sheet")))
    return {name: re.sub(r"<[^>]+>", " ", site[name].decode("utf-8")) for name in pages if name.endswith(".html")}


def test_readers_learn_no_number_that_nobody_published_and_no_sheet(content: pathlib.Path) -> None:
    """S1101 has a part 503 numbers after the last as stated; S1195, the highest seen, would be told by its place."""
    theme = open_theme("", content)
    _, site = make_guide(content, theme, stop_on="errors")
    assert site is not None
    said = texts(site)
    assert set(said) >= {"tally.html", "seen/roof-lamp.html", "look-for.html", "field-sheet.html"}
    for name, text in said.items():
        assert not re.search(r"planted-name|S1101|S1195|\b503\b|1,195|\b1195\b", text), name
    assert "S11··" in said["tally.html"]
    assert not [name for name in site if "editor" in name]
    every = b"".join(site.values())
    assert not [name for name in (b"planted-name", b"Planted Owner", b"Planted Place", b"S703") if name in every]


def test_of_many_counts_each_area_has_its_own_page(content: pathlib.Path, monkeypatch: pytest.MonkeyPatch) -> None:
    theme = open_theme("", content)
    _, whole = make_guide(content, theme, stop_on="errors")
    monkeypatch.setattr("guide.pages.kinds.tally._MANY", 1)
    _, parted = make_guide(content, theme, stop_on="errors")
    assert whole is not None
    assert parted is not None
    rows = [
        re.findall(r"<tbody id=.*?</tbody>", one["tally.html"].decode("utf-8"), re.DOTALL) for one in (whole, parted)
    ]
    pages = {name: data.decode("utf-8") for name, data in parted.items() if name.startswith("tally/")}
    assert (len(rows[0]), rows[1]) == (2, [])
    held = [row for page in pages.values() for row in re.findall(r"<tbody id=.*?</tbody>", page, re.DOTALL)]
    assert [row.replace("../", "") for row in held] == rows[0]
    assert all(f'href="{name}"' in parted["tally.html"].decode("utf-8") for name in pages)
    (at,) = [name for name, page in pages.items() if 'id="mark-roof-lamp"' in page]
    assert f'href="../{at}#mark-roof-lamp"' in parted["marks/roof-lamp.html"].decode("utf-8")


def test_the_editor_s_page_stands_in_the_preview_with_whole_numbers_and_lines_to_paste(content: pathlib.Path) -> None:
    theme = open_theme("", content)
    _, making = begin_guide(content, theme, Cache(None))
    assert making is not None
    page = making.get("for-the-editor.html")
    assert isinstance(page, bytes)
    text = page.decode("utf-8")
    assert "S1101" in text
    assert "june-by-a-planted-name.csv:122" in text
    assert "- {seen: S" in text


def test_a_strip_draws_a_bar_for_each_stretch_with_cars_and_the_rising_share() -> None:
    strip = car_strip([(0, 0.1, 2), (0.1, 0.2, 0), (0.5, 0.6, 1)], 2, rising_line([(0.25, 0.5), (0.5, 1.0)]))
    assert '<path d="M0.0 24v-24.0h99.0V24zM500.0 24v-12.0h99.0V24z"/>' in strip
    assert '<path class="rising" d="M0 23H250.0V12.0H500.0V1.0H1000"/>' in strip


def test_a_withdrawn_car_is_in_no_byte_of_the_site_whole_numbers_or_not(
    content: pathlib.Path, tmp_path: pathlib.Path
) -> None:
    """S1101 stands in a sheet, S612 is stated as seen; the guide prints numbers whole."""
    folder = tmp_path / "content"
    shutil.copytree(content, folder)
    with (folder / "guide.yml").open("a", encoding="utf-8") as file:
        file.write("\nmask numbers: no\n")
    _, before = make_guide(folder, open_theme("", folder), stop_on="errors")
    with (folder / "guide.yml").open("a", encoding="utf-8") as file:
        file.write("withdrawn: [S 1101, s612]\n")
    _, after = make_guide(folder, open_theme("", folder), stop_on="errors")
    assert before is not None
    assert after is not None
    for number in (b"S1101", b"S612"):
        assert any(number in data for data in before.values())
        assert not [name for name, data in after.items() if number in data]
    assert b"2 cars are left out" in after["tally.html"]
