"""What must change nothing: other names, another order of files, other years, "can't tell", going back."""

from __future__ import annotations

import dataclasses
import random
from pathlib import Path
from typing import Any

import pytest

from guide.dating.belief.evidence import Answer, Session
from guide.dating.belief.prepare import prepare
from guide.dating.belief.state import believe
from guide.dating.building.build import build_model
from guide.dating.model import Model, dump_model
from guide.facts.read import read_guide
from guide.limits.derive import derive_limits
from tests.dating.asking import conclude
from tests.dating.loading import load_model
from tests.dating.small_guides import Small, small_facts


def session(small: Small, seed: int) -> Session:
    """Return answers by place in the guide, so that they mean the same whatever the ids."""
    marks = list(small.guide.marks.values())
    chosen = marks[seed % 2 :: 2]
    return Session(
        tuple(Answer(mark.id, (list(mark.forms)[(seed + at) % len(mark.forms)],)) for at, mark in enumerate(chosen))
    )


def figures(value: Any) -> Any:
    """Return only the numbers of a result, in order."""
    if isinstance(value, dict):
        return [figures(item) for item in value.values()]
    if isinstance(value, list):
        return [figures(item) for item in value]
    return value if isinstance(value, float | int) else None


@pytest.mark.parametrize("seed", range(5))
def test_other_names_change_nothing_but_names(seed: int) -> None:
    plain, renamed = small_facts(seed), small_facts(seed, prefix="zz-")
    one = conclude(build_model(plain.guide, plain.limits), session(plain, seed))
    other = conclude(build_model(renamed.guide, renamed.limits), session(renamed, seed))
    assert figures(one) == figures(other)
    assert one["result"] == other["result"]


@pytest.mark.parametrize("seed", range(5))
def test_other_years_change_nothing_but_dates(seed: int) -> None:
    """Twenty-eight years on, weekdays and leap years fall alike."""
    then, later = small_facts(seed), small_facts(seed, years=28)
    one = conclude(build_model(then.guide, then.limits), session(then, seed))
    other = conclude(build_model(later.guide, later.limits), session(later, seed))
    assert figures(one) == figures(other)
    moved = [(int(a["from"][:4]) + 28, a["from"][4:]) for a in one["result"]["spans"]]
    assert moved == [(int(b["from"][:4]), b["from"][4:]) for b in other["result"]["spans"]]


@pytest.mark.parametrize("seed", range(5))
def test_the_order_in_which_limits_come_changes_nothing(seed: int) -> None:
    small = small_facts(seed)
    turned = dataclasses.replace(small.limits, spells=tuple(reversed(small.limits.spells)))
    assert dump_model(build_model(small.guide, small.limits)) == dump_model(build_model(small.guide, turned))


def test_the_order_in_which_files_lie_on_the_disk_changes_nothing(root: Path, tmp_path: Path, model: Model) -> None:
    files = [path for path in sorted((root / "content").rglob("*")) if path.is_file() and path.suffix != ".svg"]
    random.Random(4).shuffle(files)
    for path in files:
        copy = tmp_path / path.relative_to(root / "content")
        copy.parent.mkdir(parents=True, exist_ok=True)
        copy.write_bytes(path.read_bytes())
    guide = read_guide(tmp_path).guide
    assert guide is not None
    assert load_model(dump_model(build_model(guide, derive_limits(guide)))) == model


@pytest.mark.parametrize("seed", range(5))
def test_cannot_tell_leaves_all_weights_as_they_were(seed: int) -> None:
    small = small_facts(seed)
    prepared = prepare(build_model(small.guide, small.limits))
    given = session(small, seed)
    known = {answer.mark for answer in given.answers}
    open_marks = [mark for mark in small.guide.marks if mark not in known]
    everything = [Answer(mark, (), "cannot-tell") for mark in open_marks]
    all_forms = [Answer(mark, tuple(small.guide.marks[mark].forms), "several") for mark in open_marks]
    before = list(believe(prepared, given).weights)
    assert list(believe(prepared, Session((*given.answers, *everything))).weights) == before
    assert list(believe(prepared, Session((*given.answers, *all_forms))).weights) == pytest.approx(before, abs=1e-14)


@pytest.mark.parametrize("seed", range(3))
def test_a_dumped_model_is_the_model(seed: int) -> None:
    small = small_facts(seed)
    made = build_model(small.guide, small.limits)
    again = load_model(dump_model(made))
    assert again == made
    assert conclude(again, session(small, seed)) == conclude(made, session(small, seed))


def test_the_order_of_answers_changes_nothing_but_their_order() -> None:
    small = small_facts(1)
    made = build_model(small.guide, small.limits)
    given = session(small, 1)
    one, other = conclude(made, given), conclude(made, Session(given.answers[::-1]))
    for a, b in zip(one["periods"], other["periods"], strict=True):
        assert a["chance"] == pytest.approx(b["chance"], abs=1e-12)
    assert [row["mark"] for row in one["apart"]] == [row["mark"] for row in other["apart"]]
