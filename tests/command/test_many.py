"""Many cars over several processes: the same lines in the same order as from one, whatever the machine allows."""

from __future__ import annotations

import json
import os
import pathlib
import random
from collections.abc import Iterator, Sequence
from concurrent.futures.process import BrokenProcessPool

import pytest

from guide.command import many
from guide.command.ask import read_session, session_of
from guide.command.calls import CallIsOff
from guide.command.many import conclude_all, processes_for
from guide.command.start import STARTER
from guide.command.work import work_out
from guide.dating.belief.evidence import Session
from guide.dating.building.behind import Reasons
from guide.dating.key import Key
from guide.dating.model import Model


@pytest.fixture(scope="module")
def key() -> Key:
    """The key of the small guide that `start` makes."""
    found = work_out(STARTER).key
    assert found is not None
    return found


@pytest.fixture(scope="module")
def sessions(key: Key) -> list[Session]:
    """Sixty cars, answered at random from a fixed seed, numbers and papers among them."""
    chance = random.Random(11)
    return [
        read_session(
            key.model,
            {
                "answers": {mark.id: chance.choice(mark.forms).id for mark in key.model.marks if chance.random() < 0.7},
                "car": chance.choice([None, "S571", "S0100", "nonsense"]),
                "known": chance.choice([{}, {"registered": "1961-05"}]),
            },
        )
        for _ in range(60)
    ]


def test_two_processes_say_what_one_says(key: Key, sessions: list[Session]) -> None:
    alone = list(conclude_all(key, {}, sessions, 1))
    assert len(alone) == 60
    assert len(set(alone)) > 10
    assert list(conclude_all(key, {}, sessions, 2)) == alone


def test_what_broken_processes_leave_is_done_here(
    key: Key, sessions: list[Session], monkeypatch: pytest.MonkeyPatch
) -> None:
    alone = list(conclude_all(key, {}, sessions, 1))

    def broken(_model: Model, _reasons: Reasons, _sessions: Sequence[Session], _processes: int) -> Iterator[str]:
        yield from alone[:7]
        raise BrokenProcessPool("killed")

    monkeypatch.setattr(many, "_spread", broken)
    assert list(conclude_all(key, {}, sessions, 2)) == alone


@pytest.mark.parametrize(
    ("processors", "cars", "processes"),
    [(1, 10_000, 1), (2, 10_000, 2), (8, 199, 1), (8, 450, 4), (200, 100_000, 61), (4, 0, 1)],
)
def test_few_cars_or_one_processor_are_left_to_one_process(
    processors: int, cars: int, processes: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "sched_getaffinity", lambda _: set(range(processors)), raising=False)
    assert processes_for(cars) == processes


def test_the_call_itself_spreads_its_cars(
    tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    from guide.command.main import main

    file = tmp_path / "cars.jsonl"
    cars = [json.dumps({"answers": {"roof-lamp": "round"}, "car": f"S{n:03}"}) for n in range(1, 41)]
    file.write_text("\n".join(cars), encoding="utf-8")
    asked = ["ask", "--content", str(STARTER), "--many", str(file), "--json"]
    assert main(asked) == 0
    alone = capsys.readouterr().out
    monkeypatch.setattr(many, "_CARS_A_PROCESS", 20)
    monkeypatch.setattr(os, "sched_getaffinity", lambda _: {0, 1}, raising=False)
    assert main(asked) == 0
    assert capsys.readouterr().out == alone
    assert alone.count("\n") == 40


@pytest.mark.parametrize("line", ["[" * 100_000, '{"answers": ' * 5000, "9" * 5000, "nonsense", "[]"])
def test_a_line_that_is_no_car_is_told_whatever_it_is(line: str) -> None:
    with pytest.raises(CallIsOff) as told:
        session_of(line, None)  # type: ignore[arg-type]
    assert told.value.says.id == "command.ask.no-car"
