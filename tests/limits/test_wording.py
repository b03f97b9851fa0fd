"""A stated moment has one wording, for findings and for pages, and says "about" only where the editor did."""

from __future__ import annotations

import pytest

from guide.facts.types import Series, Text, When
from guide.facts.when.numbers import number_table
from guide.facts.when.whens import read_when
from guide.limits.derive import derive_limits
from guide.limits.wording import claim_said, statement_said, when_said
from tests.limits import sketch
from tests.limits.sketch import HERE, by_end, car, form, mark, on, run, say, series
from tests.told import told


def _series() -> Series:
    return series([run(1001, 2000)], [by_end(on("1960-12"), car(2000))])


def _when(text: str) -> When:
    table = number_table({"c": _series()})
    found = read_when(Text(text, HERE), table)
    assert isinstance(found, When)
    return found


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("C1588", "C1588"),
        ("about C1588", "about C1588"),
        ("10 cars after C1588", "10 cars after C1588"),
        ("about 10 cars after C1588", "about 10 cars after C1588"),
        ("10 cars before C1588", "10 cars before C1588"),
        ("one car after C1588", "the car after C1588"),
    ],
)
def test_a_car_counted_from_another_is_about_only_where_the_editor_said_about(text: str, said: str) -> None:
    when = _when(text)
    first = say("first", when, form="b")
    guide = sketch.guide([mark([first], ("a", "b"), [form("a"), form("b")])], [_series()])
    assert told(when_said(guide, when)) == told(when_said(guide, when, taken_as=True)) == said
    assert told(claim_said(guide, first)) == f"First: {said}"
    assert told(statement_said(guide, first)) == f"Bulletin 1 gives {said} as the first with “B”"
    steps = next(one for one in derive_limits(guide).spells if one.form == "b").first.because_earliest
    assert told(steps[0].says) == f"Bulletin 1 gives {said} as the first"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("1968-05?", "probably May 1968"),
        ("1968-05%", "probably about May 1968"),
        ("1968-05~", "about May 1968"),
        ("probably May 1968", "probably May 1968"),
    ],
)
def test_a_time_that_its_source_is_not_sure_of_is_said_to_be_probable(text: str, said: str) -> None:
    guide = sketch.guide([mark([], ("a", "b"), [form("a"), form("b")])], [_series()])
    assert told(when_said(guide, _when(text))) == said
