"""A stated moment has one wording, for findings and for pages, and says "about" only where the editor did."""

from __future__ import annotations

from dataclasses import replace

import pytest

from guide.facts.types import FormRef, Series, Text, When
from guide.facts.when.numbers import number_table
from guide.facts.when.whens import read_when
from guide.finding import StepKind
from guide.limits.derive import derive_limits
from guide.limits.wording import claim_said, statement_said, when_said
from guide.words.say import load_words
from tests.limits import sketch
from tests.limits.sketch import HERE, by_end, car, form, mark, on, run, say, series
from tests.told import told


def _series() -> Series:
    return series([run(1001, 2000)], [by_end(on("1960-12"), car(2000))])


def _when(text: str) -> When:
    table = number_table({"c": _series()})
    found = read_when(Text(text, HERE), table)
    assert isinstance(found, When)
    return found


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("C1588", "C1588"),
        ("about C1588", "about C1588"),
        ("10 cars after C1588", "10 cars after C1588"),
        ("about 10 cars after C1588", "about 10 cars after C1588"),
        ("10 cars before C1588", "10 cars before C1588"),
        ("one car after C1588", "the car after C1588"),
    ],
)
def test_a_car_counted_from_another_is_about_only_where_the_editor_said_about(text: str, said: str) -> None:
    when = _when(text)
    first = say("first", when, form="b")
    guide = sketch.guide([mark([first], ("a", "b"), [form("a"), form("b")])], [_series()])
    assert told(when_said(guide, when)) == told(when_said(guide, when, taken_as=True)) == said
    assert told(claim_said(guide, first)) == f"First: {said}"
    assert told(statement_said(guide, first)) == f"Bulletin 1 gives {said} as the first with “B”"
    steps = next(one for one in derive_limits(guide).spells if one.form == "b").first.because_earliest
    assert told(steps[0].says) == f"Bulletin 1 gives {said} as the first"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("1968-05?", "probably May 1968"),
        ("1968-05%", "probably about May 1968"),
        ("1968-05~", "about May 1968"),
        ("probably May 1968", "probably May 1968"),
    ],
)
def test_a_time_that_its_source_is_not_sure_of_is_said_to_be_probable(text: str, said: str) -> None:
    guide = sketch.guide([mark([], ("a", "b"), [form("a"), form("b")])], [_series()])
    assert told(when_said(guide, _when(text))) == said


@pytest.mark.parametrize(
    ("language", "begins"), [("en", "a statement without a source "), ("de", "eine Angabe ohne Quelle ")]
)
def test_a_statement_without_a_source_is_said_as_one(language: str, begins: str) -> None:
    """Of every kind, as a reason and as a claim: no sentence begins with nothing, or says that "no source has" it."""
    words, dated = load_words(language), _when("C1588")
    said = [
        *(say(kind, dated, form="a", source="") for kind in ("first", "last", "seen")),
        say("seen", on("1960-06"), form="a", source=""),
        replace(say("after", form="b", source=""), other=FormRef("n", "b")),
        replace(say("together with", form="b", source=""), other=FormRef("n", "b")),
    ]
    for one in said:
        other = mark([say("first", dated, form="b", mark="n")], ("a", "b"), [form("a"), form("b")], "n")
        guide = sketch.guide([mark([one], ("a", "b"), [form("a"), form("b")]), other], [_series()])
        spells = derive_limits(guide).spells
        edges = [edge for spell in spells for edge in (spell.first, spell.last)]
        steps = [step for edge in edges for step in (*edge.because_earliest, *edge.because_latest)]
        reasons = {words.tell(step.says) for step in steps if step.kind is StepKind.STATEMENT}
        assert {reason for reason in reasons if not reason.startswith("Bulletin 1 ")}
        for reason in (*reasons, words.tell(statement_said(guide, one))):
            assert reason.startswith((begins, "Bulletin 1 "))
