"""The rule that no gap lies between two forms is as precise as the papers: hand-worked, as an editor types them."""

from __future__ import annotations

import pathlib
import re

import pytest

from guide.limits.derive import derive_limits
from tests.starting import guide_in, started
from tests.told import told

LAMP = """\
name: Roof lamp
question: What shape is the lamp in the roof?
look: Above the mirror.
reach: glass
survives: most
order: {order}
forms:
  round: {{name: Round, answer: A round lamp, describes: Round., stated: [{{last: {last}, source: parts-list}}]}}
  square: {{name: Square, answer: A square lamp, describes: Square., stated: [{{first: {first}, source: parts-list}}]}}
{more}"""


def clashes(folder: pathlib.Path, last: str, first: str, order: str = "[round, square]", more: str = "") -> list[str]:
    """What limits find in a guide whose parts list gives one last and one first."""
    lamp = LAMP.format(last=last, first=first, order=order, more=more)
    result = derive_limits(guide_in(started(folder, {"marks/roof-lamp.yml": lamp})))
    return [told(finding.message) for finding in result.findings if finding.code == "statements-clash"]


@pytest.mark.parametrize(
    ("last", "first"),
    [
        ("mid December 1961", "January 1962"),  # 11 to 20 December: 12 days short of January
        ("December 1961", "January 1962"),
        ("1961-12-01", "January 1962"),  # 31 days to the first of January, a month and a week allowed
        ("spring 1961", "September 1961"),  # 93 days after the last of May; a season of 92 and a week allowed
        ("1961-12-31", "1962-01-08"),  # by days: a week and a day
    ],
)
def test_papers_are_no_more_precise_than_their_units(tmp_path: pathlib.Path, last: str, first: str) -> None:
    assert clashes(tmp_path, last, first) == []


@pytest.mark.parametrize(
    ("last", "first", "days"),
    [
        ("mid December 1961", "March 1962", 38),  # a month is 31 days, and a week
        ("1961-12-31", "1962-01-10", 8),
        (
            "S588",
            "1962-06-01",
            8,
        ),  # a car is no unit of time; with its ten out of order it was built by the end of 1961
    ],
)
def test_beyond_that_a_gap_is_a_clash_and_says_how_much_was_allowed(
    tmp_path: pathlib.Path, last: str, first: str, days: int
) -> None:
    (said,) = clashes(tmp_path, last, first)
    assert f"this guide takes “Square” to have come in within {days} days of the last “Round”" in said


def test_what_the_put_right_offers_for_a_time_with_neither_can_be_typed(tmp_path: pathlib.Path) -> None:
    folder = pathlib.Path(__file__).parent / "bad" / "a-time-with-neither"
    offered = (folder / "expected.txt").read_text(encoding="utf-8")
    keys, order = re.findall(r"a form `neither` .*? with (.*?) of its own, and type `order: (\[.*?\])`", offered)[0]
    form = ", ".join(f"{key} Neither" for key in re.findall(r"`(\w+:)`", keys))
    assert clashes(tmp_path, "mid December 1961", "March 1962", order, f"  neither: {{{form}}}\n") == []
