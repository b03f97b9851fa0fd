"""What people write of a car in words of their own: read alike where a line is pasted and in the terminal."""

from __future__ import annotations

import json
from typing import Any

import pytest

from guide.command.pasted import is_pasted, read_pasted
from guide.dating.model import Model, dump_model
from guide.words.say import load_words
from tests.pages.scripts import evaluate

READ = """(() => {
  const words = given.words, model = given.model;
  const dates = guide.datesInWords.reader(words, model.chances.about_days, model.origin);
  const key = Object.assign({ dates }, guide.answers.vocabulary(model, { marks: {}, forms: {} }));
  return given.texts.map((text) => {
    const state = guide.pasted.read(text, model, words, key);
    const answers = Object.fromEntries(state.answers.map((one) => [one.mark, guide.answers.valueOf(one)]));
    return [answers, state.car, state.known, state.lost];
  });
})()"""

CASES: dict[str, tuple[dict[str, str], str | None, dict[str, str]]] = {
    "switches: toggle; car C1500": ({"switches": "toggle"}, "C1500", {}),
    "switches=toggle; car: C1500": ({"switches": "toggle"}, "C1500", {}),
    "Small switches: Toggles, trim: tan vinyl, C1500": ({"switches": "toggle", "interior": "tan-vinyl"}, "C1500", {}),
    "Body: open; Number: D1005; horn button: PADDED CENTRE; registered: spring 1968": (
        {"body": "open", "horn-push": "padded"},
        "D1005",
        {"registered": "1968-03-01/1968-05-31"},
    ),
    "belts: replaced; tail lamps: can’t tell; stalk: n/k; dials: none of these": (
        {"belts": "changed", "tail-lamps": "cannot-tell", "stalk": "cannot-tell", "dials": "none"},
        None,
        {},
    ),
    "dash finish: crackle or veneer; chassis no. C 1500": ({"dash-facing": "crackle+veneer"}, "C 1500", {}),
    "- switches: rocker\n- car: C1500\n- market: north america\n- first registered: 1969-03": (
        {"switches": "rocker", "market": "north-america"},
        "C1500",
        {"registered": "1969-03"},
    ),
    "C1840; trim black leather": ({"interior": "black-leather"}, "C1840", {}),
    "What was known beforehand: First registered: in July 1968; Date on a part: Seat belts: on 3 March 1969.": (
        {},
        None,
        {"registered": "1968-07", "part:belts": "1969-03-03"},
    ),
    "Known: Put together: between 3 and 12 June 1968; Known to have been restored.": (
        {},
        None,
        {"assembled": "1968-06-03/1968-06-12", "restored": "yes"},
    ),
    "What was seen: Small switches: toggles; Tail lamps: round": (
        {"switches": "toggle", "tail-lamps": "round"},
        None,
        {},
    ),
}


def browser(node: str, model: Model, language: str, texts: list[str]) -> Any:
    given = {"model": json.loads(dump_model(model)), "words": dict(load_words(language).templates), "texts": texts}
    return evaluate(node, ("pasted", "path"), READ, given)


def test_a_line_in_own_words_is_read_alike_by_both(node: str, model: Model) -> None:
    words = load_words("en")
    for (text, (answers, car, known)), theirs in zip(
        CASES.items(), browser(node, model, "en", list(CASES)), strict=True
    ):
        assert theirs == [answers, car, known, []], text
        assert is_pasted([text])
        mine = read_pasted(text, model, words)
        assert (mine["answers"], mine["car"], list(mine["known"])) == (answers, car, list(known)), text


def test_what_is_not_understood_comes_back_and_nothing_else_is_lost(node: str, model: Model) -> None:
    text = "switches: shiny; car C1500; gold plate: yes; date: May 1968"
    ((answers, car, known, lost),) = browser(node, model, "en", [text])
    assert (answers, car, known) == ({}, "C1500", {})
    assert lost == ["switches=shiny", "gold plate=yes", "--known=date=May 1968"]
    assert read_pasted(text, model, load_words("en")) == {
        "answers": {"switches": "shiny", "gold plate": "yes"},
        "car": "C1500",
        "known": {"date": "May 1968"},
    }


def test_the_guides_own_line_and_mere_talk_are_left_as_they_are(node: str, model: Model) -> None:
    line = 'switches=toggle --reach glass --edition "autumn 2026"'
    talk = "Saw it on Sunday: lovely car, and we had tea."
    message = "What was seen: Tail lamps: Round.\nFrom the guide of Tern interiors. Edition: autumn 2026 (0bdb0815)."
    own, said, sent = browser(node, model, "en", [line + "\nTail lamps: round", talk, message])
    assert sent == [{"tail-lamps": "round"}, None, {}, []]
    assert own == [{"switches": "toggle"}, None, {}, []]
    assert said[:3] == [{}, None, {}]


@pytest.mark.parametrize("typed", ["switches: toggle; Fahrgestellnummer: C1500", "switches: toggle; Wagen C1500"])
def test_names_are_heard_in_the_guides_own_language(node: str, model: Model, typed: str) -> None:
    ((answers, car, _, lost),) = browser(node, model, "de", [typed])
    assert (answers, car, lost) == ({"switches": "toggle"}, "C1500", [])
    assert read_pasted(typed, model, load_words("de"))["car"] == "C1500"
