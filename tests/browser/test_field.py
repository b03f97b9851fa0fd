"""What is used beside a car, besides the key: today's cars, the record sheet, does it fit its number."""

from __future__ import annotations

import csv
import io
import json
import pathlib
from collections.abc import Iterator
from typing import Any

import pytest

from guide.facts.text.csv_tables import bare_cell
from tests.browser.site import Watched, follow, go, open_page
from tests.browser.test_prints import sizes, words_of

pytestmark = pytest.mark.browser

RESULT = "key.html#switches=rocker&horn-push=plain&--reach=outside,glass&--at=result"


@pytest.fixture
def phone(chromium: Any) -> Iterator[Watched]:
    """A phone; whatever nobody should meet fails the test."""
    with open_page(chromium, has_touch=True, accept_downloads=True) as watched:
        yield watched
        assert watched.faults == []
        assert watched.outside == []


def downloaded(page: Any, selector: str) -> str:
    """Press something that hands over a file and return what is in it."""
    with page.expect_download() as coming:
        page.locator(selector).click()
    return pathlib.Path(coming.value.path()).read_bytes().decode("utf-8")


def rows(text: str) -> list[list[str]]:
    return [[bare_cell(cell) for cell in row] for row in csv.reader(io.StringIO(text.lstrip("\ufeff"), newline=""))]


def test_a_car_is_kept_in_one_press_listed_corrected_removed_and_brought_back(
    phone: Watched, built_guide: pathlib.Path
) -> None:
    page = phone.page
    page.goto(f"{built_guide.as_uri()}/{RESULT}")
    page.get_by_role("button", name="Keep a note of this car").click()
    assert "one car so far" in page.locator("[data-kept]").inner_text()
    page.locator("#note-car").fill("KLM 123H")
    page.locator("#note-remarks").fill("red")
    assert "KLM 123H looks like a registration" in page.locator("#note-car-reply").inner_text()
    page.locator("#note-car").fill("c 19 12")
    page.locator("#note-remarks").focus()
    assert page.locator("#note-car").input_value() == "C1912", "as the guide writes it"
    assert page.locator("#note-car-reply").inner_text() == ""
    follow(page.get_by_role("link", name="Today’s cars"))
    assert page.locator("[data-cars] .car").inner_text().startswith("C1912")
    page.locator("[data-cars] .car").click()
    page.get_by_label("Chassis number, if known").fill("d-1912")
    page.get_by_label("Remarks").focus()
    assert page.get_by_role("heading", level=1).inner_text() == "D1912"
    page.get_by_label("Chassis number, if known").fill("c1912")
    page.keyboard.press("Tab")
    page.get_by_role("combobox", name="Small switches").select_option("toggle")
    page.get_by_label("Add another part").select_option("dials")
    page.get_by_label("Dials").select_option("orange")
    page.locator("[data-back]").click()
    page.reload()
    assert "red" in page.locator("[data-cars] .car").inner_text()
    kept = rows(downloaded(page, "[data-csv]"))
    assert kept[0] == ["car", "untouched", "seen on", "remarks", "horn-push", "dials", "switches"]
    assert [kept[1][0], *kept[1][3:]] == ["C1912", "red", "plain", "orange", "toggle"]
    page.get_by_role("button", name="Remove the note of C1912").click()
    assert page.locator("[data-cars] .car").count() == 0
    page.get_by_role("button", name="Undo").click()
    assert page.locator("[data-cars] .car").count() == 1


def test_all_are_cleared_at_once_and_come_back_by_undoing(phone: Watched, built_guide: pathlib.Path) -> None:
    page = phone.page
    page.goto(f"{built_guide.as_uri()}/{RESULT}")
    page.locator("[data-keep]").click()
    page.goto(f"{built_guide.as_uri()}/record.html")
    page.locator("#car").fill("D744")
    page.get_by_role("button", name="Keep, next car").click()
    page.goto(f"{built_guide.as_uri()}/notes.html")
    assert page.locator("[data-cars] .car").count() == 2
    page.get_by_role("button", name="Clear all").click()
    assert page.locator("[data-cars] .car").count() == 0
    page.get_by_role("button", name="Undo").click()
    assert page.locator("[data-cars] .car").count() == 2
    page.get_by_role("button", name="Clear all").click()
    page.reload()
    assert page.locator("[data-cars] .car").count() == 0
    assert "D744" not in page.evaluate("JSON.stringify(localStorage) + JSON.stringify(sessionStorage)")


def test_a_kept_car_opens_in_the_key_as_it_was(phone: Watched, built_guide: pathlib.Path) -> None:
    page = phone.page
    page.goto(f"{built_guide.as_uri()}/{RESULT}")
    title = page.title()
    page.locator("[data-keep]").click()
    follow(page.get_by_role("link", name="Today’s cars"))
    page.locator("[data-cars] .car").click()
    page.get_by_role("link", name="Open it in the key").click()
    page.wait_for_url("**/key.html#**")
    assert page.title() == title


def test_focus_stays_on_keep_and_a_second_press_keeps_no_second_note(phone: Watched, built_guide: pathlib.Path) -> None:
    page = phone.page
    page.goto(f"{built_guide.as_uri()}/{RESULT}")
    region = page.locator("[data-kept]").element_handle()
    for press in range(2):
        page.locator("[data-keep]").focus()
        page.keyboard.press("Enter")
        assert page.evaluate("document.activeElement.hasAttribute('data-keep')")
        if press == 0:
            page.locator("#note-remarks").fill("rust")
            page.locator("[data-send]").click()
    assert page.locator("#note-remarks").input_value() == "rust"
    assert "one car so far" in region.inner_text(), "the live region is the one that was there before"
    follow(page.get_by_role("link", name="Today’s cars"))
    assert page.locator("[data-cars] .car").count() == 1


def test_the_next_car_begins_with_the_same_reach(phone: Watched, built_guide: pathlib.Path) -> None:
    page = phone.page
    page.goto(f"{built_guide.as_uri()}/{RESULT.replace('outside,glass', 'outside,door')}")
    page.locator("[data-keep]").click()
    page.get_by_role("link", name="Next car").click()
    page.locator("#car").wait_for()
    ticked = page.locator("[name=reach]:checked")
    assert ticked.evaluate_all("boxes => boxes.map(box => box.value)") == ["outside", "door"]
    assert page.locator("#car").input_value() == ""


def test_everything_goes_out_as_one_value(phone: Watched, built_guide: pathlib.Path) -> None:
    page = phone.page
    page.goto(f"{built_guide.as_uri()}/{RESULT}")
    page.locator("[data-keep]").click()
    follow(page.get_by_role("link", name="Today’s cars"))
    value = json.loads(downloaded(page, "[data-json]"))
    assert [car["answers"] for car in value["cars"]] == [{"switches": "rocker", "horn-push": "plain"}]


# ---- the record sheet ----


def test_a_car_is_recorded_and_the_sheet_is_ready_for_the_next(phone: Watched, built_guide: pathlib.Path) -> None:
    page = phone.page
    page.goto(f"{built_guide.as_uri()}/record.html")
    page.locator("#car").fill("C1912")
    switches = page.locator('[data-mark="switches"]')
    switches.get_by_text("It has been changed").click()
    switches.locator("input").nth(0).check()  # a form and "changed" do not go together
    switches.locator("input").nth(1).check()
    page.locator('[data-mark="dials"]').get_by_text("None of these").click()
    page.locator("#remarks").fill("two families")
    page.get_by_role("button", name="Keep, next car").click()
    assert "one car so far" in page.locator("[data-told]").inner_text()
    assert page.locator("input[type=checkbox]:checked:not([name=reach])").count() == 0
    assert page.locator("#car").input_value() == ""
    assert page.evaluate("scrollY") == 0
    follow(page.get_by_role("link", name="Today’s cars").first)
    kept = rows(downloaded(page, "[data-csv]"))
    assert dict(zip(kept[0], kept[1], strict=True)) | {"seen on": ""} == {
        "car": "C1912",
        "untouched": "",
        "seen on": "",
        "remarks": "two families",
        "dials": "none",
        "switches": "toggle+rocker",
    }


def test_a_record_is_taken_back_by_undoing(phone: Watched, built_guide: pathlib.Path) -> None:
    page = phone.page
    page.goto(f"{built_guide.as_uri()}/record.html")
    page.locator("#car").fill("C1912")
    page.locator('[data-mark="switches"] input').first.check()
    page.get_by_role("button", name="Keep, next car").click()
    page.get_by_role("button", name="Undo").click()
    assert page.locator("#car").input_value() == "C1912"
    assert page.locator('[data-mark="switches"] input').first.is_checked()
    follow(page.get_by_role("link", name="Today’s cars").first)
    assert page.locator("[data-cars] .car").count() == 0


def test_the_sheet_shows_the_marks_within_reach(phone: Watched, built_guide: pathlib.Path) -> None:
    page = phone.page
    page.goto(f"{built_guide.as_uri()}/record.html")
    page.get_by_text("How close can you get?").first.click()
    assert not page.locator('[name=reach][value="photographs"]').is_checked()
    for reach in ("glass", "door", "seat", "bonnet", "hands"):
        page.locator(f'[name=reach][value="{reach}"]').uncheck()
    shown = page.locator("[data-mark]:not([data-always]):visible").evaluate_all(
        "all => all.map(one => one.dataset.reach)"
    )
    assert set(shown) == {"outside"}
    assert page.locator("[data-always]:visible").count() == 4, "what a car is as a whole stands there for all"
    assert not page.locator("[data-area]", has=page.locator('[data-mark="washer-bottle"]')).is_visible()


def test_photographs_stand_alone_on_the_sheet_as_in_the_key(phone: Watched, built_guide: pathlib.Path) -> None:
    page = phone.page
    page.goto(f"{built_guide.as_uri()}/record.html")
    page.get_by_text("How close can you get?").first.click()
    page.locator('[name=reach][value="photographs"]').check()
    assert page.locator("[name=reach]:checked").evaluate_all("all => all.map(one => one.value)") == ["photographs"]
    shown = page.locator("[data-mark]:not([data-always]):visible").evaluate_all(
        "all => all.map(one => one.dataset.photographs)"
    )
    assert len(shown) > 5
    assert set(shown) == {"yes"}
    page.locator('[name=reach][value="glass"]').check()
    assert page.locator("[name=reach]:checked").evaluate_all("all => all.map(one => one.value)") == ["glass"]


def test_an_empty_box_on_a_drawing_is_not_dark_in_the_dark(chromium: Any, built_guide: pathlib.Path) -> None:
    with open_page(chromium, width=360, height=560, color_scheme="dark") as watched:
        for address in ("record.html", "key.html#--reach=glass&--look=dials&--several"):
            go(watched.page, built_guide, address)
            box = watched.page.locator(".leaf input[type=checkbox]").first
            assert box.evaluate("box => getComputedStyle(box).colorScheme") == "light"
            assert watched.page.evaluate("getComputedStyle(document.body).colorScheme") == "dark"


@pytest.mark.parametrize("height", [560, 844])
def test_where_it_could_be_several_box_drawing_and_words_stand_in_one_row(
    chromium: Any, built_guide: pathlib.Path, height: int
) -> None:
    with open_page(chromium, width=360, height=height) as watched:
        go(watched.page, built_guide, "key.html#--reach=glass&--look=dials&--several")
        rows = watched.page.locator(".several .answer").evaluate_all(
            "all => all.map((row) => Array.from(row.children, (one) => one.getBoundingClientRect().toJSON()))"
        )
        assert len(rows) == 3
        for box, picture, words in rows:
            assert box["right"] <= picture["left"] < picture["right"] <= words["left"]
            assert max(picture["top"], words["top"]) < min(picture["bottom"], words["bottom"])
            assert picture["left"] - box["right"] < 20
            assert picture["width"] >= 96


def test_an_empty_sheet_is_not_kept(phone: Watched, built_guide: pathlib.Path) -> None:
    page = phone.page
    page.goto(f"{built_guide.as_uri()}/record.html")
    page.get_by_role("button", name="Keep, next car").click()
    assert "Nothing is ticked yet." in page.locator("[data-told]").inner_text()


# ---- does it fit its number ----


def test_a_drawing_is_the_button_for_what_is_found_and_its_source_is_two_taps_away(
    phone: Watched, built_guide: pathlib.Path
) -> None:
    page = phone.page
    page.goto(f"{built_guide.as_uri()}/fits.html")
    page.get_by_label("The chassis number").fill("c 2500")
    page.get_by_role("button", name="Show what it should have").click()
    assert "C2500" in page.locator(".car-fits h2").inner_text()
    assert page.get_by_text("Nothing looked at yet.").is_visible()
    row = page.get_by_role("group", name="Small switches")
    plates = row.locator(".plate")
    assert plates.count() == 3
    assert [one for one in plates.all() if one.locator(".drawing").count() != 1] == []
    assert row.get_by_role("button", name="Flat black rockers, no signs Should have").count() == 1
    row.get_by_role("button", name="Black rockers with small white signs").click()
    assert row.locator("[aria-pressed=true]").count() == 1
    assert row.locator(".verdict").inner_text() == "Later type."
    assert "You have looked at one part; one differs." in page.locator(".car-fits").inner_text()
    page.wait_for_url("**#switches=symbols&--car=C2500")
    heard = page.locator("[data-heard][role=status]")
    assert heard.inner_text() == "Later type. You have looked at one part; one differs."
    row.get_by_role("link", name="How we know").click()
    page.wait_for_url("**/marks/switches.html#changes")
    source = page.locator("#changes ~ section .source, #changes ~ p .source, .change .source").first
    source.click()
    assert page.locator(":target").inner_text() != ""
    assert page.locator(":target a[href*='sources.html']").is_visible()


def test_a_plate_pressed_again_was_not_looked_at_and_words_stand_beneath_the_plates(
    phone: Watched, built_guide: pathlib.Path
) -> None:
    page = phone.page
    page.goto(f"{built_guide.as_uri()}/fits.html#switches=rocker&--car=C2500")
    row = page.get_by_role("group", name="Small switches")
    pressed = row.locator("[aria-pressed=true]")
    assert pressed.inner_text().startswith("Flat black rockers, no signs")
    pressed.click()
    assert pressed.count() == 0
    assert page.evaluate("document.activeElement.id") == "found-C2500-switches-rocker"
    row.get_by_text("Can’t tell, or something else").click()
    row.get_by_role("button", name="It has been changed").click()
    assert row.locator(".verdict").inner_text() == "Changed, by what can be seen."
    assert row.get_by_role("button", name="It has been changed").is_visible(), "what was pressed stays in sight"


def test_each_number_that_cannot_be_used_has_a_line_of_its_own(phone: Watched, built_guide: pathlib.Path) -> None:
    page = phone.page
    page.goto(f"{built_guide.as_uri()}/fits.html#--car=KLM%20123H,C1912,99")
    lines = page.locator("[data-reply] > *")
    assert [one.inner_text().split(" ")[0] for one in lines.all()] == ["KLM", "99"]
    tops = [box["y"] + box["height"] for one in lines.all() if (box := one.bounding_box())]
    assert tops[0] < tops[1]


CARS = "C1912,D744,C4000,C2500L,C1500,D1500,C3500,C1200,D600,C1001,C4300,C2000"


def test_a_class_of_cars_stands_on_one_landscape_sheet(phone: Watched, built_guide: pathlib.Path) -> None:
    page = phone.page
    page.goto(f"{built_guide.as_uri()}/fits.html#--car=C1912,C1920")
    page.locator("#found-C1920-switches-symbols").click()
    page.get_by_role("link", name="All of them on one sheet").click()
    assert page.locator(".class-sheet thead th").all_inner_texts() == ["Part", "C1912", "C1920"]
    row = page.locator(".class-sheet tbody tr", has=page.get_by_text("Small switches", exact=True))
    assert row.locator("td").all_inner_texts()[0] == "1, 2"
    assert row.locator("td").all_inner_texts()[1].split("\n") == ["1, 2", "found: 3"]
    assert "Door handles" not in page.locator(".class-sheet tbody th").all_inner_texts()
    assert "Door handles: " in page.locator(".class-sheet .alike").inner_text(), "where all agree, one row holds it"
    page.get_by_role("link", name="Car by car").click()
    assert "You have looked at one part; one differs." in page.locator(".car-fits").nth(1).inner_text()
    go(page, built_guide, f"fits.html#--car={CARS}&--at=result")
    assert page.locator(".class-sheet tbody th").count() > 20
    (own,) = {tuple(sheet) for sheet in sizes(page.pdf(prefer_css_page_size=True))}
    assert own[0] > own[1], "it lies on its side without being told"
    for paper in ("A4", "Letter"):
        (sheet,) = words_of(page.pdf(format=paper, landscape=True))
        assert "not a certificate" in " ".join(sheet.split())
        assert "Edition: autumn 2026" in sheet
    assert phone.faults == []


def test_more_cars_than_a_sheet_holds_go_on_with_the_same_caution(phone: Watched, built_guide: pathlib.Path) -> None:
    page = phone.page
    page.goto(f"{built_guide.as_uri()}/fits.html#--car={CARS},C2222,D1234&--at=result")
    assert page.locator(".class-sheet").count() == 2
    sheets = words_of(page.pdf(format="A4", landscape=True))
    assert len(sheets) == 2
    assert all("not a certificate" in " ".join(sheet.split()) and "Edition: autumn 2026" in sheet for sheet in sheets)


def test_what_a_number_should_have_prints_drawn_with_a_label_the_caution_and_the_edition(
    phone: Watched, built_guide: pathlib.Path
) -> None:
    page = phone.page
    page.goto(f"{built_guide.as_uri()}/fits.html#--car=C2500&horn-push=padded")
    page.locator(".plate .drawing").nth(60).wait_for()
    page.emulate_media(media="print")
    drawn = page.locator(".fit .drawing").evaluate_all(
        "all => all.filter((one) => one.getBoundingClientRect().width > 40).length"
    )
    assert drawn == page.locator(".plate.expected").count() + 1, "what it should have, and the one thing found instead"
    page.emulate_media(media="null")
    for paper in ("A4", "Letter"):
        (sheet,) = words_of(page.pdf(format=paper))
        for words in ("Number on the car C2500", "Looked at by", "Day", "Edition: autumn 2026 (", "not a certificate"):
            assert words in " ".join(sheet.split()), (paper, words)


def test_each_number_of_a_list_prints_on_a_page_of_its_own(phone: Watched, built_guide: pathlib.Path) -> None:
    page = phone.page
    page.goto(f"{built_guide.as_uri()}/fits.html")
    page.get_by_label("The chassis number").fill("C1912\nD744; C4000\nKLM 123H")
    page.get_by_role("button", name="Show what it should have").click()
    assert [text.split(",")[0] for text in page.locator(".car-fits h2").all_inner_texts()] == ["C1912", "D744", "C4000"]
    assert "KLM 123H looks like a registration" in page.locator("[data-reply]").inner_text()
    page.reload()
    assert page.locator(".car-fits").count() == 3
    for paper in ("A4", "Letter"):
        assert page.pdf(format=paper).count(b"/Type /Page\n") == 3, paper
    go(page, built_guide, "fits.html#--car=C2500")
    for paper in ("A4", "Letter"):
        assert page.pdf(format=paper).count(b"/Type /Page\n") == 1, paper


def test_what_is_found_on_one_car_of_a_list_leaves_the_others_where_they_are(
    phone: Watched, built_guide: pathlib.Path
) -> None:
    page = phone.page
    page.goto(f"{built_guide.as_uri()}/fits.html")
    page.get_by_label("The chassis number").fill("C1912\nD744\nC4000\nd 744")
    assert page.get_by_label("The chassis number").evaluate("field => field.rows") == 4
    page.get_by_role("button", name="Show what it should have").click()
    page.locator("#found-D744-tail-lamps-oblong-reverse").click()
    assert page.evaluate("document.activeElement.id") == "found-D744-tail-lamps-oblong-reverse"
    page.locator("#found-C4000-switches-symbols").click()
    for _ in range(2):
        told = [text.split("\n")[0] for text in page.locator(".car-fits [data-looked]").all_inner_texts()]
        assert told == [
            "Nothing looked at yet.",
            "You have looked at one part; one differs.",
            "You have looked at one part; none differ.",
        ]
        page.reload()


def test_a_part_that_the_body_cannot_have_is_not_asked_for(phone: Watched, built_guide: pathlib.Path) -> None:
    phone.page.goto(f"{built_guide.as_uri()}/fits.html#--car=C1912")
    assert phone.page.get_by_role("group", name="Soft-top window").count() == 0
    phone.page.goto("about:blank")
    phone.page.goto(f"{built_guide.as_uri()}/fits.html#--car=D744")
    assert phone.page.get_by_role("group", name="Soft-top window").count() == 1
