"""Sentences: hand-worked cases run by both twins, and what every language file must keep to."""

from __future__ import annotations

import json
import re
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from guide.sentence import marked, sentence
from guide.words import say
from guide.words.say import PLURALS, SLOT, Words, languages, load_words
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
    assert said(load_words("en"), case) == case["gives"]


def test_the_words_in_the_browser_are_exactly_the_same(node: str) -> None:
    shared = [case for case in CASES if case["call"] not in NOT_IN_BROWSERS]
    run = """(() => {
      const camel = (name) => name.replace(/_(.)/g, (all, letter) => letter.toUpperCase());
      const say = guide.words(given.words);
      return given.cases.map((one) => (one.call === "say" ? say : say[camel(one.call)])(...one.args, one.slots));
    })()"""
    told = evaluate(node, "say", run, {"words": load_words("en").templates, "cases": shared})
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


def test_plurals_follow_the_language() -> None:
    def pages(rule: str, n: int) -> str:
        return Words("xx", {"words.plural": rule, "a": "{n} {n|a|b|c}"}).say("a", n=n)

    assert [pages("one-many", n) for n in (0, 1, 2)] == ["0 b", "1 a", "2 b"]
    assert [pages("few-many", n) for n in (0, 1, 2)] == ["0 a", "1 a", "2 b"]
    assert [pages("one-few-many", n) for n in (1, 3, 5)] == ["1 a", "3 b", "5 c"]
    assert [pages("all", n) for n in (1, 5)] == ["1 a", "5 a"]


FILES = [path for folder in say.FOLDERS for path in sorted(folder.glob("*/*.json"))]
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
    english, other = load_words("en").templates, say.own_templates(language)
    assert set(other) <= set(english)
    for name, template in other.items():
        assert slots_of(template) == slots_of(english[name])
    assert other.get("words.plural", "one-many") in PLURALS


def test_a_language_that_lacks_a_sentence_says_it_in_english() -> None:
    assert load_words("xx-YY").templates == load_words("en").templates
    assert load_words("en-GB").month_year(date(1968, 6, 24)) == "June 1968"
