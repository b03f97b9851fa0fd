"""Looking things up: hand-worked cases on both sides, and the demo guide asked as people ask."""

from __future__ import annotations

import json
import pathlib
from typing import Any

import pytest

from guide.facts.text.folded import fold
from guide.pages.parts.index_entries import index_data
from guide.pages.parts.search import stem, words_in
from tests.pages.scripts import evaluate
from tests.twins.searching import find, find_pairs, prepare_index, published

TWINS = json.loads((pathlib.Path(__file__).parents[1] / "twins" / "search.json").read_text(encoding="utf-8"))
CASES: list[dict[str, Any]] = TWINS["cases"]
PAIRED: dict[str, Any] = TWINS["paired"]
INDEX, PAIRS = published(TWINS["index"]), published(PAIRED["index"])
assert CASES, "no cases for looking things up"
assert PAIRED["cases"], "no cases for looking two things up"
SCRIPT = "search"


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["says"])
def test_what_is_found_is_exactly(case: dict[str, Any]) -> None:
    found = find(prepare_index(INDEX), case["ask"])
    assert sorted(one["entry"] for one in found["found"]) == sorted(case["finds"])
    assert found["found"][:1] == [] or found["found"][0]["entry"] in case["finds"][:2]
    assert found["meant"] == case["meant"]


@pytest.mark.parametrize(
    ("asked", "told"),
    [
        ("T1091", [["T1091", "T1091/2", ""], ["T1091/2", "T 1091-3", "T1091"], ["T1091/3", "", "T1091/2"]]),
        ("t1091/2", [["T1091/2", "T 1091-3", ""], ["T1091/3", "", "T1091/2"]]),
        ("no. T1091/3", [["T1091/3", "", ""]]),
        ("T1300", [["T1300", "T1301", ""], ["T1301", "T1300", "T1300"]]),
        ("T1400", [["T1400", "T1499", ""]]),
        ("T1203", [["T1203/4", "", ""]]),
    ],
)
def test_a_number_comes_first_and_leads_on_to_what_took_its_place(asked: str, told: list[list[str]]) -> None:
    found = find(prepare_index(INDEX), asked)["found"]
    assert [one["part"] for one in found] == told


def test_the_whole_question_comes_before_a_part_of_it() -> None:
    found = find(prepare_index(INDEX), "rear window")
    assert found["found"][0]["entry"] == 2


def test_the_browser_finds_the_same_with_the_same_scores(shelf: Any, node: str) -> None:
    asked = [case["ask"] for case in CASES]
    run = (
        "(() => { const index = guide.search.prepare(given.index);"
        " return given.asked.map((question) => guide.search.find(index, question)); })()"
    )
    told = evaluate(node, SCRIPT, run, {"index": INDEX, "asked": asked})
    for question, answer in zip(asked, told, strict=True):
        alike(find(prepare_index(INDEX), question), answer, question)
    real = json.loads(json.dumps(index_data(shelf)))
    more = [
        "ashtray",
        "radio",
        *asked,
        *PEOPLE,
        "kippschlter",
        "taillamps",
        "C1840",
        "chrom",
        "Türgriff",
        "front oblong lamp",
        "b7",
    ]
    told = evaluate(node, SCRIPT, run, {"index": real, "asked": more})
    index = prepare_index(real)
    for question, answer in zip(more, told, strict=True):
        alike(find(index, question), answer, question)


def alike(mine: dict[str, Any], other: dict[str, Any], question: str) -> None:
    assert mine["meant"] == other["meant"], question
    assert [one["entry"] for one in mine["found"]] == [one["entry"] for one in other["found"]], question
    assert [one.get("part") for one in mine["found"]] == [one.get("part") for one in other["found"]], question
    for one, two in zip(mine["found"], other["found"], strict=True):
        assert one["score"] == pytest.approx(two["score"], abs=1e-9)


@pytest.mark.parametrize("case", PAIRED["cases"], ids=lambda case: case["says"])
def test_two_that_are_named_are_found_as_a_pair(case: dict[str, Any]) -> None:
    assert find_pairs(prepare_index(PAIRS), case["ask"]) == case["finds"]


def test_the_browser_finds_the_same_pairs(shelf: Any, node: str) -> None:
    run = (
        "(() => { const index = guide.search.prepare(given.index);"
        " return given.asked.map((question) => guide.search.findPairs(index, question)); })()"
    )
    asked = [case["ask"] for case in PAIRED["cases"]]
    told = evaluate(node, SCRIPT, run, {"index": PAIRS, "asked": asked})
    assert told == [case["finds"] for case in PAIRED["cases"]]
    real = json.loads(json.dumps(index_data(shelf)))
    asked = [*PEOPLE, *TWO, *(row[0] for row in real["pairs"]), "bright black", "launch early middle", "togles rokers"]
    told = evaluate(node, SCRIPT, run, {"index": real, "asked": asked})
    assert told == [find_pairs(prepare_index(real), question) for question in asked]


TWO = {
    "toggles or rockers": ["forms/switches-toggle-or-rocker.html"],
    "early middle": ["apart/early-or-middle.html"],
    "tan leather or black leather": ["apart/black-leather-or-tan-leather.html"],
    "togles rokers": ["forms/switches-toggle-or-rocker.html"],
    "toggles": [],
    "early": [],
    "black vinyl": [],
    "tail lamps round": [],
    "soft top window": [],
    "hood": [],
}


@pytest.mark.parametrize("question", TWO)
def test_two_forms_or_periods_or_interiors_are_offered_only_where_both_are_named(shelf: Any, question: str) -> None:
    data = index_data(shelf)
    assert [data["pairs"][at][1] for at in find_pairs(prepare_index(data), question)] == TWO[question]


def test_every_pair_is_found_by_its_own_title(shelf: Any) -> None:
    data = index_data(shelf)
    index = prepare_index(data)
    missed = [row[0] for at, row in enumerate(data["pairs"]) if find_pairs(index, row[0])[:1] != [at]]
    assert missed == []


def test_text_is_folded_alike_in_both_languages(node: str) -> None:
    texts = [
        "Außenspiegel",
        "Türgriffe",
        "cafés",
        "naïve",
        "Œuvre",
        "ﬁlter",
        "Ｃ１８４０",
        "смотри",
        "glasses",
        "batteries",
        "lens",
        "gas",
        "don’t",
        "T-1203/4",
        "½",
        "Straße",
        "\u0041\u030a",
        "ÅNGSTRÖM",
        "İstanbul",
    ]
    expression = "given.map((text) => [guide.search.fold(text), guide.search.wordsIn(text)])"
    assert evaluate(node, SCRIPT, expression, texts) == [[fold(text), words_in(text)] for text in texts]


def test_plurals_lose_their_s_and_nothing_else() -> None:
    assert [stem(word) for word in ("lamps", "glass", "batteries", "gas", "bus", "ties")] == [
        "lamp",
        "glass",
        "battery",
        "gas",
        "bus",
        "tie",
    ]


PEOPLE = {
    "tail lights": "tail-lamps",
    "taillights": "tail-lamps",
    "Rückleuchten": "tail-lamps",
    "rueckleuchten": "tail-lamps",
    "gearknob": "gear-knob",
    "shift knob": "gear-knob",
    "kippschalter": "switches",
    "swithces": "switches",
    "steering whel": "steering-wheel",
    "wing mirror": "outside-mirror",
    "aussenspiegel": "outside-mirror",
    "sunvisor": "sun-visors",
    "sunshade": "sun-visors",
    "rev counter": "dials",
    "speedometer": "dials",
    "seat belt": "belts",
    "hand brake": "handbrake-grip",
    "dome light": "courtesy-lamp",
}


@pytest.mark.parametrize("question", PEOPLE)
def test_people_find_the_part_they_mean(shelf: Any, question: str) -> None:
    data = index_data(shelf)
    found = find(prepare_index(data), question)["found"]
    first = [data["entries"][one["entry"]]["path"].split("#")[0] for one in found[:3]]
    assert f"marks/{PEOPLE[question]}.html" in first


@pytest.mark.parametrize(
    ("question", "meant"),
    [
        ("steering weel", "steering wheel"),
        ("gear knobb", "gear knob"),
        ("bonet badge", "bonnet badge"),
        ("demistr", "demister"),
    ],
)
def test_a_name_is_meant_rather_than_a_word_of_some_text(shelf: Any, question: str, meant: str) -> None:
    assert find(prepare_index(index_data(shelf)), question)["meant"] == meant


@pytest.mark.parametrize(
    ("word", "parts"),
    [("hood", {"soft-top-window", "bonnet-badge"}), ("boot", {"luggage-strap"}), ("trunk", {"luggage-strap"})],
)
def test_words_with_two_senses_find_both(shelf: Any, word: str, parts: set[str]) -> None:
    data = index_data(shelf)
    found = find(prepare_index(data), word)["found"]
    paths = {data["entries"][one["entry"]]["path"].split("#")[0] for one in found}
    assert {f"marks/{part}.html" for part in parts} <= paths


@pytest.mark.parametrize("question", ["hood release", "Kippschalter", "shift knob", "winder", "tail lamps"])
def test_what_is_called_just_so_comes_first_and_a_thing_before_its_word(shelf: Any, question: str) -> None:
    data = index_data(shelf)
    index = prepare_index(data)
    named = sorted(index.called.get(" ".join(words_in(question)), []))
    found = [one["entry"] for one in find(index, question)["found"]]
    assert set(found[: len(named)]) == set(named)
    kinds = [data["entries"][at]["kind"] for at in named]
    assert kinds == sorted(kinds, key=("mark", "form", "interior", "period", "area", "words").index)


def test_what_the_guide_has_not_is_said_with_what_is_near_it(shelf: Any) -> None:
    index = prepare_index(index_data(shelf))
    assert find(index, "ashtray")["meant"] == "tray"
    assert find(index, "zeppelin") == {"found": [], "meant": None}


def test_a_part_number_is_found_however_spaced(shelf: Any) -> None:
    data = index_data(shelf)
    index = prepare_index(data)
    number, entry = data["parts"][0]
    for written in (number, number.upper(), f"{number[:2]} {number[2:]}", f"{number[:1]}-{number[1:]}"):
        assert find(index, written)["found"][0]["entry"] == entry
