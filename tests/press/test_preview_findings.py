"""The preview as an editor's desk: a save, a clash, a mistake and its mend, in a browser; nothing of it in a site."""

from __future__ import annotations

import pathlib
import re
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from typing import Any

import pytest

from guide.command.work import work_out
from guide.facts.types import Guide
from guide.finding import Finding, Place
from guide.press.concerned import pages_concerned
from guide.press.make import make_shelf
from guide.press.told_findings import findings_page, with_strip
from tests.mistakes.spoil import GUIDE
from tests.press.often import OFTEN
from tests.starting import change
from tests.told import ENGLISH

ROOT = pathlib.Path(__file__).resolve().parents[2]
SWITCHES = "marks/switches.yml"


@pytest.fixture
def desk(
    tmp_path: pathlib.Path, request: pytest.FixtureRequest
) -> Iterator[tuple[pathlib.Path, str, Callable[[], str]]]:
    """A preview of the guide, in a language: its folder, its address, what the terminal says when it is stopped."""
    content = pathlib.Path(shutil.copytree(GUIDE, tmp_path / "content"))
    language = getattr(request, "param", "en-GB")
    change(content, "guide.yml", "language: en-GB", f"language: {language}")
    program = f"{OFTEN}\nimport runpy\nrunpy.run_path('build.py', run_name='__main__')"
    call = [sys.executable, "-u", "-c", program, "preview", "--no-browser", "--port", "5640", "--content", str(content)]
    with subprocess.Popen(
        [*call, "--out", str(tmp_path / "out")], cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
    ) as process:
        assert process.stdout is not None
        lines: list[str] = []
        while not lines or "http://" not in lines[-1]:
            lines.append(process.stdout.readline())
            assert lines[-1], lines
        found = re.search(r"http://\S+", lines[-1])

        def said() -> str:
            process.terminate()
            assert process.stdout is not None
            return "".join(lines) + process.stdout.read()

        assert found is not None
        yield content, found[0], said
        process.terminate()


def test_a_save_a_clash_a_mistake_and_its_mend(
    desk: tuple[pathlib.Path, str, Callable[[], str]], chromium: Any
) -> None:
    content, address, said = desk
    path = content / SWITCHES
    good = path.read_text(encoding="utf-8")
    page = chromium.new_context().new_page()
    faults: list[str] = []
    page.on("pageerror", lambda error: faults.append(str(error)))

    def shown(words: str, within: str = "body") -> None:
        page.wait_for_function(
            "([words, within]) => [...document.querySelectorAll(within)].some((one) => one.innerText.includes(words))",
            arg=[words, within],
            timeout=60_000,
        )

    def save(text: str) -> None:
        path.write_text(text, encoding="utf-8")

    page.goto(f"{address}marks/switches.html")
    shown("Nothing to put right.", ".preview-strip")
    save(good.replace("Round metal toggles", "Round bright toggles"))
    shown("Round bright toggles")
    save(good.replace("{seen: C1612,", "{seen: C1912,"))
    shown("1 warning", ".preview-strip")
    shown("these cannot all be true", ".preview-strip")
    shown("these cannot all be true", "#statements tr .preview-note")
    page.click(".preview-strip a")
    shown("put right (statements-clash)")
    page.click("a[href='/marks/switches.html']")
    shown("these cannot all be true", ".preview-strip")
    save(good.replace("  toggle:\n", "  Toggle:\n"))
    shown("This is the last good edition", ".preview-strip.broken")
    shown("write toggle", ".preview-strip.broken")
    shown("Round metal toggles", "main")
    page.goto(f"{address}marks/belts.html")
    shown("This is the last good edition", ".preview-strip.broken")
    save(good)
    shown("Nothing to put right.", ".preview-strip")
    page.context.close()
    told = said()
    assert faults == []
    assert "0 errors, 1 warning, 0 notes." in told
    assert "put right (bad-id): write toggle" in told
    assert told.count("Nothing to put right.") >= 2
    assert not (content.parent / "out").exists()


@pytest.mark.parametrize("desk", ["de"], indirect=True)
def test_a_german_guides_preview_speaks_german(
    desk: tuple[pathlib.Path, str, Callable[[], str]], chromium: Any
) -> None:
    content, address, said = desk
    path = content / SWITCHES
    page = chromium.new_context().new_page()

    def shown(words: str, within: str) -> None:
        page.wait_for_function(
            "([words, within]) => [...document.querySelectorAll(within)].some((one) => one.innerText.includes(words))",
            arg=[words, within],
            timeout=60_000,
        )

    page.goto(f"{address}marks/switches.html")
    shown("Nichts zu berichtigen.", "html[lang=de] .preview-strip")
    path.write_text(path.read_text(encoding="utf-8").replace("{seen: C1612,", "{seen: C1912,"), encoding="utf-8")
    shown("1 Warnung", ".preview-strip")
    shown("Warnung", "#statements tr .preview-note")
    guide = content / "guide.yml"
    german = guide.read_text(encoding="utf-8")
    guide.write_text(german.replace("language: de", "language: en-GB"), encoding="utf-8")
    shown("1 warning", "html[lang=en-GB] .preview-strip")  # without a new start
    guide.write_text(german, encoding="utf-8")
    shown("1 Warnung", "html[lang=de] .preview-strip")
    page.click(".preview-strip a")
    shown("Abhilfe (statements-clash)", "html[lang=de] body")
    text = page.inner_text("body")
    page.context.close()
    said()
    english = (ENGLISH.templates["press.preview.title"], "put right", "warning", "these cannot", "expected", "found")
    assert [word for word in english if re.search(rf"(?<![\w-]){re.escape(word)}(?![\w-])", text)] == []


def test_a_finding_leads_to_the_page_and_the_row_that_it_speaks_of() -> None:
    worked = work_out(GUIDE)
    assert isinstance(worked.guide, Guide)
    assert worked.limits is not None
    assert worked.key is not None
    shelf = make_shelf(worked.guide, worked.limits, worked.key, None, {}, {})
    asked = {
        Place(SWITCHES, 14, 16): ("marks/switches.html", "row 1"),
        Place(SWITCHES, 1, 1): ("marks/switches.html", ""),
        Place("statements.csv", 3, 1): ("marks/dials.html", "row 3"),
        Place("pictures/belts-reel.svg", 1, 1): ("marks/belts.html", ""),
        Place("periods.yml", 2, 7): ("periods/late.html", ""),
        Place("numbers/coupe.yml", 9, 3): ("how-we-know.html", ""),
        Place("sources.yml", 2, 3): ("sources.html", ""),
        Place("guide.yml", 2, 3): ("how-we-know.html", ""),
        Place("care/old-belts.yml", 2, 3): ("care.html", ""),
        Place("nowhere.yml", 1, 1): (),
    }
    for place, led in asked.items():
        found = pages_concerned(shelf, Finding.of("facts.mark-without-area", place, mark="x"))
        assert list(found.items())[:1] == ([led] if led else []), place


def test_a_finding_stands_on_its_own_page_as_text_and_is_counted_on_all() -> None:
    finding = Finding.of("facts.column-not-read", Place("a.yml", 2, 1), column="<b>")
    page = b"<html><head></head><body class='x'><p>it</p></body></html>"

    def concerned(_: Finding) -> dict[str, str]:
        return {"own.html": "row 2"}

    own, other = (
        with_strip(page, name, (finding,), ENGLISH, concerned, broken=False).decode() for name in ("own.html", "o.html")
    )
    assert '<li data-beside="row 2" class="warning">a.yml:2:1: warning: the column &lt;b&gt; is not read</li>' in own
    assert ("0 errors, 1 warning, 0 notes." in own, "a.yml" in other) == (True, False)
    assert "0 errors, 1 warning, 0 notes." in other
    assert '<a href="/own.html">' in findings_page((finding,), ENGLISH, concerned, broken=False).decode()
