"""Dates in EDTF and in an editor's words, cars, starts and ends: what each text means."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from guide.constants import CONSTANTS
from guide.facts.text.problem import Problem
from guide.facts.types import Guide, When, WhenKind
from guide.facts.when.whens import read_day
from tests.told import told
from tests.whens import read_when

A_DAY = timedelta(days=1)


def said(read: object) -> tuple[str, str, str]:
    """What is wrong, as an English reader sees it."""
    assert isinstance(read, Problem), read
    return read.code, told(read.message), told(read.put_right)


def span(text: str) -> str:
    """The two bounds of a date, with ~ where it is approximate and ? where it is uncertain."""
    when = read_when(text)
    assert isinstance(when, When), when
    assert when.kind is WhenKind.DATE
    signs = ("~" if when.approximate else "") + ("?" if when.uncertain else "")
    return f"{when.earliest or '..'} {when.latest or '..'} {signs}".strip()


WORDS = {
    "1968": "1968-01-01 1968-12-31",
    "the year 1968": "1968-01-01 1968-12-31",
    "May 1968": "1968-05-01 1968-05-31",
    "may of 1968": "1968-05-01 1968-05-31",
    "Sept. 1968": "1968-09-01 1968-09-30",
    "  May   1968. ": "1968-05-01 1968-05-31",
    "24 May 1968": "1968-05-24 1968-05-24",
    "24th of May 1968": "1968-05-24 1968-05-24",
    "May 24, 1968": "1968-05-24 1968-05-24",
    "29 February 1968": "1968-02-29 1968-02-29",
    "spring 1968": "1968-03-01 1968-05-31",
    "1969-W14": "1969-03-31 1969-04-06",
    "1969-w14-3": "1969-04-02 1969-04-02",
    "week 14 of 1969": "1969-03-31 1969-04-06",
    "14th week of 1969": "1969-03-31 1969-04-06",
    "about week 14, 1969": "1969-03-24 1969-04-13 ~",
    "by 1969-W14": ".. 1969-04-06",
    "week 1 of 1970": "1969-12-29 1970-01-04",
    "1970-W53": "1970-12-28 1971-01-03",
    "1969-W14/1969-W16": "1969-03-31 1969-04-20",
    "Summer 1968": "1968-06-01 1968-08-31",
    "the autumn of 1968": "1968-09-01 1968-11-30",
    "fall 1968": "1968-09-01 1968-11-30",
    "winter 1967": "1967-12-01 1968-02-29",
    "winter 1967/68": "1967-12-01 1968-02-29",
    "winter 1967-1968": "1967-12-01 1968-02-29",
    "about May 1968": "1968-04-01 1968-06-30 ~",
    "circa May 1968": "1968-04-01 1968-06-30 ~",
    "c. 1968": "1967-07-03 1969-07-01 ~",
    "c1968": "1967-07-03 1969-07-01 ~",
    "about 24 May 1968": "1968-05-17 1968-05-31 ~",
    "about spring 1968": "1968-01-16 1968-07-15 ~",
    "about 1968-05~": "1968-04-01 1968-06-30 ~",
    "probably May 1968": "1968-05-01 1968-05-31 ?",
    "probably about May 1968": "1968-04-01 1968-06-30 ~?",
    "by June 1968": ".. 1968-06-30",
    "by the end of June 1968": ".. 1968-06-30",
    "until 1968-06": ".. 1968-06-30",
    "not after 24 May 1968": ".. 1968-05-24",
    "before June 1968": ".. 1968-05-31",
    "before 1968-06-15": ".. 1968-06-14",
    "after June 1968": "1968-07-01 ..",
    "from June 1968": "1968-06-01 ..",
    "since 1968": "1968-01-01 ..",
    "by about May 1968": ".. 1968-06-30 ~",
    "between March and May 1968": "1968-03-01 1968-05-31",
    "March to May 1968": "1968-03-01 1968-05-31",
    "between November 1967 and May 1968": "1967-11-01 1968-05-31",
    "between 1968-03 and 1968-05-10": "1968-03-01 1968-05-10",
    "early 1968": "1968-01-01 1968-04-30",
    "mid-1968": "1968-05-01 1968-08-31",
    "late in 1968": "1968-09-01 1968-12-31",
    "early May 1968": "1968-05-01 1968-05-10",
    "middle of May 1968": "1968-05-11 1968-05-20",
    "late February 1969": "1969-02-21 1969-02-28",
    "late 1960s": "1967-01-01 1969-12-31",
    "first half of 1968": "1968-01-01 1968-06-30",
    "the second half of 1968": "1968-07-01 1968-12-31",
    "the 1960s": "1960-01-01 1969-12-31",
}


@pytest.mark.parametrize("text", WORDS)
def test_an_editors_words_mean(text: str) -> None:
    assert span(text) == WORDS[text]


SAME = {
    "spring 1968": "1968-21",
    "winter 1967/68": "1967-24",
    "about May 1968": "1968-05~",
    "perhaps May 1968": "1968-05?",
    "perhaps about May 1968": "1968-05%",
    "by June 1968": "../1968-06",
    "from June 1968": "1968-06/..",
    "between March and May 1968": "1968-03/1968-05",
    "the 1960s": "196X",
    "week 14 of 1969": "1969-W14",
    "about week 14 of 1969": "1969-W14~",
}


@pytest.mark.parametrize("text", SAME)
def test_words_and_their_edtf_mean_the_same(text: str) -> None:
    assert span(text) == span(SAME[text])


REFUSED = {
    "3/4/68": "slashed-date",
    "03/04/1968": "slashed-date",
    "5/1968": "slashed-date",
    "Mar-68": "spreadsheet-date",
    "68-Mar": "spreadsheet-date",
    "31-Mar-68": "spreadsheet-date",
    "24.5.1968": "bad-date",
    "1971-02-30": "impossible-date",
    "30 February 1971": "impossible-date",
    "31 June 1971": "impossible-date",
    "1968-13": "impossible-date",
    "1968-00": "impossible-date",
    "1968-05-00": "impossible-date",
    "29 February 1969": "impossible-date",
    "1968-05/1968-03": "inverted-range",
    "between May and March 1968": "inverted-range",
    "May 68": "bad-date",
    "spring '68": "bad-date",
    "68": "bad-date",
    "1968-1969": "bad-date",
    "end of 1968": "bad-date",
    "winter 1967/69": "bad-date",
    "1968-33": "bad-date",
    "../..": "bad-date",
    "MY68": "not-a-build-date",
    "1968 model year": "not-a-build-date",
    "0000": "not-a-build-date",
    "1968-05-24T10:30": "not-a-build-date",
    "Y17000": "not-a-build-date",
    "-1968": "not-a-build-date",
    "": "bad-when",
    "when the paint ran out": "bad-when",
}


@pytest.mark.parametrize("text", ["between March 1968 and after June 1968", "before May 1968 to June 1969"])
def test_a_stretch_with_an_end_that_is_open_itself_is_read_and_stops_nothing(text: str) -> None:
    """No two bounds stand against each other, so neither is called inverted."""
    when = read_when(text)
    assert not (isinstance(when, Problem) and when.code == "inverted-range")


@pytest.mark.parametrize("text", REFUSED)
def test_what_is_no_date_of_build_is_refused_as(text: str) -> None:
    read = read_when(text)
    assert isinstance(read, Problem), read
    assert read.code == REFUSED[text]
    assert told(read.put_right)


def test_the_finding_shows_what_was_typed_and_the_way_out() -> None:
    assert said(read_when("Mar-68")) == (
        "spreadsheet-date",
        "expected a month with its year in full, found 'Mar-68', as spreadsheets rewrite dates",
        "write the year first, as 1968-03; in a spreadsheet format the column as text before typing",
    )
    assert said(read_when("24983")) == (
        "spreadsheet-date",
        "expected a date, found '24983', which is how a spreadsheet counts days",
        "write 1968-05-25 if that day is meant; in a spreadsheet format the column as text before typing",
    )
    assert said(read_when("1971-02-30")) == (
        "impossible-date",
        "there is no day 30 in February 1971",
        "days go from 1 to 28",
    )
    assert said(read_when("24.5.1968")) == (
        "bad-date",
        "expected the year first, found '24.5.1968'",
        "write 1968-05-24",
    )
    assert said(read_when("31.1.1968")) == (
        "bad-date",
        "expected the year first, found '31.1.1968'",
        "write 1968-01-31",
    )
    for off in ("31.0.1968", "31.13.1968", "32.1.1968"):
        assert said(read_when(off)) == (
            "bad-date",
            f"expected a date, found '{off}'",
            "write year, month and day, as 1968-05-24",
        )


@pytest.mark.parametrize("text", ["C1840", "car C1840", "Car: c 1840", "c-1840", "no. C1840", "Nr. C1840"])
def test_a_car_may_be_written(text: str, guide: Guide) -> None:
    when = read_when(text, series=guide.series)
    assert isinstance(when, When)
    assert when.car
    assert (when.kind, when.car.written, when.cars_after, when.cars_slack) == (WhenKind.CAR, "C1840", 0, 0)


CARS = {
    "about 200 cars after C1840": (200, 50, True),
    "some 200 cars after car C1840": (200, 50, True),
    "200 cars after C1840": (200, 0, False),
    "one car before C1840": (-1, 0, False),
    "about 100 cars before C1840": (-100, 25, True),
    "about C1840": (0, 50, True),
}


@pytest.mark.parametrize("text", CARS)
def test_so_many_cars_from_a_car(text: str, guide: Guide) -> None:
    when = read_when(text, series=guide.series)
    assert isinstance(when, When)
    assert when.car
    assert when.car.written == "C1840"
    assert (when.cars_after, when.cars_slack, when.approximate) == CARS[text]


BARE = {
    "#####": {"20451": "20451", "20 451": "20451", "about 20451": "20451", "1968": None, "2045": None, "1968-05": None},
    "##/####": {"68/0123": "68/0123", "680123": "68/0123", "1968-05": None},
    "####": {"0412": "0412", "2210": "2210", "1968": None},
}


@pytest.mark.parametrize("written", BARE)
def test_a_number_without_letters_is_a_car_where_it_can_be_nothing_else(written: str, guide: Guide) -> None:
    """A spreadsheet's count of days it never is, where a series has that number."""
    run = replace(guide.series["coupe"].runs[0], prefix="", first=1, last=699999)
    bare = replace(guide.series["coupe"], id="bare", written=(written,), runs=(run,))
    for text, car in BARE[written].items():
        when = read_when(text, series={"bare": bare})
        assert isinstance(when, When)
        assert (when.car.written if when.car else None) == car


NO_CARS = {
    "C2950": "number-not-in-tables",
    "C9999": "number-not-in-tables",
    "CX4": "car-outside-rule",
    "1840 cars": "bad-when",
    "C184": "short-number",
    "car 1840": "short-number",
    "TRN 412K": "registration-as-number",
    "E1840": "not-a-number",
    "c1968": "bad-when",
    "about 20 cars after Z1": "not-a-number",
}


def test_a_date_stays_a_date_where_numbers_have_no_letters(guide: Guide) -> None:
    """A series written ####: 1968 is a year still, and the car has to be called one."""
    bare = replace(
        guide.series["coupe"],
        id="bare",
        written=("####",),
        runs=(replace(guide.series["coupe"].runs[0], prefix="", first=1000, last=2900),),
    )
    for text, means in (("1968", "1968-01-01 1968-12-31"), ("1968-05", "1968-05-01 1968-05-31")):
        when = read_when(text, series={"bare": bare})
        assert isinstance(when, When)
        assert f"{when.earliest} {when.latest}" == means
    when = read_when("car 1968", series={"bare": bare})
    assert isinstance(when, When)
    assert when.car
    assert when.car.number == 1968


@pytest.mark.parametrize("text", NO_CARS)
def test_what_is_no_car_of_the_guide_is_refused_as(text: str, guide: Guide) -> None:
    read = read_when(text, series=guide.series)
    assert isinstance(read, Problem), read
    assert read.code == NO_CARS[text]


def test_a_small_c_that_may_mean_circa_is_asked_about(guide: Guide) -> None:
    assert said(read_when("c1968", series=guide.series)) == (
        "bad-when",
        "'c1968' can be read as the car C1968 or as about 1968",
        "write `car C1968`, or `about 1968`",
    )
    assert isinstance(read_when("C1968", series=guide.series), When)


def test_from_a_car_leads_to_the_car(guide: Guide) -> None:
    """As a paper has it: "from body C1840"; to `first` and `at` the word adds nothing."""
    assert said(read_when("from car C1840", series=guide.series)) == (
        "bad-when",
        "expected a car or a date, found 'from car C1840'",
        "write `car C1840`: `first:` and `at:` mean already that it is from that car on",
    )
    assert said(read_when("from C1840", series=guide.series))[0] == "bad-when"


def test_start_and_end_are_of_production_or_of_what_is_named() -> None:
    whens = [
        read_when(text, names=["restart", "coupe"])
        for text in ("start", "the end", "start of restart", "end of the coupe", "end of production")
    ]
    assert all(isinstance(when, When) for when in whens)
    assert [(when.kind, when.of) for when in whens if isinstance(when, When)] == [
        (WhenKind.START, None),
        (WhenKind.END, None),
        (WhenKind.START, "restart"),
        (WhenKind.END, "coupe"),
        (WhenKind.END, None),
    ]
    assert said(read_when("start of restrat", names=["restart"])) == (
        "unknown-period",
        "expected a period or number series after `start of`, found 'restrat'",
        "write `start of restart`",
    )


def test_one_day_is_read_where_one_day_is_needed() -> None:
    assert read_day("24 May 1968", {}) == date(1968, 5, 24)
    assert said(read_day("1968-05", {})) == (
        "day-needed",
        "expected one day, found '1968-05'",
        "write year, month and day, as 1968-05-24",
    )


def test_a_guide_may_say_what_about_means() -> None:
    when = read_when("about May 1968", overrides={"about_month_days": 3})
    assert isinstance(when, When)
    assert (when.earliest, when.latest) == (date(1968, 4, 28), date(1968, 6, 3))


@pytest.mark.parametrize(
    ("text", "year"),
    [
        *(
            (text, "0000")
            for text in ("0000", "000X", "May 0000", "1 May 0000", "the year 0000", "0000s", "spring 0000")
        ),
        *(("0001-01-01", "0001"), ("1799-12", "1799"), ("2200", "2200"), ("9999-12-31", "9999"), ("9999-W01", "9999")),
        ("1968/9999", "9999"),
    ],
)
def test_a_year_that_no_paper_about_cars_speaks_of_is_refused_however_written(text: str, year: str) -> None:
    assert said(read_when(text))[:2] == ("not-a-build-date", f"expected a year between 1800 and 2199, found '{year}'")


@pytest.mark.parametrize("text", ["2199-24", "winter 2199"])
def test_the_last_winter_that_there_is_ends_in_the_year_after(text: str) -> None:
    assert span(text) == "2199-12-01 2200-02-28"


def test_a_finding_shows_a_date_in_the_editor_s_own_letters_however_deep_it_stands() -> None:
    assert said(read_when("Thought to be Between 1968 and Mar-70"))[1] == (
        "expected a month with its year in full, found 'Mar-70', as spreadsheets rewrite dates"
    )
    assert said(read_when("the END of May 1968"))[2] == ("write `late May 1968` for its last third, or the days meant")


days = st.dates(date(1890, 1, 1), date(2030, 12, 31))


@settings(max_examples=150, deadline=None)
@given(day=days)
def test_a_day_is_itself_however_written(day: date) -> None:
    month = f"{day:%B}"
    written = (
        day.isoformat(),
        f"{day.day} {month} {day.year}",
        f"{month} {day.day}, {day.year}",
        f"{day.day} {month[:3]} {day.year}",
        f"{day.isoformat()}/{day.isoformat()}",
    )
    assert {span(text) for text in written} == {f"{day} {day}"}


@settings(max_examples=150, deadline=None)
@given(day=days, precision=st.sampled_from(["day", "month", "year"]))
def test_about_widens_both_ways_by_the_stated_days(day: date, precision: str) -> None:
    text = day.isoformat()[: {"day": 10, "month": 7, "year": 4}[precision]]
    plain, about = read_when(text), read_when(f"{text}~")
    assert isinstance(plain, When)
    assert isinstance(about, When)
    assert plain.earliest is not None
    assert plain.latest is not None
    assert about.earliest is not None
    assert about.latest is not None
    widened = timedelta(days=CONSTANTS[f"about_{precision}_days"].value)
    assert (plain.earliest - about.earliest, about.latest - plain.latest) == (widened, widened)


@settings(max_examples=150, deadline=None)
@given(day=days)
def test_before_and_after_leave_no_day_out_and_none_double(day: date) -> None:
    before, after = read_when(f"before {day}"), read_when(f"after {day}")
    assert isinstance(before, When)
    assert isinstance(after, When)
    assert (before.latest, after.earliest) == (day - A_DAY, day + A_DAY)


@settings(max_examples=300, deadline=None)
@given(text=st.text(max_size=30))
def test_no_text_whatever_stops_the_reading(text: str) -> None:
    assert isinstance(read_when(text, names=["restart"]), When | Problem)
