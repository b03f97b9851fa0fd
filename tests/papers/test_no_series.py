"""A guide by days and model years alone: it builds, and its pages and its key say nothing of numbers."""

from __future__ import annotations

import re

from guide.dating.belief.evidence import Answer, Session
from tests.papers.laid import Laid

MEANT = ("May I see the number on the car and on its papers?", "with the numbers of the cars they fit")  # of any car

LAID = "no-series"


def test_nothing_is_found_wrong(laid: Laid) -> None:
    assert laid.findings == ""


def test_no_page_speaks_of_numbers(laid: Laid) -> None:
    pages = [name for name in laid.site if name.endswith(".html")]
    assert len(pages) > 30
    assert "fits.html" not in laid.site
    for name in pages:
        words = laid.words_of(name)
        for said in MEANT:
            words = words.replace(said, "")
        assert re.findall(r"(?i)[^.]*\b(?:numbers?|chassis)\b[^.]*", words) == [], name


def test_a_model_year_in_no_table_is_said_with_what_it_is_taken_for(laid: Laid) -> None:
    said = "First: model year 1962 (in no table here, so taken as July 1961 to December 1962) Parts list"
    assert said in laid.words_of("marks/roof-lamp.html")


def test_the_key_dates_a_car_by_its_looks(laid: Laid) -> None:
    assert laid.worked.key is not None
    early, late = (
        laid.worked.key.dated(Session(answers=(Answer("roof-lamp", (form,)),))).figures.periods
        for form in ("round", "square")
    )
    assert early[0] > 0.7
    assert late[1] > 0.7
