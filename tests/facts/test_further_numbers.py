"""Several kinds of number on one car: which is which, what is read under which, and which give an order."""

from __future__ import annotations

import pathlib
from typing import Any

import pytest

from guide.facts.read import GuideRead, read_guide
from guide.facts.types import Guide
from tests.starting import change, started
from tests.told import told

BODIES = 'name: Body number\nkind: body number\nbody: saloon\nwritten: "####"\nruns: [{cars: 0001..1250}]\n'


def read(tmp_path: pathlib.Path, bodies: str = BODIES, cars: str = "", **marks: str) -> GuideRead:
    seen = {"cars-seen/field.csv": cars} if cars else {}
    content = started(tmp_path, {"numbers/bodies.yml": bodies, **seen})
    for old, new in marks.items():
        change(content, "marks/roof-lamp.yml", old, new)
    return read_guide(content)


def guide_of(reading: GuideRead) -> Guide:
    assert reading.guide is not None, [told(finding.message) for finding in reading.findings]
    return reading.guide


@pytest.mark.parametrize(
    ("more", "ordered"), [("", False), ("out of order: at most 15\n", True), ("gives build order: yes\n", True)]
)
def test_a_further_kind_gives_an_order_only_where_it_says_so(tmp_path: pathlib.Path, more: str, ordered: bool) -> None:
    guide = guide_of(read(tmp_path, BODIES + more))
    body = guide.series["bodies"]
    assert (body.kind, body.gives_build_order) == ("body", ordered)
    assert list(guide.ordered_series) == ["saloon"]
    assert list(guide.further_numbers) == ["bodies"]


def test_a_guide_without_chassis_numbers_knows_its_cars_by_the_kind_declared_first(tmp_path: pathlib.Path) -> None:
    content = started(tmp_path)
    saloon = content / "numbers" / "saloon.yml"
    saloon.write_text(saloon.read_text(encoding="utf-8") + "kind: body\n", encoding="utf-8")
    assert list(guide_of(read_guide(content)).ordered_series) == ["saloon"]


@pytest.mark.parametrize("typed", ["body 0650", "body no. 0650", "bodies 0650", "about Body 0650"])
def test_the_kind_stands_before_a_number_that_could_be_misread(tmp_path: pathlib.Path, typed: str) -> None:
    reading = read(tmp_path, BODIES + "out of order: 15\n", S590=typed)
    first = guide_of(reading).marks["roof-lamp"].forms["square"]
    when = next(one.when for one in guide_of(reading).marks["roof-lamp"].statements if one.form == first.id)
    assert when is not None
    assert when.car is not None
    assert (when.car.series, when.car.number) == ("bodies", 650)


def test_a_car_seen_has_a_column_for_each_kind(tmp_path: pathlib.Path) -> None:
    cars = "car,Body number,body,untouched\nS612,0650,,yes\n,,0651,no\nS613,,saloon,no\nS614+0652,,,no\n"
    seen = guide_of(read(tmp_path, BODIES, cars)).cars_seen
    numbers: list[list[Any]] = [[(number.series, number.number) for number in car.numbers] for car in seen]
    pasted = [("saloon", 614), ("bodies", 652)]  # as the key's own notes have it
    assert numbers == [[("saloon", 612), ("bodies", 650)], [("bodies", 651)], [("saloon", 613)], pasted]
    assert [car.car is None for car in seen] == [False, True, False, False]


def test_a_kind_is_a_word_or_two(tmp_path: pathlib.Path) -> None:
    reading = read(tmp_path, BODIES.replace("body number", "No. 2"))
    assert [told(one.message) for one in reading.findings] == [
        "expected which of a car's numbers it is, in a word or two, found 'No. 2'"
    ]
