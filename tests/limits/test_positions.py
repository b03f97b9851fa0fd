"""Positions, days and counts of a series, on a small series worked by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from guide.facts.types import DatedCar, ModelYear, Run, Scope, Series, When
from guide.finding import TICKS_PER_DAY
from guide.limits.edges import edge_of
from guide.limits.moments import Moments
from guide.limits.positions import SeriesLine, series_lines
from guide.limits.types import DatedSpell, Limits
from tests.limits import sketch
from tests.limits.sketch import by_end, car, closure, day, first_of, on, run, series, stray


def line(**more: object) -> SeriesLine:
    """C1001 to C1010, a gap, C1021 to C1030; ten cars in January, a shut February, ten in March."""
    made = series(
        [run(1001, 1010), run(1011, 1020, built=False), run(1021, 1030)],
        [first_of(on("1960-01-01"), car(1001)), by_end(on("1960-01"), car(1010)), by_end(on("1960-03"), car(1030))],
        **({"out_of_order": 3} | more),
    )
    assert isinstance(made, Series)
    shut = [closure("1960-02-01", "1960-02-29")]
    return SeriesLine(made, sketch.production("1960-01-01", "1960-03-31"), shut)


def test_positions_leave_out_the_gap() -> None:
    assert [line().position(car(number)) for number in (1001, 1010, 1011, 1020, 1021, 1030, 1031)] == [
        0,
        9,
        None,
        None,
        10,
        19,
        None,
    ]
    assert line().cars == 20


def test_a_car_at_a_position_is_written_as_its_series_writes_it() -> None:
    assert [line().car_at(position).written for position in (0, 9, 10, 19, 99)] == [
        "C1001",
        "C1010",
        "C1021",
        "C1030",
        "C1030",
    ]


def test_a_suffix_does_not_change_the_position_and_another_series_has_none() -> None:
    assert line().position(car(1005, suffix="L")) == 4
    assert line().position(car(1005, series="d")) is None


def test_disorder_never_carries_a_car_across_a_closure() -> None:
    assert line().days_of(car(1010)) == (day("1960-01-01"), day("1960-01-31"))
    assert line().days_of(car(1021)) == (day("1960-03-01"), day("1960-03-31"))
    assert line().reach_of(8) == (5, 9)
    assert line().reach_of(11) == (10, 14)


def test_disorder_carries_a_car_across_a_line_of_the_calendar_without_a_closure() -> None:
    made = series(
        [run(1001, 1040)], [by_end(on("1960-01"), car(1020)), by_end(on("1960-02"), car(1040))], out_of_order=3
    )
    free = SeriesLine(made, sketch.production("1960-01-01", "1960-02-29"), [])
    assert free.days_of(car(1017)) == (day("1960-01-01"), day("1960-01-31"))
    assert free.days_of(car(1018)) == (day("1960-01-01"), day("1960-02-29"))
    assert free.days_of(car(1023)) == (day("1960-01-01"), day("1960-02-29"))
    assert free.days_of(car(1024)) == (day("1960-02-01"), day("1960-02-29"))


def test_a_named_stray_has_its_own_date() -> None:
    assert line(strays=(stray(car(1002), on("1960-03-20")),)).days_of(car(1002)) == (
        day("1960-03-20"),
        day("1960-03-20"),
    )


def test_cars_are_spread_over_open_days() -> None:
    there = line()
    assert there.cars_by(day("1959-12-31")) == 0
    assert there.cars_by(day("1960-01-31")) == 10
    assert there.cars_by(day("1960-02-15")) == 10
    assert there.cars_by(day("1960-03-31")) == 20
    assert there.cars_by(day("1960-01-01")) == pytest.approx(10 / 31)
    assert len(there.open_days) == 62


def test_the_day_at_a_position_inverts_the_count() -> None:
    there = line()
    assert there.day_at(0) == day("1960-01-01")
    assert there.day_at(9.99) == day("1960-01-31")
    assert there.day_at(10) == day("1960-03-01")
    assert there.day_at(25) == day("1960-03-31")
    for position in range(20):
        found = there.day_at(position)
        assert there.cars_by(found) > position
        before = [one for one in there.open_days if one < found]
        assert not before or there.cars_by(before[-1]) <= position + 1e-9


def test_a_run_without_an_end_reaches_to_the_highest_number_that_the_calendar_names() -> None:
    made = series([run(1001, None)], [by_end(on("1960-01"), car(1012))])
    there = SeriesLine(made, sketch.production("1960-01-01", "1960-03-31"), [])
    assert there.cars == 12
    assert there.position(car(1013)) is None


def test_one_counter_goes_through_several_prefixes_in_declared_order() -> None:
    made = series([run(9001, 9005, prefix="CX"), run(1006, 1010, prefix="CA")], written=("CX####", "CA####"))
    there = SeriesLine(made, sketch.production(), [])
    assert there.position(car(9005, prefix="CX")) == 4
    assert there.position(car(1006, prefix="CA")) == 5
    assert there.position(car(1006, prefix="CX")) is None
    assert there.car_at(5).written == "CA1006"


def test_a_number_without_a_prefix_takes_that_of_the_first_notation_with_room_for_it() -> None:
    """Four digits have room for 9999, so only 10000 needs the longer notation."""
    made = series([run(9998, 10001, prefix="")], written=("A####", "B#####"))
    there = SeriesLine(made, sketch.production(), [])
    assert [there.car_at(position).written for position in range(4)] == ["A9998", "A9999", "B10000", "B10001"]


def test_only_series_whose_numbers_follow_the_build_have_a_line() -> None:
    engines = series([run(1, 50, prefix="E")], id="e", name="Engine", written=("E####",), gives_build_order=False)
    guide = sketch.guide([sketch.mark(())], [engines, series([run(1001, 1010)])])
    assert list(series_lines(guide)) == ["c"]


def test_a_series_without_one_open_day_still_has_its_cars() -> None:
    made = series([run(1001, 1010)], [by_end(on("1960-01"), car(1010))])
    there = SeriesLine(made, sketch.production("1960-01-01", "1960-01-31"), [closure("1960-01-01", "1960-01-31")])
    assert (there.cars, there.open_days) == (10, ())
    assert all(day("1960-01-01") <= one <= day("1960-01-31") for one in there.days_of(car(1005)))


def test_a_calendar_that_contradicts_itself_still_gives_days() -> None:
    made = series([run(1001, 1040)], [by_end(on("1960-02"), car(1010)), by_end(on("1960-01"), car(1030))])
    there = SeriesLine(made, sketch.production("1960-01-01", "1960-03-31"), [])
    assert there.days_of(car(1005)) == (date(1960, 1, 1), date(1960, 1, 31))
    assert there.cars_by(day("1960-02-10")) == 30


def dated(first: int, last: int, time: str, latest: str | None = None, prefix: str = "C") -> Run:
    """A run that a paper dates as a whole."""
    return replace(run(first, last, prefix=prefix), dated=on(time, latest))


def test_a_run_dated_as_a_whole_holds_its_cars() -> None:
    made = series([dated(1001, 1010, "1960-01"), run(1011, 1020), dated(1021, 1030, "1960-03")], out_of_order=2)
    there = SeriesLine(made, sketch.production("1960-01-01", "1960-04-30"), [])
    assert there.days_of(car(1005)) == (date(1960, 1, 1), date(1960, 1, 31))
    assert there.days_of(car(1009)) == (date(1960, 1, 1), date(1960, 3, 31))  # two cars further on nothing is dated
    assert there.days_of(car(1015)) == (date(1960, 1, 1), date(1960, 3, 31))
    assert there.days_of(car(1025)) == (date(1960, 3, 1), date(1960, 3, 31))
    assert [there.cars_by(day(when)) for when in ("1960-01-31", "1960-02-29", "1960-03-31")] == [10, 20, 30]


def test_dated_runs_that_overlap_meet_half_way_for_weights_and_stay_loose_for_limits() -> None:
    made = series([dated(1001, 1010, "1960-01", "1960-03"), dated(1011, 1020, "1960-02", "1960-04")])
    there = SeriesLine(made, sketch.production("1960-01-01", "1960-04-30"), [])
    assert there.days_of(car(1010)) == (date(1960, 1, 1), date(1960, 3, 31))
    assert there.days_of(car(1011)) == (date(1960, 2, 1), date(1960, 4, 30))
    assert there.cars_by(day("1960-03-01")) == 10


def test_numbers_that_begin_anew_under_another_prefix_go_on_in_the_line() -> None:
    """A restart: 1961's cars begin at 0001 again, told apart by the prefix alone."""
    made = series([run(1, 300, prefix="60"), run(1, 200, prefix="61")], written=("60-####", "61-####"))
    there = SeriesLine(made, sketch.production(), [])
    assert there.cars == 500
    assert [there.position(car(250, prefix=prefix)) for prefix in ("60", "61")] == [249, None]
    assert [there.position(car(1, prefix=prefix)) for prefix in ("60", "61")] == [0, 300]
    assert there.car_at(300).written == "61-0001"


def test_model_years_move_no_day() -> None:
    """Cars of a model year are sold as that year's, built well before it."""
    years = (ModelYear(year="1961", first=car(1001), last=car(1010), source="ledger", place=sketch.HERE),)
    assert line().days_of(car(1005)) == (day("1960-01-01"), day("1960-01-31"))
    assert line(model_years=years).days_of(car(1005)) == line().days_of(car(1005))


def test_an_edge_names_the_first_car_of_its_day_or_the_last() -> None:
    """Ten cars on the 31 open days of January, so 2.26 by the end of the 7th and 2.58 by the end of the 8th: from the
    8th on it can be the third, until the 8th the second at most."""
    made = series([run(1001, 1010)], [by_end(on("1960-01"), car(1010))])
    guide = sketch.guide([sketch.mark(())], [made], sketch.production("1960-01-01", "1960-01-31"))
    moments = Moments(guide, series_lines(guide))

    def cars_at(side: str, earliest: int, latest: int) -> list[str]:
        limits = Limits(earliest, latest, (), ())
        spell = DatedSpell(mark="m", form="a", spell=1, scope=Scope(), first=limits, last=limits, last_is_stated=False)
        return [one.number.written for one in edge_of(spell, "first", side, moments).cars]

    eighth = (7 * TICKS_PER_DAY, 8 * TICKS_PER_DAY - 1)
    assert cars_at("earliest", *eighth) == ["C1003"]
    assert cars_at("latest", *eighth) == ["C1002"]
    assert cars_at("earliest", 0, TICKS_PER_DAY - 1) == ["C1001"]
    assert cars_at("latest", 0, TICKS_PER_DAY - 1) == [], "no car stood finished by the end of the first day"


# Dated cars. The days between them are interpolated in a straight line: common practice, no source.


def certificate(number: int, built: When) -> DatedCar:
    return DatedCar(car=car(number), built=built, source="ledger", place=sketch.HERE)


def test_numbers_between_dated_cars_fall_evenly_between_their_days() -> None:
    """100 cars in 100 days (1 January to 9 April 1960). C1051, half of it finished after 50 of 100 by number, was built
    on day 20 (21 January, half of it: 20.5 days passed). So the car at 25 of 50.5 falls at 25 / 50.5 x 20.5 = 10.1
    days (11 January), and C1076, at 75, at 20.5 + 24.5 / 49.5 x 79.5 = 59.8 days (29 February)."""
    made = series([run(1001, 1100)], dated_cars=(certificate(1051, on("1960-01-21")),))
    there = SeriesLine(made, sketch.production("1960-01-01", "1960-04-09"), [])
    assert [there.day_at(at) for at in (25, 50, 75)] == [day("1960-01-11"), day("1960-01-21"), day("1960-02-29")]
    assert there.cars_by(day("1960-01-20")) == pytest.approx(50.5 * 20 / 20.5)
    assert there.days_of(car(1051)) == (day("1960-01-21"), day("1960-01-21"))
    assert there.days_of(car(1050)) == (day("1960-01-01"), day("1960-01-21"))


def test_a_dated_car_dates_its_neighbours_within_the_usual_disorder_only() -> None:
    """With two places of disorder each, the car four places on is the first that must be no earlier."""
    made = series([run(1001, 1100)], dated_cars=(certificate(1051, on("1960-01-21")),), out_of_order=2)
    there = SeriesLine(made, sketch.production("1960-01-01", "1960-04-09"), [])
    began, ended, its = day("1960-01-01"), day("1960-04-09"), day("1960-01-21")
    assert there.days_of(car(1051)) == (its, its)
    assert [there.days_of(car(number)) for number in (1047, 1048, 1054, 1055)] == [
        (began, its),
        (began, ended),
        (began, ended),
        (its, ended),
    ]


def test_dated_cars_out_of_order_among_themselves_are_one_line_at_their_mean() -> None:
    """Three places apart the wrong way round: 30.5 and 26.5 days passed, so 28.5 at the middle of the two."""
    dated = (certificate(1051, on("1960-01-31")), certificate(1054, on("1960-01-27")))
    made = series([run(1001, 1100)], dated_cars=dated, out_of_order=5)
    there = SeriesLine(made, sketch.production("1960-01-01", "1960-04-09"), [])
    assert there.open_days_before(52) == pytest.approx(28.5)
    assert [there.days_of(one.car)[0] for one in dated] == [day("1960-01-31"), day("1960-01-27")]


def test_weights_go_on_past_the_last_number_known() -> None:
    """40 cars known by the end of February (60 days): at that rate 91 days see 40 / 60 x 91 = 60.7."""
    made = series([run(1001, None)], [by_end(on("1960-02"), car(1040))])
    there = SeriesLine(made, sketch.production("1960-01-01", "1960-03-31"), [])
    assert there.cars == 40
    assert there.cars_by(day("1960-02-29")) == 40
    assert there.cars_by(day("1960-03-31")) == pytest.approx(40 / 60 * 91)
    assert there.days_of(car(1040)) == (day("1960-01-01"), day("1960-02-29"))


def test_a_stray_dated_outside_production_counts_as_one_of_its_first_or_last_days() -> None:
    late, early = stray(car(1002), on("1960-06-20")), stray(car(1003), on("1959-06"))
    shut = stray(car(1004), on("1960-02-10"))
    nobody_knows = replace(stray(car(1005), on("1960-01")), built=None)
    there = line(strays=(late, early, shut, nobody_knows))
    assert [there.days_of(one.car) for one in (late, early, shut, nobody_knows)] == [
        (day("1960-03-31"), day("1960-03-31")),
        (day("1960-01-01"), day("1960-01-01")),
        (day("1960-01-31"), day("1960-03-01")),
        (day("1960-01-01"), day("1960-03-31")),
    ]
