"""Several ends of production and of a run, a stray after all of them, and one whose date nobody knows."""

from __future__ import annotations

import pathlib
from datetime import date

from guide.dating.belief.evidence import Session
from tests.papers.laid import Laid

FINDINGS = (pathlib.Path(__file__).parent / "rival-ends.txt").read_text(encoding="utf-8")

LAID = "rival-ends"


def test_what_is_found(laid: Laid) -> None:
    assert laid.findings + "\n" == FINDINGS


def test_the_widest_that_no_ruling_sets_aside_stands(laid: Laid) -> None:
    assert laid.worked.guide is not None
    made = laid.worked.guide.production
    assert (made.first, made.last) == (date(1960, 3, 1), date(1963, 11, 22))
    assert [run.last for run in laid.worked.guide.series["saloon"].runs] == [1200]


def test_both_sides_are_shown_with_what_was_ruled_and_what_is_printed(laid: Laid) -> None:
    words = laid.words_of("how-we-know.html")
    for said in (
        "Club register gives S1200 as the last of its run. It stands.",
        "Parts list (page 3) gives S1204 as the last of its run. Set aside: four bodies were never finished.",
        "Parts list (page 2) gives 15 February 1960 as the first day. Set aside: the list counts the trial cars. "
        "Ruled 25 November 2026 by J.T. ",  # one full stop: the sentence's own
        "Club register gives 31 October 1963 as the last day. A wider one stands.",
        "Club register (page 9) gives November 1963 as the end of production. That agrees with what stands.",
        "Parts list (page 3) gives 22 November 1963 as the last day. It stands. Printed as “22 Novembre 63”.",
        "S600 was the last car built by the end of December 1961 (Parts list, printed as “S6OO”)",
        "S1151 was built out of turn, nobody knows when (Club register)",
    ):
        assert said in words


def test_a_stray_after_the_end_is_dated_to_the_last_day_and_one_without_a_date_to_any(laid: Laid) -> None:
    key = laid.worked.key
    assert key is not None
    late, any_day = (key.dated(Session(car=car)).figures for car in ("S1150", "S1151"))
    ends = date(1963, 11, 22).toordinal() - date(1960, 3, 1).toordinal()
    assert (round(late.nine[0].start), round(late.nine[-1].end)) == (ends, ends + 1)
    assert any_day.length > 1000
