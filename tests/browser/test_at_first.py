"""What the key asks before any look and what it says after the last: at a glance, in two taps, on a small phone; what
becomes of numbers that do not fit, of addresses that nobody can read, and of drawings that are not there."""

from __future__ import annotations

import pathlib
from typing import Any

import pytest

from guide.command.main import main
from guide.command.start import STARTER
from tests.browser.site import expect
from tests.browser.test_key import REACH, visit
from tests.starting import started

pytestmark = pytest.mark.browser

SMALL_PHONE = {"width": 360, "height": 640}


def test_body_side_and_trim_are_answered_in_two_taps_each_and_kept_by_the_way_back(
    chromium: Any, built_guide: pathlib.Path
) -> None:
    with visit(chromium, built_guide, **SMALL_PHONE) as one:
        one.go("key.html")
        one.page.get_by_text("A folding soft top").tap()
        one.page.get_by_text("On the left, as you sit").tap()
        one.page.locator("details.glances summary").tap()
        one.page.get_by_text("Tan leather, creased").tap()
        expect(one.page.locator("details.glances b")).to_have_text("Tan leather, creased and cool to the hand")
        one.page.get_by_role("button", name="Start looking").tap()
        one.page.locator('[data-screen="look"] h1').wait_for()
        assert one.hash() == "#body=open&hand=left&interior=tan-leather&--reach=outside,glass"
        assert one.page.locator(".where").inner_text().startswith("Look 1,")
        one.page.locator("[data-back]").click()
        one.settle()
        chosen = one.page.locator("[data-at-first] input:checked")
        assert chosen.evaluate_all("boxes => boxes.map(box => box.value)") == ["open", "left", "tan-leather"]
        one.page.locator("[name=first-body][value=cannot-tell]").check()
        one.page.get_by_role("button", name="Start looking").click()
        assert one.hash().startswith("#body=cannot-tell&hand=left&")
        one.check()


def test_no_reach_at_all_is_told_and_a_date_is_chosen(chromium: Any, built_guide: pathlib.Path) -> None:
    with visit(chromium, built_guide) as one:
        one.go("key.html")
        for reach in ("outside", "glass"):
            one.page.locator(f"[name=reach][value={reach}]").uncheck()
        one.page.get_by_role("button", name="Start looking").click()
        assert "Tick at least one" in one.page.locator("[data-reach-reply]").inner_text()
        told = one.page.evaluate("""[...document.querySelectorAll('[data-reach-reply], .dock')].map(
          (shown) => { const { top, bottom } = shown.getBoundingClientRect(); return [top, bottom]; })""")
        assert told[0][0] >= 0
        assert told[0][1] <= told[1][0], "in sight, and not under the button"
        one.page.get_by_text("Through the glass").click()
        one.page.get_by_text("Is another date known?").click()
        one.page.select_option("#known-kind", "registered")
        assert one.page.locator("#known-month option").nth(3).inner_text() == "March"
        one.page.select_option("#known-year", "1968")
        one.page.select_option("#known-month", "02")
        one.page.select_option("#known-day", "31")
        one.page.get_by_role("button", name="Start looking").click()
        assert one.page.locator("[data-known-reply]").inner_text() == "That month has no such day."
        one.page.select_option("#known-day", "")
        one.page.get_by_role("button", name="Start looking").click()
        assert one.hash() == "#--reach=glass&--known=registered=1968-02"
        one.check()


def test_the_date_on_a_part_is_chosen_beside_that_on_a_paper_and_each_can_be_left_out(
    chromium: Any, built_guide: pathlib.Path
) -> None:
    with visit(chromium, built_guide) as one:
        one.go("key.html#--reach=glass&--known=registered=1969-06&--at=begin")
        so_far = one.page.locator("[data-known-so-far] li")
        so_far.first.wait_for()
        assert so_far.all_inner_texts() == ["First registered: in June 1969 Leave out"]
        one.page.select_option("#known-kind", "part:belts")
        assert "label sewn to the webbing" in one.page.locator("[data-known-day]").inner_text()
        assert one.page.locator("#known-year option").nth(1).inner_text() == "1964"
        one.page.select_option("#known-year", "1969")
        one.page.select_option("#known-month", "03")
        one.page.get_by_role("button", name="Start looking").click()
        assert one.hash() == "#--reach=glass&--known=registered=1969-06&--known=part:belts=1969-03"
        one.page.locator("[data-back]").click()
        so_far.nth(1).wait_for()  # once the words of its part have come
        assert len(so_far.all_inner_texts()) == 2
        so_far.first.get_by_role("link").click()
        so_far.nth(1).wait_for(state="detached")
        assert so_far.all_inner_texts() == ["Date on a part: Seat belts: in March 1969 Leave out"]
        one.check()


def test_a_number_that_no_table_holds_is_questioned_while_it_is_typed(chromium: Any, built_guide: pathlib.Path) -> None:
    with visit(chromium, built_guide) as one:
        one.go("key.html")
        for typed, said in (
            ("C29", ""),
            ("C5000", "C5000 isn’t in the tables"),
            ("C2933", "C2933 was never built"),
            ("C1840", ""),
        ):
            one.page.fill("#car", typed)
            assert one.page.locator("[data-reply]").inner_text()[: len(said) or None] == said
        one.check()


def test_a_result_shows_sentence_doubt_and_next_look_on_a_small_phone_and_the_rest_under_why(
    chromium: Any, built_guide: pathlib.Path
) -> None:
    with visit(chromium, built_guide, **SMALL_PHONE) as one:
        page = one.page
        one.go(f"key.html#switches=rocker&tail-lamps=round&dash-facing=veneer&{REACH}&--at=result")
        for shown in (page.locator("h1.span"), page.locator("[data-more]"), page.locator("[data-settle]")):
            box = shown.bounding_box()
            assert box is not None
            assert box["y"] + box["height"] <= 640
        assert "Right for a car of this kind: leather trim only." in page.locator(".onward").inner_text()
        page.get_by_text("Why?").tap()
        page.locator(".why a").first.wait_for()
        links = page.locator(".why a")
        assert links.evaluate_all("links => links.map(one => one.getAttribute('href'))") == [
            "marks/tail-lamps.html",
            "marks/switches.html",
        ]
        page.locator("[data-settle]").tap()
        expect(page.locator('[data-screen="look"] h1')).to_have_text("What are the seats trimmed in?")
        page.locator('[data-answer="black-leather"]').tap()
        page.wait_for_url("**dash-facing=veneer&interior=black-leather**")
        one.go(
            f"key.html#switches=symbols&dials=orange&stalk=black-symbol&tail-lamps=oblong-reverse&horn-push=padded&--car=C1840&{REACH}&--at=result"
        )
        doubt = page.locator(".said").filter(has_text="doesn’t fit").first.bounding_box()
        assert doubt is not None
        assert doubt["y"] + doubt["height"] <= 640
        one.go("key.html#--car=C1840&--reach=outside,glass&--at=result")
        page.get_by_text("Why?").tap()
        page.get_by_text("From the number alone: nothing has been looked at.").wait_for()
        one.check()


def test_nothing_moves_between_press_and_release_where_a_number_has_just_been_typed(
    chromium: Any, built_guide: pathlib.Path
) -> None:
    with visit(chromium, built_guide, width=1000, height=800) as one:
        one.go("record.html")
        box = one.page.locator(".mark input:visible").first
        dated, mouse = one.page.locator("[data-dated]"), one.page.mouse
        box.scroll_into_view_if_needed()
        one.page.fill("#car", "C1040")
        place = box.bounding_box()
        assert place
        mouse.move(place["x"] + place["width"] / 2, place["y"] + place["height"] / 2)
        mouse.down()
        one.page.evaluate("() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")
        assert (box.bounding_box(), dated.inner_text()) == (place, "")
        mouse.up()
        one.page.wait_for_function("() => document.querySelector('[data-dated]').textContent")
        assert box.is_checked()
        below = one.page.locator(".mark input:visible").nth(1)  # and a finger, whose press is told of once it is lifted
        one.page.fill("#car", "")
        below.tap()
        expect(below).to_be_checked()  # the click comes a moment after the finger is lifted
        one.page.fill("#car", "C1217")
        said = one.page.evaluate("""() => {  // as a slow phone tells of a finger: long after it was lifted, as a mouse
          const [field, dated] = [document.querySelector("#car"), document.querySelector("[data-dated]")];
          const heard = ["mousedown", "change", "mouseup"].map((what) => {
            (what === "change" ? field : document.body).dispatchEvent(new Event(what, { bubbles: true }));
            return dated.textContent;
          });
          document.body.click();
          return heard; }""")
        assert said == [""] * 3
        one.page.wait_for_function("() => document.querySelector('[data-dated]').textContent")
        one.check()


def test_drawings_that_come_as_their_area_nears_move_nothing(chromium: Any, built_guide: pathlib.Path) -> None:
    with visit(chromium, built_guide) as one:
        one.go("record.html")
        areas = one.page.locator("[data-area]")
        heights = "areas => areas.map(area => area.getBoundingClientRect().height)"
        before = areas.evaluate_all(heights)
        assert one.page.locator(".form .drawing:empty").count() > 20
        for at in range(areas.count()):
            areas.nth(at).locator(".mark").last.scroll_into_view_if_needed()
        one.page.locator(".form .drawing:empty").first.wait_for(state="detached")
        assert areas.evaluate_all(heights) == before
        one.check()


def test_what_is_found_is_not_drawn_anew_under_a_press(chromium: Any, built_guide: pathlib.Path) -> None:
    with visit(chromium, built_guide) as one:
        one.go("search.html?q=switches")
        found = one.page.locator("[data-results] a").first
        found.hover()
        one.page.mouse.down()
        one.page.fill("[data-search] [name=q]", "dials")
        one.page.evaluate("() => new Promise((done) => setTimeout(done, 300))")  # after what the page waits for
        with one.page.expect_navigation(url="**/marks/switches.html*"):
            one.page.mouse.up()
        one.check()


def test_a_number_that_does_not_fit_is_said_before_a_note_is_kept(chromium: Any, built_guide: pathlib.Path) -> None:
    with visit(chromium, built_guide) as one:
        one.go(
            f"key.html#switches=symbols&dials=orange&stalk=black-symbol&tail-lamps=oblong-reverse&horn-push=padded&--car=C1040&{REACH}&--at=result"
        )
        one.page.locator("[data-keep]").click()
        assert (
            one.page.locator(".panel [role=alert]")
            .inner_text()
            .startswith("What was seen doesn’t fit the number C1040")
        )
        assert one.page.locator("[data-kept]").inner_text() == ""
        one.page.locator("[data-keep-anyway]").click()
        assert "Kept with today’s cars" in one.page.locator("[data-kept]").inner_text()
        one.go("record.html")
        one.page.fill("#car", "C1040")
        for mark, form in (
            ("switches", "symbols"),
            ("dials", "orange"),
            ("tail-lamps", "oblong-reverse"),
            ("horn-push", "padded"),
            ("stalk", "black-symbol"),
            ("market", "home"),
        ):
            one.page.locator(f"[name={mark}][value={form}]").check()
        one.page.get_by_role("button", name="Keep, next car").click()
        assert "What was seen doesn’t fit" in one.page.locator("[data-told]").inner_text()
        one.page.locator("[data-keep-anyway]").click()
        assert "Kept with today’s cars" in one.page.locator("[data-told]").inner_text()
        one.page.fill("#car", "C1040")  # three late parts leave a doubt, and the sheet asks wherever the key doubts
        for mark, form in (("switches", "symbols"), ("dials", "orange"), ("horn-push", "padded")):
            one.page.locator(f"[name={mark}][value={form}]").check()
        one.page.get_by_role("button", name="Keep, next car").click()
        doubt = "Some of what was seen doesn’t go with the number C1040."
        assert doubt in one.page.locator("[data-told]").inner_text()
        one.go(f"key.html#switches=symbols&dials=orange&horn-push=padded&--car=C1040&{REACH}&--at=result")
        assert doubt in one.page.locator("[data-screen=result] .said").first.inner_text()
        one.page.locator("[data-keep]").click()
        assert one.page.locator(".panel [role=alert]").inner_text().startswith(doubt)
        sheet = one.page.evaluate("""() => guide.keeping.csv(
          guide.keeping.open(guide.key.store, Date.now).notes().slice(-1), guide.model.marks)""")
        assert "market" in sheet.splitlines()[0]
        assert ",home," in sheet.splitlines()[1]
        one.check()


def test_a_tick_for_untouched_is_questioned_where_a_part_came_later(chromium: Any, built_guide: pathlib.Path) -> None:
    with visit(chromium, built_guide) as one:
        one.go("record.html#steering-wheel=wood-rim&--car=C1217")
        one.page.locator("[name=untouched]").check()
        one.page.get_by_role("button", name="Keep, next car").click()
        one.page.locator("[data-told] >> text=left the works: Steering wheel.").wait_for()
        one.page.locator("[data-keep-anyway]").click()
        one.page.locator("[data-told] >> text=Kept with today’s cars").wait_for()
        one.check()


LEFT_OUT = "A piece of this address cannot be read and was left out: "


@pytest.mark.parametrize(
    ("address", "said"),
    [
        ("notes.html#%", "This address names a note that is not kept here."),
        (
            "key.html#constructor=1&__proto__=x&switches=constructor",
            "One answer, constructor=1, is no longer in the guide.",
        ),
        ("key.html#%", LEFT_OUT + "%"),
        ("key.html#%E0%A4%A", LEFT_OUT + "%E0%A4%A"),
        ("key.html#--car=%", LEFT_OUT + "--car=%"),
        ("key.html#switches=rocker&--reach=%&--at=result", LEFT_OUT + "--reach=%"),
        ("fits.html#constructor=1&--car=C1840", "One answer, constructor=1, is no longer in the guide."),
        ("fits.html#%", LEFT_OUT + "%"),
        ("car.html#--car=C1840&%", LEFT_OUT + "%"),
        ("car.html#--car=C1840&--known=registered=soon", "One date, soon, could not be read."),
        ("marks/switches.html#two=%E0,%E0", LEFT_OUT + "two=%E0,%E0"),
        ("record.html#%&constructor=1", LEFT_OUT + "%"),
        ("record.html#constructor=1", "One answer, constructor=1, is no longer in the guide."),
        ("sheets.html#%&--car=%", LEFT_OUT + "%"),
        ("sheets.html#--car=%&year=1968", LEFT_OUT + "--car=%"),
        ("side-by-side.html#%E0", LEFT_OUT + "%E0"),
        ("side-by-side.html#--car=C1217&--car=C2711&--car=%", LEFT_OUT + "--car=%"),
    ],
)
def test_an_address_that_nobody_can_read_is_told_in_words(
    chromium: Any, built_guide: pathlib.Path, address: str, said: str
) -> None:
    with visit(chromium, built_guide) as one:
        one.go(address)
        assert said in one.page.locator("main").inner_text()
        one.check()


def test_words_stand_where_a_picture_is_missing(chromium: Any, tmp_path: pathlib.Path) -> None:
    """Each picture is taken from a new guide, and all of them: the key and the fits page still work, by words."""
    pictures = sorted(path.name for path in (STARTER / "pictures").iterdir())
    assert pictures
    for missing in (pictures, *([one] for one in pictures)):
        content = started(tmp_path / str(len(missing)) / missing[0], {f"pictures/{name}": "" for name in missing})
        out = content.with_name("out")
        main(["--content", str(content), "--out", str(out)])
        with visit(chromium, out) as one:
            one.go("key.html")
            one.page.get_by_role("button", name="Start looking").click()
            answers = one.page.locator('[data-screen="look"] .answer')
            answers.nth(1).wait_for()
            assert all(words.strip() for words in answers.locator(".cap > span + span").all_inner_texts())
            answers.first.click()
            one.go("fits.html")
            number = one.page.evaluate("""() => { const row = guide.model.numbers.series[0];
              const [prefix, first] = row.runs[0];
              return prefix + String(first).padStart(row.notations[0].digits, "0"); }""")
            one.page.fill("#car", number)
            one.page.locator("[data-ask] [type=submit]").click()
            one.page.locator(".fit .plate .cap").nth(1).wait_for()
            plates = one.page.locator(".fit .plate .cap").all_inner_texts()
            assert len(plates) >= 2
            assert all(words.strip() for words in plates)
            one.go(f"sheets.html#--car={number}")
            items = one.page.locator("[data-sheet] .item p")
            items.first.wait_for()
            looks = items.all_inner_texts()
            assert len(looks) == 2
            assert all(len(words.split("\n")) >= 2 for words in looks), looks
            one.check()
