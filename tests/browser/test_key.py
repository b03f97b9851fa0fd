"""The key, opened from a disk in Chromium: by touch, by keyboard, there and back, scripts off."""

from __future__ import annotations

import json
import pathlib
import re
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from typing import Any

import pytest

from guide.dating.belief.evidence import Answer, Session
from tests.browser.site import Watched, follow, open_page, settle
from tests.dating.asking import conclude, explain

pytestmark = pytest.mark.browser

REACH = "--reach=outside,glass"
EVERYTHING = "--reach=outside,glass,door,seat,bonnet,hands"


class Visit:
    """The guide opened from a folder on a phone; `check` fails on whatever nobody should meet."""

    def __init__(self, watched: Watched, folder: pathlib.Path) -> None:
        self.watched = watched
        self.page = watched.page
        self.folder = folder.resolve().as_uri()

    def go(self, address: str) -> None:
        self.page.goto("about:blank")
        self.page.goto(f"{self.folder}/{address}")
        self.settle()

    def settle(self) -> None:
        settle(self.page)

    def title(self) -> str:
        self.settle()
        return str(self.page.title())

    def heading(self) -> str:
        self.settle()
        return str(self.page.locator("h1:visible").first.inner_text()).replace("\n", " ")

    def hash(self) -> str:
        self.settle()
        return str(self.page.evaluate("decodeURIComponent(location.hash)"))

    def check(self) -> None:
        assert self.watched.faults == []
        assert self.watched.outside == []


@contextmanager
def visit(chromium: Any, folder: pathlib.Path, **options: Any) -> Iterator[Visit]:
    with open_page(chromium, has_touch=True, **options) as watched:
        yield Visit(watched, folder)


def truth_of(guide: Any, number: str) -> dict[str, str]:
    """What a car of the register was found to have, by mark; nothing for what was not looked at."""
    car = next(car for car in guide.cars_seen if car.number_text == number)
    found = {report.mark: report.forms[0] for report in car.reports if report.kind == "form"}
    found["body"] = car.car.series
    if "interior" in car.splits:
        found["interior"] = car.splits["interior"]
    return found


def asked(one: Visit) -> str:
    """The id of the mark that is being asked."""
    one.settle()
    heading = one.page.locator('[data-screen="look"] h1').inner_text().replace("\n", " ")
    find = "heading => guide.model.marks.find(mark => heading.startsWith(mark.question)).id"
    return str(one.page.evaluate(find, heading))


def press(one: Visit, answer: str) -> None:
    one.settle()
    button = one.page.locator(f'[data-screen="look"] [data-answer="{answer}"]')
    if answer in ("both", "changed", "none"):
        one.page.locator("details.else > summary").click()
    button.click()


def on_result(one: Visit) -> bool:
    one.settle()
    return bool(one.page.locator('[data-screen="result"]').is_visible())


def test_a_first_time_visitor_comes_from_the_start_page_to_a_date_in_under_ten_looks(
    chromium: Any, built_guide: pathlib.Path, guide: Any
) -> None:
    truth = truth_of(guide, "C1331")  # built in the first days of November 1967
    with visit(chromium, built_guide) as one:
        one.go("index.html")
        one.page.locator(".doors a").first.tap()
        one.page.get_by_role("button", name="Start looking").tap()
        one.page.locator('[data-screen="look"] .answer').first.wait_for()
        looks = 0
        while not on_result(one):
            mark = asked(one)
            answers = one.page.locator('[data-screen="look"] .answer')
            assert answers.locator("svg").count() == answers.count(), f"{mark}: an answer without a drawing"
            press(one, truth.get(mark, "cannot-tell"))
            looks += 1
            assert looks < 10
        span = one.page.evaluate("""() => {
          const answers = decodeURIComponent(location.hash).slice(1).split("&").filter((word) => !word.startsWith("--"))
            .map((word) => word.split("=")).filter((pair) => pair[1] !== "cannot-tell")
            .map(([mark, form]) => ({mark: mark, forms: [form], kind: "form"}));
          const session = {answers: answers, car: null, reach: guide.key.usual, known: {}};
          const prepared = guide.dating.prepare(guide.model, guide.key.words);
          return guide.dating.conclude(prepared, session).result.spans[0]; }""")
        assert date.fromisoformat(span["from"]) <= date(1967, 11, 30)
        assert date.fromisoformat(span["to"]) >= date(1967, 11, 1)
        assert "built" in one.page.locator('[data-screen="result"]').inner_text()
        one.check()


def test_the_result_on_the_screen_is_the_one_of_the_terminal(
    chromium: Any, built_guide: pathlib.Path, model: Any
) -> None:
    answers = (
        Answer("switches", ("rocker",)),
        Answer("tail-lamps", ("round",)),
        Answer("sun-visors", (), "cannot-tell"),
        Answer("horn-push", ("plain", "crest"), "several"),
    )
    session = Session(answers=answers, reach=("outside", "glass"))
    sentences = explain(model, session)["sentences"]
    words = "&".join(f"{one.mark}={one.value}" for one in answers)
    with visit(chromium, built_guide) as one:
        one.go(f"key.html#{words}&{REACH}&--at=result")
        one.page.get_by_text("Why?").click()
        shown = re.sub(r"\s+", " ", one.page.locator('[data-screen="result"]').inner_text())
        said = re.sub(r"\s+", " ", str(one.title()))
        assert said == sentences[0]
        for sentence in sentences[1:]:
            assert sentence in shown
        assert conclude(model, session)["result"]["words"].startswith(sentences[0])
        one.check()


def test_changing_one_weight_in_the_data_changes_the_result(
    chromium: Any, built_guide: pathlib.Path, tmp_path: pathlib.Path
) -> None:
    other = tmp_path / "guide"
    shutil.copytree(built_guide, other)
    data = other / "data" / "model.js"
    before, text = data.read_text(encoding="utf-8").split("model=", 1)
    model = json.loads(text.rstrip().rstrip(";"))
    switches = next(mark for mark in model["marks"] if mark["id"] == "switches")
    switches["survives"] = 0.5
    data.write_text(f"{before}model={json.dumps(model)};", encoding="utf-8")
    spans = []
    for folder in (built_guide, other):
        with visit(chromium, folder) as one:
            one.go(f"key.html#switches=rocker&{REACH}")
            spans.append(one.page.locator(".so-far rect.nine").first.get_attribute("x"))
            one.check()
    assert spans[0] != spans[1]


def answer(one: Visit) -> None:
    """Give the first answer; the next look comes when the words of its area are there."""
    before = one.hash()
    one.page.locator('[data-screen="look"] .answer').first.click()
    one.page.wait_for_function("(before) => location.hash !== before", arg=before)


def test_going_back_leaves_only_the_answers_of_the_present_path(chromium: Any, built_guide: pathlib.Path) -> None:
    with visit(chromium, built_guide) as one:
        one.go(f"key.html#{REACH}")
        marks = []
        for _ in range(3):
            marks.append(asked(one))
            answer(one)
        one.page.locator("[data-back]").click()
        one.settle()
        one.page.locator("[data-back]").click()
        assert asked(one) == marks[1]
        assert marks[1] not in one.hash().split("--")[0]
        one.page.locator('[data-screen="look"] .answer').nth(1).click()
        words = [piece for piece in one.hash()[1:].split("&") if not piece.startswith("--")]
        assert [word.split("=")[0] for word in words] == marks[:2]
        one.check()


def test_the_browsers_own_back_and_forward_work(chromium: Any, built_guide: pathlib.Path) -> None:
    with visit(chromium, built_guide) as one:
        one.go("key.html")
        one.page.get_by_role("button", name="Start looking").click()
        screens = [(one.hash(), one.heading())]
        for _ in range(3):
            answer(one)
            screens.append((one.hash(), one.heading()))
        for hash_, heading in reversed(screens[:-1]):
            one.page.go_back()
            assert (one.hash(), one.heading()) == (hash_, heading)
        for hash_, heading in screens[1:]:
            one.page.go_forward()
            assert (one.hash(), one.heading()) == (hash_, heading)
        one.page.reload()
        assert (one.hash(), one.heading()) == screens[-1]
        one.check()


def test_the_way_back_in_the_page_does_not_pile_up_history(chromium: Any, built_guide: pathlib.Path) -> None:
    with visit(chromium, built_guide) as one:
        one.go(f"key.html#{REACH}")
        length = one.page.evaluate("history.length")
        first = one.heading()
        one.page.locator('[data-screen="look"] .answer').first.click()
        one.settle()
        one.page.locator("[data-back]").click()
        one.page.wait_for_function("length => location.hash.split('&').length === length", arg=1)
        assert one.heading() == first
        one.page.locator('[data-screen="look"] .answer').first.click()
        one.settle()
        assert one.page.evaluate("history.length") == length + 1


def test_keyboard_alone_answers_with_digits_only_among_the_answers(chromium: Any, built_guide: pathlib.Path) -> None:
    with visit(chromium, built_guide) as one:
        page = one.page
        one.go("key.html")
        page.get_by_role("textbox", name="Do you know the chassis number?").focus()
        page.keyboard.press("Enter")
        page.locator('[data-screen="look"] .answer').first.wait_for()  # the words of its area come first
        first = one.heading()
        assert page.evaluate("document.activeElement.tagName") == "H1"
        page.keyboard.press("1")
        assert one.heading() == first, "a digit answered although focus was not among the answers"
        for _ in range(10):
            page.keyboard.press("Tab")
            if page.evaluate("document.activeElement.matches('.answer')"):
                break
        outline = page.evaluate("getComputedStyle(document.activeElement).outlineWidth")
        assert float(outline.removesuffix("px")) >= 2
        page.keyboard.press("2")
        assert one.heading() != first
        assert page.evaluate("document.activeElement.tagName") == "H1"
        assert page.evaluate("scrollY") == 0
        one.check()


def test_the_live_region_says_only_the_span_so_far(chromium: Any, built_guide: pathlib.Path) -> None:
    with visit(chromium, built_guide) as one:
        one.go(f"key.html#switches=rocker&{REACH}")
        assert one.page.locator("[aria-live]").count() == 1
        said = one.page.locator("[aria-live]").inner_text()
        assert re.fullmatch(r"So far: (?:very |pro|may ).* 19\d\d\.", said), said
        one.check()


def test_something_else_takes_both_changed_and_none(chromium: Any, built_guide: pathlib.Path) -> None:
    with visit(chromium, built_guide) as one:
        for answer, value in (("changed", "switches=changed"), ("none", "switches=none")):
            one.go(f"key.html#--look=switches&{REACH}")
            press(one, answer)
            assert one.hash().startswith(f"#{value}&")
        one.go(f"key.html#--look=window-winder&{EVERYTHING}")
        press(one, "both")
        assert one.hash().startswith("#window-winder=bright+black&")
        one.go(f"key.html#tail-lamps=round&--look=switches&{REACH}")
        press(one, "both")  # of three, so it asks which
        one.page.locator("label.answer").nth(0).click()
        one.page.locator("label.answer").nth(1).click()
        one.page.get_by_role("button", name="Go on").click()
        assert one.hash().startswith("#tail-lamps=round&switches=toggle+rocker&")
        one.check()


def test_not_sure_of_the_last_answer_takes_several(chromium: Any, built_guide: pathlib.Path) -> None:
    with visit(chromium, built_guide) as one:
        one.go(f"key.html#switches=rocker&{REACH}")
        one.page.get_by_text("Not sure of that last answer?").click()
        ticked = one.page.locator("input[name=form]:checked")
        assert ticked.evaluate_all("boxes => boxes.map(box => box.value)") == ["rocker"]
        one.page.locator("label.answer").nth(2).click()
        one.page.get_by_role("button", name="Go on").click()
        assert one.hash().startswith("#switches=rocker+symbols&")
        one.check()


def test_a_changed_part_stands_apart_and_can_be_changed_from_the_result(
    chromium: Any, built_guide: pathlib.Path
) -> None:
    with visit(chromium, built_guide) as one:
        one.go(f"key.html#switches=changed&tail-lamps=round&{REACH}&--at=result")
        assert one.page.get_by_role("heading", name="One thing does not agree with the rest").is_visible()
        one.page.get_by_role("link", name="Change Small switches").click()
        assert asked(one) == "switches"
        one.page.locator('[data-screen="look"] .answer').first.click()
        assert one.hash().startswith("#switches=toggle&tail-lamps=round&")
        one.check()


def test_a_car_of_which_nothing_could_be_told_is_not_said_to_fit_together(
    chromium: Any, built_guide: pathlib.Path
) -> None:
    with visit(chromium, built_guide) as one:
        one.go(f"key.html#switches=cannot-tell&dials=cannot-tell&{REACH}&--at=result")
        assert one.page.get_by_role("heading", name="What the car showed").is_visible()
        assert one.page.get_by_text("fits together").count() == 0
        one.go(f"key.html#switches=rocker&dials=cannot-tell&{REACH}&--at=result")
        assert one.page.get_by_text("fits together").count() == 0, "one look alone has nothing to fit with"
        one.go(f"key.html#switches=rocker&dials=black-rim&{REACH}&--at=result")
        assert one.page.get_by_text("Everything you looked at fits together.").is_visible()
        assert one.page.get_by_role("heading", name="fits together").count() == 0
        one.check()


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("KLM 123H", "KLM 123H looks like a registration; the chassis number is on the maker’s plate."),
        ("C184", "C184 is short of its letter or a nought."),
        ("hello", "isn’t written like any chassis number"),
    ],
)
def test_what_is_no_chassis_number_is_said_in_words(
    chromium: Any, built_guide: pathlib.Path, typed: str, said: str
) -> None:
    with visit(chromium, built_guide) as one:
        one.go("key.html")
        one.page.fill("#car", typed)
        one.page.get_by_role("button", name="Start looking").click()
        assert said in one.page.locator("[data-reply]").inner_text()
        assert one.page.evaluate("document.activeElement.id") == "car"
        one.check()


def test_a_number_of_which_no_car_was_built_goes_on(chromium: Any, built_guide: pathlib.Path) -> None:
    with visit(chromium, built_guide) as one:
        one.go("key.html")
        one.page.fill("#car", "c 2933")
        one.page.get_by_role("button", name="Start looking").click()
        one.page.locator(".so-far").click()
        assert "c 2933 was never built" in one.page.locator('[data-screen="result"]').inner_text()
        one.check()


def test_photographs_stand_alone(chromium: Any, built_guide: pathlib.Path) -> None:
    with visit(chromium, built_guide) as one:
        one.go("key.html")
        one.page.get_by_text("I only have photographs").click()
        one.page.get_by_role("button", name="Start looking").click()
        assert one.hash() == "#--reach=photographs"
        assert "in the photographs" in one.page.locator(".where").inner_text()
        one.page.get_by_role("link", name="How close can you get?").click()
        one.page.get_by_text("With a door open").click()
        one.page.get_by_role("button", name="Start looking").click()
        assert one.hash() == "#--reach=door"
        one.check()


def test_what_is_sent_can_be_pasted_back(chromium: Any, built_guide: pathlib.Path) -> None:
    with visit(chromium, built_guide) as one:
        one.go(f"key.html#switches=rocker&tail-lamps=cannot-tell&--car=C1912&{REACH}&--at=result")
        title = one.title()
        one.page.get_by_role("button", name="Send this").click()
        text = one.page.locator("#send-text").input_value()
        assert text.startswith(title)
        assert "C1912" not in text
        one.page.get_by_text("Add the car’s number").click()
        text = one.page.locator("#send-text").input_value()
        assert '--car "C1912"' in text
        one.go("key.html?again")
        one.page.get_by_text("Has someone sent you their answers?").click()
        one.page.fill("#sent", "Hello!\n> " + text.replace("\n", "\n> "))
        one.page.get_by_role("button", name="Read them").click()
        assert one.title() == title
        assert one.hash().startswith("#switches=rocker&tail-lamps=cannot-tell&--car=C1912&")
        one.check()


def test_a_date_sent_in_words_is_read_and_stays_when_nothing_else_is_chosen(
    chromium: Any, built_guide: pathlib.Path
) -> None:
    with visit(chromium, built_guide) as one:
        one.go("key.html")
        one.page.get_by_text("Has someone sent you their answers?").click()
        one.page.fill("#sent", "switches=rocker --known registered=spring 1968 --reach glass")
        one.page.get_by_role("button", name="Read them").click()
        one.page.locator('[data-screen="result"] h1').wait_for()
        assert "--known=registered=1968-03-01/1968-05-31" in one.hash()
        one.go("key.html" + one.hash().replace("--at=result", "--at=begin"))
        assert "between 1 March and 31 May 1968" in one.page.locator('[data-screen="begin"]').text_content()
        one.page.get_by_role("button", name="Start looking").click()
        assert "--known=registered=1968-03-01/1968-05-31" in one.hash()
        one.check()


def test_a_line_in_a_person_s_own_words_is_read_and_what_is_not_understood_is_said(
    chromium: Any, built_guide: pathlib.Path
) -> None:
    with visit(chromium, built_guide) as one:
        for page in ("key.html", "guide-in-one-file.html"):
            one.go(page)
            one.page.get_by_text("Has someone sent you their answers?").click()
            one.page.fill("#sent", "switches: toggle; tail lamps: blue; trim: tan vinyl; car C1500")
            one.page.get_by_role("button", name="Read them").click()
            one.page.locator('[data-screen="result"] h1').wait_for()
            assert one.hash().startswith("#switches=toggle&interior=tan-vinyl&tail-lamps=blue&--car=C1500")
            assert "Tail lamps, is no longer in the guide" in one.page.locator('[data-screen="result"]').inner_text()
        one.check()


def test_an_old_edition_and_a_lost_answer_are_said(chromium: Any, built_guide: pathlib.Path) -> None:
    with visit(chromium, built_guide) as one:
        one.go(f"key.html#switches=rocker&gold-plate=shiny&{REACH}&--edition=1999&--at=result")
        shown = one.page.locator('[data-screen="result"]').inner_text()
        said = f"This result was made with another edition of the guide (1999). Today’s edition says: {one.title()}"
        assert said in shown, "the span stands in the words of the result"
        assert "One answer, gold-plate=shiny, is no longer in the guide." in shown
        one.check()


def test_without_scripts_it_says_so_and_leads_to_the_card(chromium: Any, built_guide: pathlib.Path) -> None:
    with visit(chromium, built_guide, java_script_enabled=False) as one:
        one.go("key.html")
        assert one.page.get_by_text("The key needs scripts.").is_visible()
        assert not one.page.get_by_role("button", name="Start looking").is_visible()
        follow(one.page.get_by_role("link", name="The walk-round card"))
        assert one.page.url.endswith("/card.html")
        assert one.page.locator("main [type=radio], main [type=checkbox]").first.is_visible()


def test_pinching_is_allowed_and_no_field_makes_the_page_zoom(chromium: Any, built_guide: pathlib.Path) -> None:
    with visit(chromium, built_guide) as one:
        one.go("key.html")
        viewport = one.page.locator("meta[name=viewport]").get_attribute("content")
        assert "user-scalable" not in viewport
        assert "maximum-scale" not in viewport
        sizes = one.page.locator("input:not([type=checkbox]), textarea, select").evaluate_all(
            "fields => fields.map(field => parseFloat(getComputedStyle(field).fontSize))"
        )
        assert min(sizes) >= 16
