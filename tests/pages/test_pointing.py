"""A detail named beneath its drawing: where the name stands, and the line from it to what it names."""

from __future__ import annotations

from dataclasses import replace

import pytest

from guide.facts.records.forms import Detail
from guide.facts.types import Form
from guide.finding import Place
from guide.pages.parts.pictures import Pointed, pointed_out
from guide.pages.shelf import Drawing, Shelf


def named(shelf: Shelf, across: float, down: float) -> Form:
    detail = Detail(name="White signs", spot=(across, down), place=Place("marks/switches.yml", 8, 5))
    return replace(shelf.guide.marks["switches"].forms["symbols"], picture="a.svg", detail=detail)


@pytest.mark.parametrize(
    ("across", "side", "line"),
    [
        (10, "left", "M22 160L10 30"),
        (89, "left", "M22 160L89 30"),
        (90, "middle", "M130 160L90 30"),
        (169, "middle", "M130 160L169 30"),
        (170, "right", "M238 160L170 30"),
        (250, "right", "M238 160L250 30"),
    ],
)
def test_the_line_begins_at_the_nearest_third(shelf: Shelf, across: float, side: str, line: str) -> None:
    drawn = replace(shelf, drawings={"a.svg": Drawing("10 0 240 160", "")})
    found = pointed_out(drawn, named(shelf, across, 30))
    assert found == Pointed("White signs", side, "10 0 240 160", line, (across, 30))


def test_the_name_stands_alone_where_there_is_no_drawing_or_no_such_place(shelf: Shelf) -> None:
    alone = Pointed("White signs", "left")
    assert pointed_out(replace(shelf, drawings={}), named(shelf, 20, 30)) == alone
    drawn = replace(shelf, drawings={"a.svg": Drawing("0 0 240 160", "")})
    assert pointed_out(drawn, named(shelf, 241, 30)) == alone


def test_a_form_without_a_detail_has_none(shelf: Shelf) -> None:
    assert pointed_out(shelf, replace(named(shelf, 20, 30), detail=None)) is None
