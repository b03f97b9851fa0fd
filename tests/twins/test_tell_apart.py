"""Two forms told apart in Python and in the browser: every two of the demo, and of a small guide."""

from __future__ import annotations

import json
from itertools import combinations

import pytest

from guide.dating.belief.evidence import Answer
from guide.dating.key import Cars, Key
from guide.dating.model import Model
from guide.words.say import load_words
from tests.dating.loading import load_model
from tests.pages.scripts import evaluate
from tests.twins.alike import CLOSE
from tests.twins.test_dating import random_guide

_ASKED = """(() => {
  const prepared = guide.dating.prepare(given.model, given.words);
  return given.pairs.map(([mark, one, other]) => (
    [guide.dating.tellFormsApart(prepared, mark, [one, other]), guide.dating.nineInTen(prepared, mark, one)]));
})()"""


@pytest.mark.parametrize("which", ["demo", 3])
def test_both_halves_tell_any_two_forms_apart_alike(which: str | int, node: str, model: Model) -> None:
    key = Key(model if which == "demo" else random_guide(int(which)))
    key = Key(load_model(key.dumped))
    pairs = [
        (mark.id, one.id, other.id)
        for mark in key.model.marks
        if mark.kind == "mark"
        for one, other in combinations(mark.forms, 2)
    ]
    given = {"model": json.loads(key.dumped), "words": dict(load_words("en").templates), "pairs": pairs}
    never = {(mark.id, form.id) for mark in key.model.marks for form in mark.forms if not form.factory}
    unasked = {mark.id for mark in key.model.marks if not mark.ask}
    told = 0
    for (mark, one, other), (rows, nine) in zip(pairs, evaluate(node, "dating", _ASKED, given), strict=True):
        there = not {(mark, one), (mark, other)} & never
        expected = key.tell_apart(Cars(built=(mark, one)), Cars(built=(mark, other))) if there else ()
        expected = tuple(row for row in expected if row.mark not in unasked)
        assert [row["mark"] for row in rows] == [row.mark for row in expected], (mark, one, other)
        for found, row in zip(rows, expected, strict=True):
            figures = (found["separation"], found["gain_bits"], *found["one"], *found["other"])
            assert figures == pytest.approx((row.separation, row.gain_bits, *row.one, *row.other), abs=CLOSE)
        assert nine == [[day.isoformat() for day in days] for days in key.nine_in_ten(Answer(mark, (one,)))]
        told += len(rows)
    assert told > 20
