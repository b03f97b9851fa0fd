"""What is known by number, hand-worked on small guides: never more than was stated, and never a number from a day."""

from __future__ import annotations

from collections.abc import Iterable

import pytest

from guide.facts.types import Series, Statement
from guide.limits.changeovers import beside, moment_of, places_of, series_by_number
from guide.limits.courses import Course, courses_of
from guide.limits.derive import derive_limits
from guide.limits.types import LimitsResult, NumberLimits
from tests.limits import sketch
from tests.limits.sketch import by_end, car, of, on, run, say, series, stray
from tests.told import told

YEARS = [by_end(on("1960-12-31"), car(1500)), by_end(on("1961-12-31"), car(2000))]


def worked(statements: Iterable[Statement], line: Series | None = None) -> LimitsResult:
    """A thousand cars in two years, the last number of each year known; at most five out of order."""
    made = line or series([run(1001, 2000)], YEARS, out_of_order=5)
    return derive_limits(sketch.guide([sketch.mark(statements, "abc")], [made], sketch.production()))


def known(result: LimitsResult, form: str, end: str) -> NumberLimits:
    return next(spell for spell in result.spells if spell.form == form).by_number(end, "c")


def told_of(limits: NumberLimits) -> tuple[int | None, int | None, str, str]:
    return limits.low, limits.high, told(limits.says), told(limits.seen)


def only_course(result: LimitsResult) -> Course:
    (course,) = courses_of(result, result.moments.guide.marks["m"])
    return course


def test_a_first_and_a_last_are_the_cars_that_are_named() -> None:
    result = worked([say("first", of(car(1101)), form="b"), say("last", of(car(1100)), form="a")])
    assert told_of(known(result, "b", "first")) == (100, 100, "C1101", "")
    assert told_of(known(result, "a", "last")) == (99, 99, "C1100", "")
    assert known(result, "b", "last") == NumberLimits()


def test_an_about_leftover_stock_and_a_count_are_told_as_they_were_stated() -> None:
    result = worked(
        [say("first", of(car(1101), after=10, slack=3), form="b"), say("last", of(car(1100)), old_stock_cars=60)]
    )
    assert told_of(known(result, "b", "first"))[:3] == (107, 113, "10 cars after C1101")
    assert told_of(known(result, "a", "last"))[:3] == (99, 159, "C1100, or up to 60 cars after it")


def test_of_two_papers_that_both_stand_the_wider_does() -> None:
    """Five cars may be out of order, so by day both can be true."""
    result = worked([say("first", of(car(1101)), form="b"), say("first", of(car(1104)), form="b", line=11)])
    assert told_of(known(result, "b", "first")) == (100, 103, "C1101 or C1104", "")


def test_of_cars_seen_the_nearest_counts_and_one_built_out_of_turn_says_nothing() -> None:
    seen = [say("seen", of(car(number)), form="b", line=number) for number in (1150, 1120, 1300)]
    line = series([run(1001, 2000)], YEARS, out_of_order=5, strays=(stray(car(1120), on("1960-09-01")),))
    result = worked(seen, line)
    assert told_of(known(result, "b", "first")) == (None, 149, "", "C1150")
    assert told_of(known(result, "b", "last")) == (299, None, "", "C1300")


def test_a_statement_set_aside_is_not_told() -> None:
    result = worked([say("last", of(car(1100))), say("seen", of(car(1700)), source="hearsay", line=11)])
    assert len(result.clashes) == 1
    assert told_of(known(result, "a", "last")) == (99, 99, "C1100", ""), "hearsay is believed less"


@pytest.mark.parametrize(
    ("first", "last", "verdict"),
    [
        (of(car(1101)), of(car(1100)), "clean_by_number"),  # days tell them not apart
        (of(car(1101)), of(car(1102)), "both_by_number"),
        (of(car(1101), slack=3), of(car(1102)), "perhaps_by_number"),
        (on("1960-05"), on("1960-05"), "perhaps"),
        (on("1960-05"), on("1960-06"), "both"),
        (on("1960-05"), on("1960-04"), "clean"),
        (of(car(1101)), on("1960-01", "1960-12"), "perhaps"),  # on one axis nothing is known of both
    ],
)
def test_whether_both_were_fitted_is_judged_on_the_axis_that_is_stated(
    first: object, last: object, verdict: str
) -> None:
    result = worked([say("first", first, form="b"), say("last", last)])  # type: ignore[arg-type]
    course = only_course(result)
    assert beside(result, course, *course.spells[:2]) == verdict


def test_a_form_of_the_first_cars_is_not_lost_because_the_first_car_is_dated_loosely() -> None:
    """Only the year's last number is known, so the first car may be as late as 31 December; the change came in May."""
    result = worked([say("first", on("1960-05"), form="b")])
    assert [spell.form for spell in only_course(result).spells] == ["a", "b", "c"]
    by_number = worked([say("first", of(car(1004)), form="b")])
    assert [spell.form for spell in only_course(by_number).spells] == ["a", "b", "c"], "three cars came before it"
    from_the_first = worked([say("first", of(car(1001)), form="b")])
    assert [spell.form for spell in only_course(from_the_first).spells] == ["b", "c"]


def test_a_course_is_shown_along_numbers_where_those_tell_more() -> None:
    ends = [say("first", of(car(1101)), form="b"), say("last", of(car(1100)))]
    undated = worked(ends, series([run(1001, 2000)], out_of_order=5))
    assert series_by_number(undated, only_course(undated)) == "c"
    assert moment_of(undated, only_course(undated), only_course(undated).spells[1], "first").days is None
    assert places_of(undated, only_course(undated), "c")[:2] == [((0, 0), (99, 99)), ((100, 100), (100, 999))]
    dated = worked(ends)
    assert series_by_number(dated, only_course(dated)) == ""
    by_day = worked([say("first", on("1960-05"), form="b")], series([run(1001, 2000)]))
    assert series_by_number(by_day, only_course(by_day)) == ""
