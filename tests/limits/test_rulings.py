"""Rulings: what they decide, when they are open again, and when they decide nothing."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from guide.facts.types import Guide, Ruling, Scope, Statement, When
from guide.limits.derive import derive_limits
from guide.limits.types import LimitsResult
from tests.limits import sketch
from tests.limits.sketch import car, of, place, say
from tests.limits.test_limits_of_small_guides import LEFT, RIGHT, days, guide_of, spell, works
from tests.told import told


def ruling(statement: int, *, scope: Scope | None = None, when: When | None = None) -> Ruling:
    """A ruling that reads a statement otherwise, or sets it aside where nothing is said."""
    return Ruling(
        statement=statement,
        sets_aside=scope is None and when is None,
        read_scope=scope,
        read_when=when,
        why="because",
        on=date(2026, 11, 25),
        place=place(99, "marks/m.yml"),
    )


def ruled(statements: list[Statement], *rulings: Ruling, disorder: int = 5) -> LimitsResult:
    made: Guide = guide_of(
        statements,
        ("a", "b"),
        line=works(disorder, suffixes={"L": LEFT}),
        splits={"hand": sketch.split("hand", {"right": {}, "left": {}})},
    )
    return derive_limits(replace(made, marks={"m": replace(made.marks["m"], rulings=rulings)}))


LAST = say("last", of(car(1250)), form="a", line=1)
SEEN = say("seen", of(car(1850, suffix="L")), form="a", source="register", line=2)


def test_a_ruling_silences_the_clash_and_keeps_its_chain() -> None:
    result = ruled([LAST, SEEN], ruling(0, scope=RIGHT))
    assert result.findings == ()
    (clash,) = result.clashes
    assert (clash.set_aside, clash.against, clash.ruled, clash.short_by_days) == (0, (1,), 0, 154)
    assert [step.source for step in clash.chain] == ["bulletin", "ledger", "register", "ledger"]
    assert days(spell(result, "a").last) == ("1960-03-01", "1960-03-31")


def test_a_ruling_can_set_a_statement_aside_or_read_another_moment() -> None:
    aside = ruled([LAST, SEEN], ruling(0))
    assert (aside.findings, [one.ruled for one in aside.clashes]) == ((), [0])
    other = ruled([LAST, SEEN], ruling(0, when=of(car(1860))))
    assert (other.findings, [one.ruled for one in other.clashes]) == ((), [0])


def test_a_ruling_can_decide_a_mix_by_number() -> None:
    seen = say("seen", of(car(1253)), form="a", source="register", line=2)
    result = ruled([LAST, seen], ruling(0, when=of(car(1255))))
    assert result.findings == ()
    assert [(one.standing, one.ruled) for one in result.clashes] == [("mixed", 0)]


def test_a_ruling_that_decides_nothing_is_a_note() -> None:
    result = ruled([LAST], ruling(0, scope=RIGHT))
    (found,) = result.findings
    assert (found.code, found.severity, found.place.line) == ("ruling-decides-nothing", "note", 99)
    assert "bulletin last C1250" in told(found.message)


def test_a_new_statement_against_what_the_ruling_kept_opens_it_again() -> None:
    new = say("last", of(car(1300)), form="a", scope=LEFT, source="letter", line=3)
    result = ruled([LAST, SEEN, new], ruling(0, scope=RIGHT))
    assert sorted(one.code for one in result.findings) == ["ruling-reopened", "statements-clash"]
    reopened = next(one for one in result.findings if one.code == "ruling-reopened")
    assert (reopened.place.line, [one.place.line for one in reopened.related]) == (99, [3])


def test_a_statement_that_clashes_even_as_it_is_read_opens_the_ruling_again() -> None:
    new = say("seen", of(car(2250)), form="a", scope=RIGHT, source="register", line=3)
    result = ruled([LAST, SEEN, new], ruling(0, scope=RIGHT))
    assert "ruling-reopened" in {one.code for one in result.findings}


def test_a_clash_about_something_else_leaves_the_ruling_alone() -> None:
    other = [
        say("first", of(car(1750)), form="b", scope=LEFT, line=3),
        say("seen", of(car(1350, suffix="L")), form="b", source="register", line=4),
    ]
    result = ruled([LAST, SEEN, *other], ruling(0, scope=RIGHT))
    assert "statements-clash" in {one.code for one in result.findings}
    assert "ruling-reopened" not in {one.code for one in result.findings}
