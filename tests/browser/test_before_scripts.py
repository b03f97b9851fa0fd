"""A slow phone: the page is there, and its scripts are still under way. What is entered by then stands and is taken as
entered, and no control that would do nothing is offered."""

from __future__ import annotations

import pathlib
import re
from typing import Any

import pytest

from tests.browser.site import Watched, expect, go, open_page, samples

pytestmark = pytest.mark.browser

NUMBER = "C1040"
HEADS = re.compile(r'<header class="(?:running-head|top)">.*?</header>|<div class="newer.*?</div>', re.DOTALL)
CONTROL = re.compile("<(?:input|select|textarea|button)\\b")
# Once the page is read, before any script that runs after that: something is entered wherever something can be, and
# what offers itself to be pressed without anything that would answer is written down.
EARLY_HANDS = """document.addEventListener("readystatechange", () => {
  if (document.readyState !== "interactive") { return; }
  const offered = (one) => one.checkVisibility() && !one.disabled;
  const native = (one) => one.matches("[data-sun], [data-large], [type=reset]")
    || (one.form && one.form.getAttribute("action"));
  const dead = [...document.querySelectorAll("button")].filter((one) => offered(one) && !native(one));
  window.early = { entered: [], dead: dead.map((one) => one.outerHTML) };
  const names = new Set();
  for (const one of [...document.querySelectorAll("input, select, textarea")].filter(offered)) {
    if (["checkbox", "radio"].includes(one.type) && names.size === names.add(one.name).size) { continue; }
    if (one.type === "checkbox" || (one.type === "radio" && !one.checked)) { one.click(); }
    else if (one.type === "select-one") { one.selectedIndex = one.options.length - 1; }
    else if (one.type !== "radio") { one.value = "C1040"; }
    window.early.entered.push(one);
  }
  window.early.entered = window.early.entered.map((one) => [one, one.value, one.checked]);
})"""
LOST = """early.entered
  .filter(([one, value, checked]) => one.isConnected && (one.value !== value || one.checked !== checked))
  .map(([one]) => one.outerHTML)"""


@pytest.fixture
def held(chromium: Any) -> Any:
    """A phone on which scripts wait until they are let go, but for those that run before a page is drawn."""
    with open_page(chromium, width=360, height=640) as opened:
        waiting: list[Any] = []
        let_go: list[bool] = []

        def hold(route: Any) -> None:
            if let_go or route.request.url.endswith("/light.js"):
                route.continue_()
            else:
                waiting.append(route)

        def release() -> None:
            let_go.append(True)
            for route in waiting:
                route.continue_()
            opened.page.wait_for_load_state()

        opened.page.route("**/*.js", hold)
        yield opened, release


def asking(out: pathlib.Path) -> list[str]:
    """Return a page of each kind on which something can be entered or pressed, besides in what heads every page."""
    pages = [one for one in samples(out, longest=False) if "#" not in one and "?" not in one]
    return [one for one in pages if CONTROL.search(HEADS.sub("", (out / one).read_text(encoding="utf-8")))]


def test_what_is_entered_before_the_scripts_stands_on_every_page(chromium: Any, built_guide: pathlib.Path) -> None:
    wrong: dict[str, Any] = {}
    entered = 0
    with open_page(chromium) as opened:
        opened.page.add_init_script(EARLY_HANDS)
        for address in asking(built_guide):
            go(opened.page, built_guide, address)
            dead, lost, n = opened.page.evaluate(f"[early.dead, {LOST}, early.entered.length]")
            entered += n
            if dead or lost:
                wrong[address] = (dead, lost)
            if address == "card.html":
                assert opened.page.locator("[data-heard]").first.text_content()  # the sums, told as after any answer
        assert opened.faults == []
    assert wrong == {}
    assert entered > 60  # the record sheet alone asks for dozens of parts


def test_a_car_recorded_before_the_scripts_is_kept_whole(held: tuple[Watched, Any], built_guide: pathlib.Path) -> None:
    opened, release = held
    page = opened.page
    page.goto(f"{built_guide.as_uri()}/record.html#stalk=black-plain&dials=black-rim", wait_until="commit")
    page.locator("#remarks").wait_for()
    page.fill("#car", f" {NUMBER.lower()} ")
    page.keyboard.press("Enter")  # nothing could answer yet, and nothing is sent to nowhere
    page.check("[name=switches][value=symbols]")
    page.check("[name=dials][value=orange]")
    page.fill("#remarks", "one owner")
    assert page.locator("[data-record] [type=submit]").is_hidden()
    release()
    page.wait_for_url(f"**/record.html#dials=black-rim&switches=symbols&stalk=black-plain&--car={NUMBER}")
    assert page.input_value("#car") == NUMBER
    expect(page.locator("[data-dated]")).to_contain_text("built")
    page.locator("[data-record] [type=submit]").click()
    expect(page.locator("[data-told]")).to_contain_text(f"the number {NUMBER}")
    page.locator("[data-keep-anyway]").click()
    page.locator("[data-count]").click()
    expect(page.locator("[data-cars] li")).to_contain_text("one owner")
    expect(page.locator("[data-cars] li b")).to_have_text(NUMBER)
    assert opened.faults == []


def test_a_number_that_is_still_being_typed_is_told_once_it_is_left(
    held: tuple[Watched, Any], built_guide: pathlib.Path
) -> None:
    opened, release = held
    page = opened.page
    page.goto(f"{built_guide.as_uri()}/record.html", wait_until="commit")
    page.locator("#remarks").wait_for()
    page.locator("#car").press_sequentially("c10")
    release()
    expect(page.locator("[data-record] [type=submit]")).to_be_visible()
    expect(page.locator("[data-reply]")).to_have_text("")
    page.keyboard.type("40")
    page.keyboard.press("Tab")
    expect(page.locator("#car")).to_have_value(NUMBER)
    expect(page.locator("[data-dated]")).to_contain_text("built")
    page.wait_for_url(f"**/record.html#--car={NUMBER}")


def test_a_question_typed_before_the_scripts_is_answered(held: tuple[Watched, Any], built_guide: pathlib.Path) -> None:
    opened, release = held
    page = opened.page
    page.goto(f"{built_guide.as_uri()}/search.html?q=horn", wait_until="commit")
    page.locator("#question").fill("switches")
    release()
    expect(page.locator("[data-found]")).not_to_have_text("")
    page.wait_for_url(lambda url: url.endswith("?q=switches"))
    assert page.input_value("#question") == "switches"


def test_the_search_takes_no_focus_from_where_it_went_before_the_scripts(
    held: tuple[Watched, Any], built_guide: pathlib.Path
) -> None:
    opened, release = held
    opened.page.goto(f"{built_guide.as_uri()}/search.html", wait_until="commit")
    link = opened.page.locator("[data-opening] a").first
    link.focus()
    release()
    assert link.evaluate("(one) => one === document.activeElement")


def test_what_comes_unasked_waits_for_a_press_to_end(held: tuple[Watched, Any], built_guide: pathlib.Path) -> None:
    opened, release = held
    page = opened.page
    page.goto(f"{built_guide.as_uri()}/index.html", wait_until="commit")
    link = page.locator("main a[href]:visible").first
    link.hover()
    page.mouse.down()
    place = link.bounding_box()
    release()
    assert link.bounding_box() == place
    line = page.locator("[data-when=disk]")
    assert line.is_hidden()
    page.mouse.move(0, 0)
    page.mouse.up()
    expect(line).to_be_visible()
