"""Letters in Python and in the browser: the same facts in the same order, at every depth, for numbers and sessions."""

from __future__ import annotations

import json
import random
from typing import Any

import pytest

from guide.dating.belief.evidence import Answer, Session
from guide.dating.key import Key
from guide.dating.model import dump_model
from guide.pages.parts.letter import letter_of
from guide.pages.parts.letter_facts import letter_facts
from guide.pages.parts.letter_lines import DEPTHS, Line
from guide.words.say import load_words
from tests.dating.sessions import sessions
from tests.pages.scripts import evaluate
from tests.twins.alike import as_plain

COMPOSED = """(() => {
  const prepared = guide.dating.prepare(given.model, given.words);
  const say = guide.words(given.words);
  return given.asked.map(([session, depth]) => guide.letter.compose(prepared, say, given.facts, session, depth));
})()"""
EDGES = (
    "C1001",
    "C1840",
    "C1841",
    "C1702",
    "C2210L",
    "C2900",
    "C3001",
    "C3052",
    "C4314",
    "D501",
    "D834",
    "D2156",
    "CX4",
)
REACH = ("outside", "glass", "door", "seat", "bonnet", "hands")


def plain(line: Line, words: Any) -> dict[str, Any]:
    more = [plain(one, words) for one in line.more]
    return {"says": words.tell(line.says), "by": list(line.by), "mark": line.mark, "more": more}


def composed(key: Key, facts: Any, words: Any, session: Session, depth: str) -> dict[str, Any]:
    letter = letter_of(key.dated(session), facts, depth)
    return {
        "depth": depth,
        "title": words.tell(letter.title),
        "edition": letter.edition,
        "sections": [
            {"name": one.name, "lines": [plain(line, words) for line in one.lines], "lead": one.lead}
            for one in letter.sections
        ],
        "sources": letter.sources,
    }


@pytest.fixture(scope="module")
def asked(shelf: Any) -> list[tuple[Session, str]]:
    """Numbers at the edges, a dozen others, looks of every kind, dates on papers and parts, a number of no table."""
    chance = random.Random(19)
    lines = list(shelf.lines.values())
    cars = [
        *EDGES,
        "C2933",
        "not a number",
        *(line.car_at(chance.randrange(line.cars), "").written for line in lines * 6),
    ]
    given = [Session((), car, REACH) for car in cars]
    looked = tuple(Answer.of(mark, [form]) for mark, form in (("switches", "toggle"), ("seat-facing", "wide")))
    kinds = tuple(Answer.of(mark, [form]) for mark, form in (("interior", "black-leather"), ("hand", "left")))
    others = (
        Answer("gear-knob", (), "changed"),
        Answer("belts", (), "cannot-tell"),
        Answer.of("dials", ["bright-rim", "black-rim"]),
    )
    dates = {"registered": "1969-11", "part:belts": "1970-03", "part:washer-bottle": "1969-03", "restored": "yes"}
    given += [
        Session(some, car, REACH, known)
        for some in (looked, kinds, looked + kinds + others)
        for car in ("C2711", None)
        for known in ({}, dates)
    ]
    given += [Session(known={"model-year": "1969"}, reach=REACH), Session(looked)]
    given += list(sessions(shelf.key.model, 8, seed=7))
    return [
        (one, DEPTHS[at % 3] if at > 40 else depth)
        for at, one in enumerate(given)
        for depth in (DEPTHS if at <= 40 else ("",))
    ]


def test_browser_and_terminal_write_the_same_letters(shelf: Any, node: str, asked: list[tuple[Session, str]]) -> None:
    words = load_words("en")
    key, facts = Key(shelf.key.model), letter_facts(shelf.guide, shelf.limits, words)
    given = {
        "model": json.loads(dump_model(shelf.key.model)),
        "words": dict(words.templates),
        "facts": facts,
        "asked": [(as_plain(session), depth) for session, depth in asked],
    }
    told = evaluate(node, "letter", COMPOSED, given)
    assert len(told) > 100
    for (session, depth), theirs in zip(asked, told, strict=True):
        mine = composed(key, facts, words, session, depth)
        assert theirs == mine, (session, depth)
