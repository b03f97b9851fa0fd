"""`build.py handing-over`: what whoever takes a guide over should know, for editors alone."""

from __future__ import annotations

import json
import pathlib
import re

import pytest

from guide.command.main import main
from guide.command.work import begin_guide
from guide.press.cache import Cache
from guide.press.theme import open_theme
from guide.press.told_findings import FOR_EDITOR
from tests.conftest import CONTENT
from tests.starting import started

PARTS = ["open", "warnings", "rulings", "unread", "conventions", "by-hand"]
LETTER = "car: S477\ndepth: quote\nedition: first\nsent: 2026-11-21\nsent to: Quillfeather\n"
OF_CARS = ("contradict", "disagree", "unexplained", "look-for")
SOURCES = "\nleaflet: {name: A leaflet, kind: print, trust: fair, about: Not read., held: the club's attic}\n"


def call(capsys: pytest.CaptureFixture[str], content: pathlib.Path, *words: str, status: int = 0) -> str:
    assert main(["handing-over", "--content", str(content), "--out", str(content.parent / "out"), *words]) == status
    return capsys.readouterr().out


def told(capsys: pytest.CaptureFixture[str], content: pathlib.Path) -> dict[str, list[str]]:
    value = json.loads(call(capsys, content, "--json"))
    assert list(value) == ["format", "edition", "parts"]
    assert [one["id"] for one in value["parts"] if one["id"] not in OF_CARS] == PARTS
    return {one["id"]: one["lines"] for one in value["parts"]}


@pytest.fixture
def content(tmp_path: pathlib.Path) -> pathlib.Path:
    """A guide with a clash, a ruling, a paper that nobody has read, a car withdrawn, a letter, and a default."""
    folder = started(
        tmp_path,
        {"cars-seen/show.csv": "car,remarks,door-handle\nS1100,of Elmcott,lever\n", "private/letters/one.yml": LETTER},
    )
    with (folder / "sources.yml").open("a", encoding="utf-8") as file:
        file.write(SOURCES)
    with (folder / "guide.yml").open("a", encoding="utf-8") as file:
        file.write("withdrawn: S571\nmask seen statements: yes\ndefaults: {about month days: 20}\n")
    lamp = folder / "marks" / "roof-lamp.yml"
    text = lamp.read_text(encoding="utf-8")
    text = text.replace("{last: S598, source: parts-list}", "{last: S598, source: parts-list}\n      - {seen: S900}")
    text += "  oval: {name: Oval, answer: An oval lamp, describes: An oval lamp.}\n"
    lamp.write_text(text.replace("order: [round, square]", "order: [round, square, oval]"), encoding="utf-8")
    handle = folder / "marks" / "door-handle.yml"
    with handle.open("a", encoding="utf-8") as file:
        file.write(
            "rulings:\n  - {read: parts-list first about January 1962, as: {first: about March 1962}, "
            "why: A misprint., on: 2026-11-25, by: Hobb}\n"
        )
    return folder


def test_what_is_open_was_decided_and_goes_on_by_hand_is_told(
    content: pathlib.Path, capsys: pytest.CaptureFixture[str]
) -> None:
    parts = told(capsys, content)
    lines = "\n".join(parts["open"])
    assert re.search(r"Roof lamp: .*S900.*", lines), "a clash, with the number whole"
    assert "Roof lamp: nothing is stated of Oval." in parts["open"]
    assert any("roof-lamp.yml" in one for one in parts["warnings"])
    (ruling,) = parts["rulings"]
    assert ruling.startswith("Inner door handle: Parts list gives about January 1962 as the first with “Knob”.")
    assert ruling.endswith("Why: A misprint. Ruled 25 November 2026 by Hobb.")
    assert "A leaflet (`leaflet`), to be seen at: the club’s attic" in parts["unread"]
    known = {line.partition(":")[0]: line for line in parts["conventions"]}
    assert known["`mask seen statements`"].startswith("`mask seen statements`: yes (")
    assert known["`fine enough`"].startswith("`fine enough`: six months (")
    assert known["`about month days`"].startswith("`about month days`: 20 days, where 30 is usual (")
    assert known["Numbers, Saloon"] == "Numbers, Saloon: written S###, S#### (numbers/saloon.yml)"
    assert parts["by-hand"][0].startswith("cars-seen/: 1 car in 1 file")
    assert parts["by-hand"][1].startswith("`withdrawn` in guide.yml: 1 number")
    assert parts["by-hand"][2].startswith("private/: 1 file, 1 of them")
    everything = "\n".join(line for each in parts.values() for line in each)
    assert [one for one in ("S571", "Quillfeather", "of Elmcott") if one in everything] == []


def test_the_page_is_written_where_nothing_is_published_and_loads_nothing(
    content: pathlib.Path, tmp_path: pathlib.Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for file in (content / "over.html", content.parent / "out" / "over.html"):
        call(capsys, content, "--to", str(file), status=2)
        assert not file.exists()
    page = tmp_path / "over.html"
    assert "over.html" in call(capsys, content, "--to", str(page))
    text = page.read_text(encoding="utf-8")
    assert text.count("<h2>") == len(told(capsys, content))
    assert not re.search(r"(?:src|href)=", text)
    in_terminal = call(capsys, content)
    for line in (line for lines in told(capsys, content).values() for line in lines):
        assert f"  {line}\n" in in_terminal
    (content / "guide.yml").write_text("format: 1\n", encoding="utf-8")
    assert json.loads(call(capsys, content, "--json", status=1))["findings"][0]["severity"] == "error"
    assert "expected `title:`" in call(capsys, content, status=1)


def test_a_german_guide_is_handed_over_in_german(tmp_path: pathlib.Path, capsys: pytest.CaptureFixture[str]) -> None:
    content = tmp_path / "neu"
    assert main(["start", str(content), "--language", "de"]) == 0
    capsys.readouterr()
    assert "Woran sich das Bestimmungsbuch hält" in call(capsys, content)


def test_what_is_for_editors_alone_is_in_no_site(content: pathlib.Path) -> None:
    _, making = begin_guide(content, open_theme("", content), Cache(None), for_editor=False)
    assert making is not None
    assert {*FOR_EDITOR} & {*making.whole()} == set()


def test_the_demo_has_no_clash_open_and_says_which_paper_is_unread(capsys: pytest.CaptureFixture[str]) -> None:
    parts = told(capsys, CONTENT)
    (brochure,) = parts["unread"]
    assert brochure.startswith("Sales brochure, autumn 1971 (`brochure-1971`), to be seen at: ")
    assert len(parts["rulings"]) == 2
    assert "Soft-top window: D744 has “Zipped in”, 557 numbers before the first as stated." in parts["contradict"]
    assert parts["look-for"][0].startswith("D900 to D999: ")
