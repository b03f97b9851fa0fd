"""From facts and limits to the model, on a guide small enough to be worked by hand, and on one that states next to
nothing."""

from __future__ import annotations

import dataclasses
from datetime import date
from itertools import pairwise

import pytest

from guide.dating.belief.evidence import Answer, Session
from guide.dating.building.build import build_model
from guide.dating.model import Model
from guide.facts.types import FittedAs, Fitting, Form, Guide, Scope, ShareRow
from guide.finding import TICKS_PER_DAY
from guide.limits.moments import Moments
from guide.limits.types import DatedSpell, Limits, LimitsResult
from tests.dating.asking import conclude, never_restored
from tests.dating.test_apart import value_at
from tests.limits import sketch
from tests.limits.sketch import HERE, form, mark, split

FIRST, LAST = date(1960, 1, 1), date(1960, 3, 31)
JANUARY, MID_JANUARY, FEBRUARY, MID_FEBRUARY, MARCH, MID_MARCH, END = (
    (day - FIRST).days
    for day in (
        FIRST,
        date(1960, 1, 16),
        date(1960, 2, 1),
        date(1960, 2, 16),
        date(1960, 3, 1),
        date(1960, 3, 16),
        date(1960, 4, 1),
    )
)


def between(first: int, last: int) -> Limits:
    """A moment from the start of one day to the start of another, days counted from the first of production."""
    return Limits(first * TICKS_PER_DAY, last * TICKS_PER_DAY, (), ())


def dated(name: str, number: int, first: Limits, last: Limits) -> DatedSpell:
    return DatedSpell(mark="m", form=name, spell=number, scope=Scope(), first=first, last=last, last_is_stated=True)


def model_of(guide: Guide, *spells: DatedSpell) -> Model:
    known = LimitsResult(
        moments=Moments(guide, {}), spells=spells, clashes=(), helps=dict, findings=(), corroborated={}
    )
    return build_model(guide, known)


def guide_of(forms: list[Form], order: tuple[str, ...] = (), **more: object) -> Guide:
    """A guide of ninety-one cars, one a day, with one mark."""
    production = dataclasses.replace(sketch.production("1960-01-01", "1960-03-31"), made=91)
    return sketch.guide([mark((), order, forms)], [], production, **more)


def built(model: Model, t: int) -> list[float]:
    """Return the chance of each form of the one mark on cars built in a bin."""
    group = model.groups[0]
    mix = model.marks[0].mixes[value_at(group.runs[group.variants[group.of[0][0]][0]], t)]
    return [float(at == mix) for at in range(len(model.marks[0].forms))] if isinstance(mix, int) else list(mix)


def test_a_form_that_returns_and_an_option_over_it_are_shared_out_bin_by_bin() -> None:
    """A until 1 February, B until some day in early March, each as likely, then A again; one car in ten of February
    had the option C instead. Half months: the second changeover is on the average halfway through its own."""
    option = Form(
        id="c",
        name="C",
        answer="C",
        picture="c.svg",
        scope=Scope(),
        place=HERE,
        fitted_as=(Fitting(kind=FittedAs.OPTION, share=0.1, place=HERE),),
        spells=form("c").spells,
    )
    early_march = between(MARCH, MID_MARCH)
    model = model_of(
        guide_of([form("a", 2), form("b"), option], ("a", "b", "a")),
        dated("a", 1, between(0, 0), between(FEBRUARY, FEBRUARY)),
        dated("b", 1, between(FEBRUARY, FEBRUARY), early_march),
        dated("a", 2, early_march, between(END, END)),
        dated("c", 1, between(FEBRUARY, FEBRUARY), between(MARCH, MARCH)),
    )
    assert model.edges == (JANUARY, MID_JANUARY, FEBRUARY, MID_FEBRUARY, MARCH, MID_MARCH, END)
    assert [round(cars, 3) for cars in model.series[0].cars] == [15, 16, 15, 14, 15, 16]
    assert [built(model, t) for t in range(6)] == [
        pytest.approx(mix, abs=5e-4)
        for mix in ([1, 0, 0], [1, 0, 0], [0, 0.9, 0.1], [0, 0.9, 0.1], [0.5, 0.5, 0], [1, 0, 0])
    ]
    runs = model.groups[0].runs
    assert all(run[0] == 0 and list(run[::2]) == sorted(set(run[::2])) for run in runs)
    assert all(one != other for run in runs for one, other in pairwise(run[1::2])), "no step is idle"


def test_a_form_for_some_cars_only_makes_a_specification_of_its_own() -> None:
    """B came in on 1 March in left-hand cars, four in ten; the others kept A."""
    left = Scope((("hand", ("left",)),))
    hand = split("hand", {"right": {}, "left": {}})
    share = ShareRow(split="hand", value="left", share=0.4, place=HERE)
    facts = guide_of([form("a"), form("b", scope=left)], ("a", "b"), splits={"hand": hand}, shares=(share,))
    model = model_of(
        facts,
        dated("a", 1, between(0, 0), between(MARCH, MARCH)),
        dated("b", 1, between(MARCH, MARCH), between(END, END)),
    )
    assert [dict(one.splits) for one in model.specifications] == [{"hand": "right"}, {"hand": "left"}]
    assert model.series[0].shares == ((0, (0.6, 0.4)),)
    found = conclude(never_restored(model), Session((Answer("m", ("b",)),)))
    mark = next(one for one in model.marks if one.id == "m")
    surely, misread = mark.survives + (1 - mark.survives) / 2, mark.misread
    said = [surely * (1 - misread) + (1 - surely) * misread, (1 - surely) * (1 - misread) + surely * misread]
    late_left, others = 31 / 91 * 0.4 * said[0], (1 - 31 / 91 * 0.4) * said[1]
    left_hand = (late_left + 60 / 91 * 0.4 * said[1]) / (late_left + others)
    assert found["specifications"][1]["chance"] == pytest.approx(left_hand, abs=1e-9)


def test_a_split_is_a_mark_that_is_asked_for_by_eye_where_the_guide_says_how() -> None:
    """Left-hand cars are four in ten: seen on the left, the car is one of them but for a wheel moved or misread."""
    hand, share = split("hand", {"right": {}, "left": {}}), ShareRow(split="hand", value="left", share=0.4, place=HERE)
    spell = dated("a", 1, between(0, 0), between(END, END))
    answers = {one.id: dataclasses.replace(one, asked_as=f"On the {one.id}") for one in hand.values.values()}
    made = [
        model_of(guide_of([form("a")], ("a",), splits={"hand": one}, shares=(share,)), spell)
        for one in (hand, dataclasses.replace(hand, question="Which side?", values=answers))
    ]
    assert [model.marks[0].ask for model in made] == [False, True]
    assert [form.answer for form in made[1].marks[0].forms] == ["On the right", "On the left"]
    found = conclude(made[1], Session((Answer("hand", ("left",)),)))
    own, wrong = (1 + made[1].marks[0].survives) / 2, made[1].marks[0].misread
    said = own * (1 - wrong) + (1 - own) * wrong
    left_hand = 0.4 * said / (0.4 * said + 0.6 * (1 - said))
    assert found["specifications"][1]["chance"] == pytest.approx(left_hand, abs=1e-9)


def test_a_guide_with_neither_numbers_nor_trims_nor_periods_is_asked_about_its_years() -> None:
    """Seventy cars' worth of days in 1960 and thirty in 1961; B came with the new year."""
    production = sketch.production("1960-10-23", "1961-01-30")
    facts = sketch.guide([mark((), ("a", "b"), [form("a"), form("b")])], [], production)
    turn = between(70, 70)
    model = model_of(facts, dated("a", 1, between(0, 0), turn), dated("b", 1, turn, between(100, 100)))
    assert [(period.id, period.first) for period in model.periods] == [("1960", 0), ("1961", 5)]
    assert (model.interiors, [mark.id for mark in model.marks]) == ((), ["m"])
    chances = [row["chance"] for row in conclude(model, Session())["periods"]]
    assert chances == pytest.approx([0.7, 0.3], abs=1e-5)
    late = [row["chance"] for row in conclude(never_restored(model), Session((Answer("m", ("b",)),)))["periods"]]
    own = 0.8 + 0.2 / 2
    said = own * 0.98 + (1 - own) * 0.02
    assert late[1] == pytest.approx(0.3 * said / (0.3 * said + 0.7 * (1 - said)), abs=1e-4)


def test_a_form_without_a_place_in_the_order_stands_beside_those_that_have_one() -> None:
    """A until 1 February, B from then on; C was fitted all through February, nobody knows to which: half the cars."""
    model = model_of(
        guide_of([form("a"), form("b"), form("c")], ("a", "b")),
        dated("a", 1, between(0, 0), between(FEBRUARY, FEBRUARY)),
        dated("b", 1, between(FEBRUARY, FEBRUARY), between(END, END)),
        dated("c", 1, between(FEBRUARY, FEBRUARY), between(MARCH, MARCH)),
    )
    assert [built(model, t) for t in range(6)] == [
        pytest.approx(mix) for mix in ([1, 0, 0], [1, 0, 0], [0, 0.5, 0.5], [0, 0.5, 0.5], [0, 1, 0], [0, 1, 0])
    ]
