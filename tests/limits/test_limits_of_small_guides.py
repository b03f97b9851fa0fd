"""Limits of small guides, worked by hand: one hundred cars a month from January 1960 to December 1961."""

from __future__ import annotations

import random
from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from guide.facts.types import ChangedTogether, FittedAs, FormRef, Guide, Mark, Scope, Series, Statement, When, WhenKind
from guide.finding import TICKS_PER_DAY, StepKind
from guide.limits.derive import derive_limits
from guide.limits.types import DatedSpell, Limits, LimitsResult, day_of
from tests.limits import sketch
from tests.limits.sketch import HERE, by_end, car, closure, day, form, mark, of, on, run, say, series, stray
from tests.told import told

MONTHS = [f"{year}-{month:02}" for year in (1960, 1961) for month in range(1, 13)]


def works(out_of_order: int = 5, **more: Any) -> Series:
    """C1001 to C3400, a hundred a month."""
    calendar = [by_end(on(month), car(1100 + 100 * at), at + 1) for at, month in enumerate(MONTHS)]
    return series([run(1001, 3400)], calendar, out_of_order=out_of_order, **more)


def guide_of(
    statements: Iterable[Statement],
    order: Iterable[str] = ("a", "b", "c"),
    *,
    line: Series | None = None,
    marks: Iterable[Mark] = (),
    mark_more: dict[str, Any] | None = None,
    **more: Any,
) -> Guide:
    own = mark(statements, order, **(mark_more or {}))
    return sketch.guide([own, *marks], [line or works()], sketch.production("1960-01-01", "1961-12-31"), **more)


def spell(result: LimitsResult, name: str, number: int = 1, owner: str = "m", at: int = 0) -> DatedSpell:
    found = [one for one in result.spells if (one.mark, one.form, one.spell) == (owner, name, number)]
    return found[at]


def days(limits: Limits) -> tuple[str, str]:
    """The limits as days; on the way, that both chains add up."""
    assert sum(step.ticks for step in limits.because_earliest) == limits.earliest
    assert sum(step.ticks for step in limits.because_latest) == limits.latest
    origin = date(1960, 1, 1)
    return day_of(limits.earliest, origin).isoformat(), day_of(limits.latest, origin).isoformat()


def test_a_last_by_number_lies_where_the_calendar_has_the_car() -> None:
    result = derive_limits(guide_of([say("last", of(car(1250)), form="a")]))
    assert days(spell(result, "a").last) == ("1960-03-01", "1960-03-31")
    assert spell(result, "a").last_is_stated
    assert not spell(result, "b").last_is_stated
    assert result.findings == ()


def test_disorder_widens_days_near_a_line_of_the_calendar_only() -> None:
    result = derive_limits(guide_of([say("last", of(car(1298)), form="a")]))
    assert days(spell(result, "a").last) == ("1960-03-01", "1960-04-30")


def test_disorder_of_neighbours_is_not_chained() -> None:
    """Ten cars seen, each within the disorder of the next, widen nothing."""
    seen = [say("seen", of(car(1260 + 4 * at)), form="a", line=20 + at) for at in range(10)]
    last = say("last", of(car(1292)), form="a")
    alone, beside = derive_limits(guide_of([last])), derive_limits(guide_of([*seen[:8], last]))
    assert days(spell(alone, "a").last) == days(spell(beside, "a").last) == ("1960-03-01", "1960-03-31")


def test_a_month_is_the_open_days_in_it() -> None:
    shut = [closure("1960-04-01", "1960-04-10"), closure("1960-06-25", "1960-06-30")]
    statements = [say("first", on("1960-04"), form="b"), say("last", on("1960-06"), form="b")]
    result = derive_limits(guide_of(statements, closures=tuple(shut)))
    assert days(spell(result, "b").first) == ("1960-04-11", "1960-04-30")
    assert days(spell(result, "b").last) == ("1960-06-01", "1960-06-24")
    assert [step.kind for step in spell(result, "b").last.because_latest] == [StepKind.STATEMENT, StepKind.RULE]


def test_disorder_does_not_carry_a_car_across_a_closure() -> None:
    shut = (closure("1960-04-01", "1960-04-10"),)
    result = derive_limits(guide_of([say("first", of(car(1301)), form="b")], closures=shut))
    assert days(spell(result, "b").first) == ("1960-04-11", "1960-04-30")


def test_a_stray_has_its_own_date() -> None:
    line = works(strays=(stray(car(1150), on("1960-07-08")),))
    result = derive_limits(guide_of([say("seen", of(car(1150)), form="b")], line=line))
    assert days(spell(result, "b").last)[0] == "1960-07-08"
    assert days(spell(result, "b").first)[1] == "1960-07-08"


def test_firsts_and_lasts_follow_the_declared_order() -> None:
    statements = [say("seen", of(car(1550)), form="b"), say("last", of(car(1850)), form="a")]
    result = derive_limits(guide_of(statements))
    assert days(spell(result, "a").first) == ("1960-01-01", "1960-06-30")
    assert days(spell(result, "b").last)[0] == "1960-09-01"
    assert spell(result, "b").last.because_earliest[0].kind is StepKind.ORDER


def test_the_next_form_comes_within_the_longest_closure_and_a_week() -> None:
    shut = (closure("1961-08-01", "1961-08-14"),)
    result = derive_limits(guide_of([say("last", on("1960-03-31"), form="a")], closures=shut))
    assert days(spell(result, "b").first)[1] == "1960-04-21"
    back = derive_limits(guide_of([say("first", on("1960-06-30"), form="b")], closures=shut))
    assert days(spell(back, "a").last)[0] == "1960-06-09"


def test_without_an_order_no_rule_ties_forms() -> None:
    statements = [say("last", on("1960-03-31"), form="a"), say("first", on("1960-12"), form="b")]
    assert derive_limits(guide_of(statements, ())).findings == ()
    assert [one.code for one in derive_limits(guide_of(statements)).findings] == ["statements-clash"]


def test_an_option_lies_over_the_chain() -> None:
    forms = [form("a"), form("b", kind=FittedAs.OPTION), form("c")]
    statements = [say("first", on("1960-03"), form="b"), say("first", on("1960-02"), form="c")]
    result = derive_limits(guide_of(statements, mark_more={"forms": forms}))
    assert result.findings == ()
    assert days(spell(result, "c").first) == ("1960-02-01", "1960-02-29")


def test_a_form_that_the_works_did_not_fit_has_no_spell() -> None:
    forms = [form("a"), form("b", kind=FittedAs.REPRODUCTION)]
    result = derive_limits(guide_of([], ("a",), mark_more={"forms": forms}))
    assert [one.form for one in result.spells] == ["a"]


def test_a_form_that_returns_has_two_spells() -> None:
    forms = [form("a", 2), form("b", 2)]
    statements = [
        say("last", of(car(1250)), form="a"),
        say("first", of(car(2050)), form="a", spell=2),
        say("last", of(car(2150)), form="a", spell=2),
    ]
    result = derive_limits(guide_of(statements, ("a", "b", "a", "b"), mark_more={"forms": forms}))
    assert result.findings == ()
    assert days(spell(result, "a", 1).last) == ("1960-03-01", "1960-03-31")
    assert days(spell(result, "a", 2).first) == ("1960-11-01", "1960-11-30")
    assert days(spell(result, "b", 1).last) == ("1960-10-25", "1960-12-31")


def test_old_stock_lets_a_last_come_later_by_so_many_cars() -> None:
    result = derive_limits(guide_of([say("last", of(car(1250)), form="a", old_stock_cars=200)]))
    assert days(spell(result, "a").last) == ("1960-03-01", "1960-05-31")
    by_date = derive_limits(guide_of([say("last", on("1960-03"), form="a", old_stock_cars=200)]))
    assert days(spell(by_date, "a").last) == ("1960-03-01", "1960-05-31")
    for found, named, reached in ((result, "C1250", "C1450"), (by_date, "March 1960", "C1500")):
        steps = spell(found, "a").last.because_latest
        assert [told(step.says) for step in steps] == [
            f"Bulletin 1 gives {named} as the last with “A”, allowing for leftover stock for 200 more cars, "
            f"up to {reached}",
            *(["the calendar has C1450 built by then"] if named == "C1250" else []),
        ]


@pytest.mark.parametrize("stated", ["1960-08", "1960-08-01"])
def test_a_change_said_to_fall_where_nothing_was_built_is_on_the_cars_either_side(stated: str) -> None:
    """A bulletin's "from August", with the works shut all August: the first car after, and the last car before."""
    shut = [closure("1960-08-01", "1960-08-31")]
    line = series(
        [run(1001, 3300)],
        [
            by_end(on(month), car(1100 + 100 * at - (100 if at > 6 else 0)), at + 1)
            for at, month in enumerate(MONTHS)
            if month != "1960-08"
        ],
        out_of_order=5,
    )
    result = derive_limits(
        guide_of(
            [
                say("last", on(stated), form="a"),
                say("first", on(stated), form="b"),
                say("seen", on(stated), form="c", line=7),
            ],
            line=line,
            closures=shut,
        )
    )
    assert days(spell(result, "a").last) == ("1960-07-31", "1960-07-31")
    assert days(spell(result, "b").first) == ("1960-09-01", "1960-09-01")
    assert [told(step.says) for step in spell(result, "b").first.because_latest][1] == (
        "nothing was built until after 31 August 1960"
    )
    assert [(one.code, one.place.line) for one in result.findings] == [("seen-while-shut", 7)]


def test_so_many_cars_after_is_counted_in_cars_and_not_in_days() -> None:
    result = derive_limits(guide_of([say("first", of(car(1250), after=200, slack=50), form="b")]))
    assert days(spell(result, "b").first) == ("1960-04-01", "1960-06-30")


def test_the_calendar_is_quoted_for_the_car_itself_or_for_the_one_so_many_cars_on() -> None:
    """A car keeps the suffix that it was named with; the one 200 cars after C1250 is C1450."""
    for when, written in ((of(car(1250, suffix="L")), "C1250L"), (of(car(1250), after=200), "C1450")):
        last = spell(derive_limits(guide_of([say("last", when, form="a")])), "a").last
        assert told(last.because_latest[-1].says) == f"the calendar has {written} built by then"
        assert told(last.because_earliest[-1].says) == f"the calendar has {written} built no earlier"


def test_the_start_and_the_end_of_a_period_or_a_series_are_its_first_and_last_day() -> None:
    """The series begins on 1 January 1960 and ends on 31 December 1961; the first and the last of its numbers can have
    been built all through the month that the calendar gives them."""
    late = sketch.period("late", "1960-05-03", "1960-11-08")

    def of_a(what: WhenKind, name: str | None) -> tuple[str, str]:
        when = When(what, f"{what} of {name}", HERE, of=name)
        found = derive_limits(guide_of([say("last", when, form="a")], periods={"late": late}))
        assert found.findings == ()
        return days(spell(found, "a").last)

    assert of_a(WhenKind.START, "late") == ("1960-05-03", "1960-05-03")
    assert of_a(WhenKind.END, "late") == ("1960-11-08", "1960-11-08")
    assert of_a(WhenKind.START, "c") == ("1960-01-01", "1960-01-31")
    assert of_a(WhenKind.END, "c") == ("1961-12-01", "1961-12-31")
    assert of_a(WhenKind.END, None) == ("1961-12-31", "1961-12-31")


def test_statements_beside_another_form_tie_the_firsts() -> None:
    other = mark([say("first", on("1960-05"), form="b", mark="n")], ("a", "b"), name="n", forms=[form("a"), form("b")])
    ref = FormRef("n", "b")
    before = derive_limits(guide_of([say("before", form="b", other=ref)], marks=[other]))
    assert days(spell(before, "b").first)[1] == "1960-05-31"
    after = derive_limits(guide_of([say("after", form="b", other=ref)], marks=[other]))
    assert days(spell(after, "b").first)[0] == "1960-05-01"
    with_it = derive_limits(guide_of([say("together with", form="b", other=ref)], marks=[other]))
    assert days(spell(with_it, "b").first) == ("1960-05-01", "1960-05-31")


def test_forms_changed_together_share_one_moment() -> None:
    other = mark([say("first", on("1960-05"), form="b", mark="n")], ("a", "b"), name="n", forms=[form("a"), form("b")])
    declared = ChangedTogether(
        name="the spring", forms=(FormRef("m", "b"), FormRef("n", "b")), source="bulletin", place=HERE
    )
    result = derive_limits(guide_of([], marks=[other], changed_together=(declared,)))
    assert days(spell(result, "b").first) == ("1960-05-01", "1960-05-31")
    assert "came in at one moment (the spring)" in told(spell(result, "b").first.because_latest[0].says)


def test_forms_that_cannot_have_changed_together_are_said_to_be_apart_and_no_statement_is_set_aside() -> None:
    other = mark([say("first", on("1960-05"), form="b", mark="n")], ("a", "b"), name="n", forms=[form("a"), form("b")])
    declared = ChangedTogether(
        name="the spring", forms=(FormRef("m", "b"), FormRef("n", "b")), source="bulletin", place=HERE
    )
    result = derive_limits(
        guide_of([say("first", on("1960-09"), form="b")], marks=[other], changed_together=(declared,))
    )
    assert [one.code for one in result.findings] == ["together-apart"]
    assert result.clashes == ()


# Two series, the second from October 1960


def two_series() -> list[Series]:
    later = [by_end(on(month), car(550 + 50 * at, "d", prefix="D"), 30 + at) for at, month in enumerate(MONTHS[9:])]
    return [
        works(),
        series(
            [run(501, 1250, prefix="D")],
            [sketch.first_of(on("1960-10-01"), car(501, "d", prefix="D")), *later],
            id="d",
            name="Open",
            body="open car",
            written=("D###", "D####"),
            one_counter=True,
        ),
    ]


def by_series(statements: list[Statement]) -> LimitsResult:
    made = sketch.guide(
        [mark(statements, ("a", "b"), forms=[form("a"), form("b")])],
        two_series(),
        sketch.production("1960-01-01", "1961-12-31"),
    )
    return derive_limits(made)


def test_firsts_by_number_are_kept_apart_by_series() -> None:
    result = by_series([say("first", of(car(1550)), form="b"), say("first", of(car(501, "d", prefix="D")), form="b")])
    assert [one.scope.values("series") for one in result.spells if one.form == "b"] == [("c",), ("d",)]
    assert days(spell(result, "b").first) == ("1960-06-01", "1960-06-30")
    assert days(spell(result, "b", at=1).first)[0] == "1960-10-01"


def test_a_change_stated_before_a_series_began_holds_from_its_first_car() -> None:
    result = by_series([say("last", of(car(1550)), form="a"), say("first", on("1960-06"), form="b")])
    assert days(spell(result, "b", at=1).first) == ("1960-10-01", "1960-10-01")
    assert days(spell(result, "a", at=1).first) == ("1960-10-01", "1960-10-01")
    says = [told(step.says) for step in spell(result, "b", at=1).first.because_latest]
    assert says == ["Bulletin 1 puts it at June 1960, before the first open car", "the calendar has D501 built by then"]
    assert result.findings == ()


@pytest.mark.parametrize("way", ["theirs", "mine", "declared"])
def test_a_change_together_with_one_told_by_series_is_no_clash_where_a_series_began_late(way: str) -> None:
    """N knows one kind of car, M two: N came in with M in June, and in the open cars both were there from the first."""
    both = [say("first", of(car(1550)), form="b"), say("first", of(car(501, "d", prefix="D")), form="b")]
    if way == "mine":
        both.append(say("together with", form="b", other=FormRef("n", "b"), line=12))
    said = [say("together with", form="b", mark="n", other=FormRef("m", "b"))] if way == "theirs" else []
    forms = [form("a"), form("b")]
    declared = ChangedTogether(name="summer", forms=(FormRef("m", "b"), FormRef("n", "b")), source="", place=HERE)
    result = derive_limits(
        sketch.guide(
            [mark(both, ("a", "b"), forms=forms), mark(said, ("a", "b"), forms=forms, name="n")],
            two_series(),
            sketch.production("1960-01-01", "1961-12-31"),
            changed_together=(declared,) if way == "declared" else (),
        )
    )
    assert result.findings == ()
    assert days(spell(result, "b", owner="n").first) == ("1960-06-01", "1960-06-30")


@pytest.mark.parametrize("teller", ["m", "n"])
def test_a_change_before_one_of_every_car_is_no_clash_where_a_series_began_late(teller: str) -> None:
    """M by number in both series came in before N of every car: the open cars' very first had M, and may have had N."""
    both = [say("first", of(car(1550)), form="b"), say("first", of(car(501, "d", prefix="D")), form="b")]
    dated = [say("first", on("1960-06", "1960-08"), form="b", mark="n")]
    if teller == "m":
        both.append(say("before", form="b", other=FormRef("n", "b"), line=12))
    else:
        dated.append(say("after", form="b", mark="n", other=FormRef("m", "b"), line=12))
    forms = [form("a"), form("b")]
    result = derive_limits(
        sketch.guide(
            [mark(both, ("a", "b"), forms=forms), mark(dated, ("a", "b"), forms=forms, name="n")],
            two_series(),
            sketch.production("1960-01-01", "1961-12-31"),
        )
    )
    assert result.findings == ()
    assert days(spell(result, "b", at=1).first) == ("1960-10-01", "1960-10-01")
    assert days(spell(result, "b", owner="n").first) == ("1960-06-01", "1960-08-31")


def test_marks_by_date_alone_keep_the_series_together() -> None:
    result = by_series([say("first", on("1960-06"), form="b")])
    assert [one.scope for one in result.spells] == [Scope(), Scope()]


# Hands


def by_hand(statements: list[Statement], **more: Any) -> LimitsResult:
    hands = {"hand": sketch.split("hand", {"right": {}, "left": {}})}
    line = works(suffixes={"L": Scope((("hand", ("left",)),))})
    return derive_limits(guide_of(statements, line=line, splits=hands, **more))


RIGHT, LEFT = Scope((("hand", ("right",)),)), Scope((("hand", ("left",)),))


def test_a_car_speaks_only_for_a_kind_to_which_it_certainly_belongs() -> None:
    last = say("last", of(car(1250)), form="a", scope=RIGHT)
    sure = by_hand([last, say("seen", of(car(1850, suffix="L")), form="a")])
    assert sure.findings == ()
    assert days(spell(sure, "a").last)[1] == "1960-03-31"
    assert days(spell(sure, "a", at=1).last)[0] == "1960-09-01"
    unsure = by_hand([last, say("seen", of(car(1850)), form="a", line=7)])
    assert [(one.code, one.place.line) for one in unsure.findings] == [("not-placed", 7)]


def test_a_car_of_any_kind_contradicts_by_number_what_is_said_of_every_kind() -> None:
    """Whichever hand C1850 is, the letter has C1250 as the last; the bulletin speaks of right-hand cars alone."""
    last = say("last", of(car(1250)), form="a", source="letter", line=5)
    apart = say("last", of(car(2000)), form="b", scope=RIGHT)
    result = by_hand([last, apart, say("seen", of(car(1850)), form="a", line=7)])
    found = result.findings
    assert [one.standing for one in result.clashes] == ["mixed_number_only"]
    assert result.unused == {("m", 2): "not-placed"}
    assert [(one.code, one.place.line) for one in found] == [("mixed-by-number", 5), ("not-placed", 7)]
    assert told(found[0].message) == (
        "M, “A”: C1250 is given as the last, and C1850 came after it by number, whichever kind of car each is"
    )
    for within in (replace(last, scope=RIGHT), replace(last, when=of(car(1850)))):
        found = by_hand([within, apart, say("seen", of(car(1850)), form="a", line=7)]).findings
        assert [(one.code, one.place.line) for one in found] == [("not-placed", 7)]


@pytest.mark.parametrize(
    ("file", "how"),
    [
        ("marks/m.yml", "say which kind it is, as `for: {hand: right}`, if the source tells"),
        ("statements.csv", "say which kind it is, as right under `hand`, if the source tells"),
    ],
)
def test_how_to_place_a_car_is_said_as_its_file_has_it_and_fits_the_car(file: str, how: str) -> None:
    """The mark keeps series and hands apart; a C is of series c, so only its hand need be said."""
    seen = replace(say("seen", of(car(1850)), form="a"), place=sketch.place(7, file))
    firsts = [say("first", of(car(501, "d", prefix="D")), form="b"), say("last", of(car(1250)), form="a", scope=RIGHT)]
    hands = {"hand": sketch.split("hand", {"right": {}, "left": {}})}
    d_first = list(reversed(two_series()))
    result = derive_limits(sketch.guide([mark([*firsts, seen], ("a", "b"))], d_first, splits=hands))
    assert [(one.code, told(one.put_right)) for one in result.findings if one.place.line == 7] == [("not-placed", how)]


def test_a_statement_of_every_kind_of_car_is_told_once_in_a_chain_from_one_kind_to_another() -> None:
    """C1250 is the last of both hands, and the left-hand last is dated: so the right-hand one is, through C1250."""
    result = by_hand([say("last", of(car(1250)), form="a"), say("last", on("1960-03-10"), form="a", scope=LEFT)])
    assert days(spell(result, "a").last) == ("1960-03-10", "1960-03-10")
    assert [told(step.says) for step in spell(result, "a").last.because_latest] == [
        "Bulletin 1 gives C1250 as the last",
        "Bulletin 1 gives 10 March 1960 as the last",
    ]


def test_without_a_named_hand_the_same_car_clashes() -> None:
    result = by_hand([say("last", of(car(1250)), form="a"), say("seen", of(car(1850, suffix="L")), form="a")])
    assert [one.code for one in result.findings] == ["statements-clash"]


def test_a_statement_for_cars_that_cannot_have_the_form_says_so() -> None:
    result = by_hand([say("first", of(car(1250, suffix="L")), form="b", scope=RIGHT)])
    assert [one.code for one in result.findings] == ["speaks-for-no-car"]


# Ticks


def test_cars_one_apart_stay_in_order_where_there_is_no_disorder() -> None:
    """Whole days would miss nearly all of these; ticks find every one, and no pair the right way round."""
    chance = random.Random(3)
    same_day = 0
    for _ in range(40):
        number = chance.randrange(1002, 3399)
        last, beyond = say("last", of(car(number)), form="a"), say("seen", of(car(number + 1)), form="a")
        result = derive_limits(guide_of([last, beyond], line=works(0)))
        assert [(one.standing, one.set_aside) for one in result.clashes] == [("clash", 1)]
        same_day += result.clashes[0].short_by_days == 0
        assert -TICKS_PER_DAY < sum(step.ticks for step in result.clashes[0].chain) < 0
        fine = derive_limits(guide_of([last, say("seen", of(car(number - 1)), form="a")], line=works(0)))
        assert fine.clashes == ()
    assert same_day >= 35


# Reliability


@pytest.mark.parametrize(
    ("one", "other", "aside", "equal"),
    [
        ("bulletin", "register", 1, False),
        ("register", "bulletin", 0, False),
        ("register", "register", 1, True),
        ("letter", "list", 0, False),
    ],
)
def test_the_less_believed_statement_is_set_aside_and_equals_by_order(
    one: str, other: str, aside: int, equal: bool
) -> None:
    result = derive_limits(
        guide_of([say("last", of(car(1250)), form="a", source=one), say("seen", of(car(1850)), form="a", source=other)])
    )
    assert [(clash.set_aside, clash.equal_reliability) for clash in result.clashes] == [(aside, equal)]
    found = result.clashes[0].finding
    assert found is not None
    assert ("believed alike" in told(found.message)) == equal
    assert "a proposal" in told(found.message)


def test_a_statement_against_the_declared_order_alone_is_not_called_as_reliable_as_others() -> None:
    """B is declared after A, and a bulletin has it come in before: no other statement is needed, so none is weighed."""
    result = derive_limits(guide_of([say("before", form="b", other=FormRef("m", "a"))]))
    (clash,) = result.clashes
    assert (clash.against, clash.equal_reliability, len(clash.chain)) == ((), False, 2)
    assert "No other statement is needed to see it." in told(result.findings[0].message)


def test_a_calendar_that_names_the_very_first_car_holds_it() -> None:
    calendar = [by_end(on("1960-01"), car(1001)), by_end(on("1960-03"), car(1100))]
    line = series([run(1001, 1100)], calendar, out_of_order=0)
    result = derive_limits(guide_of([say("last", of(car(1001)), form="a")], line=line))
    assert days(spell(result, "a").last) == ("1960-01-01", "1960-01-31")


def test_a_calendar_outside_production_is_an_error_and_is_left_out() -> None:
    line = series([run(1001, 1200)], [by_end(on("1960-05"), car(1100), 3), by_end(on("1962-05"), car(1150), 4)])
    result = derive_limits(guide_of([say("seen", of(car(1090)), form="a")], line=line))
    assert [(one.code, one.place.line) for one in result.findings] == [("calendar-contradicts", 4)]


def test_the_days_of_a_clash_are_those_printed() -> None:
    result = derive_limits(guide_of([say("last", of(car(1250)), form="a"), say("seen", of(car(1850)), form="a")]))
    assert result.clashes[0].short_by_days == (day("1960-09-01") - day("1960-03-31")).days


# Small and odd


def test_a_guide_without_a_usable_number_series_still_has_limits_by_date() -> None:
    second = series([run(1, 100, prefix="B")], id="body", written=("B###",), gives_build_order=False)
    for lines in ([], [second]):
        own = mark([say("first", on("1960-03"), form="b")], ("a", "b"), forms=[form("a"), form("b")])
        result = derive_limits(sketch.guide([own], lines, sketch.production("1960-01-01", "1960-12-31")))
        assert days(spell(result, "b").first) == ("1960-03-01", "1960-03-31")
        assert result.findings == ()


def test_one_car_built_in_one_day_is_first_and_last() -> None:
    line = series([run(1001, 1001)])
    statements = [say("seen", of(car(1001)), form="a")]
    result = derive_limits(
        sketch.guide([mark(statements, ("a", "b", "c"))], [line], sketch.production("1960-01-01", "1960-01-01", 1))
    )
    assert result.findings == ()
    assert days(spell(result, "a").first) == days(spell(result, "c").last) == ("1960-01-01", "1960-01-01")


def test_the_last_ever_is_contradicted_by_a_later_car_and_both_are_shown() -> None:
    ever = say("last", of(car(1250)), form="a", superlative=True, line=3)
    (found,) = derive_limits(guide_of([ever, say("seen", of(car(1850)), form="a", source="register", line=4)])).findings
    assert (found.place.line, [one.place.line for one in found.related]) == (4, [3])


def test_what_a_paper_prints_is_used_for_nothing() -> None:
    plain, printed = say("last", of(car(1250)), form="a"), say("last", of(car(1250)), form="a", printed="C9250")
    assert derive_limits(guide_of([plain])) == derive_limits(guide_of([printed]))


def returning(*statements: Statement, disorder: int = 5) -> LimitsResult:
    """The limits of a mark whose form a gives way to b and comes back."""
    forms = {"forms": [form("a", 2), form("b")]}
    return derive_limits(guide_of(statements, ("a", "b", "a"), line=works(disorder), mark_more=forms))


def test_a_last_ever_holds_for_every_spell_of_a_form_that_returns() -> None:
    """A plain last ends the one spell; the last ever says that the form never came back."""
    last = say("last", of(car(1250)), form="a")
    back = say("seen", of(car(2450)), form="a", spell=2, source="register", line=2)
    assert returning(last, back).findings == ()
    (found,) = returning(replace(last, superlative=True), back).findings
    assert found.code == "statements-clash"
    assert "gives C1250 as the last ever" in told(found.message)
    assert found.set_aside is not None
    assert found.set_aside.source == "register"


def test_a_first_ever_bounds_every_spell_of_its_form_from_below() -> None:
    first = say("first", of(car(1550)), form="a", spell=2)
    assert days(spell(returning(first), "a", 1).first)[0] == "1960-01-01"
    assert days(spell(returning(replace(first, superlative=True)), "a", 1).first)[0] == "1960-06-01"


def test_a_car_beyond_a_last_ever_by_number_is_told_of_whatever_its_spell() -> None:
    last = say("last", of(car(1250)), form="a")
    back = say("seen", of(car(1252)), form="a", spell=2, source="register", line=2)
    assert returning(last, back, disorder=30).clashes == ()
    assert [one.standing for one in returning(replace(last, superlative=True), back, disorder=30).clashes] == ["mixed"]


def test_a_dated_run_bears_on_limits_and_is_the_reason_given() -> None:
    march = replace(run(1001, 1100), dated=on("1960-03"), place=sketch.place(7, "numbers/c.yml"))
    line = series([march, run(1101, 1200)])
    result = derive_limits(guide_of([say("last", of(car(1050)), form="a")], line=line))
    assert days(spell(result, "a").last) == ("1960-03-01", "1960-03-31")
    steps = spell(result, "a").last.because_latest
    assert [(one.kind, one.place.line) for one in steps][-1] == (StepKind.CALENDAR, 7)
    assert "the calendar has C1050 built by then" in told(steps[-1].says)


def test_a_dated_run_that_cannot_be_is_a_finding_and_is_left_out() -> None:
    line = series([replace(run(1001, 1100), dated=on("1960-05")), replace(run(1101, 1200), dated=on("1960-03"))])
    found = derive_limits(guide_of([], line=line)).findings
    assert [one.code for one in found] == ["calendar-contradicts"]
    assert "found C1101..C1200 at '1960-03'" in told(found[0].message)
