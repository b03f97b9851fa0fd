"""One car counts once: sheets handed in twice, visits, people who disagree, two cars with one plate."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path

import pytest

from guide.facts.read import read_guide
from guide.facts.records.one_car import Noted, Report, join_cars
from guide.facts.types import CarSeen
from guide.finding import Place

SMALL = Path(__file__).parent / "small"
HEADINGS = "car,seen on,hand,switches\n"


@pytest.fixture
def cars(tmp_path: Path) -> object:
    def read(**sheets: str) -> tuple[CarSeen, ...]:
        content = tmp_path / "content"
        shutil.copytree(SMALL, content)
        (content / "cars-seen").mkdir()
        for name, lines in sheets.items():
            (content / "cars-seen" / f"{name}.csv").write_text(HEADINGS + lines, encoding="utf-8")
        guide = read_guide(content).guide
        assert guide is not None
        return guide.cars_seen

    return read


def told(found: tuple[CarSeen, ...]) -> list[tuple[str, list[str], int, int, int]]:
    """Of each car its number, its answers, and how many lines are about it, repeat one, and disagree."""
    return [
        (
            car.number_text,
            [report.answer for report in car.reports],
            len(car.looks),
            len(car.repeats),
            len(car.disagreements),
        )
        for car in found
    ]


@pytest.mark.parametrize(
    ("sheets", "comes_to"),
    [
        ({"a": "C1840,2026-06-01,,toggle\n", "b": "C1840,2026-06-01,,toggle\n"}, [("C1840", ["toggle"], 1, 1, 0)]),
        ({"a": "C1840,,,toggle\nC 1840,,,toggle\n"}, [("C1840", ["toggle"], 1, 1, 0)]),
        # three visits of one person, the last of which could not tell: the latest look at the part counts
        (
            {"a": "C1840,2024-06-01,,toggle\nC1840,2026-06-01,,cannot-tell\nC1840L,2025-06-01,left,rocker\n"},
            [("C1840", ["rocker"], 3, 0, 0)],
        ),
        # two people: on different days the later counts, on one day neither, and both are told
        ({"a": "C1840,2026-06-01,,toggle\n", "b": "C1840,2025-06-01,,rocker\n"}, [("C1840", ["toggle"], 2, 0, 1)]),
        (
            {"a": "C1840,2026-06-01,,toggle\n", "b": "C1840,2026-06-01,,rocker\n"},
            [("C1840", ["toggle+rocker"], 2, 0, 1)],
        ),
        ({"a": "C1840,2026-06-01,,toggle\n", "b": "C1840,2026-06-01,,none\n"}, [("C1840", ["cannot-tell"], 2, 0, 1)]),
        (
            {"a": "C1840,2026-06-01,,toggle own\n", "b": "C1840,2026-06-01,,changed\n"},
            [("C1840", ["cannot-tell"], 2, 0, 1)],
        ),
        ({"a": "C1840,2026-06-01,,toggle\n", "b": "C1840,2026-06-01,,changed\n"}, [("C1840", ["changed"], 2, 0, 0)]),
        ({"a": "C1840,,right,toggle\n", "b": "C1840,,left,toggle\n"}, [("C1840", ["toggle"], 2, 0, 1)]),
        # one sheet that says both of one day counts as two people, until a later look
        ({"a": "C1840,2026-06-01,,toggle\nC1840,2026-06-01,,rocker\n"}, [("C1840", ["toggle+rocker"], 2, 0, 1)]),
        ({"a": "C1840,,,toggle\nC1840,,,rocker\n"}, [("C1840", ["toggle+rocker"], 2, 0, 1)]),
        (
            {"a": "C1840,2026-06-01,,toggle\nC1840,2026-06-01,,rocker\nC1840,2026-06-02,,rocker\n"},
            [("C1840", ["rocker"], 3, 0, 0)],
        ),
        # cars without a number are each alone
        ({"a": ",,,toggle\n,,,toggle\n", "b": ",,,toggle\n"}, [("", ["toggle"], 1, 0, 0)] * 3),
        ({"a": "C9999,,,toggle\nc 9999,2026-06-01,,toggle\n"}, [("C9999", ["toggle"], 2, 0, 0)]),
    ],
)
def test_lines_come_to_cars(cars: object, sheets: dict[str, str], comes_to: object) -> None:
    assert told(cars(**sheets)) == comes_to  # type: ignore[operator]


def test_a_line_says_that_it_is_another_car(tmp_path: Path) -> None:
    content = tmp_path / "content"
    shutil.copytree(SMALL, content)
    (content / "cars-seen").mkdir()
    lines = "car,seen on,switches,another car\nC1840,2024-06-01,toggle,\nC1840,2025-06-01,toggle,yes\n"
    (content / "cars-seen" / "a.csv").write_text(lines + "C1840,2026-06-01,rocker,yes\n", encoding="utf-8")
    guide = read_guide(content).guide
    assert guide is not None
    assert [(len(car.looks), car.reports[0].answer) for car in guide.cars_seen] == [(1, "toggle"), (2, "rocker")]


def test_a_line_of_a_car_without_a_number_repeats_another_sheet_where_it_says_enough() -> None:
    def line(file: str, parts: int) -> Noted:
        place = Place(file, 2)
        reports = [Report(mark=f"m{at}", forms=("a",), kind="form", place=place) for at in range(parts)]
        return Noted(
            numbers=(),
            number_text="",
            day=date(2026, 6, 1),
            splits={},
            reports=tuple(reports),
            untouched=None,
            remarks="",
            another=False,
            place=place,
        )

    assert [len(car.repeats) for car in join_cars([line("a", 4), line("a", 4), line("b", 4), line("c", 4)])] == [2, 0]
    assert [len(car.repeats) for car in join_cars([line("a", 3), line("b", 3)])] == [0, 0]
