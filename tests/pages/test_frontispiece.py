"""The car drawn: every part has one number, every number a leader that crosses no other on its side."""

from __future__ import annotations

import pathlib
import random
import re
from dataclasses import replace
from itertools import combinations, pairwise
from typing import Any

import pytest

from guide.facts.records.forms import Detail
from guide.facts.records.frontispiece import Plate
from guide.facts.types import Guide
from guide.finding import Place
from guide.pages.parts.frontispiece import _PITCH, _cross, _spread, _uncrossed, plates_shown, spots_outside
from guide.pages.shelf import Drawing, Shelf

PICTURES = pathlib.Path(__file__).resolve().parents[2] / "content" / "pictures"


def test_every_mark_of_the_demo_has_one_number(shelf: Shelf) -> None:
    leaders = [one for plate in plates_shown(shelf) for one in plate.leaders]
    assert sorted(one.number for one in leaders) == list(range(1, len(shelf.guide.marks) + 1))
    assert {one.mark.id for one in leaders} == set(shelf.guide.marks)


def test_numbers_follow_the_walk(shelf: Shelf) -> None:
    for plate in plates_shown(shelf):
        order = list(shelf.guide.marks)
        places = [order.index(one.mark.id) for one in plate.leaders]
        assert places == sorted(places)


@pytest.mark.parametrize("seed", range(20))
def test_no_leader_crosses_another_of_its_side(seed: int) -> None:
    dice = random.Random(seed)
    row: list[Any] = [((dice.uniform(0, 120), dice.uniform(0, 200)), str(at)) for at in range(dice.randrange(1, 14))]
    heights = _spread(sorted(one[0][1] for one in row), 0, 200)
    assert all(later - earlier > _PITCH - 1e-6 for earlier, later in pairwise(heights))
    ends = [(0.0, height) for height in heights]
    order = _uncrossed(row, 0.0, heights)
    assert sorted(one[1] for one in order) == sorted(one[1] for one in row)
    for one, other in combinations(range(len(order)), 2):
        assert not _cross(ends[one], order[one][0], ends[other], order[other][0])


def test_more_numbers_than_the_drawing_is_tall_run_on_below() -> None:
    heights = _spread([5.0] * 20, 0, 100)
    assert heights == pytest.approx([_PITCH * (at + 0.5) for at in range(20)])


def test_a_spot_beyond_the_edge_is_told(guide: Guide) -> None:
    plate = Plate(picture="a.svg", spots={"dials": (9.0, 4.0), "switches": (9.5, 4.0)}, place=Place("guide.yml", 7, 3))
    detail = Detail(name="White signs", spot=(9.5, 4.0), place=Place("marks/switches.yml", 8, 5))
    mark = guide.marks["switches"]
    form = replace(mark.forms["symbols"], picture="a.svg", detail=detail)
    marks = {"switches": replace(mark, forms={"symbols": form})}
    given = replace(guide, frontispiece=(plate,), marks=marks)
    found, other = spots_outside(given, {"a.svg": Drawing("0 0 9 9", "")})
    assert (found.code, found.place.line) == ("spot-outside", 7)
    assert dict(found.message.values)["mark"] == "switches"
    assert (other.code, other.place.file, dict(other.message.values)["mark"]) == (
        "spot-outside",
        "marks/switches.yml",
        "White signs",
    )


def test_a_plate_without_its_drawing_is_left_out(shelf: Shelf) -> None:
    _, second = shelf.guide.frontispiece
    drawings = {second.picture: shelf.drawings[second.picture]}
    assert [one.name for one in plates_shown(replace(shelf, drawings=drawings))] == [second.name]


def test_a_spot_of_the_demo_lies_on_a_line_of_its_drawing(guide: Guide) -> None:
    for plate in guide.frontispiece:
        text = (PICTURES / plate.picture).read_text(encoding="utf-8")
        assert re.search(r'viewBox="0 0 240 \d+"', text)
        assert len(plate.spots) == len(set(plate.spots.values())), "two numbers for one spot"
