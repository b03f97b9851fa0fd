"""Notes on a phone outlive editions: what was renamed is found again, what is gone is told in the words it had."""

from __future__ import annotations

import csv
import io
import pathlib
from typing import Any

import pytest

from guide.command.work import make_guide, work_out
from guide.press.theme import open_theme
from tests.browser.site import open_page, serving
from tests.browser.test_notes_storage import downloaded
from tests.starting import started
from tests.told import ENGLISH

pytestmark = pytest.mark.browser

LAMP = """name: Roof lamp
{formerly}question: What shape is the lamp in the roof?
look: Above the mirror.
reach: glass
survives: most
forms:
  round: {{name: Round, answer: A round lamp, stated: [{{last: S598, source: parts-list}}]}}
  {square}
{oblong}"""
OBLONG = "  oblong-old: {name: Oblong, answer: An oblong lamp, stated: [{seen: S300, source: register}]}\n"
HANDLE = """name: Door handle
{formerly}question: How does the door open inside?
look: On the door.
reach: glass
survives: most
forms:
  knob: {{name: Knob, answer: A turning knob, stated: [{{last: S700, source: parts-list}}]}}
  lever: {{name: Lever, answer: A pulled lever, stated: [{{first: S701, source: parts-list}}]}}
"""
TRAY = """name: Ashtray
question: What is the ashtray of?
look: Below the dash.
reach: glass
survives: most
forms:
  tin: {name: Tin, answer: A tin ashtray, stated: [{last: S500, source: parts-list}]}
  plastic: {name: Plastic, answer: A plastic ashtray, stated: [{first: S501, source: parts-list}]}
"""
SQUARE = "name: Square, answer: A square lamp, stated: [{first: S599, source: parts-list}]}"
GUIDE = "format: 1\ntitle: {title}\nedition: {edition}\ncar: Example car\n{formerly}" + (
    "production: {{first: 1960-03-01, last: 1963-10-31, made: 1200, source: register}}\n"
)
EDITIONS: tuple[dict[str, str], ...] = (
    {
        "guide.yml": GUIDE.format(title="Car", edition="first", formerly=""),
        "marks/roof-lamp.yml": LAMP.format(formerly="", square=f"square: {{{SQUARE}", oblong=OBLONG),
        "marks/door-handle.yml": HANDLE.format(formerly=""),
        "marks/ashtray.yml": TRAY,
        "areas.yml": "inside: {name: Inside, marks: [roof-lamp, door-handle, ashtray]}\n",
    },
    {
        "guide.yml": GUIDE.format(title="Car", edition="second", formerly=""),
        "marks/roof-lamp.yml": LAMP.format(
            formerly="", square=f"rectangular: {{formerly: [square], {SQUARE}", oblong=OBLONG
        ),
        "marks/door-handle.yml": "",
        "marks/handle.yml": HANDLE.format(formerly="formerly: [door-handle]\n"),
        "marks/ashtray.yml": TRAY,
        "areas.yml": "inside: {name: Inside, marks: [roof-lamp, handle, ashtray]}\n",
    },
    {
        "guide.yml": GUIDE.format(title="The car, inside", edition="third", formerly="formerly: [Car]\n"),
        "marks/roof-lamp.yml": "",
        "marks/lamp.yml": LAMP.format(
            formerly="formerly: [roof-lamp]\n",
            square=f"four-cornered: {{formerly: [rectangular, square], {SQUARE}",
            oblong="",
        ),
        "marks/door-handle.yml": "",
        "marks/handle.yml": HANDLE.format(formerly="formerly: [door-handle]\n"),
        "areas.yml": "inside: {name: Inside, marks: [lamp, handle]}\n",
    },
)
KEPT = (  # what was answered in the first edition
    "roof-lamp=square&door-handle=knob&ashtray=tin&--car=S200",
    "roof-lamp=oblong-old&door-handle=cannot-tell&--car=S300",
    "roof-lamp=round+oblong-old&--car=S400",
)
GONE = "No longer in the guide: {}. It stays in what you hand in."


@pytest.fixture(scope="module")
def editions(tmp_path_factory: pytest.TempPathFactory) -> list[tuple[pathlib.Path, pathlib.Path]]:
    """The facts and the site of each edition."""
    made = []
    for files in EDITIONS:
        folder = tmp_path_factory.mktemp("edition")
        content = started(folder, {"periods.yml": "", "interiors.yml": "", **files})
        worked, site = make_guide(content, open_theme(), stop_on="errors")
        assert site is not None, [finding.line(ENGLISH) for finding in worked.findings]
        for name, data in site.items():
            (folder / "out" / name).parent.mkdir(parents=True, exist_ok=True)
            (folder / "out" / name).write_bytes(data)
        made.append((content, folder / "out"))
    return made


def test_notes_follow_what_was_renamed_and_tell_what_is_gone(
    chromium: Any, editions: list[tuple[pathlib.Path, pathlib.Path]]
) -> None:
    first, second, third = (out for _, out in editions)
    with serving(first) as served, open_page(chromium, accept_downloads=True) as watched:
        page = watched.page
        tools = page.context.new_cdp_session(page)  # files of three editions within a second look alike to a cache
        tools.send("Network.enable")
        tools.send("Network.setCacheDisabled", {"cacheDisabled": True})
        page.add_init_script("delete Navigator.prototype.serviceWorker")  # which would go on showing the first edition

        def notes() -> list[tuple[list[str], list[str], list[str]]]:
            """Return of every note what is chosen, in words, what is gone, and what the key then tells as lost."""
            found = []
            page.goto(f"{served.address}notes.html")
            for at in range(page.locator("[data-cars] a.car").count()):
                page.goto(f"{served.address}notes.html")
                page.locator("[data-cars] a.car").nth(at).click()
                page.wait_for_selector('[data-screen="note"]:not([hidden]) h1')
                rows = page.locator('[data-screen="note"] select:not(#add)')
                chosen = [rows.nth(one).evaluate("(row) => row.selectedOptions[0].text") for one in range(rows.count())]
                gone = page.locator("[data-gone] p").all_inner_texts()
                page.locator("[data-send]").click()
                assert page.locator("#send-text").input_value()
                page.locator('[data-screen="note"] a.button.first').click()
                page.wait_for_selector("[data-keep]")
                found.append(
                    (chosen, gone, page.locator("p.said", has_text="no longer in the guide").all_inner_texts())
                )
            return found

        for kept in KEPT:
            page.goto("about:blank")
            page.goto(f"{served.address}key.html#{kept}&--at=result")
            page.locator("[data-keep]").click()
        before: list[tuple[list[str], list[str], list[str]]] = [
            (["A square lamp", "A turning knob", "A tin ashtray"], [], []),
            (["An oblong lamp", "Can’t tell"], [], []),
            (["A round lamp or an oblong lamp"], [], []),
        ]
        assert notes() == before
        served.folder = second
        assert notes() == before, "renamed, and all found again"
        served.folder = third
        told = notes()
        assert [(chosen, gone) for chosen, gone, _ in told] == [
            (["A square lamp", "A turning knob"], [GONE.format("Ashtray: Tin")]),
            (["Can’t tell"], [GONE.format("Roof lamp: Oblong")]),
            ([], [GONE.format("Roof lamp: Round or oblong")]),
        ]
        assert [len(lost) for *_, lost in told] == [1, 1, 1]
        page.goto(f"{served.address}notes.html")
        sheet = downloaded(page, "[data-csv]")
        assert watched.faults == []
        served.folder = first
        assert notes() == before, "an edition put back has everything again"
    rows = list(csv.DictReader(io.StringIO(sheet)))
    assert [(row["car"], row["lamp"], row["handle"], row["ashtray"]) for row in rows] == [
        ("S200", "four-cornered", "knob", "tin"),
        ("S300", "oblong-old", "cannot-tell", ""),
        ("S400", "round+oblong-old", "", ""),
    ]
    content, _ = editions[2]
    (content / "cars-seen").mkdir()
    (content / "cars-seen" / "phone.csv").write_text(sheet, encoding="utf-8")
    said = [one.line(ENGLISH) for one in work_out(content).findings if one.place.file == "cars-seen/phone.csv"]
    assert [one for one in said if "ashtray" in one], said
    assert [one for one in said if "oblong-old" in one], said
