"""German: a guide begun in it builds without one English sentence, and its dates, lists and sorting are German."""

from __future__ import annotations

import html
import json
import re
from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest

from guide.command import untranslated as command
from guide.command.main import main
from guide.pages.parts.naming import name_order
from guide.words import languages as spoken
from guide.words import say
from guide.words.languages import languages, own_templates
from guide.words.say import SLOT
from tests.pages.scripts import evaluate

READ = (".html", ".csv", ".svg", ".json", ".webmanifest")
# In the single file: the remarks of its scripts and styles, and what a script tells its makers.
REMARKS = re.compile(r"(?<!:)//.*$|/\*(?s:.*?)\*/|new Error\(.*$", re.MULTILINE)
# Typed in the very same words in every language, or nobody's words.
SAME = frozenset({"facts.heard.when", "facts.heard.amount", "words.lowered"})


def english_pieces() -> Iterator[str]:
    """Yield each stretch of an English sentence that no German one has, of two words or more."""
    german = " ".join(own_templates("de").values())
    for name, template in own_templates("en").items():
        if name in SAME:
            continue
        for piece in SLOT.sub("\0", template).split("\0"):
            words = piece.strip(" .,;:()“”'\"")
            if len(words) > 9 and re.search(r"[a-z] [a-z]", words) and words not in german:
                yield words


def any_of(words: Iterable[str], letters: int = 12) -> str:
    """Return a pattern of any of some words that tries their first letters once, not each word at each place."""
    rests: dict[str, list[str]] = {}
    for word in words:
        rests.setdefault(word[:1], []).append(word[1:])
    ways = []
    for letter, rest in sorted(rests.items(), reverse=True):
        after = any_of(rest, letters - 1) if letters and letter else "|".join(map(re.escape, rest))
        ways.append(f"{re.escape(letter)}(?:{after})" if letter else "")
    return "|".join(ways)


def test_a_pattern_of_many_words_finds_each() -> None:
    words = ["at once", "at one", "at one time", "(x)"]
    assert re.findall(any_of(words), "at once at one time, at one (x) at on") == [
        "at once",
        "at one time",
        "at one",
        "(x)",
    ]


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("deutsch")
    assert main(["start", str(folder / "neu"), "--language", "de"]) == 0
    assert main(["--content", str(folder / "neu"), "--out", str(folder / "out"), "--stop-on", "warnings"]) == 0
    return folder / "out"


def test_a_german_guide_says_nothing_in_english(site: Path) -> None:
    pieces = sorted(set(english_pieces()))
    assert len(pieces) > 1000
    anything = re.compile(any_of(pieces))
    paths = [path for path in sorted(site.rglob("*")) if path.suffix in READ or path.parent.name == "data"]
    assert len(paths) > 40
    said = {
        path.relative_to(site).as_posix(): found
        for path in paths
        if (found := anything.findall(html.unescape(REMARKS.sub("", path.read_text(encoding="utf-8")))))
    }
    assert said == {}


def test_its_pages_say_that_they_are_german(site: Path) -> None:
    pages = sorted(site.rglob("*.html"))
    assert pages
    for path in pages:
        assert '<html lang="de"' in path.read_text(encoding="utf-8"), path
    assert json.loads((site / "manifest.webmanifest").read_text(encoding="utf-8"))["lang"] == "de"


def test_dates_and_nouns_are_german(site: Path) -> None:
    mark = html.unescape((site / "marks/door-handle.html").read_text(encoding="utf-8"))
    assert "Letzter Wagen mit „Hebel“25. November 1961" in re.sub(r"<[^>]+>", "", mark)
    pair = (site / "apart/early-or-late.html").read_text(encoding="utf-8")
    assert "Früh oder Spät?" in pair
    assert "oder ein langer Hebel (sieben Wagen von hundert)" in re.sub(r"<[^>]+>", "", pair)


NAMES = (
    "Äußerer Griff",
    "Ausstellfenster",
    "Zünder",
    "Ölstab",
    "Oberteil",
    "Öse",
    "Strasse",
    "Straße",
    "Straßen",
    "Überzug",
    "Uhr",
    "uhrwerk",
    "Rundschreiben 7",
    "Rundschreiben 10",
    "Maße",
    "aber",
    "Aber",
)


def test_names_are_in_the_order_in_which_browsers_put_them(node: str) -> None:
    """Source: the German order of Unicode CLDR (DIN 5007-1), as Intl.Collator carries it, figures as numbers."""
    run = 'given.slice().sort(new Intl.Collator("de", { numeric: true, sensitivity: "base" }).compare)'
    told = evaluate(node, "say", run, list(NAMES))
    assert [name.casefold() for name in sorted(NAMES, key=name_order)] == [name.casefold() for name in told]


def test_what_is_untranslated_is_listed_by_a_command(capsys: pytest.CaptureFixture[str]) -> None:
    assert command.main(languages()) == 0
    assert capsys.readouterr().out == ""
    assert command.main(["xx"]) == len(own_templates("en"))
    assert "xx words.and: {a} and {b}\n" in capsys.readouterr().out


def test_what_a_language_lacks_is_marked_as_english_on_its_pages(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Frisian, of which there are only months, counts and one sentence of the first page."""
    few = {name: said for name, said in own_templates("en").items() if name.startswith("words.")}
    (tmp_path / "languages/fy").mkdir(parents=True)
    said = json.dumps({**few, "pages.start.beside": "Ik stean by in auto"})
    (tmp_path / "languages/fy/words.json").write_text(said, encoding="utf-8")
    monkeypatch.setattr(spoken, "FOLDERS", [*spoken.FOLDERS, tmp_path / "languages"])
    for kept in (say.load_words, say.words_of_pages):
        kept.cache_clear()
    try:
        assert main(["start", str(tmp_path / "nij"), "--language", "fy"]) == 0
        assert main(["--content", str(tmp_path / "nij"), "--out", str(tmp_path / "out")]) == 0
    finally:
        for kept in (say.load_words, say.words_of_pages):
            kept.cache_clear()
    page = (tmp_path / "out/index.html").read_text(encoding="utf-8")
    assert '<html lang="fy"' in page
    assert ">Ik stean by in auto<" in page
    assert '<bdi lang="en">A few looks, and you have its date.</bdi>' in page
    mark = (tmp_path / "out/marks/roof-lamp.html").read_text(encoding="utf-8")
    assert 'aria-label="Ways in"' in mark
    sheet = (tmp_path / "out/sheets/early.html").read_text(encoding="utf-8")
    assert "<title>Example car, Early cars</title>" in sheet or "<title>Example car, early cars</title>" in sheet
    for path in (one for one in (tmp_path / "out").rglob("*.*") if one.suffix not in (".zip", ".png")):
        assert not set(say.ENGLISH) & set(path.read_text(encoding="utf-8", errors="ignore")), path
