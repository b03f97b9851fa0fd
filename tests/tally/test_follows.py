"""Which of its cars' numbers a change follows; the cut against every cut there is, and what the mark's page says."""

from __future__ import annotations

import pathlib
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from guide.command.work import work_out
from guide.pages.kinds.mark import PAGE
from guide.pages.shelf import Address
from guide.press.make import make_shelf
from guide.tally.count import derive_tally
from guide.tally.follows import least_out_of_place
from tests.starting import started
from tests.told import all_told

SECOND_NUMBERS = pathlib.Path(__file__).parents[1] / "checks" / "bad" / "second-numbers"


@given(st.lists(st.booleans(), max_size=12))
def test_the_best_cut_is_the_best_of_all_cuts(later: list[bool]) -> None:
    cuts = (sum(later[:cut]) + sum(not one for one in later[cut:]) for cut in range(len(later) + 1))
    assert least_out_of_place(later) == min(cuts)


def page_of(tmp_path: pathlib.Path, cars: str) -> dict[str, Any]:
    worked = work_out(started(tmp_path, {"cars-seen/field.csv": cars}, over=SECOND_NUMBERS))
    assert worked.guide is not None
    assert worked.limits is not None
    assert worked.key is not None
    shelf = make_shelf(worked.guide, worked.limits, worked.key, derive_tally(worked.limits), {}, {})
    address = Address("mark", "door-handle", "marks/door-handle.html", "Inner door handle")
    return dict(all_told(PAGE.context(shelf, address)))


HEADINGS = "car,body,untouched,door-handle\n"
BOTH = "S600,B0640,yes,lever\nS604,B0610,yes,lever\nS602,B0660,yes,knob\nS601,B0670,yes,knob\nS640,B0680,yes,knob\n"


@pytest.mark.parametrize(
    ("cars", "says"),
    [
        (
            # by chassis S600 l, S601 k, S602 k, S604 l, S640 k: one out of place; by body none. The car that is not
            # untouched and the one with one number say nothing.
            BOTH + "S990,B0001,no,lever\nS700,,yes,knob\n",
            "“Knob” after “Lever” follows the body number: of the cars looked at, 0 of 5 stand out of place by the "
            "body number and 1 of 5 stands out of place by the chassis number.",
        ),
        (
            "S600,B0640,yes,lever\nS602,B0660,yes,knob\n",
            "Whether “Knob” after “Lever” follows one of its cars’ numbers more than another cannot be told yet: of "
            "the cars looked at, 0 of 2 stand out of place by the chassis number and 0 of 2 stand out of place by the "
            "body number.",
        ),
        (
            "S600,,yes,lever\n",
            "“Knob” after “Lever” is told by more than one kind of number, and no cars looked at show yet which of "
            "them it follows.",
        ),
        (
            # no car has both, so each kind is held by its own cars, stated ones too: B0640 l, B0648 k, B0655 l
            "S600,,yes,lever\nS602,,yes,knob\n",
            "“Knob” after “Lever” follows the chassis number: of the cars looked at, 0 of 2 stand out of place by the "
            "chassis number and 1 of 3 stands out of place by the body number.",
        ),
    ],
)
def test_the_page_says_which_number_a_change_follows(tmp_path: pathlib.Path, cars: str, says: str) -> None:
    assert page_of(tmp_path, HEADINGS + cars)["follows"] == [says]


def test_a_mark_that_one_kind_of_number_tells_of_says_nothing_of_it(tmp_path: pathlib.Path) -> None:
    worked = work_out(started(tmp_path))
    assert worked.limits is not None
    assert {told.follows for told in derive_tally(worked.limits).marks.values()} == {()}
