"""The walk-round card on small models worked by hand, and the cars it is tried on against every way they can be."""

from __future__ import annotations

import dataclasses
import math
from collections import Counter, defaultdict
from itertools import product

import pytest

from guide.dating.belief.evidence import Answer, Session
from guide.dating.belief.prepare import prepare
from guide.dating.belief.sample import Sampler
from guide.dating.belief.state import believe
from guide.dating.card import MOST_POINTS, CardMaker
from guide.dating.model import Model, Restored
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


def forms_by_era(model: Model, c: int, mark: int) -> list[list[float]]:
    """Return the share of each form of a mark by bin, each bin an era of its own, with nothing of the guide."""
    lines = []
    for t in range(len(model.edges) - 1):
        line = [0.0] * len(model.marks[mark].forms)
        for p, built in ways_built(model, c, t):
            line[built[mark]] += p
        lines.append(line)
    return lines


def test_restored_cars_are_drawn_by_the_law_that_they_are_believed_by() -> None:
    """Every car restored: how often a build goes with the reports of two marks, one of them seen from outside, against
    the sum over ways and eras, within four and a half standard deviations. Four bins are eras 1, 4, 7 and 10 of the
    twelve; an era without cars has the forms of the one before it, the first those of the one after."""
    model = tiny_model(5)
    law = Restored(share=1.0, survives=0.4, interior=0.3, earlier=0.2)
    marks = (dataclasses.replace(model.marks[0], reach="outside"), dataclasses.replace(model.marks[1], reach="door"))
    model = dataclasses.replace(
        model, marks=(*marks, *model.marks[2:]), chances=dataclasses.replace(model.chances, restored=law)
    )
    prepared = prepare(model)
    bins, cars = prepared.bins, model.series[0].cars
    own_era = [12 * (2 * t + 1) // (2 * bins) for t in range(bins)]
    bin_of = [max((t for t in range(bins) if own_era[t] <= era), default=0) for era in range(12)]
    expected: defaultdict[tuple[int, int, int], float] = defaultdict(float)
    for row, (_, c) in enumerate(prepared.rows):
        forms = [forms_by_era(model, c, mark) for mark in (0, 1)]
        for t in range(bins):
            weight = cars[t] * model.series[0].shares[0][1][c] / sum(cars)
            mine = own_era[t]
            for era in range(12):
                later, earlier = (1 - law.earlier) / (12 - mine), law.earlier / mine
                for share, stays in ((0.7 * (later if era >= mine else earlier), (0.4, 0.4)), (0.3 / 12, (1.0, 0.0))):
                    says: list[defaultdict[int, float]] = []
                    for mark in (0, 1):
                        one: defaultdict[int, float] = defaultdict(float)
                        for form in range(len(model.marks[mark].forms)):
                            there = stays[mark] * forms[mark][t][form]
                            there += (1 - stays[mark]) * forms[mark][bin_of[era]][form]
                            for said, chance in ways_reported(model, mark, form).items():
                                one[said] += there * chance
                        says.append(one)
                    for first, second in product(*says):
                        expected[row * bins + t, first, second] += weight * share * says[0][first] * says[1][second]
    assert sum(expected.values()) == pytest.approx(1.0)
    sampler = Sampler(prepared, seed=7)
    drawn = [sampler.draw() for _ in range(DRAWN)]
    counted = Counter((car.cell, car.reported[0], car.reported[1]) for car in drawn)
    assert set(counted) <= {way for way, chance in expected.items() if chance > 0}
    for way, chance in expected.items():
        assert abs(counted[way] / DRAWN - chance) <= 4.5 * math.sqrt(chance * (1 - chance) / DRAWN), way
    for first, second in product(*(range(len(mark.forms)) for mark in marks)):
        session = Session((Answer("m0", (f"f{first}",)), Answer("m1", (f"f{second}",))))
        cells = [expected[cell, first, second] for cell in range(len(prepared.weights))]
        assert believe(prepared, session).weights == pytest.approx([cell / sum(cells) for cell in cells], abs=1e-12)


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


def test_a_card_for_one_model_of_car_is_the_same_whatever_was_asked_before() -> None:
    """What restored cars of all models have by era, once worked out, is not taken for that of one model's cars."""
    model = tiny_model(5)
    other = dataclasses.replace(model.series[0], id="t", cars=tuple(reversed(model.series[0].cars)))
    chances = dataclasses.replace(model.chances, restored=Restored(share=0.5))
    model = dataclasses.replace(model, series=(model.series[0], other), chances=chances)
    model = dataclasses.replace(
        model, groups=tuple(dataclasses.replace(group, of=group.of * 2) for group in model.groups)
    )
    asked, fresh = prepare(model), prepare(model)
    believe(asked, Session(tuple(Answer(mark.id, ("f0",)) for mark in model.marks)))
    assert CardMaker(asked, series=(1,)).card(16) == CardMaker(fresh, series=(1,)).card(16)
