"""Looking things up and reading: search, a number on a mark's page, sheets by number, links that filter."""

from __future__ import annotations

import pathlib
from collections.abc import Iterator
from typing import Any

import pytest

from guide.pages.parts.sheet_parts import BOTH, DRAWN
from tests.browser.site import Watched, follow, go, open_page

pytestmark = pytest.mark.browser


@pytest.fixture
def watched(chromium: Any) -> Iterator[Watched]:
    """A desk; whatever nobody should meet fails the test."""
    with open_page(chromium, width=1280, height=900) as opened:
        yield opened
        assert opened.faults == []
        assert opened.outside == []


def results(page: Any) -> list[str]:
    return [str(text) for text in page.locator("[data-results] a b").all_text_contents()]


def test_the_field_in_the_head_of_any_page_leads_to_what_is_asked(watched: Watched, built_guide: pathlib.Path) -> None:
    page = watched.page
    go(page, built_guide, "marks/switches.html")
    field = page.locator(".running-head [name=q]")
    field.fill("Rueckleuchten")
    field.press("Enter")
    page.wait_for_url("**/search.html?q=Rueckleuchten")
    page.locator("[data-results] a").first.wait_for()
    assert "Tail lamps" in results(page)
    assert page.locator("[data-results] svg.drawing").count() >= 3, "answers are drawn"


@pytest.mark.parametrize("typed", ["T1091", "t 1091", "no. T-1091"])
def test_a_superseded_part_number_comes_first_and_leads_to_its_successor(
    watched: Watched, built_guide: pathlib.Path, typed: str
) -> None:
    page = watched.page
    go(page, built_guide, "search.html")
    page.fill("[data-search] [name=q]", typed)
    page.locator("[data-results] .numbered").first.wait_for()
    assert page.locator("[data-results] .entries a").first.get_attribute("href") == "marks/switches.html#form-toggle"
    assert page.locator("[data-results] .numbered").all_text_contents()[:2] == [
        "Part number T1091, superseded by T1091/3",
        "Part number T1091/3, which took the place of T1091",
    ]
    page.locator("[data-results] a", has_text="T1091/3, which").click()
    page.wait_for_url("**/marks/switches.html#form-symbols")


def test_a_form_that_is_found_opens_at_that_form(watched: Watched, built_guide: pathlib.Path) -> None:
    page = watched.page
    go(page, built_guide, "search.html?q=round+metal+toggles")
    page.locator("[data-results] a", has_text="Round metal toggles").first.click()
    page.wait_for_url("**/marks/switches.html#form-toggle")
    assert page.evaluate("document.querySelector('figure:target').id") == "form-toggle"


@pytest.mark.parametrize(
    ("typed", "told"),
    [("C1840", "C1840"), ("c 1840", "C1840"), ("C-1840", "C1840"), ("d1000", "D1000"), ("C2210 l", "C2210L")],
)
def test_a_chassis_number_is_known_however_spaced(
    watched: Watched, built_guide: pathlib.Path, typed: str, told: str
) -> None:
    page = watched.page
    go(page, built_guide, "search.html")
    page.fill("[data-search] [name=q]", typed)
    heading = page.locator(".car h2")
    heading.wait_for()
    assert heading.text_content() == told
    assert page.locator(".car a[href^='sheets.html']").count() == 1
    assert page.locator("[data-results] .entries").count() == 0, "the pieces of a number are no words"


def test_a_registration_and_a_gap_are_told_for_what_they_are(watched: Watched, built_guide: pathlib.Path) -> None:
    page = watched.page
    for typed, words in (("C2933", "Source: Works ledger, an abstract."), ("ABC 123D", "looks like a registration")):
        go(page, built_guide, "search.html")
        page.fill("[data-search] [name=q]", typed)
        page.locator(".car p").wait_for()
        assert words in page.locator(".car p").inner_text()


def test_a_note_that_is_pasted_leads_to_where_cars_are_dated(watched: Watched, built_guide: pathlib.Path) -> None:
    page = watched.page
    go(page, built_guide, "search.html")
    line = "What was seen: Small switches: rockers. switches=rocker tail-lamps=cannot-tell --car D1006 --edition 2026"
    page.fill("[data-search] [name=q]", line)
    ways = page.locator(".car a")
    ways.first.wait_for()
    of_note = "#switches=rocker&tail-lamps=cannot-tell&--car=D1006&--edition=2026"
    assert [way.get_attribute("href") for way in ways.all()] == [f"key.html{of_note}", f"car.html{of_note}"]


def test_a_number_without_its_letter_is_told_so(watched: Watched, built_guide: pathlib.Path) -> None:
    page = watched.page
    go(page, built_guide, "search.html?q=1840")
    assert "1840 is short of its letter or a nought." in page.locator("[data-found]").inner_text()


def test_what_is_written_like_no_number_is_told_so_as_on_every_page(
    watched: Watched, built_guide: pathlib.Path
) -> None:
    page = watched.page
    go(page, built_guide, "search.html?q=Z9999")
    assert "Z9999 isn’t written like any chassis number" in page.locator("[data-found]").inner_text()


def test_a_good_number_is_not_lost_for_a_bad_one_beside_it(watched: Watched, built_guide: pathlib.Path) -> None:
    page = watched.page
    go(page, built_guide, "search.html?q=C9999+or+C1217")
    assert page.locator(".car h2").all_inner_texts() == ["C1217"]
    assert "C9999 isn’t in the tables" in page.locator("[data-results]").inner_text()
    page.fill("[data-search] [name=q]", "C9999, C1217 and C2711")
    page.get_by_role("link", name="C1217 and C2711 side by side").click()
    page.locator("[data-choose] summary").click()
    page.fill("[name=number] >> nth=0", "C9999, C1217 or C2711")
    page.fill("[name=number] >> nth=1", "")
    page.locator("[data-ask] [type=submit]").click()
    assert "C9999 isn’t in the tables" in page.locator("[data-reply]").inner_text()
    assert page.locator("[data-result] h2").first.inner_text() == "C1217 and C2711"


def test_a_month_and_a_year_are_words_and_no_registration(watched: Watched, built_guide: pathlib.Path) -> None:
    page = watched.page
    go(page, built_guide, "search.html?q=May+1968")
    page.locator("[data-results] a[href='periods/early.html']").wait_for()
    assert "registration" not in page.locator("main").inner_text()


def test_two_forms_named_together_lead_to_the_page_that_tells_them_apart(
    watched: Watched, built_guide: pathlib.Path
) -> None:
    page = watched.page
    go(page, built_guide, "search.html?q=rockers+or+toggles")
    first = page.locator("[data-results] section").first
    assert first.locator("h2").inner_text() == "Telling two apart"
    assert page.locator("[data-found]").inner_text().startswith(f"{page.locator('[data-results] li').count()} ")
    first.get_by_role("link", name="Small switches: toggles or rockers?").click()
    page.wait_for_url("**/forms/switches-toggle-or-rocker.html")


def test_a_word_misspelt_is_asked_back(watched: Watched, built_guide: pathlib.Path) -> None:
    page = watched.page
    go(page, built_guide, "search.html?q=demistr")
    page.locator("[data-results] a").first.wait_for()
    assert "Did you mean demister" in page.locator("[data-found]").inner_text()


def test_nothing_found_leads_to_the_a_to_z(watched: Watched, built_guide: pathlib.Path) -> None:
    page = watched.page
    go(page, built_guide, "search.html?q=xylophone")
    assert "Nothing here under “xylophone”" in page.locator("[data-found]").inner_text()
    page.locator("main a[href='a-to-z.html']:visible").first.click()
    page.wait_for_url("**/a-to-z.html")


def test_a_number_points_out_its_form(watched: Watched, built_guide: pathlib.Path) -> None:
    page = watched.page
    go(page, built_guide, "marks/switches.html")
    expected = {"C1100": ["form-toggle"], "C1822": ["form-toggle", "form-rocker"], "C3900": ["form-symbols"]}
    for number, forms in expected.items():
        page.fill("#your-number", number)
        page.press("#your-number", "Enter")
        marked = page.evaluate("[...document.querySelectorAll('.expected')].map((one) => one.id)")
        assert marked == forms
        assert number in page.locator("[data-expect-says]").inner_text()
    page.fill("#your-number", "C2933")
    page.press("#your-number", "Enter")
    assert "was never built" in page.locator("[data-expect-says]").inner_text()
    assert page.locator(".expected").count() == 0


def test_a_part_of_one_body_only_says_so_of_the_other(watched: Watched, built_guide: pathlib.Path) -> None:
    page = watched.page
    go(page, built_guide, "marks/soft-top-window.html")
    page.fill("#your-number", "C1840")
    page.press("#your-number", "Enter")
    assert "never had this part" in page.locator("[data-expect-says]").inner_text()


def test_a_sheet_is_made_for_a_number_and_kept_in_the_address(watched: Watched, built_guide: pathlib.Path) -> None:
    page = watched.page
    go(page, built_guide, "sheets.html")
    page.fill("#buy-car", "c1840")
    page.press("#buy-car", "Enter")
    page.locator("[data-title]", has_text="C1840").wait_for()
    page.locator("[data-places] .item svg.drawing").nth(DRAWN - 2).wait_for()
    both = page.locator("[data-places] .item.both").count()
    room = page.locator("[data-places] .item").count() - both + both * BOTH
    assert DRAWN - BOTH < room <= DRAWN, "as many as a side holds"
    assert page.evaluate("document.activeElement.matches('[data-title]')"), "the reader stands at the heading"
    page.wait_for_url("**--car=c1840**")
    page.reload()
    page.locator("[data-title]", has_text="C1840").wait_for()
    page.go_back()
    page.locator("#buy-car").wait_for()


def test_a_sheet_is_made_from_an_advert(watched: Watched, built_guide: pathlib.Path) -> None:
    page = watched.page
    go(page, built_guide, "sheets.html")
    page.locator("[data-buy] [type=submit]").click()
    assert page.locator("[data-reply]").inner_text() != ""
    page.select_option("#buy-year", "1970")
    page.select_option("#buy-body", "open")
    page.select_option("#buy-colour", "tan")
    page.locator("[data-buy] [type=submit]").click()
    page.locator("[data-places] .item").nth(9).wait_for()
    said = page.locator("[data-title]").inner_text()
    assert all(word in said for word in ("1970", "open car", "tan"))
    names = page.locator("[data-places] .item b, [data-lines] b").all_text_contents()
    assert not any("Luggage strap" in name for name in names), "an open car has none"


def test_a_sheet_takes_a_month_and_the_keys_own_answers_and_says_what_the_key_says(
    watched: Watched, built_guide: pathlib.Path
) -> None:
    page = watched.page
    go(page, built_guide, "key.html#switches=rocker&tail-lamps=round&--known=registered=1968-09&--at=result")
    said = page.title()
    page.locator("a[data-sheet]").click()
    page.locator("[data-title]", has_text="September 1968, two looks").wait_for()
    assert page.locator("[data-when]").inner_text() == said
    page.locator("[data-again]").click()
    page.select_option("#buy-month", "03")
    page.locator("[data-buy] [type=submit]").click()
    page.locator("[data-title]", has_text="March 1968").wait_for()


def test_a_wrong_number_is_answered_where_it_was_typed(watched: Watched, built_guide: pathlib.Path) -> None:
    page = watched.page
    go(page, built_guide, "sheets.html")
    page.fill("#buy-car", "ABC 123D")
    page.press("#buy-car", "Enter")
    assert "registration" in page.locator("[data-reply]").inner_text()
    assert page.evaluate("document.activeElement.id") == "buy-car"
    assert page.locator("[data-sheet]").is_hidden()


@pytest.mark.parametrize("asked", ["body=barouche", "year=spring"])
def test_an_old_bookmark_of_a_sheet_is_answered_where_one_asks_anew(
    watched: Watched, built_guide: pathlib.Path, asked: str
) -> None:
    page = watched.page
    go(page, built_guide, f"sheets.html#{asked}")
    assert page.locator("[data-reply]").inner_text().startswith("This guide knows no such car:")
    assert page.locator("#buy-car").is_visible()
    assert page.locator("[data-sheet]").is_hidden()


def test_the_timeline_is_filtered_by_links_and_its_edges_lead_to_their_reasons(
    chromium: Any, built_guide: pathlib.Path
) -> None:
    with open_page(chromium, width=1280, height=900, java_script_enabled=False) as opened:
        page = opened.page
        go(page, built_guide, "timeline.html")
        whole = page.locator(".timeline > li").count()
        page.locator("summary", has_text="Show only").click()
        follow(page.get_by_role("link", name="Rear", exact=True))
        assert page.locator(".timeline > li").count() < whole
        assert page.locator("[aria-current=page]").inner_text() == "Rear"
        follow(page.locator(".figures-table a", has_text="Tail lamps").first)
        target = page.locator("section:target .because")
        assert "Because" in target.inner_text()
        page.locator("section:target .because a.source").first.click()
        assert page.locator("li:target a").count() == 1, "the source is one step away, and its page two"
        assert opened.faults == []


def test_the_same_figures_stand_in_the_table_as_on_the_marks_own_page(
    watched: Watched, built_guide: pathlib.Path
) -> None:
    page = watched.page
    go(page, built_guide, "timeline.html")
    row = page.locator(".figures-table tr", has_text="Small switches").first.text_content()
    go(page, built_guide, "marks/switches.html")
    text = page.locator("#changes ~ section").first.inner_text()
    assert "24 May 1968" in row
    assert "24 May 1968" in text


def test_two_numbers_typed_lead_to_both_cars_side_by_side(watched: Watched, built_guide: pathlib.Path) -> None:
    page = watched.page
    go(page, built_guide, "search.html?q=C1217+or+C2711")
    page.get_by_role("link", name="C1217 and C2711 side by side").click()
    page.wait_for_url("**/side-by-side.html#--car=C1217&--car=C2711")
    shown = page.locator("[data-result]").inner_text()
    assert "The biggest giveaway" in shown
    assert "Round metal toggles" in shown
    assert "Service bulletin 7, dash switches (page 3) gives C1840 as the last" in shown
    assert page.locator(".pair-row .picture svg").count() >= 20
    go(page, built_guide, "side-by-side.html")
    page.get_by_label("The chassis number").first.fill("C1217 or C1218")
    page.get_by_role("button", name="Show where they differ").click()
    assert "nothing certain tells C1217 and C1218 apart" in page.locator("[data-result]").inner_text()


def test_the_record_sheet_compares_what_is_ticked_with_the_number_and_leads_nobody(
    watched: Watched, built_guide: pathlib.Path
) -> None:
    page = watched.page
    go(page, built_guide, "record.html#--car=D1005")
    assert page.locator("[data-compared]").count() == 0, "nothing is told of a part before it is ticked"
    page.locator("[data-mark=dash-facing] input[value=veneer]").check()
    assert page.locator("[data-mark=dash-facing] [data-compared]").inner_text() == (
        "Right for a car of this kind: leather trim only."
    )
    page.locator("[data-mark=interior] input[value=black-vinyl]").check()
    assert "What D1005 should have: Flat, in wrinkled paint." in page.locator("[data-mark=dash-facing]").inner_text()


def test_a_note_that_is_pasted_for_a_number_is_ticked(watched: Watched, built_guide: pathlib.Path) -> None:
    page = watched.page
    go(page, built_guide, "record.html")
    page.fill("#car", 'Seen: rockers. switches=rocker tail-lamps=cannot-tell --car "D1006" --edition "2026"')
    ticked = "boxes => boxes.filter(box => box.checked).map(box => box.name + '=' + box.value)"
    assert page.locator(".mark input").evaluate_all(ticked) == ["tail-lamps=cannot-tell", "switches=rocker"]
    assert page.input_value("#car") == "D1006"
    assert page.locator("[data-mark=switches] [data-compared]").inner_text()


def test_looking_up_opens_with_places_to_go_and_shows_five_of_a_kind(
    watched: Watched, built_guide: pathlib.Path
) -> None:
    page = watched.page
    go(page, built_guide, "search.html")
    opening = page.locator("[data-opening]")
    links = [link.get_attribute("href") for link in opening.get_by_role("link").all()]
    assert {"marks.html", "timeline.html", "areas/dash.html", "periods/early.html", "a-to-z.html"} <= set(links)
    page.locator("#question").fill("black")
    page.locator("[data-results] section").first.wait_for()
    assert not opening.is_visible()
    assert page.locator("[data-results] section").first.locator("li").count() == 5
    page.locator("#question").fill("ashtray")
    page.locator("[data-found]", has_text="ashtray").wait_for()
    assert page.locator("[data-found]").inner_text() == "Nothing here under “ashtray”. Did you mean tray?"
    assert page.locator("[data-results] li", has_text="Tunnel tray").count() > 0


def test_names_in_other_languages_stand_behind_a_choice_and_a_number_is_asked_for_at_once(
    chromium: Any, built_guide: pathlib.Path
) -> None:
    with open_page(chromium, width=390, height=844, java_script_enabled=False) as opened:
        page = opened.page
        go(page, built_guide, "a-to-z.html")
        tall = "document.documentElement.scrollHeight"
        assert page.evaluate(tall) < 1500, "one letter at a time"
        page.get_by_role("link", name="S", exact=True).click()
        assert page.locator(".index section:visible h2").all_inner_texts() == ["S"]
        page.get_by_role("link", name="All letters").click()
        german = page.locator(".index [lang=de]").first
        assert not german.is_visible()
        page.get_by_label("Names in other languages too").check()
        assert german.is_visible()
        go(page, built_guide, "index.html")
        assert page.locator(".doors a").all_inner_texts()[2].startswith("I have one")
        page.get_by_label("A chassis number, a part or a word").fill("C1840")
        page.get_by_role("button", name="Look it up").click()
        page.wait_for_url("**/search.html?q=C1840")
        assert opened.faults == []


POINTED = """() => [...document.querySelectorAll('.pointed')].map((one) => {
  const box = (of) => {
    const at = of.getBoundingClientRect();
    return [at.left, at.top, at.right, at.bottom].map(Math.round);
  };
  const inside = (name) => box(one.querySelector(name)), end = inside('.end'), words = document.createRange();
  words.selectNodeContents(one.querySelector('p'));
  return {
    drawn: inside('.drawing'), over: inside('.leading'), line: inside('.line'),
    end: [(end[0] + end[2]) / 2, (end[1] + end[3]) / 2], name: words.toString(), words: box(words),
  };
})"""


@pytest.mark.parametrize("width", [360, 1280])
def test_a_detail_is_named_beneath_its_drawing_and_a_line_leads_to_it(
    chromium: Any, built_guide: pathlib.Path, width: int
) -> None:
    with open_page(chromium, width=width) as opened:
        go(opened.page, built_guide, "marks/switches.html")
        found = opened.page.evaluate(POINTED)
    assert [one["name"] for one in found] == ["Round collar", "Crease across", "White sign"]
    for one in found:
        assert one["over"] == one["drawn"], "the line is drawn to the drawing's own measure"
        left, top, right, bottom = one["line"]
        assert bottom == pytest.approx(one["drawn"][3], abs=2)
        assert one["words"][1] >= bottom - 2
        assert one["words"][0] - 2 <= (left if one["end"][0] > (left + right) / 2 else right) <= one["words"][2] + 2
        assert one["drawn"][1] < one["end"][1] == pytest.approx(top, abs=3)
