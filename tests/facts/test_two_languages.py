"""A guide whose texts are given in two languages, field by field, is read in either, and each has a site of its own."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from html.parser import HTMLParser
from pathlib import Path

import jsonschema
import pytest
import yaml

from guide.command.main import main
from guide.facts.read import GuideRead, read_guide
from guide.facts.records.marks import Mark
from guide.facts.records.schema import schemas
from guide.facts.types import Guide
from guide.limits.wording import when_said
from guide.press.preview import Built
from guide.words.say import ENGLISH, load_words
from tests.conftest import CONTENT
from tests.starting import change


@pytest.fixture
def content(tmp_path: Path) -> Path:
    """The starter, with a mark in two languages, of which one text lacks its German."""
    folder = tmp_path / "content"
    assert main(["start", str(folder), "--language", "en"]) == 0
    path = folder / "guide.yml"
    said = path.read_text(encoding="utf-8").replace(
        "car: Example car\n", "car: {en: Example car, de: Beispielwagen}\naddress: https://example.org/guide\n"
    )
    path.write_text(said.replace("language: en-GB", "language: en-GB\nalso in: [de]"), encoding="utf-8")
    mark = folder / "marks/roof-lamp.yml"
    said = mark.read_text(encoding="utf-8")
    for english, both in (
        ("name: Roof lamp", "name: {en: Roof lamp, de: Dachleuchte}"),
        ("name: Round\n", "name: {en: Round, de: Rund}\n"),
        ("answer: A round lamp", "answer: {en-GB: A round lamp, de: Eine runde Leuchte}"),
        ("answer: A square lamp", "answer: {en: A square lamp}"),
    ):
        assert english in said
        said = said.replace(english, both)
    mark.write_text(said, encoding="utf-8")
    return folder


def test_the_schemas_take_a_text_in_several_languages(content: Path) -> None:
    for kind, name in (("guide", "guide.yml"), ("marks", "marks/roof-lamp.yml")):
        held = yaml.load((content / name).read_text(encoding="utf-8"), yaml.BaseLoader)
        assert list(jsonschema.Draft7Validator(schemas(load_words("en"))[kind]).iter_errors(held)) == []


def told(reading: GuideRead) -> list[tuple[str, str, str]]:
    words = load_words("en")
    return [(str(one.severity), one.place.file, words.tell(one.message)) for one in reading.findings]


def test_it_is_read_in_its_first_language_unless_another_is_asked_for(content: Path) -> None:
    for asked in ("", "en-GB"):
        reading = read_guide(content, language=asked)
        assert told(reading) == []
        assert reading.guide is not None
        assert (reading.guide.language, reading.guide.car) == ("en-GB", "Example car")
        assert reading.guide.marks["roof-lamp"].name == "Roof lamp"
        assert reading.guide.address == "https://example.org/guide/"


def test_in_the_other_each_text_is_that_and_what_lacks_it_is_told(content: Path) -> None:
    reading = read_guide(content, language="de")
    expected = "expected this in de as well, found it in others only"
    assert told(reading) == [("note", "marks/roof-lamp.yml", expected)]
    guide = reading.guide
    assert guide is not None
    assert (guide.language, guide.car, guide.title) == ("de", "Beispielwagen", "Example car interiors")
    lamp = guide.marks["roof-lamp"]
    assert (lamp.name, lamp.forms["round"].name) == ("Dachleuchte", "Rund")
    assert [form.answer for form in lamp.forms.values()] == ["Eine runde Leuchte", "A square lamp"]
    assert guide.address == "https://example.org/guide/de/"
    assert guide.sites == (("en-GB", "https://example.org/guide/"), ("de", "https://example.org/guide/de/"))


def test_what_the_guide_is_about_stands_in_a_file_for_each_language(content: Path) -> None:
    (content / "about.de.md").write_text("Hier steht es.\n", encoding="utf-8")
    (content / "about.fr.md").write_text("Ici.\n", encoding="utf-8")
    (content / "about.md").write_text("It stands here.\n", encoding="utf-8")
    for language, about in (("de", "Hier steht es."), ("en-GB", "It stands here.")):
        reading = read_guide(content, language=language)
        assert reading.guide is not None
        assert (reading.guide.about, getattr(reading.guide.about, "language", None)) == (about, "")
        assert ("warning", "about.fr.md", "this file is not read: the guide is not given in fr") in told(reading)
    (content / "about.de.md").unlink()
    guide = read_guide(content, language="de").guide
    assert guide is not None
    assert (guide.about, getattr(guide.about, "language", None)) == ("It stands here.", "en-GB")


def test_a_language_that_the_guide_does_not_name_is_refused(content: Path) -> None:
    says = "expected a language of this guide after --language, which is en-GB, de, found 'fr'"
    assert told(read_guide(content, language="fr")) == [("error", "guide.yml", says)]


def test_what_a_guide_does_not_give_in_a_language_is_listed(content: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (content / "about.md").write_text("It stands here.\n", encoding="utf-8")
    capsys.readouterr()
    untranslated = ("untranslated", "--content", str(content))
    assert main([*untranslated, "--language", "de"]) == 0
    lead, heading, *lines = filter(None, capsys.readouterr().out.split("\n"))
    assert lead.endswith("{en: ..., de: ...}.")
    assert heading == f"Nicht auf de gegeben: {len(lines)} Texte"
    text = (content / "marks/roof-lamp.yml").read_text(encoding="utf-8").split("\n")
    listed = [re.fullmatch(r"  (.+\.(?:yml|md)):(\d+): ([a-z ]+): (.+)", line) for line in lines]
    of_mark = [(one[3], one[4], text[int(one[2]) - 1]) for one in listed if one and one[1] == "marks/roof-lamp.yml"]
    assert all(said.split()[0] in line for _, said, line in of_mark)
    assert ("answer", "A square lamp") in {one[:2] for one in of_mark}
    assert not {"Roof lamp", "Round", "A round lamp", "roof-lamp", "outside"} & {said for _, said, _ in of_mark}
    assert "  about.md:1: about: It stands here." in lines
    assert main([*untranslated, "--json"]) == 0
    texts = json.loads(capsys.readouterr().out)["texts"]
    assert len(texts) == len(lines)
    assert {(one["lacks"], one["language"]) for one in texts} == {("de", "en-GB"), ("de", "en")}
    path = content / "guide.yml"
    path.write_text(path.read_text(encoding="utf-8").replace("also in: [de]\n", "also in: [fr\n"), encoding="utf-8")
    assert main(list(untranslated)) == 1
    assert "guide.yml:" in capsys.readouterr().out


def test_without_further_languages_such_keys_are_ordinary(content: Path) -> None:
    change(content, "guide.yml", "also in: [de]\n", "")
    assert any("keys and values" in message for _, _, message in told(read_guide(content)))


def test_each_language_has_a_site_of_its_own_linked_to_the_others(
    content: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["--content", str(content), "--language", "de"]) == 0
    page = (tmp_path / "out-de/marks/roof-lamp.html").read_text(encoding="utf-8")
    assert '<html lang="de"' in page
    assert "Dachleuchte" in page
    assert '<link rel="canonical" href="https://example.org/guide/de/marks/roof-lamp.html">' in page
    assert re.findall(r'<link rel="alternate" hreflang="([^"]+)" href="([^"]+)">', page) == [
        ("en-GB", "https://example.org/guide/marks/roof-lamp.html"),
        ("de", "https://example.org/guide/de/marks/roof-lamp.html"),
    ]
    link = '<a href="https://example.org/guide/{}marks/roof-lamp.html" hreflang="{}" lang="{}">{}</a>'
    assert link.format("", "en-GB", "en-GB", "In English") in page
    assert ">Auf Deutsch</a>" not in page
    assert main(["--content", str(content), "--out", str(tmp_path / "out-de")]) == 0
    page = (tmp_path / "out-de/marks/roof-lamp.html").read_text(encoding="utf-8")
    assert '<html lang="en-GB"' in page
    assert "Roof lamp" in page
    assert link.format("de/", "de", "de", "Auf Deutsch") in page


def test_every_word_that_reads_a_guide_takes_its_language(
    content: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    common = ("--content", str(content))
    capsys.readouterr()
    assert main(["check", *common, "--language", "de", "--json"]) == 0
    assert "erwartet wird dies auch auf de" in capsys.readouterr().out, "in the language that was asked for"
    assert main(["check", *common, "--language", "de"]) == 0
    said = capsys.readouterr().out
    assert "erwartet wird dies auch auf de" in said
    assert not re.search(r"\b(note|put right|the|is)\b", said)
    assert main(["check", *common, "--json"]) == 0
    assert "in de as well" not in capsys.readouterr().out
    assert main(["ask", "roof-lamp=round", *common, "--language", "de"]) == 0
    assert "gebaut" in capsys.readouterr().out
    assert main(["ask", "roof-lamp=round", *common]) == 0
    assert "built" in capsys.readouterr().out
    capsys.readouterr()
    assert main(["publish", str(tmp_path / "host-de"), *common, "--language", "de"]) == 0
    assert "outside-request" not in capsys.readouterr().out, "a link to the other language asks nothing of it"
    assert (tmp_path / "host-de/editions.html").exists() is False
    assert [path.name for path in (content / "editions" / "de").iterdir()] == ["first.json"]
    assert main(["publish", str(tmp_path / "host"), *common]) == 0
    assert sorted(path.name for path in (content / "editions").iterdir()) == ["de", "first.json"]

    change(content, "guide.yml", "edition: first", "edition: second")
    change(content, "marks/roof-lamp.yml", "S598", "S605")
    assert main(["publish", str(tmp_path / "host-de"), *common, "--language", "de"]) == 0
    told = (tmp_path / "host-de/editions.html").read_text(encoding="utf-8")
    assert "Rund: Der letzte Wagen rückt von S598 auf S605." in told
    assert "Auf Blättern der Ausgabe first stimmt ein Teil nicht mehr: Dachleuchte." in told


def test_every_part_of_the_demo_is_told_in_german_whole() -> None:
    english, german = (read_guide(CONTENT, language=one) for one in ("en-GB", "de"))
    assert told(english) == told(german) == [], "nothing that is given in two languages lacks one of them"
    assert english.guide is not None
    assert german.guide is not None
    pairs = [(mark, german.guide.marks[name]) for name, mark in english.guide.marks.items()]

    def texts(mark: Mark) -> list[str]:
        said = [
            mark.name,
            mark.question,
            mark.look,
            mark.about,
            mark.taken_for,
            mark.wear,
            mark.to_be_had,
            mark.caution,
        ]
        said += [ruling.why for ruling in mark.rulings]
        for form in mark.forms.values():
            said += [form.name, form.answer, form.describes, form.about, form.wear, form.to_be_had, *form.stamped]
            said += [text for taken in form.taken_for for text in (taken.what, taken.tell)]
            said += [count.words for count in form.counts]
        return [one for one in said if one]

    for mark, in_german in pairs:
        assert [one for one, other in zip(texts(mark), texts(in_german), strict=True) if one == other] == []
        assert {getattr(one, "language", "") for one in texts(in_german)} == {""}
    assert english.guide.about.startswith("## What this is")
    assert german.guide.about.startswith("## Was dies ist")
    assert [one.name for one in english.guide.editions] == ["spring 2026"]
    assert [one.name for one in german.guide.editions] == ["Frühjahr 2026"]


def test_what_is_not_given_in_the_sites_language_is_marked_as_the_one_it_is_in(content: Path, tmp_path: Path) -> None:
    lamp = content / "marks/roof-lamp.yml"
    said = lamp.read_text(encoding="utf-8") + 'about: |\n  The bulb says "six volts".\n\n  - one\n'
    lamp.write_text(said, encoding="utf-8")
    for language, page in (("de", "out-de"), ("en-GB", "out")):
        assert main(["--content", str(content), "--out", str(tmp_path / page), "--language", language]) == 0
    german = (tmp_path / "out-de/marks/roof-lamp.html").read_text(encoding="utf-8")
    assert '<bdi lang="en">A square lamp</bdi>' in german
    assert 'Erster Wagen mit „<bdi lang="en-GB">Square</bdi>“' in german, "inside a sentence as well"
    assert 'aria-label="A square lamp." lang="en-GB"' not in german
    for built in (tmp_path / "out-de").rglob("*.html"):
        assert _unmarked(built.read_text(encoding="utf-8"), ("Square", "A square lamp", "Door handle")) == [], built
    assert (tmp_path / "out-de/data/lent.js").exists()
    assert not (tmp_path / "out/data/lent.js").exists()
    assert '<p lang="en-GB">The bulb says “six volts”.</p>' in german, "with the quotation marks of its own language"
    assert '<ul lang="en-GB">' in german
    assert "Eine runde Leuchte" in german
    assert not re.search(r"<(?:bdi|p|ul) lang[^>]*>(?:Eine runde Leuchte|Dachleuchte)", german)
    english = (tmp_path / "out/marks/roof-lamp.html").read_text(encoding="utf-8")
    assert "<p>The bulb says “six volts”.</p>" in english
    assert "<bdi" not in english
    for path in (one for one in (tmp_path / "out-de").rglob("*.*") if one.suffix not in (".zip", ".png")):
        assert not set(ENGLISH) & set(path.read_text(encoding="utf-8", errors="ignore")), path


def _unmarked(page: str, texts: tuple[str, ...]) -> list[str]:
    """Return where a page shows some English texts as if they were German."""

    class Reader(HTMLParser):
        open: list[tuple[str, str]] = []  # noqa: RUF012  (of this page alone)

        def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
            if tag not in ("meta", "link", "br", "img", "input", "wbr"):
                within = self.open[-1][1] if self.open else ""
                self.open.append((tag, dict(attrs).get("lang") or within))

        def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
            pass

        def handle_endtag(self, tag: str) -> None:
            while self.open and self.open.pop()[0] != tag:
                pass

        def handle_data(self, data: str) -> None:
            plain = {"script", "style", "title", "option", "kbd", "textarea"} & {name for name, _ in self.open}
            if self.open and not plain and self.open[-1][1] == "de":
                found.extend(data for text in texts if re.search(rf"\b{text}\b", data))

    found: list[str] = []
    Reader().feed(page)
    return found


def test_dates_and_amounts_are_read_in_the_language_they_are_typed_in_and_said_in_that_of_the_site(
    tmp_path: Path,
) -> None:
    folder = tmp_path / "content"
    assert main(["start", str(folder), "--language", "de"]) == 0
    path = folder / "guide.yml"
    path.write_text(path.read_text("utf-8").replace("language: de", "language: de\nalso in: [en]"), encoding="utf-8")
    numbers = folder / "numbers/saloon.yml"
    numbers.write_text(numbers.read_text("utf-8").replace("1960-12: S240", "Dezember 1960: S240"), encoding="utf-8")
    lamp = folder / "marks/roof-lamp.yml"
    said = lamp.read_text("utf-8").replace("{first: S590,", "{first: Frühjahr 1962,")
    lamp.write_text(said, encoding="utf-8")
    (folder / "cars-seen").mkdir()
    (folder / "cars-seen/day.csv").write_text(
        "car,built,untouched,seen on,source,roof-lamp\nS598,Mai 1961,ja,4. Mai 2024,register,weiß nicht\n", "utf-8"
    )
    (german, of_german), (english, of_english) = (
        (reading.guide, [(one.code, one.severity) for one in reading.findings])
        for reading in (read_guide(folder, language=tag) for tag in ("de", "en"))
    )
    assert german is not None
    assert english is not None
    assert of_german == [("set-aside", "warning")], "the answer in words, with what to write"
    assert [one for one in of_english if one[1] != "note"] == of_german
    assert (english.production.first, english.production.last) == (german.production.first, german.production.last)

    def first(guide: Guide, language: str) -> str:
        stated = next(one for one in guide.marks["roof-lamp"].statements if one.form == "square")
        assert stated.when is not None
        return load_words(language).tell(when_said(guide, stated.when))

    assert (first(german, "de"), first(english, "en")) == ("Frühjahr 1962", "March to May 1962")


@pytest.mark.parametrize(
    ("asked", "shown"), [((), ("en-GB", "Roof lamp")), (("--language", "de"), ("de", "Dachleuchte"))]
)
def test_the_preview_shows_the_site_in_the_language_asked_for(
    content: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, asked: tuple[str, ...], shown: tuple[str, str]
) -> None:
    pages: list[str] = []

    def serve(build: Callable[[], Built], *_: object, **__: object) -> None:
        made, _ = build()
        assert made is not None
        page = made.get("marks/roof-lamp.html")
        assert isinstance(page, bytes)
        pages.append(page.decode())

    monkeypatch.setattr("guide.command.preview.serve_preview", serve)
    common = ("--content", str(content), "--out", str(tmp_path / "out"))
    assert main([*common, *asked, "preview", "--no-browser"]) == 0
    language, name = shown
    assert f'<html lang="{language}"' in pages[0]
    assert name in pages[0]
