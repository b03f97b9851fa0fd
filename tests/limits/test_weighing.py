"""What bears a statement out, what is looser than it need be, and what would help."""

from __future__ import annotations

import re

from guide.facts.types import Scope
from guide.limits.derive import derive_limits
from guide.limits.types import LimitsResult
from tests.limits import sketch
from tests.limits.sketch import car, of, on, run, say, series
from tests.limits.test_limits_of_small_guides import guide_of, works
from tests.told import all_told, told


def result_of(*statements, **more) -> LimitsResult:  # type: ignore[no-untyped-def]
    return derive_limits(guide_of(statements, ("a", "b"), **more))


def test_two_sources_that_give_one_day_bear_each_other_out() -> None:
    result = result_of(say("first", on("1960-05"), form="b"), say("first", of(car(1450)), form="b", source="list"))
    assert all_told(result.corroborated) == {("m", 0): "Borne out by Parts list.", ("m", 1): "Borne out by Bulletin 1."}


def test_one_source_twice_bears_nothing_out() -> None:
    assert result_of(say("first", on("1960-05"), form="b"), say("first", of(car(1450)), form="b")).corroborated == {}


def test_a_date_looser_than_the_rest_on_every_side_is_a_note_and_a_number_is_not() -> None:
    result = result_of(
        say("first", on("1960-03", "1960-09"), form="b", source="letter", line=5),
        say("first", on("1960-05"), form="b"),
        say("first", of(car(1455)), form="b"),
    )
    (found,) = result.findings
    assert (found.code, found.place.line) == ("bound-looser", 5)
    assert "the first is given as March to September 1960" in told(found.message)
    assert "keeps it to May 1960" in told(found.message)


def test_a_date_as_tight_as_the_limit_on_one_side_is_no_note() -> None:
    assert (
        result_of(
            say("first", on("1960-03", "1960-05"), form="b", source="letter"), say("first", on("1960-05"), form="b")
        ).findings
        == ()
    )


def test_cars_in_the_middle_of_a_wide_last_would_help() -> None:
    result = result_of(say("last", on("1960-03", "1960-10"), form="a"), say("first", on("1960-03"), form="b"))
    said = re.fullmatch(
        r"Any untouched car from C(\d+) to C(\d+)\. One with “A” would show that it lasted longer than is known\.",
        told(result.helpful["m"]),
    )
    assert said is not None
    assert 1500 < int(said[1]) < int(said[2]) < 1800


def test_a_car_found_where_one_would_help_does_narrow_the_limits() -> None:
    statements = [say("last", on("1960-03", "1960-10"), form="a"), say("first", on("1960-03"), form="b")]
    before = result_of(*statements)
    said = re.search(r"from C(\d+) to", told(before.helpful["m"]))
    assert said is not None
    after = result_of(*statements, say("seen", of(car(int(said[1]))), form="a"))

    def width(result: LimitsResult) -> int:
        spell = next(one for one in result.spells if one.form == "a")
        return spell.last.latest - spell.last.earliest

    assert width(after) < width(before)


def test_the_cars_that_would_bring_a_first_forward_are_worked_out_by_hand() -> None:
    """B came in between 1 March and 30 November, 274 days. A car of day t has it with chance (t - 1 March) / 274 and
    then leaves out what lies after the last day that its month allows. The best is C1695, the last that disorder
    keeps in July: 151 / 274 of the 122 days after 31 July, 67.2. Three quarters of that, 50.4, are had from C1498 (of
    31 May, but perhaps of June: 91 / 274 of 153, 50.8) and no longer from C1696 (perhaps of August: 50.1)."""
    said = say("first", on("1960-03", "1960-11"), form="b"), say("last", on("1960-11-30"), form="a")
    wanted = "Any untouched car from C1498 to C1695. One with “B” would show that it came in sooner than is known."
    assert told(result_of(*said, overrides={"helpful_days": 67.2}).helpful["m"]) == wanted
    assert result_of(*said, overrides={"helpful_days": 67.3}).helpful == {}


def test_cars_that_would_help_are_told_by_their_numbers_and_not_by_their_series_as_well() -> None:
    """Closed and open cars with numbers of their own, the open ones with nothing left to find out."""
    kinds = {name: Scope((("series", (name,)),)) for name in ("c", "d")}
    said = [
        say("first", on("1960-03", "1960-11"), form="b", scope=kinds["c"]),
        say("last", on("1960-11-30"), form="a", scope=kinds["c"]),
        say("first", on("1960-12-01"), form="b", scope=kinds["d"]),
        say("last", on("1960-11-30"), form="a", scope=kinds["d"]),
    ]
    both = [works(), series([run(1, 2400, prefix="D")], id="d", name="Open", written=("D####",))]
    made = sketch.production("1960-01-01", "1961-12-31")
    helpful = derive_limits(sketch.guide([sketch.mark(said, ("a", "b"))], both, made)).helpful["m"]
    assert "Any untouched car from C1498 to C1695. One" in told(helpful)


def test_where_no_car_would_help_a_paper_would() -> None:
    wide = {"helpful_days": 200.0}
    result = result_of(say("first", on("1960-03"), form="b"), overrides=wide)
    assert told(result.helpful["m"]) == "A paper that says which car was the last with “A”."


def test_a_mark_known_to_the_day_needs_no_help() -> None:
    assert result_of(say("last", on("1960-03-31"), form="a"), say("first", on("1960-04-01"), form="b")).helpful == {}
