"""The demo guide: nothing to report, two contradictions ruled on, and chains that read as sentences."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest

from guide.facts.text.problem import Problem
from guide.facts.types import FormRef, Guide, Text, When, WhenKind
from guide.facts.when.whens import read_when
from guide.finding import TICKS_PER_DAY, Place, Severity
from guide.limits.derive import derive_limits
from guide.limits.edges import edge_of, limits_json
from guide.limits.moments import Moments
from guide.limits.steps import because
from guide.limits.types import LimitsResult, day_of
from guide.limits.wording import form_said, scope_said, when_said
from tests.told import ENGLISH, told


@pytest.fixture(scope="module")
def unruled(guide: Guide) -> LimitsResult:
    """The limits of the demo guide with its rulings taken out."""
    return derive_limits(replace(guide, marks={one.id: replace(one, rulings=()) for one in guide.marks.values()}))


def test_the_untouched_guide_has_no_error_and_no_warning(limits: LimitsResult) -> None:
    assert [one.line(ENGLISH) for one in limits.findings if one.severity is not Severity.NOTE] == []


def test_its_two_contradictions_are_ruled_on_and_short_by_the_days_stated(guide: Guide, limits: LimitsResult) -> None:
    found = {}
    for clash in limits.clashes:
        statement = guide.marks[clash.mark].statements[clash.set_aside]
        assert statement.when is not None
        found[clash.mark] = (statement.source, statement.when.text, clash.short_by_days, clash.ruled)
    assert found == {"tail-lamps": ("parts-list-2", "D780", 63, 0), "switches": ("bulletin-7", "C1840", 154, 0)}


def test_without_rulings_both_are_warnings_and_the_car_would_be_dropped_by_rank_alone(
    guide: Guide, unruled: LimitsResult
) -> None:
    found = {}
    for finding in unruled.findings:
        assert finding.set_aside is not None
        found[finding.place.file] = (finding.code, finding.severity, finding.set_aside.source)
    assert found == {
        "marks/switches.yml": ("statements-clash", Severity.WARNING, "register-1994"),
        "marks/tail-lamps.yml": ("statements-clash", Severity.WARNING, "parts-list-2"),
    }
    assert {one.mark: one.short_by_days for one in unruled.clashes} == {"switches": 154, "tail-lamps": 63}
    assert guide.marks["switches"].statements[unruled.clashes[-1].set_aside].when.text == "C2210L"  # type: ignore[union-attr]


def test_every_edge_of_every_spell_is_explained_by_steps_that_add_up_to_it(limits: LimitsResult) -> None:
    assert len(limits.spells) > 100
    for spell in limits.spells:
        for one in (spell.first, spell.last):
            assert one.earliest <= one.latest
            assert sum(step.ticks for step in one.because_earliest) == one.earliest
            assert sum(step.ticks for step in one.because_latest) == one.latest
            assert one.because_earliest
            assert one.because_latest


def test_a_printed_clash_names_both_lines_and_says_what_to_type(unruled: LimitsResult) -> None:
    clash = next(one for one in unruled.findings if one.place.file == "marks/switches.yml")
    text = clash.printed(ENGLISH)
    assert text.startswith(
        f"{clash.place}: warning: Small switches: the last car with “Toggles” was not after "
        "31 May 1968, because Service bulletin 7"
    )
    assert "the calendar has C1840 built by 31 May 1968; and it was not before 1 November 1968, because" in text
    assert "short by 154 days" in text
    assert "a proposal, and the decision is yours" in text
    assert f"{clash.related[0].place}: Service bulletin 7" in text
    assert 'under `rulings:` in marks/switches.yml, as {read: "register-1994 seen C2210L", as:' in text


def test_the_steps_answer_why_not_later(guide: Guide, limits: LimitsResult) -> None:
    spell = next(
        one
        for one in limits.spells
        if (one.mark, one.form) == ("switches", "toggle") and one.scope.values("hand") == ("right",)
    )
    assert told(scope_said(guide, spell.scope)) == "coupé, right-hand drive"
    assert day_of(spell.last.latest, guide.production.first).isoformat() == "1968-05-31"
    said = told(because(spell.last.because_latest))
    assert said.startswith("Service bulletin 7")
    assert said.endswith("gives C1840 as the last, and the calendar has C1840 built by then")


def test_a_strike_is_not_crossed_and_the_restart_falls_on_its_first_day(guide: Guide, limits: LimitsResult) -> None:
    moments, spells = Moments(guide, limits.lines), [one for one in limits.spells if one.mark == "inner-lever"]
    edges = {
        (one.form, one.scope.values("series")): (
            str(edge_of(one, "first", "earliest", moments).day),
            str(edge_of(one, "last", "latest", moments).day),
        )
        for one in spells
    }
    assert edges["loop", ("coupe",)][1] == edges["loop", ("open",)][1] == "1970-02-02"
    assert edges["paddle", ("coupe",)][0] == edges["paddle", ("open",)][0] == "1970-04-27"


def test_json_has_the_shape_of_the_output_page_and_its_steps_add_up_in_days(guide: Guide, limits: LimitsResult) -> None:
    rows: list[dict[str, Any]] = json.loads(json.dumps(limits_json(limits, ENGLISH)))
    assert len(rows) == len(limits.spells)
    marks = list(guide.marks)
    assert [row["mark"] for row in rows] == sorted((row["mark"] for row in rows), key=marks.index)
    for row, spell in zip(rows, limits.spells, strict=True):
        assert list(row) == ["mark", "form", "spell", "scope", "first", "last"]
        for end in ("first", "last"):
            for side in ("earliest", "latest"):
                edge = row[end][side]
                assert list(edge) == ["date", "cars", "because"]
                ticks = getattr(getattr(spell, end), side)
                assert sum(step["adds_days"] for step in edge["because"]) == ticks / TICKS_PER_DAY
                assert edge["date"] == day_of(ticks, guide.production.first).isoformat()
                assert all(
                    list(step) == ["kind", "file", "line", "column", "source", "says", "adds_days"]
                    for step in edge["because"]
                )
    toggles = next(row for row in rows if (row["mark"], row["form"]) == ("switches", "toggle"))
    assert toggles["last"]["latest"]["cars"] == [{"series": "coupe", "number": "C1840", "stated": True}]


def test_the_result_is_the_same_each_time(guide: Guide, limits: LimitsResult) -> None:
    assert derive_limits(guide) == limits


def test_every_mark_with_an_open_changeover_says_what_would_help(limits: LimitsResult) -> None:
    assert len(limits.helpful) >= 20
    for helpful in limits.helpful.values():
        assert told(helpful).startswith(("Any untouched car from ", "A paper that says "))


def test_no_paper_is_asked_for_about_a_form_that_nothing_followed(guide: Guide, limits: LimitsResult) -> None:
    """Cars for the continent had split front lamps to the end; only where another form follows is a last wanted."""
    for mark, helpful in limits.helpful.items():
        said = {form_said(guide, FormRef(mark, form), mark): form for form in guide.marks[mark].forms}
        named = next(form for name, form in said.items() if name == dict(helpful.values)["form"])
        mine = [one for one in limits.spells if one.mark == mark]
        scopes = [one.scope for one in mine if one.form == named]
        assert any(len({one.form for one in mine if one.scope == scope}) > 1 for scope in scopes), mark


def test_the_ends_of_a_series_are_its_cars_and_those_of_a_period_its_days(guide: Guide) -> None:
    here = Place("x.yml")
    said = [
        told(when_said(guide, When(kind, "", here, of=of)))
        for kind, of in (
            (WhenKind.START, "open"),
            (WhenKind.END, "open"),
            (WhenKind.START, "middle"),
            (WhenKind.END, None),
        )
    ]
    assert said == [
        "the first open car",
        "the last open car",
        "the start of the period “Middle” (January 1969)",
        "the end of production",
    ]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("1968-05~", "about May 1968, taken as April to June 1968,"),
        ("1968-05-24~", "about 24 May 1968, taken as 17 to 31 May 1968,"),
        ("1968~", "about 1968, taken as 3 July 1967 to 1 July 1969,"),
        ("about May 1968", "about May 1968"),
        ("1968-03/1968-05", "March to May 1968"),
        ("spring 1968", "spring 1968"),
    ],
)
def test_a_time_is_said_as_the_paper_gives_it(guide: Guide, text: str, says: str) -> None:
    when = read_when(Text(text, Place("x.yml")))
    assert not isinstance(when, Problem)
    assert told(when_said(guide, when, taken_as=True)) == says
