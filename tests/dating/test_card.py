"""The walk-round card on small models worked by hand, and the cars it is tried on against every way they can be."""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from itertools import product

import pytest

from guide.dating.belief.evidence import Answer, Session
from guide.dating.belief.prepare import prepare
from guide.dating.belief.sample import Sampler
from guide.dating.belief.state import believe
from guide.dating.card import MOST_POINTS, CardMaker
from guide.dating.model import Model
from tests.dating.test_apart import ways_built
from tests.dating.tiny_models import plain_mark, plain_model, tiny_model

DRAWN = 20_000


def test_points_are_logarithms_scaled_to_the_sharpest_answer_and_rounded() -> None:
    """Nine cars in ten against one in ten: ln 9 = 2.197 is worth 9 points, so ln 1.5 (six in ten against four) is
    worth 1.66, rounded 2, and to start with ln 4 (four cars to one) 5.68, rounded 6."""
    marks = [plain_mark("sharp", 2, [[0.9, 0.1], [0.1, 0.9]]), plain_mark("blunt", 2, [[0.6, 0.4], [0.4, 0.6]])]
    groups = [{"marks": [at], "runs": [[0, 0, 1, 1]], "variants": [[0]], "of": [[0]]} for at in range(2)]
    card = CardMaker(prepare(plain_model([40.0, 10.0], [1, 2], marks, groups))).card(16)
    assert MOST_POINTS == 9
    assert card.start == (6, 0)
    assert [(one.mark, list(one.points.items())) for one in card.marks] == [
        ("sharp", [("f0", (9, 0)), ("f1", (0, 9))]),
        ("blunt", [("f0", (2, 0)), ("f1", (0, 2))]),
    ]


def test_a_mark_that_only_repeats_another_gives_way_to_one_that_tells_more() -> None:
    """Two marks of one changeover tell the same; a third, blunter, tells the periods that they leave alike."""
    marks = [
        plain_mark("plain", 2, [[0.5, 0.5]]),
        plain_mark("dial", 2, [0, 1]),
        plain_mark("lamp", 2, [0, 1]),
        plain_mark("lever", 2, [[0.9, 0.1], [0.1, 0.9]]),
    ]
    runs = ([0, 0], [0, 0, 2, 1], [0, 0, 2, 1], [0, 0, 1, 1, 2, 0, 3, 1])
    groups = [{"marks": [at], "runs": [run], "variants": [[0]], "of": [[0]]} for at, run in enumerate(runs)]
    card = CardMaker(prepare(plain_model([25.0] * 4, [1, 2, 3, 4], marks, groups))).card(2)
    assert [one.mark for one in card.marks] == ["dial", "lever"]
    assert card.right == pytest.approx(0.9, abs=0.05)
    assert card.agree == 1.0


def test_a_card_of_one_period_gives_no_points_and_is_always_right() -> None:
    group = {"marks": [0], "runs": [[0, 0]], "variants": [[0]], "of": [[0]]}
    card = CardMaker(prepare(plain_model([5.0], [1], [plain_mark("lamp", 2, [[0.5, 0.5]])], [group]))).card(16)
    assert (card.start, next(iter(card.marks[0].points.values()))) == ((0,), (0,))
    assert (card.right, card.key_right, card.agree) == (1.0, 1.0, 1.0)


def test_a_card_of_some_series_leaves_what_is_remembered_of_all_cars_as_it_was(model: Model) -> None:
    """What is believed of a car is the same whether or not a card was made of one series alone before."""
    before, after = prepare(model), prepare(model)
    card = CardMaker(after, series=(0,)).card(1)
    mark = model.marks[after.marks_by_id[card.marks[0].mark]]
    for form in mark.forms:
        session = Session((Answer(mark.id, (form.id,)),))
        assert believe(after, session).weights == believe(before, session).weights


def ways_reported(model: Model, mark: int, fitted: int) -> dict[int, float]:
    """Return the chance of each report of a part fitted when last renewed."""
    one, count = model.marks[mark], len(model.marks[mark].forms)
    chances = dict.fromkeys(range(count), 0.0)
    for found, said in product(range(count), repeat=2):
        lost = one.replacement[fitted][found] if one.replacement else 1 / count
        there = one.survives * (found == fitted) + (1 - one.survives) * lost
        chances[said] += there * ((1 - one.misread) if said == found else one.misread / (count - 1))
    return chances


@pytest.mark.parametrize("seed", [1, 4])
def test_cars_are_drawn_as_often_as_they_can_be_so(seed: int) -> None:
    """How often a cell goes with the reports of the set's two marks, against the sum over every way that can be:
    within four and a half standard deviations of so many draws."""
    model = tiny_model(seed)
    prepared = prepare(model)
    (one, other), share = model.sets[0].marks, model.sets[0].share
    cars = {
        (row, t): model.series[0].cars[t] * model.series[0].shares[0][1][c]
        for row, (_, c) in enumerate(prepared.rows)
        for t in range(prepared.bins)
    }
    expected: defaultdict[tuple[int, int, int], float] = defaultdict(float)
    for (row, t), weight in cars.items():
        c, whole = prepared.rows[row][1], sum(w for (r, _), w in cars.items() if r == row)
        own = [((1 - share) * p, built) for p, built in ways_built(model, c, t)]
        donors = [
            (share * cars[row, d] / whole * p, built)
            for d in range(prepared.bins)
            for p, built in ways_built(model, c, d)
        ]
        for p, built in own + donors:
            says = ways_reported(model, one, built[one]), ways_reported(model, other, built[other])
            for first, second in product(*says):
                expected[row * prepared.bins + t, first, second] += (
                    weight / sum(cars.values()) * p * says[0][first] * says[1][second]
                )
    assert sum(expected.values()) == pytest.approx(1.0)
    sampler = Sampler(prepared, seed=7)
    drawn = [sampler.draw() for _ in range(DRAWN)]
    counted = Counter((car.cell, car.reported[one], car.reported[other]) for car in drawn)
    assert set(counted) <= {way for way, chance in expected.items() if chance > 0}
    for way, chance in expected.items():
        assert abs(counted[way] / DRAWN - chance) <= 4.5 * math.sqrt(chance * (1 - chance) / DRAWN), way
