"""What is asked of one mark rests on its tables and on those of the marks that cars are told by: so it is recalled."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

import pytest

from guide.dating.belief.evidence import Answer
from guide.dating.fitted import Fitted
from guide.dating.key import Cars, Key
from guide.dating.model import Model
from guide.dating.parts import frame_of, tables_of
from guide.facts.types import CarSeen, Guide
from guide.limits.scopes import Dimensions
from guide.limits.types import LimitsResult
from guide.tally.built_with import built_with
from guide.tally.changeovers import known_cars


def with_other_runs(model: Model, group: int) -> Model:
    """Return a model in which whatever one group's marks had begins and ends a bin later, where it can."""

    def later(run: tuple[int, ...]) -> tuple[int, ...]:
        begins = [*run[::2], len(model.edges)]
        moved = [at + (0 < at < end - 1) for at, end in pairwise(begins)]
        return tuple(one for pair in zip(moved, run[1::2], strict=True) for one in pair)

    groups = list(model.groups)
    groups[group] = replace(groups[group], runs=tuple(map(later, groups[group].runs)))
    return replace(model, groups=tuple(groups))


def answers(
    key: Key, marks: list[int], cars: list[Cars], seen: list[CarSeen], limits: LimitsResult
) -> Iterator[object]:
    """Yield what is asked of some marks, exactly: of kinds of car, pairs of them, single answers, cars seen."""
    ids = [key.model.marks[at].id for at in marks]
    for one in cars:
        weights = key.cells_of(one).weights
        fitted = Fitted(key.prepared, lambda _, weights=weights: weights)  # type: ignore[misc]
        yield [fitted.at(mark) for mark in marks]
        yield [key.tell_apart_by(marks, one, other) for other in cars if other != one]
        guide = limits.moments.guide
        worths = key.worths(guide.marks.values(), one, cars)
        yield {mark: worths.get(mark) for mark in ids}
    for at in marks:
        yield key.nine_in_ten(Answer(key.model.marks[at].id, (key.model.marks[at].forms[0].id,)))
    known = [one for one in known_cars(limits, Dimensions(limits.moments.guide)) if one.car in seen]
    for built in built_with(key, known):
        yield [] if built is None else [built.chances_of(mark) for mark in ids]


@pytest.mark.parametrize("joined", ["alone", "changed together", "renewed together"])
def test_nothing_but_the_tables_of_what_is_asked_of_counts(
    model: Model, guide: Guide, limits: LimitsResult, joined: str
) -> None:
    renewed = {mark for one in model.sets for mark in one.marks}
    kinds: dict[str, int] = {}
    for at, one in enumerate(model.groups):
        if all(model.marks[mark].kind == "mark" for mark in one.marks) and with_other_runs(model, at) != model:
            kind = "alone" if len(one.marks) == 1 else "changed together"
            kinds.setdefault("renewed together" if renewed.intersection(one.marks) else kind, at)
    group = kinds[joined]
    changed = with_other_runs(model, group)
    same = [at for at, (was, now) in enumerate(zip(tables_of(model), tables_of(changed), strict=True)) if was == now]
    assert frame_of(changed) == frame_of(model)
    assert not set(model.groups[group].marks) & set(same)
    assert len(model.marks) > len(same) > len(model.marks) / 2
    told_by = next(model.marks[at] for at in same if model.marks[at].kind == "mark" and len(model.marks[at].forms) > 1)
    periods = [Cars(period=one.id) for one in model.periods[:2]]
    cars = [*periods, *(Cars(built=(told_by.id, one.id)) for one in told_by.forms[:2])]
    was, now = (list(answers(Key(one), same, cars, list(guide.cars_seen[:5]), limits)) for one in (model, changed))
    assert was == now
    own = list(model.groups[group].marks)
    of_these, now_of_these = (list(answers(Key(one), own, cars, [], limits)) for one in (model, changed))
    assert of_these != now_of_these, "what is asked of the marks themselves is another"
