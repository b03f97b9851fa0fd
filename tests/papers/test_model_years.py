"""Model years by numbers, by days and in no table at all, and weeks, as statements give them."""

from __future__ import annotations

import pathlib
from datetime import date

import pytest

from guide.constants import value_of
from guide.limits.types import day_of
from tests.papers.laid import Laid
from tests.starting import guide_in, started

LAID = "model-years"


def firsts(laid: Laid, mark: str, form: str) -> list[tuple[str, str, str]]:
    """Return the first of a form in each series: its series, earliest and latest day."""
    assert laid.worked.limits is not None
    assert laid.worked.guide is not None
    origin = laid.worked.guide.production.first
    return [
        (
            ", ".join(spell.scope.values("series") or ()),
            day_of(spell.first.earliest, origin).isoformat(),
            day_of(spell.first.latest, origin).isoformat(),
        )
        for spell in laid.worked.limits.spells
        if (spell.mark, spell.form) == (mark, form)
    ]


def test_nothing_is_found_wrong(laid: Laid) -> None:
    assert laid.findings == ""


def test_a_model_year_means_the_cars_or_the_days_that_its_table_names(laid: Laid) -> None:
    """Of the saloons S500 (which may have been built in 1961's first days, ten places early) to S859 (in 1962)."""
    assert firsts(laid, "roof-lamp", "square") == [
        ("saloon", "1961-01-01", "1962-12-31"),
        ("van", "1961-09-01", "1962-08-31"),
    ]


def test_the_pages_say_what_the_paper_said(laid: Laid) -> None:
    words = laid.words_of("marks/roof-lamp.html")
    assert "Round Last: model year 1962 Parts list" in words
    assert "Parts list gives model year 1962 as the first 1, and the calendar has S500 built no earlier" in words
    assert "Knob First: week 3 of 1962 Parts list" in laid.words_of("marks/door-handle.html")
    assert "Lever Last: week 2 of 1962 Club register" in laid.words_of("marks/door-handle.html")


def test_the_tables_stand_on_how_we_know(laid: Laid) -> None:
    words = laid.words_of("how-we-know.html")
    assert "Model year 1961: S200 to S499 (Club register) Model year 1962: S500 on (Club register)" in words
    assert "Model year 1962: built 1 September 1961 to 31 August 1962 (Parts list)" in words
    assert "built 1 September 1962 to 31 October 1963 (Club register, printed as “I963”)" in words


def test_the_key_knows_the_days_of_a_model_year_where_no_table_has_its_numbers(laid: Laid) -> None:
    """Of the 200 vans of 1962 and 1963, spread evenly over 669 days, those of 243 days (until 31 August 1962)."""
    assert laid.worked.key is not None
    saloon, van = laid.worked.key.model.series
    assert [(row.year, row.first, row.end) for row in saloon.model_years] == [
        ("1961", 199, 499),
        ("1962", 499, 859),
        ("1963", 859, 1200),
    ]
    row = next(row for row in van.model_years if row.year == "1962")
    assert row.end == pytest.approx(100 + 200 * 243 / 669, abs=0.02)


def test_a_model_year_in_no_table_is_a_long_span_about_it(tmp_path: pathlib.Path) -> None:
    text = "name: Lamp\nquestion: Lamp?\nreach: glass\nsurvives: most\nforms:\n  a:\n    name: A\n    answer: An A\n"
    text += "    stated: [{first: model year 1962, source: parts-list}]\n"
    guide = guide_in(started(tmp_path, {"marks/roof-lamp.yml": text}))
    (said,) = guide.marks["roof-lamp"].statements
    assert said.when is not None
    assert (said.when.earliest, said.when.latest) == (date(1961, 7, 1), date(1962, 12, 31))
    assert (value_of("model_year_before", {}), value_of("model_year_after", {})) == (184, 365)
