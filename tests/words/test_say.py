"""Sentences: hand-worked cases run by both twins, and what every language file must keep to."""

from __future__ import annotations

import json
import re
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from babel import Locale
from babel.numbers import format_decimal

from guide.sentence import marked, sentence
from guide.words.languages import FOLDERS, languages, own_templates, untranslated
from guide.words.plurals import PLURALS, plural_category
from guide.words.say import SLOT, Words, load_words
from tests.pages.scripts import evaluate

ROOT = Path(__file__).resolve().parents[2]
CASES: list[dict[str, Any]] = json.loads((ROOT / "tests/twins/words.json").read_text(encoding="utf-8"))
assert CASES, "no cases for the words"
NOT_IN_BROWSERS = ("day_range",)  # ways of saying that no script has needed yet


def slots_of(template: str) -> set[str]:
    return {name for name, _ in SLOT.findall(template)}


def said(words: Words, case: dict[str, Any]) -> Any:
    arguments = [
        date.fromisoformat(value) if re.fullmatch(r"\d{4}-\d\d-\d\d", str(value)) else value for value in case["args"]
    ]
    outcome = getattr(words, case["call"])(*arguments, **case.get("slots", {}))
    return [list(piece) for piece in outcome] if case["call"] == "parts" else outcome


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case['call']} {case['args']}")
def test_the_words_in_python_are_exactly(case: dict[str, Any]) -> None:
    assert said(load_words(case.get("language", "en")), case) == case["gives"]


def test_the_words_in_the_browser_are_exactly_the_same(node: str) -> None:
    shared = [case for case in CASES if case["call"] not in NOT_IN_BROWSERS]
    run = """(() => {
      const camel = (name) => name.replace(/_(.)/g, (all, letter) => letter.toUpperCase());
      const says = Object.fromEntries(Object.keys(given.words).map((tag) => [tag, guide.words(given.words[tag])]));
      return given.cases.map((one) => {
        const say = says[one.language || "en"];
        return (one.call === "say" ? say : say[camel(one.call)])(...one.args, one.slots);
      });
    })()"""
    words = {language: load_words(language).templates for language in languages()}
    told = evaluate(node, "say", run, {"words": words, "cases": shared})
    assert told == [case["gives"] for case in shared]


def test_a_sentence_or_slot_that_is_not_there_is_a_fault_of_the_program() -> None:
    words = load_words("en")
    with pytest.raises(KeyError):
        words.say("words.no_such_sentence")
    with pytest.raises(KeyError):
        words.say("words.to", from_="May")


def test_what_is_marked_in_a_sentence_is_a_piece_of_its_own_however_deep_it_stands() -> None:
    words = Words("xx", {"words.plural": "all", "both": "{a}, and {b}", "why": "{edge}, because {reasons}."})
    reasons = sentence("both", a=marked("reason", "it rained", 1), b=marked("reason", "it snowed"))
    assert words.pieces(sentence("why", edge=marked("edge", "Shut"), reasons=reasons)) == [
        ("edge", "Shut", 0),
        ("", ", because ", 0),
        ("reason", "it rained", 1),
        ("", ", and ", 0),
        ("reason", "it snowed", 0),
        ("", ".", 0),
    ]


def pages(language: str, categories: str, n: int) -> str:
    templates = {"words.language": language, "words.plural": categories, "a": "{n} {n|a|b|c}"}
    return Words(language, templates).say("a", n=n)


def test_plurals_follow_the_language() -> None:
    assert [pages("de", "one other", n) for n in (0, 1, 2)] == ["0 b", "1 a", "2 b"]
    assert [pages("fr", "one other", n) for n in (0, 1, 2, 1_000_000)] == ["0 a", "1 a", "2 b", "1000000 c"]
    assert [pages("pl", "one few many", n) for n in (1, 3, 5, 22)] == ["1 a", "3 b", "5 c", "22 b"]
    assert [pages("ja", "other", n) for n in (1, 5)] == ["1 a", "5 a"]


NUMBERS = (*range(0, 131), *range(999, 1013), 10_000, 1_000_000, 1_000_001, 2_000_000)


@pytest.mark.parametrize("language", [*PLURALS, "ja"])
def test_a_whole_number_takes_the_category_of_the_published_rules(language: str) -> None:
    """Source: the plural rules of Unicode CLDR, as Babel carries them."""
    published = Locale(language).plural_form
    assert [plural_category(language, n) for n in NUMBERS] == [published(n) for n in NUMBERS]


def test_browsers_take_the_same_categories(node: str) -> None:
    """Source: the plural rules of Unicode CLDR, as Intl.PluralRules carries them."""
    run = "given.languages.map((tag) => given.numbers.map((n) => new Intl.PluralRules(tag).select(n)))"
    told = evaluate(node, "say", run, {"languages": list(PLURALS), "numbers": list(NUMBERS)})
    assert told == [[plural_category(language, n) for n in NUMBERS] for language in PLURALS]


@pytest.mark.parametrize("language", languages())
def test_months_and_the_mark_between_thousands_are_those_published(language: str) -> None:
    """Source: the calendars and number symbols of Unicode CLDR, as Babel carries them."""
    words, locale = load_words(language), Locale(language)
    assert [words.month(date(2001, one, 1)) for one in range(1, 13)] == list(locale.months["format"]["wide"].values())
    assert words.number(1234567) == format_decimal(1234567, locale=language)
    assert words.templates["words.language"] == language
    assert set(words.templates["words.plural"].split()) == {plural_category(language, n) for n in NUMBERS}


FILES = [path for folder in FOLDERS for path in sorted(folder.glob("*/*.json"))]
assert FILES, "no sentences"


@pytest.mark.parametrize("path", FILES, ids=lambda path: f"{path.parent.name}/{path.name}")
def test_a_file_of_sentences_is_in_order_and_has_no_loose_braces(path: Path) -> None:
    pairs = json.loads(path.read_text(encoding="utf-8"), object_pairs_hook=list)
    ids = [name for name, _ in pairs]
    assert ids == sorted(set(ids))
    assert {name.split(".")[0] for name in ids} == {path.stem}
    for name, template in pairs:
        assert not re.search(r"[{}]", SLOT.sub("", template)), name
        assert template, name
        assert template == template.strip(), name


@pytest.mark.parametrize("language", languages())
def test_a_language_says_what_english_says_with_the_same_slots(language: str) -> None:
    english, other = load_words("en").templates, own_templates(language)
    assert set(other) <= set(english)
    for name, template in other.items():
        assert slots_of(template) == slots_of(english[name])


def test_what_a_language_lacks_is_told() -> None:
    assert untranslated("en-GB") == []
    assert set(untranslated("xx")) == set(load_words("en").templates)


def test_a_language_that_lacks_a_sentence_says_it_in_english() -> None:
    assert load_words("xx-YY").templates == load_words("en").templates
    assert load_words("en-GB").month_year(date(1968, 6, 24)) == "June 1968"
