"""Editions: what each told is kept as it is published, and the next one says what has changed, in every way a reader
meets it."""

from __future__ import annotations

import html
import json
import pathlib
import re
import shutil

import pytest

from guide.command.main import main
from guide.facts.read import read_guide
from guide.press.publish import edition_of
from tests.starting import change, started
from tests.told import ENGLISH

MARK = "marks/roof-lamp.yml"


def published(content: pathlib.Path, to: pathlib.Path, *more: str) -> dict[str, bytes]:
    assert main(["publish", str(to), "--content", str(content), *more]) == 0
    return {path.relative_to(to).as_posix(): path.read_bytes() for path in to.rglob("*") if path.is_file()}


def words_of(page: bytes) -> str:
    main_part = page.decode()[page.decode().index("<main") : page.decode().index("</main>")]
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", main_part)).split())


@pytest.fixture
def content(tmp_path: pathlib.Path) -> pathlib.Path:
    """The small guide that `start` makes, with a day for its edition, an address and a place for corrections."""
    folder = started(tmp_path, {})
    change(
        folder,
        "guide.yml",
        "edition: first",
        "edition: {name: spring 2026, date: 2026-04-18}\naddress: https://example.org/tern/\n"
        "corrections: editor@example.org",
    )
    return folder


def next_edition(content: pathlib.Path) -> None:
    change(content, "guide.yml", "{name: spring 2026, date: 2026-04-18}", "{name: autumn 2026, date: 2026-11-21}")


def test_an_edition_is_kept_and_the_next_one_says_what_has_changed(
    content: pathlib.Path, tmp_path: pathlib.Path, capsys: pytest.CaptureFixture[str]
) -> None:
    to = tmp_path / "to"
    first = published(content, to)
    assert "editions.html" not in first
    (kept,) = (content / "editions").iterdir()
    value = json.loads(kept.read_bytes())
    assert (value["edition"], value["number"]) == ({"name": "spring 2026", "date": "2026-04-18"}, 1)
    assert value["facts"] == json.loads(first["downloads/facts.json"])
    assert "because" not in json.dumps(value["limits"])
    assert f"What it says is kept in editions/{kept.name}" in capsys.readouterr().out
    assert published(content, to) == first, "what was kept changes nothing of the edition itself"

    change(content, MARK, "last: S598", "last: S605")
    change(content, MARK, "name: Round\n", "name: Round lamp\n")
    next_edition(content)
    second = published(content, to)
    said = words_of(second["editions.html"])
    assert "Autumn 2026, since spring 2026" in said
    assert "Round lamp: called “Round” before." in said
    assert "Round lamp: the last car moves from S598 to S605. Source: " in said
    assert "Sheets of edition spring 2026 are wrong on one part: roof lamp." in said
    assert b'const WRONG = {"spring 2026": "Sheets of edition spring 2026 are wrong on one part' in second["worker.js"]
    assert b"Autumn 2026, since spring 2026" in second["editions.html"]
    assert len(list((content / "editions").iterdir())) == 2

    assert main(["back", "--out", str(to)]) == 0
    assert edition_of(to) == "spring 2026"
    assert published(content, to)["editions.html"] == second["editions.html"]


def test_the_fingerprint_is_the_same_on_every_paper_and_another_when_facts_are(
    content: pathlib.Path, tmp_path: pathlib.Path
) -> None:
    one = published(content, tmp_path / "one")
    elsewhere = tmp_path / "elsewhere" / "facts"
    shutil.copytree(content, elsewhere)
    assert published(elsewhere, tmp_path / "two") == one, "the same bytes wherever the facts lie"
    found = {
        name: set(re.findall(rb"Edition: spring 2026 \(([0-9a-f]{8})\)\.", data))
        for name, data in one.items()
        if name.endswith((".html", ".svg"))
    }
    (fingerprint,) = set().union(*found.values())
    bare = {name for name, marks in found.items() if not marks and b'http-equiv="refresh"' not in one[name]}
    assert bare <= {"guide.svg", "preview.html"} | {name for name in one if name.startswith(("icons/", "pictures/"))}
    assert json.loads(next((content / "editions").iterdir()).read_bytes())["fingerprint"] == fingerprint.decode()
    assert not [name for name, data in one.items() if name.endswith((".html", ".svg")) and b"unfilled" in data]
    quoted = words_of(b"<main" + one["marks/roof-lamp.html"].split(b"How to quote this page")[1] + b"</main>")
    assert f"edition spring 2026 ({fingerprint.decode()}). https://example.org/tern/marks/roof-lamp.html" in quoted

    change(content, MARK, "last: S598", "last: S605")
    assert f"({fingerprint.decode()})".encode() not in published(content, tmp_path / "one")["index.html"]


def test_renamed_records_are_the_same_as_before_and_withdrawn_numbers_are_not_told(
    content: pathlib.Path, tmp_path: pathlib.Path
) -> None:
    published(content, tmp_path / "to")
    assert main(["rename", "mark/roof-lamp", "lamp", "--content", str(content)]) == 0
    assert main(["rename", "form/lamp/round", "disc", "--content", str(content)]) == 0
    next_edition(content)
    said = words_of(published(content, tmp_path / "to")["editions.html"])
    assert "No part is told otherwise." in said
    assert "Sheets of edition spring 2026 are wrong on no part." in said

    change(content, "marks/lamp.yml", "seen: S612", "seen: S640")
    said = words_of(published(content, tmp_path / "to")["editions.html"])
    assert "another car was seen with it. Seen on S640" in said
    assert "S612" not in said


def test_a_file_that_is_no_edition_is_told_with_its_place_and_stops_nothing(
    content: pathlib.Path, tmp_path: pathlib.Path
) -> None:
    published(content, tmp_path / "to")
    (kept,) = (content / "editions").iterdir()
    good = json.loads(kept.read_bytes())
    spoilt = {
        "a": kept.read_text(encoding="utf-8")[:-40],
        "b": "[]",
        "c": json.dumps({**good, "format": 2}),
        "d": json.dumps({**good, "facts": {**good["facts"], "marks": [{"id": "x"}]}}),
        "e": json.dumps({**good, "edition": {"name": "spring 2026", "date": "18 April"}}),
        "f": json.dumps({**good, "number": "first"}),
        "g": json.dumps({**good, "limits": {}}),
    }
    for name, text in spoilt.items():
        (content / "editions" / f"{name}.json").write_text(text, encoding="utf-8")
    (content / "editions" / "z.json").write_text(json.dumps(good), encoding="utf-8")
    next_edition(content)
    reading = read_guide(content)
    assert {one.code for one in reading.findings} == {"bad-edition"}
    found = [one.line(ENGLISH) for one in reading.findings]
    assert len(found) == len(spoilt) + 1
    assert found[0].startswith("editions/a.json:2:1: warning: ") or found[0].startswith("editions/a.json:1:")
    assert all("warning: expected an edition as it was kept" in one for one in found[:-1])
    assert "expected one edition of the number 1" in found[-1]
    assert reading.guide is not None
    assert [one.name for one in reading.guide.editions] == ["spring 2026"]


def test_an_edition_dated_before_the_last_one_and_one_that_cannot_be_kept_are_told(
    content: pathlib.Path, tmp_path: pathlib.Path, capsys: pytest.CaptureFixture[str]
) -> None:
    published(content, tmp_path / "to")
    change(content, "guide.yml", "{name: spring 2026, date: 2026-04-18}", "{name: late, date: 2026-04-17}")
    shutil.rmtree(tmp_path / "to")
    kept = next((content / "editions").iterdir())
    aside = tmp_path / kept.name
    capsys.readouterr()
    published(content, tmp_path / "to")
    said = capsys.readouterr().out
    assert "(edition-not-newer)" in said
    assert "expected a day on or after 2026-04-18, that of edition spring 2026, found 2026-04-17" in said
    kept.rename(aside)
    shutil.rmtree(content / "editions")
    (content / "editions").write_text("in the way", encoding="utf-8")
    published(content, tmp_path / "to")
    said = capsys.readouterr().out
    assert "(edition-not-kept)" in said
    assert "expected to keep what this edition says in editions/late" in said


def test_a_correction_says_page_claim_and_edition_by_letter_or_by_form(
    content: pathlib.Path, tmp_path: pathlib.Path
) -> None:
    from urllib.parse import parse_qs, urlsplit

    letter = html.unescape(published(content, tmp_path / "to")["marks/roof-lamp.html"].decode())
    links = [urlsplit(one) for one in re.findall(r'<a class="correct[^"]*" href="([^"]*)"', letter)]
    assert len(links) >= 3
    for link in links:
        said = parse_qs(link.query, strict_parsing=True)
        assert (link.scheme, link.path) == ("mailto", "editor@example.org")
        assert said["subject"] == ["Correction: Roof lamp, Example car interiors"]
        page, claim, edition = said["body"][0].split("\r\n")[:3]
        assert page == "Page: Roof lamp, https://example.org/tern/marks/roof-lamp.html"
        assert claim.startswith("What it says: ")
        assert re.fullmatch(r"Edition: spring 2026 \([0-9a-f]{8}\)", edition)
        assert "+" not in link.query, "RFC 6068, 5: a blank is %20"
    assert any("Round. Last: S598" in one.query.replace("%20", " ").replace("%3A", ":") for one in links)

    change(content, "guide.yml", "editor@example.org", "https://example.org/correct?club=tern#form")
    form = html.unescape(published(content, tmp_path / "to")["marks/roof-lamp.html"].decode())
    link = urlsplit(re.findall(r'<a class="correct[^"]*" href="([^"]*)"', form)[-1])
    assert (link.netloc, link.path, link.fragment) == ("example.org", "/correct", "form")
    assert parse_qs(link.query).keys() == {"club", "page", "claim", "edition"}
