"""Reading goes one way: no step asks the desk for what only a later one settles, and none changes it afterwards."""

from __future__ import annotations

import dataclasses
import pathlib
import shutil
from typing import Any

import pytest

from guide.facts import read
from guide.facts.text.desk import Desk
from tests.conftest import CONTENT

HERE = pathlib.Path(__file__).parent
GIVEN = {"known_keys", "today"}  # before the first step
GATHERED = {"lines", "cars_named", "misplaced", "offered", "references", "years_named"}  # each step adds to them
KNOWLEDGE = {name for step in read.STEPS for name in step.settles}


class Watched(Desk):
    """A desk that notes what is asked of it, or written on it, at the wrong time."""

    step = ""
    settled: frozenset[str] = frozenset()
    settling: tuple[str, ...] = ()
    wrong: frozenset[tuple[str, str]] = frozenset()

    def __getattribute__(self, name: str) -> Any:
        if name in KNOWLEDGE and Watched.step and name not in (*Watched.settled, *Watched.settling):
            Watched.wrong |= {(Watched.step, f"asks for {name}")}
        return super().__getattribute__(name)

    def __setattr__(self, name: str, value: Any) -> None:
        if name in KNOWLEDGE and Watched.step and name not in Watched.settling:
            Watched.wrong |= {(Watched.step, f"writes {name}")}
        super().__setattr__(name, value)


def watched(step: read.ReadingStep) -> read.ReadingStep:
    """Return a step that says on the desk when it begins and ends."""

    def run(*given: Any) -> Any:
        Watched.step, Watched.settling = step.gives, step.settles
        made = step.read(*given)
        Watched.step, Watched.settling, Watched.settled = "", (), Watched.settled | set(step.settles)
        return made

    return dataclasses.replace(step, read=run)


def test_whatever_the_desk_knows_is_settled_by_one_step() -> None:
    named = [name for step in read.STEPS for name in step.settles]
    held = {name for name in vars(Desk()) if not name.startswith("_")}
    assert sorted(named) == sorted(held - GIVEN - GATHERED)


@pytest.mark.parametrize(
    "over", ["", "statements-from-a-spreadsheet", "ids-that-lead-nowhere", "cars-seen-with-faults"]
)
def test_no_step_asks_for_what_a_later_one_settles(
    over: str, tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    content = shutil.copytree(HERE / "small" if over else CONTENT, tmp_path / "content")
    if over:
        shutil.copytree(HERE / "bad" / over, content, dirs_exist_ok=True)
    for name, value in (("step", ""), ("settled", frozenset()), ("settling", ()), ("wrong", frozenset())):
        monkeypatch.setattr(Watched, name, value)
    monkeypatch.setattr(read, "Desk", Watched)
    monkeypatch.setattr(read, "STEPS", tuple(watched(step) for step in read.STEPS))
    assert read.read_guide(content).guide is not None
    assert Watched.wrong == frozenset()
    assert Watched.settled == KNOWLEDGE
