"""The hosted guide kept on a phone: whole or not at all, told truly, and never changed under an open car."""

from __future__ import annotations

import json
import pathlib
import shutil
from collections.abc import Iterator
from typing import Any

import pytest

from guide.command.main import main
from guide.facts.read import read_guide
from guide.press.cache import Cache
from guide.press.face import face_of
from guide.press.offline import EDITION, SPARED, UNMARKED, edition_mark, installed_files, marked, offline_files
from guide.press.single_file import SINGLE
from guide.press.theme import open_theme
from tests.browser.site import Served, Watched, follow, open_page, probe, serving
from tests.browser.test_without_scripts import laid_out
from tests.mistakes.spoil import GUIDE
from tests.starting import change

pytestmark = pytest.mark.browser

TOLD = """[...document.querySelectorAll("[data-offline] [data-when]")].filter((one) => one.checkVisibility())
  .map((one) => one.dataset.when)"""
KEPT = """(async () => Promise.all((await caches.keys()).map(async (name) =>
  (await (await caches.open(name)).keys()).map((key) => new URL(key.url).pathname.slice(1)))))()"""
FIRST = "edition the first"
NEWER = "edition the second"
WRONG = "Sheets of it are wrong on one part."
WAITING = """(async () => {
  const registration = await navigator.serviceWorker.getRegistration();
  await registration.update();
  while (!registration.waiting) { await new Promise((wake) => setTimeout(wake, 100)); }
})()"""

COMES_OUT = """(async () => {
  const registration = await navigator.serviceWorker.getRegistration();
  await registration.update().catch(() => null);
  const coming = registration.installing;
  if (!coming) { return registration.waiting ? "installed" : "none"; }
  return new Promise((done) => coming.addEventListener("statechange", () => done(coming.state)));
})()"""


@pytest.fixture(scope="module")
def first_edition(tmp_path_factory: pytest.TempPathFactory) -> pathlib.Path:
    """A small guide with every kind of file: all that is told of keeping a guide is true of any; the demo is held whole
    once."""
    top = tmp_path_factory.mktemp("small")
    content = pathlib.Path(shutil.copytree(GUIDE, top / "content"))
    change(content, "guide.yml", "edition: a test", f"edition: {FIRST}")
    assert main(["--content", str(content), "--out", str(top / "out")]) == 0
    return top / "out"


@pytest.fixture(scope="module")
def second_edition(first_edition: pathlib.Path, tmp_path_factory: pytest.TempPathFactory) -> pathlib.Path:
    """The small guide under another name of its edition, with a worker of its own."""
    folder = tmp_path_factory.mktemp("second")
    site = {
        name: (first_edition / name).read_bytes().replace(FIRST.encode(), NEWER.encode())
        for name in files_of(first_edition)
        if not name.startswith(("icons/", ".", "manifest", "worker"))
    }
    guide = read_guide(first_edition.parent / "content").guide
    assert guide is not None
    site.update(installed_files(guide, face_of(open_theme()), Cache(None)))
    old = json.loads(site.pop(EDITION))["edition"]
    site = {name: data.replace(old.encode(), UNMARKED.encode()) for name, data in site.items()}
    mark = edition_mark(site, old[:8])
    site.update(marked(site, mark))
    site.update(offline_files(site, mark, {FIRST: WRONG}))
    for name, data in site.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(data)
    return folder


@pytest.fixture
def served(first_edition: pathlib.Path) -> Iterator[Served]:
    """The small guide on a server of its own."""
    with serving(first_edition) as running:
        yield running


@pytest.fixture
def served_demo(built_guide: pathlib.Path) -> Iterator[Served]:
    """The demo guide on a server of its own."""
    with serving(built_guide) as running:
        yield running


@pytest.fixture
def watched(chromium: Any) -> Iterator[Watched]:
    """A phone that has never seen the guide."""
    with open_page(chromium) as opened:
        yield opened


def wait_told(page: Any, wanted: str) -> None:
    """Wait until the page says one thing about being kept, and nothing else."""
    page.wait_for_function(
        f"(wanted) => {{ const told = {TOLD}; return told.length === 1 && told[0] === wanted; }}",
        arg=wanted,
        timeout=60_000,
    )


def hold(watched: Watched, served: Served) -> None:
    """Open the start page and wait until the phone holds the guide."""
    watched.page.goto(served.address)
    wait_told(watched.page, "held")


def files_of(folder: pathlib.Path) -> set[str]:
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}


def edition_shown(page: Any) -> str:
    """Return the text of the page's foot, where its edition stands."""
    return str(page.locator("body").inner_text())


def test_the_whole_guide_is_held_and_opens_without_a_signal(
    watched: Watched, served_demo: Served, built_guide: pathlib.Path
) -> None:
    page = watched.page
    hold(watched, served_demo)
    (kept,) = page.evaluate(KEPT)
    pages = {name for name in files_of(built_guide) if name.endswith((".html", ".css", ".js", ".svg", ".jpg"))}
    missing = pages - {name or "index.html" for name in kept} - {"worker.js", *SPARED}
    assert missing == set(), "everything that a page shows is held"

    served_demo.refused |= files_of(built_guide) | {""}
    before = len(served_demo.asked)
    for address in ("", "index.html", "key.html", "marks/switches.html", "timeline.html", "search.html?q=dials"):
        page.goto(served_demo.address + address)
        assert page.locator("h1:visible").count() == 1, address
    page.goto(served_demo.address + "key.html#switches=rocker&--reach=glass&--at=result")
    assert page.locator("[data-screen=result] h1").is_visible()
    # the browser asks after a newer worker; nothing else may need the server
    assert set(served_demo.asked[before:]) <= {"worker.js"}
    assert watched.outside == []


def test_a_host_that_rewrites_pages_and_leads_away_from_their_endings_is_no_hindrance(
    watched: Watched, served: Served, first_edition: pathlib.Path, second_edition: pathlib.Path
) -> None:
    """A first visit holds the guide whole, it opens without a signal; a mixture of two editions is still refused."""
    served.rewrites = True
    page = watched.page
    hold(watched, served)
    assert watched.faults == []
    served.refused |= files_of(first_edition) | {"", "marks/switches", "key"}
    for address in ("", "key.html", "marks/switches.html", "marks/switches"):
        page.goto(served.address + address)
        assert page.locator("h1:visible").count() == 1, address
    served.refused.clear()
    mixed = (second_edition / "marks" / "switches.html").read_bytes()
    (second_edition / "marks" / "switches.html").write_bytes((first_edition / "marks" / "switches.html").read_bytes())
    served.folder = second_edition
    try:
        page.goto(served.address)
        assert page.evaluate(COMES_OUT) == "redundant"
    finally:
        (second_edition / "marks" / "switches.html").write_bytes(mixed)


def test_one_file_missing_and_nothing_is_held(watched: Watched, served: Served) -> None:
    served.refused.add("marks/switches.html")
    watched.page.goto(served.address)
    wait_told(watched.page, "failed")
    assert [kept for kept in watched.page.evaluate(KEPT) if kept] == [], "no half a guide is left behind"
    served.refused.clear()
    watched.page.reload()
    wait_told(watched.page, "held")


def test_what_the_browser_threw_away_is_not_said_to_be_held(watched: Watched, served: Served) -> None:
    page = watched.page
    hold(watched, served)
    page.evaluate(
        "caches.keys().then(([name]) => caches.open(name)).then((store) => store.keys()"
        ".then((keys) => store.delete(keys.find((key) => key.url.endsWith('marks/switches.html')))))"
    )
    served.refused.add("marks/switches.html")
    page.reload()
    page.wait_for_timeout(1500)
    assert page.evaluate(TOLD) != ["held"], "a guide with a hole in it is not whole"
    served.refused.clear()
    page.reload()
    wait_told(page, "held")
    assert any("marks/switches.html" in kept for kept in page.evaluate(KEPT))


def test_a_new_edition_is_offered_and_not_forced_on_an_open_car(
    watched: Watched, served: Served, second_edition: pathlib.Path
) -> None:
    page = watched.page
    hold(watched, served)
    car = page.context.new_page()
    car.goto(served.address + "key.html#switches=rocker&--reach=glass&--at=result")
    old = car.evaluate("guide.model.edition")
    assert old != NEWER

    served.folder = second_edition
    page.goto(served.address)
    page.locator("[data-newer]").wait_for(state="visible", timeout=60_000)
    page.get_by_text(WRONG).wait_for(state="visible")
    assert NEWER not in edition_shown(page), "offered, not taken"
    for address in ("marks/switches.html", "key.html"):  # going on shows one edition, the old one
        page.goto(served.address + address)
        assert NEWER not in edition_shown(page)
    assert page.evaluate("guide.model.edition") == old
    assert car.evaluate("guide.model.edition") == old, "an open car stays as it is"
    assert car.url.endswith("--at=result")

    page.goto(served.address)
    page.locator("[data-newer-take]").click()
    page.wait_for_function("(newer) => document.body.innerText.includes(newer)", arg=NEWER, timeout=60_000)
    wait_told(page, "held")
    stores = page.evaluate(KEPT)
    assert len(stores) == 1, "the store of the old edition is removed"
    assert car.locator("[data-screen=result] h1").is_visible(), "the open car is still on its screen"
    car.reload()
    assert car.evaluate("guide.model.edition") == NEWER
    assert car.locator("[data-screen=result] h1").is_visible(), "its answers stand in the address"
    served.refused |= files_of(second_edition) | {""}
    page.goto(served.address + "marks/switches.html")
    assert NEWER in edition_shown(page)
    assert watched.outside == []


def test_an_offer_waits_until_no_question_is_on_the_screen(
    watched: Watched, served: Served, second_edition: pathlib.Path
) -> None:
    """An answer must not move from under a finger because a newer edition has come in."""
    page = watched.page
    hold(watched, served)
    served.folder = second_edition
    page.goto(served.address + "key.html#--reach=outside,glass&--look=switches")
    page.evaluate(WAITING)
    page.reload()
    assert page.locator("[data-screen=look] h1").is_visible()
    page.wait_for_timeout(500)
    assert not page.locator("[data-newer]").is_visible()
    page.goto(served.address + "key.html#switches=rocker&--reach=outside,glass,door&--at=result")
    page.locator("[data-newer]").wait_for(state="visible")
    page.locator("[data-more]").click()
    page.locator("[data-screen=look] h1").wait_for()
    page.locator("[data-newer]").wait_for(state="hidden")
    page.go_back()
    page.locator("[data-newer]").wait_for(state="visible")


DEVICES = {
    "phone": ({"has_touch": True, "is_mobile": True}, "This phone holds the whole guide.", "home screen"),
    "computer": ({}, "This computer holds the whole guide.", "Ways to take it along"),
}


@pytest.mark.parametrize("device", DEVICES)
def test_each_device_is_told_in_its_own_words(chromium: Any, served: Served, device: str) -> None:
    options, held, onward = DEVICES[device]
    with open_page(chromium, **options) as opened:
        hold(opened, served)
        said = opened.page.locator("[data-offline]").inner_text()
        assert said.startswith(held)
        assert onward in said


def test_where_nothing_can_be_kept_the_page_says_why_and_what_to_do_instead(chromium: Any, served: Served) -> None:
    without = "delete Object.getPrototypeOf(navigator).serviceWorker;"
    insecure = without + "Object.defineProperty(window, 'isSecureContext', { value: false });"
    for script, kind, words in ((without, "cannot", "This browser can’t"), (insecure, "insecure", "https")):
        with open_page(chromium) as opened:
            opened.page.add_init_script(script)
            opened.page.goto(served.address)
            wait_told(opened.page, kind)
            assert words in opened.page.locator("[data-offline]").inner_text()
            follow(opened.page.get_by_role("link", name="Ways to take it along"))
            assert opened.page.url.endswith("/downloads.html")
    with open_page(chromium, java_script_enabled=False) as opened:
        opened.page.goto(served.address)
        said = opened.page.locator("[data-offline]").inner_text()
        assert said == "With scripts off, this browser won’t keep the guide for later. Ways to take it along"


def test_opened_from_a_stick_the_page_promises_nothing(watched: Watched, built_guide: pathlib.Path) -> None:
    watched.page.goto((built_guide / "index.html").as_uri())
    wait_told(watched.page, "disk")
    assert watched.faults == []


def test_a_browser_would_install_it(served: Served, watched: Watched) -> None:
    """W3C Web Application Manifest, read by the browser itself, which says what it lacks."""
    hold(watched, served)
    session = watched.page.context.new_cdp_session(watched.page)
    manifest = session.send("Page.getAppManifest")
    assert manifest["errors"] == []
    assert manifest["url"] == served.address + "manifest.webmanifest"
    problems = session.send("Page.getInstallabilityErrors")["installabilityErrors"]
    assert [problem["errorId"] for problem in problems if problem["errorId"] != "in-incognito"] == []


# ---- the guide in one file, for phones: a tapped file has no neighbours ----


@pytest.fixture
def alone(built_guide: pathlib.Path, tmp_path: pathlib.Path) -> pathlib.Path:
    """The single file, sent somewhere by itself."""
    sent = tmp_path / SINGLE
    sent.write_bytes((built_guide / SINGLE).read_bytes())
    print(f"\n{sent.stat().st_size:,} bytes")
    return sent


def test_the_single_file_can_be_read_and_its_card_works_with_scripts_off(
    chromium: Any, alone: pathlib.Path, model: Any
) -> None:
    with open_page(chromium, java_script_enabled=False) as opened:
        page = opened.page
        page.goto(alone.as_uri())
        for mark in model.marks:
            if mark.kind == "mark":  # the others are what a car is as a whole: they have no page of their own
                assert page.locator(f"#mark-{mark.id}").count() == 1, mark.id
        assert page.locator("#mark-switches").is_visible()
        assert page.locator("#mark-switches .drawing").count() >= 3
        before = laid_out(page)
        answers = page.locator("#card .answer:not(.none) input, .card .answer:not(.none) input")
        assert answers.count() > 15
        answers.first.check()
        assert laid_out(page) != before, "the card adds itself up"
        assert opened.requests == [alone.as_uri()], "nothing but itself"
        assert opened.faults == []


def test_the_single_file_dates_a_car(chromium: Any, alone: pathlib.Path) -> None:
    with open_page(chromium) as opened:
        page = opened.page
        page.goto(alone.as_uri() + "#switches=rocker&horn-push=crest&--reach=glass&--at=result")
        page.locator("[data-screen=result] h1").wait_for()
        assert page.evaluate("document.querySelector('[data-screen=result] h1').textContent.length") > 10
        assert probe(page, "lost") == []
        assert opened.requests == [alone.as_uri()]
        assert opened.faults == []
