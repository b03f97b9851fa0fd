"""Numbers, papers and part dates as evidence, on the demo guide and on integrals done by counting."""

from __future__ import annotations

import dataclasses
import math
from datetime import date, timedelta
from itertools import pairwise
from typing import Any

import pytest

from guide.dating.belief.evidence import Answer, Session
from guide.dating.belief.number import Numbered, chance_by_day, read_car
from guide.dating.belief.papers import days_of_known, read_days
from guide.dating.belief.prepare import Prepared, prepare
from guide.dating.belief.state import ImpossibleEvidence, believe
from guide.dating.building.build import build_model
from guide.dating.model import Model
from guide.facts.records.assemblies import Assembly
from guide.facts.types import Guide, Run, Scope
from guide.limits.derive import derive_limits
from guide.limits.moments import Moments
from guide.limits.positions import series_lines
from tests.dating.asking import conclude, explain, never_restored, next_look, read_answer
from tests.dating.small_guides import small_facts
from tests.dating.tiny_models import certain_model
from tests.limits.sketch import HERE, by_end, car, closure, first_of, mark, of, on, run, say, series, stray
from tests.limits.sketch import guide as sketch_guide
from tests.limits.sketch import period as a_period
from tests.twins.alike import compare, in_browser


def period(model: Model, session: Session) -> dict[str, float]:
    return {row["id"]: row["chance"] for row in conclude(model, session)["periods"]}


def read_number(prepared: Prepared, text: str) -> Numbered:
    read = read_car(prepared, text)
    assert isinstance(read, Numbered)
    return read


def nine(model: Model, session: Session) -> tuple[str, str]:
    spans = [span for span in conclude(model, session)["result"]["spans"] if span["level"] == 0.9]
    return spans[0]["from"], spans[-1]["to"]


def test_a_number_is_read_however_it_is_spaced(model: Model) -> None:
    read = read_car(prepare(model), "c 1840")
    assert isinstance(read, Numbered)
    assert (read.written, read.position) == ("C1840", 839)


def test_a_number_dates_a_car_by_the_calendar(model: Model) -> None:
    """C1840 was built by the end of May 1968, and after C1700, the last of March."""
    first, last = nine(model, Session(car="C1840"))
    assert "1968-04-01" <= first < last <= "1968-05-31"


def test_disorder_never_carries_a_number_across_the_strike(model: Model) -> None:
    """C2900 is the last before the strike, C3001 the first after it, one position apart."""
    assert nine(model, Session(car="C2900"))[1] <= "1970-02-02"
    assert nine(model, Session(car="C3001"))[0] >= "1970-04-27"


def test_no_number_beyond_the_strike_is_expected_of_a_car_before_it_or_after_it(model: Model) -> None:
    """The other way round: 2 February 1970 was C2900 and D1010, 27 April C3001 and D1011."""
    before = Session(
        (
            Answer("horn-push", ("crest",), "form"),
            Answer("demister-vents", ("two",), "form"),
            Answer("dials", ("black-rim",), "form"),
        ),
        reach=("outside", "glass"),
    )
    assert nine(model, before)[1] <= "1970-02-02"
    rows = conclude(model, before)["numbers"]
    assert {row["series"]: row["to"] for row in rows} == {"coupe": "C2900", "open": "D1010"}
    for number in ("C3001", "D1011"):
        assert nine(model, Session(car=number))[0] >= "1970-04-27"
        (row,) = [one for one in conclude(model, Session(car=number))["numbers"] if one["from"][0] == number[0]]
        assert row["from"] == number


def test_between_two_lines_of_the_calendar_a_number_is_less_sure_than_at_one(model: Model) -> None:
    """The build was not quite even: midway that widens the days more than at a line."""
    even = dataclasses.replace(model, chances=dataclasses.replace(model.chances, uneven=0.0))

    def days(of: Model, number: str) -> float:
        first, last = (date.fromisoformat(day) for day in nine(of, Session(car=number)))
        return (last - first).days

    assert days(model, "C2120") - days(even, "C2120") > days(model, "C1866") - days(even, "C1866") >= 0


def calendar_in_mid_month() -> Guide:
    """Four runs of 200 cars: lines of a calendar in mid-month, a dated run, a stray and a closure."""
    line = series(
        [
            run(1001, 1400),
            Run(
                prefix="C",
                first=1401,
                last=1600,
                built=True,
                source="ledger",
                place=HERE,
                dated=on("1961-03-10", "1961-07-20"),
            ),
            run(1601, 1800),
        ],
        [
            by_end(on("1960-03-11"), car(1040)),
            by_end(on("1960-06-24"), car(1130)),
            first_of(on("1960-09"), car(1210)),
            by_end(on("1960-12-20"), car(1400)),
        ],
        out_of_order=7,
        strays=(stray(car(1085), on("1960-09-05")),),
    )
    closed = (closure("1960-07-29", "1960-08-14"),)
    return sketch_guide(
        [mark([say("last", of(car(1300))), say("seen", of(car(1500)), form="b")], ("a", "b"))],
        [line],
        closures=closed,
        periods={"all": a_period("all", "1960-01-01", "1961-12-31")},
    )


@pytest.mark.parametrize("which", ["demo", "mid-month"])
def test_a_number_has_every_day_that_papers_allow_it_and_no_other(which: str, model: Model, reading: Any) -> None:
    """Right, a number's days are those that the calendar and the usual disorder allow it: its limits, for every car."""
    guide = reading.guide if which == "demo" else calendar_in_mid_month()
    of_guide = model if which == "demo" else build_model(guide, derive_limits(guide))
    prepared, origin = prepare(of_guide), date.fromisoformat(of_guide.origin)
    for line in series_lines(guide).values():
        built = [day for day in line.open_days if line.cars_by(day) > line.cars_by(day - timedelta(days=1))]
        for position in range(line.cars):
            number = line.car_at(position)
            chances = chance_by_day(prepared, read_number(prepared, number.written))
            assert chances is not None
            days = [origin + timedelta(days=day) for day, chance in enumerate(chances[1], chances[0]) if chance > 0.0]
            earliest, latest = line.days_of(number)
            assert days == [day for day in built if earliest <= day <= latest], number.written
            assert sum(chances[1]) == pytest.approx(1.0)


def test_a_closure_that_no_line_places_among_the_numbers_may_lie_before_a_number_or_after(model: Model) -> None:
    """By June 1967 C1094 was built, by September C1256; the works holiday lay somewhere between."""
    before, after = (one for one in conclude(model, Session(car="C1146"))["result"]["spans"] if one["level"] == 0.9)
    assert (before["to"], after["from"]) == ("1967-07-28", "1967-08-14")


def test_nine_in_ten_of_a_number_lie_within_its_own_dates(model: Model) -> None:
    """C2210L came after C2186, the last of October 1968, by more than the usual disorder of 20 cars."""
    first, last = nine(model, Session(car="C2210L"))
    assert "1968-11-01" <= first < last <= "1968-12-31"


def test_a_named_stray_has_its_own_day(model: Model) -> None:
    assert nine(model, Session(car="C1702")) == ("1968-05-24", "1968-05-24")
    assert period(model, Session(car="C1702"))["early"] > 0.98


def test_a_suffix_settles_the_hand(model: Model) -> None:
    rows = conclude(model, Session(car="C2210L"))["specifications"]
    assert sum(row["chance"] for row in rows if row["splits"]["hand"] == "left") > 0.98


def test_a_number_in_a_gap_or_outside_says_nothing(model: Model) -> None:
    nothing = period(model, Session())
    for number in ("C2933", "CX4", "ABC 123", "C9999"):
        assert period(model, Session(car=number)) == nothing
        assert conclude(model, Session(car=number))["car"] == number


def test_a_number_that_nothing_seen_fits_is_doubted_and_so_is_the_car(model: Model) -> None:
    """Either the number is not the car's own, or the car is an early one with late parts."""
    late = ["tail-lamps=oblong-reverse", "switches=symbols", "horn-push=padded", "stalk=black-symbol"]
    session = Session(tuple(read_answer(model, *one.split("=")) for one in late), car="C1300")
    assert period(model, session)["last"] > 0.5
    assert period(never_restored(model), session)["last"] > 0.8
    doubts = conclude(model, session)["doubts"]
    assert [one["code"] for one in doubts] == ["number-does-not-fit", "two-dates"]
    assert doubts[0]["words"] == (
        "What was seen doesn’t fit the number C1300. It may have been misread, or the car has been restored with parts "
        "of another year."
    )
    assert doubts[1]["words"] == (
        "The number and the looks point to two dates: in October 1967 (the number C1300), and between August 1971 and "
        "July 1972 (Tail lamps, Small switches, Horn button and Indicator stalk)."
    )
    assert explain(model, session)["doubts"] == [one["words"] for one in doubts]


def test_a_car_restored_with_later_parts_keeps_its_date_and_is_said_to_be_one(model: Model) -> None:
    """C1300 is of October 1967. Half of what was seen is of the last facelift; the early half is what is left."""
    late = ["tail-lamps=oblong-reverse", "switches=symbols", "horn-push=padded", "stalk=black-symbol"]
    early = ["door-handles=button", "demister-vents=two", "dials=bright-rim", "inner-lever=loop"]
    session = Session(tuple(read_answer(model, *one.split("=")) for one in (*late, *early)))
    known = dataclasses.replace(session, known={"restored": "yes"})
    tops = [max(period(each, one).values()) for each, one in ((model, known), (model, session))]
    assert tops[0] < tops[1] < max(period(never_restored(model), session).values())
    numbered = dataclasses.replace(session, car="C1300")
    assert period(model, numbered)["launch"] > 0.9
    assert [one["code"] for one in conclude(model, numbered)["doubts"]][:1] == ["restored"]
    apart = {one["mark"]: one["chance"] for one in conclude(model, numbered)["apart"]}
    assert all(apart[one.split("=")[0]] < 0.1 for one in early)


def test_what_a_date_rests_on_is_said_where_nothing_was_looked_at(model: Model) -> None:
    def codes(session: Session) -> list[str]:
        return [one["code"] for one in conclude(model, session)["doubts"]]

    assert codes(Session(car="C1300")) == ["number-alone"]
    assert codes(Session(known={"registered": "1968-07"})) == ["paper-alone"]
    assert codes(Session(known={"restored": "yes"})) == []
    assert codes(Session((read_answer(model, "switches", "toggle"),), car="C1300")) == []


@pytest.mark.parametrize(
    ("text", "days"),
    [
        ("1968", ("1968-01-01", "1968-12-31")),
        ("1968-02", ("1968-02-01", "1968-02-29")),
        ("1968-12", ("1968-12-01", "1968-12-31")),
        ("1968-03-12", ("1968-03-12", "1968-03-12")),
        ("2199", ("2199-01-01", "2199-12-31")),
        ("2199-12", ("2199-12-01", "2199-12-31")),
        ("1968-13", None),
        ("1968-22", None),
        ("1969-02-30", None),
        ("spring", None),
        ("68", None),
        ("0000", None),
        ("9999", None),
    ],
)
def test_a_known_date_is_a_year_a_month_or_a_day(text: str, days: tuple[str, str] | None) -> None:
    read = read_days(text)
    assert (None if read is None else (read[0].isoformat(), read[1].isoformat())) == days


def test_a_registration_allows_no_later_build(model: Model) -> None:
    """Built no later than registered, but for the small chance that the paper is another car's."""
    _, last = nine(model, Session(known={"registered": "1968-07"}))
    assert last <= "1968-07-31"


@pytest.mark.parametrize("kind", ["registered", "despatched", "titled", "part:switches"])
def test_a_lag_is_what_counting_days_gives(model: Model, kind: str) -> None:
    """The likelihood of each day, against a sum over thousandths of it."""
    prepared, chances = prepare(model), model.chances
    line = days_of_known(prepared, kind, "1969-06-17")
    paper = (date(1969, 6, 17) - date.fromisoformat(model.origin)).days
    mark = next(mark for mark in model.marks if mark.id == "switches")
    right = (1 - chances.paper_wrong) * (mark.survives if kind.startswith("part") else 1)
    for start in range(paper - 200, paper + 200, 13):
        total, steps = 0.0, 1000
        for step in range(steps):
            build = start + (step + 0.5) / steps
            if kind.startswith("part"):
                low, high = max(paper, build - chances.part_lag_days), min(paper + 1, build)
                total += max(0.0, high - low) / chances.part_lag_days
            else:
                mean = chances.lag_days[kind]
                total += sum(
                    sign * (1 - 2.718281828459045 ** (-max(0.0, day - build) / mean))
                    for sign, day in ((1, paper + 1), (-1, paper))
                )
        expected = right * total / steps + (1 - right) / chances.stray_days
        assert line[start] == pytest.approx(expected, abs=2e-6)


def believed_of(model: Model, session: Session) -> dict[str, float]:
    """Return the chance of each series."""
    state = believe(prepare(model), session)
    chances = dict.fromkeys((one.id for one in model.series), 0.0)
    for (s, _), weight in zip(state.prepared.rows, state.by_row, strict=True):
        chances[model.series[s].id] += weight
    return chances


def test_a_date_on_a_part_says_not_before(model: Model) -> None:
    before = period(model, Session())
    after = period(model, Session(known={"part:switches": "1970-06"}))
    assert after["restart"] > before["restart"]
    assert after["launch"] < before["launch"]


@pytest.mark.parametrize("kind", ["changed", "none"])
def test_a_date_on_a_part_that_was_changed_says_nothing_of_the_car(model: Model, node: str, kind: str) -> None:
    session = Session((Answer("switches", (), kind),), known={"part:switches": "1970-06"})
    nothing = period(model, Session())
    assert period(model, session) == pytest.approx(nothing, abs=1e-12)
    found = {row["id"]: row["chance"] for row in in_browser(node, model, [session])[0]["concluded"]["periods"]}
    assert found == pytest.approx(nothing, abs=1e-12)
    seen = Session((Answer("switches", (), "cannot-tell"),), known=session.known)
    assert period(model, seen) == pytest.approx(period(model, Session(known=session.known)), abs=1e-12)


def test_a_model_year_in_no_table_says_nothing(model: Model) -> None:
    nothing = period(model, Session())
    assert period(model, Session(known={"model-year": "1969"})) == pytest.approx(nothing, abs=1e-12)


@pytest.mark.parametrize(
    "session",
    [
        Session((Answer("no-such-mark", ("x",)),)),
        Session((Answer("switches", ("no-such-form",)),)),
        Session(known={"bought": "1968"}),
        Session(known={"part:no-such-mark": "1968"}),
    ],
)
def test_what_is_not_there_is_refused(model: Model, session: Session) -> None:
    with pytest.raises(KeyError, match=r"no-such-(mark|form)|bought"):
        conclude(model, session)


def test_days_count_from_the_first_day_of_production(model: Model) -> None:
    assert date.fromisoformat(model.origin) + timedelta(days=model.edges[-1] - 1) == date(1972, 10, 20)


def test_looks_that_no_car_could_bear_out_are_told_from_a_slip_of_the_caller() -> None:
    model = certain_model()
    session = Session((Answer("lamp", ("f0",)), Answer("dial", ("f1",))))
    for asked in (conclude, explain, next_look):
        with pytest.raises(ImpossibleEvidence):
            asked(model, session)
    either = Session((Answer("lamp", ("f0",)), Answer("dial", ("f0", "f1"), "several")))
    assert [row["chance"] for row in conclude(model, either)["periods"]] == [1.0, 0.0]


@pytest.mark.parametrize("year", [1975, 1990, 2010])
def test_a_paper_of_decades_later_only_leans_to_the_later_builds(year: int) -> None:
    """The lag is exponential, so a paper after the last build weighs a day b by e^(b / mean), whatever its own day:
    here bins of one day and a mean of 60 days, and no paper ever another car's."""
    model = certain_model(days=200)
    chances = dataclasses.replace(model.chances, paper_wrong=0.0)
    line = days_of_known(prepare(dataclasses.replace(model, chances=chances)), "registered", f"{year}-06-17")
    ratios = [later / earlier for earlier, later in pairwise(line)]
    assert ratios == pytest.approx([math.exp(1 / 60)] * 199, rel=1e-9)


def test_a_part_that_only_some_cars_have_tells_which_cars_these_are(model: Model) -> None:
    """By Bayes with two kinds of car: one that has no such part is said to have one with the chance of a misreading."""
    coupe = believed_of(model, Session())["coupe"]
    misread = {mark.id: mark.misread for mark in model.marks}
    strap = believed_of(model, Session((Answer("luggage-strap", (), "changed"),)))
    window = believed_of(model, Session((Answer("soft-top-window", (), "changed"),)))
    open_car = (1 - coupe) * misread["luggage-strap"]
    assert strap["coupe"] == pytest.approx(coupe / (coupe + open_car), abs=1e-12)
    open_car, closed = 1 - coupe, coupe * misread["soft-top-window"]
    assert window["open"] == pytest.approx(open_car / (open_car + closed), abs=1e-12)
    for form in ("sewn", "zip"):
        assert believed_of(model, Session((Answer("soft-top-window", (form,)),)))["open"] > 0.95
    for kind in ("none", "cannot-tell"):
        assert believed_of(model, Session((Answer("soft-top-window", (), kind),)))["coupe"] == coupe


def test_a_part_that_one_market_alone_has_tells_the_market() -> None:
    small = small_facts(4)
    market, mark = list(small.guide.splits["market"].values)[-1], list(small.guide.marks)[-1]
    only = dataclasses.replace(small.guide.marks[mark], scope=Scope((("market", (market,)),)))
    guide = dataclasses.replace(small.guide, marks={**small.guide.marks, mark: only})
    made = build_model(guide, derive_limits(guide))
    before, after = (
        {row["splits"]["market"]: row["chance"] for row in conclude(made, session)["specifications"]}
        for session in (Session(), Session((Answer(mark, (), "changed"),)))
    )
    ratio = {one: after[one] / before[one] for one in before}
    misread = next(one.misread for one in made.marks if one.id == mark)
    assert all(ratio[one] / ratio[market] == pytest.approx(misread) for one in ratio if one != market)


def test_cars_of_one_trim_put_together_elsewhere_are_built_after_their_number(node: str) -> None:
    small = small_facts(2)
    vinyl, cloth = small.guide.interiors
    kits = Assembly(
        scope=Scope((("interior", (cloth,)),)), span="3 to 9 months", least_days=90, most_days=270, place=HERE
    )
    guide = dataclasses.replace(small.guide, assembled=(kits,))
    made = build_model(guide, dataclasses.replace(small.limits, moments=Moments(guide, series_lines(guide))))
    assert {(90, 270), None} == set(prepare(made).assembled)
    line = next(iter(series_lines(guide).values()))
    number = line.car_at(line.cars // 3).written
    asked = [Session((Answer("interior", (trim,)),), number) for trim in (vinyl, cloth)]
    assert compare(node, made, asked) == []
    days = []
    for session in asked:
        edges, weights = made.edges, believe(prepare(made), session).line
        days.append(sum(weight * (edges[t] + edges[t + 1]) / 2 for t, weight in enumerate(weights)))
    assert 60 < days[1] - days[0] < 200, "by half a year, as far as the trim is its own"
