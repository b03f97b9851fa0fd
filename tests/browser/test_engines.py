"""The guide opened from a stick, in three engines: one walk, a number on a mark's page, a sheet by number, the card's
sums, the single file, prints; and the harness that does it all."""

from __future__ import annotations

import json
import pathlib
import time
from collections.abc import Callable, Iterator
from typing import Any
from unicodedata import normalize

import pytest

from guide.dating.belief.evidence import Answer, Session
from guide.press.single_file import SINGLE
from tests.browser.engines import (
    ENGINES,
    PHONE,
    Engine,
    FirefoxOrChromium,
    Opened,
    firefox,
    open_engine,
    start_engine,
    until,
    webkit_console,
)
from tests.browser.site import MIDDLE_CAR
from tests.browser.test_prints import page_count, reached, words_of
from tests.dating.asking import conclude

pytestmark = [pytest.mark.browser, pytest.mark.long]


@pytest.fixture(scope="module", params=list(ENGINES))
def started(request: pytest.FixtureRequest, playwright: Any) -> Iterator[Callable[[], Opened]]:
    """Each engine in turn, started once for all tests."""
    with start_engine(request.param, playwright) as opened:
        yield opened


@pytest.fixture
def engine(started: Callable[[], Opened]) -> Iterator[Engine]:
    """Each engine in turn, with a page of which nothing may go out and that may say of no error."""
    with started() as opened:
        yield opened
        assert opened.faults() == []


def only(*names: str) -> pytest.MarkDecorator:
    """Return what lets a test be done by some of the engines alone."""
    return pytest.mark.parametrize("started", names, indirect=True)


GOOD = """<!doctype html><title>good</title><input id="a"><button id="b">b</button>
<a id="on" href="bad.html">on</a>
<script>
document.getElementById("b").onclick = () => { document.title = document.getElementById("a").value; };
</script>"""
BAD = """<!doctype html><title>bad</title><button id="b">b</button><button id="c">c</button>
<script>
document.getElementById("b").onclick = () => { console.error("planted word"); planted.error(); };
document.getElementById("c").onclick = () => { new Image().src = "http://outside.example/planted.png"; };
</script>"""


@pytest.mark.parametrize("name", list(ENGINES))
def test_the_harness_presses_types_and_notices_what_is_wrong(
    playwright: Any, tmp_path: pathlib.Path, name: str
) -> None:
    (tmp_path / "good.html").write_text(GOOD, encoding="utf-8")
    (tmp_path / "bad.html").write_text(BAD, encoding="utf-8")
    with open_engine(name, playwright) as engine:  # its own, for what is planted is asked for
        _presses_types_and_notices(engine, tmp_path)


def _presses_types_and_notices(engine: Engine, tmp_path: pathlib.Path) -> None:
    engine.open((tmp_path / "good.html").as_uri())
    assert engine.ask("[innerWidth, innerHeight]") == list(PHONE)
    engine.fill("#a", "typed")
    engine.press("#b")
    assert until(engine, "document.title === 'typed' && document.title") == "typed"
    engine.reload()
    until(engine, "document.title === 'good'")
    assert engine.faults() == []
    engine.press("#on")
    until(engine, "document.title === 'bad'")
    engine.press("#b")
    engine.press("#c")
    deadline = time.monotonic() + 10
    while not any(fault.startswith("outside:") for fault in engine.faults()) and time.monotonic() < deadline:
        time.sleep(0.1)
    said = engine.faults()
    for kind, words in (("console", "planted word"), ("error", ""), ("outside", "outside.example")):
        assert any(fault.startswith(f"{kind}:") and words in fault for fault in said), (kind, said)
    with pytest.raises(AssertionError, match="never came to"):
        _impatient(engine)


def _impatient(engine: Engine) -> None:
    from tests.browser import engines

    patience, engines._PATIENCE_SECONDS = engines._PATIENCE_SECONDS, 0.1
    try:
        until(engine, "document.title === 'never'")
    finally:
        engines._PATIENCE_SECONDS = patience


def test_the_console_of_webkit_is_heard_while_a_page_loads(tmp_path: pathlib.Path) -> None:
    good, bad = tmp_path / "good.html", tmp_path / "bad.html"
    good.write_text(GOOD, encoding="utf-8")
    bad.write_text("<!doctype html><title>bad</title><script>planted.error();</script>", encoding="utf-8")
    said = webkit_console([bad, good])
    assert list(said) == ["bad.html"]
    assert "planted" in said["bad.html"]


# ---- the walk ----

SHOWN = "document.querySelector('[data-screen]:not([hidden])').dataset.screen"
ASKED = """guide.model.marks.find((mark) => document.querySelector('[data-screen=look] h1').textContent
    .startsWith(mark.question)).id"""
HASH = "decodeURIComponent(location.hash)"


def answer(engine: Engine) -> str:
    """Answer the look that is shown as the car has it, wait for the next screen, and return the mark."""
    mark, place = str(engine.ask(ASKED)), engine.ask(HASH)
    form = MIDDLE_CAR.get(mark, "cannot-tell")
    engine.press(f"[data-screen=look] [data-answer='{form}']")
    until(engine, f"{HASH} !== {json.dumps(place)}")
    return mark


def answers_in(place: str) -> tuple[Answer, ...]:
    """Return the answers that an address of the key holds."""
    pairs = [piece.split("=") for piece in place.lstrip("#").split("&") if not piece.startswith("--")]
    return tuple(
        Answer(mark, (), value) if value == "cannot-tell" else Answer(mark, (value,), "form") for mark, value in pairs
    )


def test_a_stranger_dates_a_car_reads_up_and_searches_from_a_stick(
    engine: Engine, built_guide: pathlib.Path, model: Any
) -> None:
    engine.open((built_guide / "index.html").as_uri())
    until(engine, "document.querySelector('[data-sun]')")
    engine.press("[data-sun]")
    until(engine, "document.documentElement.dataset.light === 'sun'")
    engine.press("a[href^='key.html']")
    until(engine, f"location.pathname.endsWith('key.html') && {SHOWN} === 'begin'")
    assert engine.ask("document.documentElement.dataset.light") == "sun", "bright sun goes along"
    engine.press("[data-begin] [type=submit]")
    until(engine, f"{SHOWN} === 'look'")

    first, second = answer(engine), answer(engine)
    assert first != second
    engine.press("[data-back]")
    until(engine, f"{ASKED} === {json.dumps(second)}")
    assert answers_in(engine.ask(HASH)) == answers_in(f"#{first}={MIDDLE_CAR.get(first, 'cannot-tell')}"), (
        "what was taken back does not count"
    )
    assert answer(engine) == second

    asked = [first, second]
    while engine.ask(SHOWN) == "look":
        asked.append(answer(engine))
        assert len(asked) < 30, f"the key does not come to an end: {asked}"
    place = str(engine.ask(HASH))
    title = str(engine.ask("document.title"))
    told = conclude(model, Session(answers=answers_in(place), car=None, reach=("outside", "glass"), known={}))
    assert told["result"]["words"].startswith(title), "the browser says what build.py ask says"
    assert [one.mark for one in answers_in(place)] == asked

    engine.reload()
    until(engine, f"{SHOWN} === 'result'")
    assert (engine.ask(HASH), engine.ask("document.title")) == (place, title)
    engine.press("[data-keep]")
    until(engine, "document.querySelector('[data-kept]').textContent")

    engine.open((built_guide / "marks" / "switches.html").as_uri())
    assert until(engine, "document.querySelectorAll('h1').length === 1 && document.querySelector('h1').textContent")
    assert engine.ask("document.querySelectorAll('figure .drawing').length") >= 3
    engine.fill("[name=q]", "rokcer")
    engine.press("[name=q]")
    engine.ask("document.querySelector('[name=q]').form.requestSubmit() || 1")
    until(engine, "location.pathname.endsWith('search.html') && document.querySelector('main a[href*=switches]')")
    engine.press("main a[href*='marks/switches.html']")
    until(engine, "location.pathname.endsWith('marks/switches.html')")


# ---- reading ----

SUMS = """[...document.querySelectorAll("[class^='sum-']")].map((one) => getComputedStyle(one, "::after").content)"""
STROKE = """getComputedStyle(document.querySelector("symbol .detail, .drawing .detail")).strokeWidth"""


def test_a_number_points_out_its_form_and_makes_a_sheet(engine: Engine, built_guide: pathlib.Path) -> None:
    engine.open((built_guide / "marks" / "switches.html").as_uri())
    until(engine, "!document.querySelector('[data-expect]').hidden")
    engine.fill("#your-number", "C3900")
    engine.press("[data-expect] [type=submit]")
    until(engine, "document.querySelector('.expected') && document.querySelector('.expected').id === 'form-symbols'")
    engine.open((built_guide / "sheets.html").as_uri())
    until(engine, "!document.querySelector('[data-buy]').hidden")
    engine.fill("#buy-car", "C1840")
    engine.press("[data-buy] [type=submit]")
    until(
        engine,
        "document.querySelectorAll('[data-places] .item').length > 9 && "
        "[...document.querySelectorAll('[data-places] .item')].every((one) => one.querySelector('svg.drawing'))",
    )
    assert "C1840" in str(engine.ask("document.querySelector('[data-title]').textContent"))


def test_the_card_adds_itself_up(engine: Engine, built_guide: pathlib.Path) -> None:
    engine.open((built_guide / "card.html").as_uri())
    columns = "document.querySelectorAll('.begin .points b').length"
    assert int(engine.ask(columns)) == 5
    before = str(engine.ask("document.querySelector('.sums').innerText"))
    engine.press(".card .answer input")
    assert engine.ask("document.querySelector('.card .answer input').checked") is True
    assert "Launch" in before
    assert engine.ask(SUMS)[0].startswith("counter(")


def test_the_single_file_stands_alone(engine: Engine, built_guide: pathlib.Path, tmp_path: pathlib.Path) -> None:
    alone = tmp_path / "sent by message.html"
    alone.write_bytes((built_guide / SINGLE).read_bytes())
    engine.open(alone.as_uri())
    until(engine, "document.querySelector('[data-screen=begin]:not([hidden])')")
    engine.press("[data-begin] [type=submit]")
    until(engine, "!document.querySelector('[data-screen=look]').hidden")
    assert engine.ask("document.querySelectorAll('[data-screen=look] svg use').length") >= 2
    assert float(str(engine.ask(STROKE)).removesuffix("px")) == pytest.approx(3)
    engine.press("[data-screen=look] [data-answer]")
    until(engine, "location.hash.includes('=')")


# ---- one engine alone ----


def test_the_pages_load_in_webkit_without_a_word_on_its_console(built_guide: pathlib.Path) -> None:
    pages = ["index.html", "key.html", "notes.html", "search.html", "marks/switches.html"]
    said = webkit_console([built_guide / page for page in pages])
    # the one thing it does not know of our policy, which then simply does not hold there
    unknown = "CONSOLE SECURITY ERROR Unrecognized Content-Security-Policy directive 'manifest-src'."
    assert {name: words for name, words in said.items() if words.replace(unknown, "").strip()} == {}


def test_firefox_shows_the_dark_and_prints_on_white(playwright: Any, built_guide: pathlib.Path) -> None:
    dark = {"layout.css.prefers-color-scheme.content-override": 0}
    with firefox(playwright, dark) as engine:
        engine.open((built_guide / "marks" / "switches.html").as_uri())
        ground, leaf = engine.ask(
            "[document.body, document.querySelector('main .leaf')]"
            ".map((one) => getComputedStyle(one).backgroundColor.match(/\\d+/g).map(Number))"
        )
        assert max(ground) < 60, "the page is dark"
        assert min(leaf) > 150, "a leaf stays paper"
        for address, most in (("card.html", 2), ("sheets/early.html", 2)):
            engine.open((built_guide / address).as_uri())
            for paper in ("A4", "Letter"):
                assert 1 <= page_count(engine.printed(paper)) <= most, (address, paper)
        assert engine.faults() == []


@only("Firefox")
def test_firefox_prints_a_letter_about_one_car_on_two_sides(engine: Engine, built_guide: pathlib.Path) -> None:
    assert isinstance(engine, FirefoxOrChromium)
    for depth in ("letter", "list", "quote"):
        engine.open("about:blank")
        engine.open(f"{built_guide.as_uri()}/car.html#switches=toggle&--car=C2711&--depth={depth}")
        until(engine, "document.querySelector('article.letter')")
        counts = [page_count(engine.printed(paper)) for paper in ("A4", "Letter")]
        assert 1 <= min(counts) <= max(counts) <= 2, (depth, counts)


def test_firefox_without_scripts_leads_to_the_card(playwright: Any, built_guide: pathlib.Path) -> None:
    with firefox(playwright, {"javascript.enabled": False}) as engine:
        engine.open((built_guide / "key.html").as_uri())
        assert engine.page.locator("section.without a[href='card.html']").is_visible()
        assert not engine.page.locator("[data-screen]").first.is_visible()
        engine.open((built_guide / "card.html").as_uri())
        engine.page.locator(".card [type=reset]").wait_for()
        assert engine.faults() == []


CLASS = "C1912,D744,C4000,C2500L,C1500,D1500,C3500,C1200,D600,C1001,C4300,C2000"
FITS = {  # cars: how many sheets, whether they lie on their side
    f"{CLASS}&--at=result": (1, True),
    f"{CLASS},C2222,D1234&--at=result": (2, True),
    "C2500&horn-push=padded": (1, False),
    "C2500,C1840,D744": (3, False),
}


@only("Chromium", "Firefox")
def test_fits_and_a_class_print_whole_with_caution_and_edition_on_every_page(
    engine: Engine, built_guide: pathlib.Path
) -> None:
    assert isinstance(engine, FirefoxOrChromium)
    for cars, (sheets, lying) in FITS.items():
        engine.open("about:blank")
        engine.open(f"{built_guide.as_uri()}/fits.html#--car={cars}")
        ready = ".class-sheet" if lying else f".car-fits:nth-of-type({sheets}) .plate .drawing"
        until(engine, f"document.querySelector('{ready}')")
        for paper in ("A4", "Letter"):
            pdf = engine.printed(paper, lying=lying)
            pages = [normalize("NFKC", page) for page in words_of(pdf)]
            assert len(pages) == sheets, (cars, paper)
            for page, (left, right, width) in zip(pages, reached(pdf), strict=True):
                assert page.count("Edition: autumn 2026 (") == 1
                assert "not a certificate" in " ".join(page.split())
                assert ("Looked at by" in page) != lying
                assert 20 < left < right < width - 20, "nothing reaches into the margin: nothing is cut"
