"""Weight: what a phone must fetch before it can date a car, how heavy a page is, and that nothing idles.

Weights are what a server sends with gzip (level 6, the usual one; pictures that are packed already as they are).
Every figure is printed; run with -s to see them.
"""

from __future__ import annotations

import gzip
import pathlib
import re
from dataclasses import dataclass
from functools import cache
from typing import Any
from urllib.parse import unquote, urlsplit

import pytest

from guide.press.single_file import SINGLE
from tests.browser.site import Watched, kinds, open_page, samples, serve
from tests.themes.javascript import tokens_of

pytestmark = pytest.mark.browser

COLD_BYTES = 150_000  # everything requested, cache cold, until the second question is answered
PAGE_BYTES = 1_000_000  # one page, as it lies on the disk
SINGLE_BYTES = 2_000_000  # the single file, light enough for a messaging program over a weak signal
_PACKED = (".jpg", ".jpeg", ".png", ".webp", ".gif", ".woff2")


def sent_bytes(path: pathlib.Path) -> int:
    """Return what a server sends of a file."""
    data = path.read_bytes()
    return len(data) if path.suffix in _PACKED else len(gzip.compress(data, 6, mtime=0))


def requested(watched: Watched, address: str, out: pathlib.Path) -> dict[str, int]:
    """Return what was requested from the guide, each once, with the bytes sent."""
    paths = [urlsplit(url).path for url in watched.requests if url.startswith(address)]
    names = {unquote(path).lstrip("/") or "index.html" for path in paths}
    return {name: sent_bytes(out / name) for name in sorted(names)}


def test_two_looks_cost_a_phone_no_more_than_a_small_photograph(chromium: Any, built_guide: pathlib.Path) -> None:
    with serve(built_guide) as address, open_page(chromium, service_workers="block") as watched:
        page = watched.page
        page.goto(address)
        page.locator("a[href^='key.html']").first.click()
        page.locator("[data-begin] [type=submit]").click()
        for _ in range(2):
            question = page.locator("h1.ask").text_content()
            page.locator("[data-answer]").first.click()
            page.wait_for_function(
                "before => (document.querySelector('h1.ask') || {}).textContent !== before", arg=question
            )
        weights = requested(watched, address, built_guide)
        assert watched.outside == []
    assert len(weights) > 5
    print()
    for name, size in sorted(weights.items(), key=lambda item: -item[1]):
        print(f"{size:>9,}  {name}")
    total = sum(weights.values())
    print(f"{total:>9,}  bytes until the second question is answered (at most {COLD_BYTES:,})")
    assert total <= COLD_BYTES


def test_no_page_is_heavy(built_guide: pathlib.Path) -> None:
    print()
    heavy = {}
    for kind, pages in kinds(built_guide).items():
        longest = max(pages, key=lambda path: path.stat().st_size)
        size, limit = longest.stat().st_size, SINGLE_BYTES if longest.name == SINGLE else PAGE_BYTES
        name = longest.relative_to(built_guide)
        print(f"{size:>9,}  {sent_bytes(longest):>8,} sent  {name} (of {len(pages)} in {kind})")
        if size > limit:
            heavy[kind] = size
    assert heavy == {}


_SCRIPT = re.compile(r'<script[^>]*\ssrc="([^"]+)"')


@dataclass(frozen=True, slots=True)
class Trade:
    """What a script gives to others as ``guide.NAME``, what it adds to another's, what it asks of others."""

    made: frozenset[str]
    added: frozenset[str]
    asked: frozenset[str]
    needed: frozenset[str]  # asked, and not for "or else"
    mounts: bool  # whether it works on the page itself


@cache
def trade(text: str) -> Trade:
    """Return what a script gives and asks."""
    made, added, asked, spared = set[str](), set[str](), set[str](), set[str]()
    words = ["", ""] + [token.text if token.kind != "string" else "" for token in tokens_of(text)] + [""] * 6
    for at in range(2, len(words) - 6):
        word, name, after = words[at], words[at + 2], words[at + 3]
        if word not in ("guide", ")") or words[at + 1] != "." or not name.isidentifier():
            continue
        if after == "=":
            made.add(name)
        elif word == "guide":
            if (after == "." and words[at + 5] == "=") or words[at - 2 : at] == ["assign", "("]:
                added.add(name)
            or_else = words[at - 1] == "||" or after in ("&&", "||") or words[at - 2 : at] == ["if", "("]
            (spared if or_else else asked).add(name)
    mounts = "document" in words or "addEventListener" in words
    return Trade(
        frozenset(made), frozenset(added), frozenset((asked | spared) - made), frozenset(asked - made - spared), mounts
    )


def unmatched(page: pathlib.Path) -> list[str]:
    """Return what the scripts of a page ask of one another in vain, and which no other one asks for."""
    sources = _SCRIPT.findall(page.read_text(encoding="utf-8"))
    trades = {source: trade((page.parent / source).read_text(encoding="utf-8")) for source in sources}
    made = {name for one in trades.values() for name in one.made}
    said = [
        f"{source} asks for guide.{name}, which no script of the page makes"
        for source in sources
        for name in sorted(trades[source].needed - made)
    ]
    for source in sources:
        one = trades[source]
        others = {name for other in sources if other != source for name in trades[other].asked}
        if not (one.made | one.added) & others and not one.mounts:
            said.append(f"{source} is asked for by no other script")
    return said


def test_every_script_finds_what_it_asks_for_and_is_asked_for(built_guide: pathlib.Path) -> None:
    said = {}
    for name, pages in kinds(built_guide).items():
        found = unmatched(pages[0])
        if found:
            said[name] = found
    assert said == {}


def test_a_script_too_few_or_too_many_is_noticed(tmp_path: pathlib.Path) -> None:
    (tmp_path / "say.js").write_text("(function (guide) { guide.say = 1; }(window.guide));", encoding="utf-8")
    (tmp_path / "data.js").write_text(
        '(globalThis.guide=globalThis.guide||{}).model={"a": "guide.no"};', encoding="utf-8"
    )
    (tmp_path / "page.js").write_text("document.title = guide.model + guide.gone; // guide.say", encoding="utf-8")
    (tmp_path / "page.html").write_text(
        "".join(f'<script defer src="{name}.js"></script>' for name in ("say", "data", "page")), encoding="utf-8"
    )
    assert unmatched(tmp_path / "page.html") == [
        "page.js asks for guide.gone, which no script of the page makes",
        "say.js is asked for by no other script",
    ]


def test_nothing_is_loaded_that_a_page_does_not_use(chromium: Any, built_guide: pathlib.Path) -> None:
    idle = {}
    with open_page(chromium) as watched:
        session = watched.page.context.new_cdp_session(watched.page)
        for address in samples(built_guide, longest=False):
            # A browser now and then styles a page before it counts what it used: what is idle is so every time.
            for patience in (0, 50, 50):
                watched.page.goto("about:blank")
                found = idle_files(session, watched.page, built_guide.as_uri() + "/" + address, patience)
                if not found:
                    break
            if found:
                idle[address] = found
        assert watched.faults == []
    assert idle == {}


def idle_files(session: Any, page: Any, url: str, patience: float = 50) -> list[str]:
    """Return the scripts of a page of which nothing ran, and the styles no rule of which fits, after so many
    milliseconds and two frames."""
    sheets: dict[str, str] = {}
    session.on(
        "CSS.styleSheetAdded",
        lambda event: sheets.update({event["header"]["styleSheetId"]: event["header"]["sourceURL"]}),
    )
    for command, parameters in (
        ("Profiler.enable", {}),
        ("DOM.enable", {}),
        ("CSS.enable", {}),
        ("Profiler.startPreciseCoverage", {"callCount": True, "detailed": False}),
        ("CSS.startRuleUsageTracking", {}),
    ):
        session.send(command, parameters)
    page.goto(url)
    if patience:
        page.wait_for_timeout(patience)
    page.evaluate("new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")
    scripts = session.send("Profiler.takePreciseCoverage")["result"]
    rules = session.send("CSS.stopRuleUsageTracking")["ruleUsage"]
    used = {sheets.get(rule["styleSheetId"], "") for rule in rules if rule["used"]}
    for command in ("Profiler.stopPreciseCoverage", "CSS.disable", "DOM.disable", "Profiler.disable"):
        session.send(command)
    linked = page.evaluate("[...document.querySelectorAll('link[rel=stylesheet]')].map((one) => one.href)")
    loaded = page.evaluate("[...document.querySelectorAll('script[src]')].map((one) => one.src)")
    ran = {script["url"]: any(part["ranges"][0]["count"] for part in script["functions"]) for script in scripts}
    idle = [f"script {url}" for url in loaded if not ran.get(url)]
    return idle + [f"style {url}" for url in linked if url not in used]


def test_an_idle_file_is_noticed(chromium: Any, tmp_path: pathlib.Path) -> None:
    (tmp_path / "used.css").write_text("p { color: red }", encoding="utf-8")
    (tmp_path / "idle.css").write_text(".never { color: red }", encoding="utf-8")
    (tmp_path / "used.js").write_text("(function () { document.title = 'x'; }());", encoding="utf-8")
    (tmp_path / "page.html").write_text(
        '<!doctype html><link rel="stylesheet" href="used.css"><link rel="stylesheet" href="idle.css">'
        '<script src="used.js"></script><script src="gone.js"></script><p>x</p>',
        encoding="utf-8",
    )
    with open_page(chromium) as watched:
        session = watched.page.context.new_cdp_session(watched.page)
        found = idle_files(session, watched.page, (tmp_path / "page.html").as_uri())
    assert [name.rsplit("/", 1)[1] for name in found] == ["gone.js", "idle.css"]
