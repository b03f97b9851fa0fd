"""Chances of standing apart against the sum over everything that can have happened to a car."""

from __future__ import annotations

import dataclasses
import random
from collections.abc import Iterator
from itertools import product
from typing import Any

import pytest

from guide.dating.belief.evidence import Answer, Session
from guide.dating.model import Model
from tests.dating.asking import conclude, explain
from tests.dating.demo_trial import try_apart
from tests.dating.tiny_models import plain_mark, plain_model, tiny_model
from tests.dating.trial import precision_and_recall
from tests.twins.alike import in_browser

Built = tuple[int, ...]


def value_at(run: tuple[int, ...], t: int) -> int:
    return max((bin_, value) for bin_, value in zip(run[::2], run[1::2], strict=True) if bin_ <= t)[1]


def ways_built(model: Model, specification: int, t: int) -> Iterator[tuple[float, Built]]:
    """Yield every combination of forms that a car of a slot can have been built with, and its chance."""
    stages = []
    for group in model.groups:
        runs = [value_at(group.runs[run], t) for run in group.variants[group.of[0][specification]]]
        if len(group.marks) == 1:
            stages.append([(1.0, dict(zip(group.marks, runs, strict=True)))])
        else:
            come = group.passed[runs[0]]
            stages.append(
                [
                    (1 - come, dict(zip(group.marks, runs[1::2], strict=True))),
                    (come, dict(zip(group.marks, runs[2::2], strict=True))),
                ]
            )
    for chosen in product(*stages):
        chance = 1.0
        mixes: dict[int, Any] = {}
        for stage, of in chosen:
            chance *= stage
            mixes |= of
        ways = []
        for at, mark in enumerate(model.marks):
            mix = mark.mixes[mixes[at]]
            ways.append([(1.0, mix)] if isinstance(mix, int) else [(part, form) for form, part in enumerate(mix)])
        for forms in product(*ways):
            total = chance
            for part, _ in forms:
                total *= part
            if total > 0:
                yield total, tuple(form for _, form in forms)


def chances_of_answer(model: Model, mark: int, fitted: int, answer: set[int]) -> tuple[float, float]:
    """Return P(answer, found in it) and P(answer, found not in it) for a part fitted when last renewed."""
    one = model.marks[mark]
    count, inside, outside = len(one.forms), 0.0, 0.0
    for own in (True, False):
        for found in range(count):
            chance = (
                one.survives * (found == fitted)
                if own
                else (1 - one.survives) * (one.replacement[fitted][found] if one.replacement else 1 / count)
            )
            for reported in range(count):
                said = chance * ((1 - one.misread) if reported == found else one.misread / (count - 1))
                if reported in answer:
                    inside += said * (found in answer)
                    outside += said * (found not in answer)
    return inside, outside


@pytest.mark.parametrize("seed", range(12))
def test_standing_apart_equals_the_sum_over_all_that_can_have_happened(seed: int) -> None:
    model = tiny_model(seed)
    chance = random.Random(seed)
    answers = {
        at: set(chance.sample(range(len(mark.forms)), chance.choice([1, 1, 1, min(2, len(mark.forms) - 1)])))
        for at, mark in enumerate(model.marks)
        if chance.random() < 0.85
    } or {0: {0}}
    weights = {
        (c, t): cars * model.series[0].shares[0][1][c] for c in range(2) for t, cars in enumerate(model.series[0].cars)
    }
    total, early = 0.0, 0.0
    replaced, misread = dict.fromkeys(answers, 0.0), dict.fromkeys(answers, 0.0)
    renewed = model.sets[0]
    for (c, t), weight in weights.items():
        own_row = sum(w for (other, _), w in weights.items() if other == c)
        donors = [
            (w / own_row * p, forms)
            for (other, d), w in weights.items()
            if other == c
            for p, forms in ways_built(model, c, d)
        ]
        for p, built in ways_built(model, c, t):
            fates = [(1 - renewed.share, built)] + [
                (renewed.share * q, tuple(donor[m] if m in renewed.marks else built[m] for m in range(len(built))))
                for q, donor in donors
            ]
            for q, fitted in fates:
                parts = {m: chances_of_answer(model, m, fitted[m], said) for m, said in answers.items()}
                every = weight * p * q
                for inside, outside in parts.values():
                    every *= inside + outside
                total += every
                early += every * (t < model.periods[0].end)
                for m, (inside, outside) in parts.items():
                    if built[m] not in answers[m] and inside + outside > 0:
                        replaced[m] += every * inside / (inside + outside)
                        misread[m] += every * outside / (inside + outside)
    session = Session(
        tuple(
            Answer(
                model.marks[m].id,
                tuple(model.marks[m].forms[f].id for f in sorted(said)),
                "form" if len(said) == 1 else "several",
            )
            for m, said in answers.items()
        )
    )
    result = conclude(model, session)
    assert result["periods"][0]["chance"] == pytest.approx(early / total, abs=1e-12)
    found = {row["mark"]: row for row in result["apart"]}
    for m in answers:
        row = found[model.marks[m].id]
        assert row["replaced"] == pytest.approx(replaced[m] / total, abs=1e-12)
        assert row["misread"] == pytest.approx(misread[m] / total, abs=1e-12)
        assert row["chance"] == pytest.approx((replaced[m] + misread[m]) / total, abs=1e-12)


def test_when_a_form_was_usual_is_told_over_all_the_cars_that_were_built_then(node: str) -> None:
    """Left-hand cars were built on the first two days only, and nothing but the hand tells them from the others: the
    second form came in on the third day all the same."""
    mark = plain_mark("lamp", 2, [0, 1], survives=0.5)
    group = {"marks": [0], "runs": [[0, 0, 2, 1]], "variants": [[0]], "of": [[0, 0]]}
    model = plain_model([1.0] * 4, [2, 4], [mark], [group], specifications=2, shares=(0.5, 0.5))
    series = dataclasses.replace(model.series[0], shares=((0, (0.5, 0.5)), (2, (1.0, 0.0))))
    model = dataclasses.replace(model, series=(series,))
    session = Session((Answer("lamp", ("f1",)),))
    for result in (conclude(model, session), in_browser(node, model, [session])[0]["concluded"]):
        assert result["apart"][0]["looks"] == {"from": "1970-01-03", "to": "1970-01-04"}


def test_one_answer_alone_stands_apart_from_nothing(model: Model) -> None:
    """Whatever it is: with nothing else known of the car every form that the works fitted is as expected."""
    for mark in model.marks:
        for form in mark.forms:
            if form.factory:
                said = explain(model, Session((Answer(mark.id, (form.id,)),)))
                assert said["apart_groups"] == [], f"{mark.id} {form.id}"


@pytest.mark.parametrize("body", ["coupe", "open"])
def test_one_part_of_a_car_of_known_body_stands_apart_from_nothing(model: Model, body: str, node: str) -> None:
    """The body is asked for first and dates nothing: a rare form beside it is no more accused than by itself."""
    rare = [
        Session((Answer("body", (body,)), Answer(mark, (form,))))
        for mark, form in (("steering-wheel", "wood-rim"), ("gear-knob", "wood"), ("switches", "symbols"))
    ]
    said = [explain(model, session)["apart_groups"] for session in rare]
    assert said == [[]] * len(rare)
    assert [one["explained"]["apart_groups"] for one in in_browser(node, model, rare)] == said


def test_what_is_said_to_stand_apart_was_built_otherwise_and_is_most_of_what_was(model: Model) -> None:
    """On drawn cars of the demo guide; ``python -m tests.dating.proof`` prints the figures of more."""
    precision, recall = precision_and_recall(try_apart(model, 12, 11).told)
    assert precision >= 0.93
    assert recall >= 0.8
