"""A table of first numbers, and three certificates for a calendar."""

from __future__ import annotations

from datetime import date

import pytest

from guide.dating.belief.evidence import Session
from guide.dating.key import Key
from tests.papers.laid import Laid

LAID = "first-numbers"


def days(key: Key, car: str) -> tuple[float, float]:
    """Return the first and last day of the nine in ten for a number, from the first of March 1960."""
    nine = key.dated(Session(car=car)).figures.nine
    return nine[0].start, nine[-1].end


def test_nothing_is_found_wrong(laid: Laid) -> None:
    assert laid.findings == ""


def test_how_we_know_says_what_each_paper_says(laid: Laid) -> None:
    words = laid.words_of("how-we-know.html")
    for said in (
        "X00001 to X25000 (dated 1960–1961, Parts list)",
        "X25001 on; X31950 is the last number known (Parts list, printed as “X2500I”)",
        "31,950 cars, as far as numbers are known",
        "X20000 was built 14 November 1961 (Club register)",
        "Model year 1962: X25001 on (Parts list)",
    ):
        assert said in words


def test_a_certificate_dates_its_own_car_to_the_day_and_claims_about_it(laid: Laid, key: Key) -> None:
    start, end = days(key, "X27000")
    assert (round(start), round(end)) == (793, 794)  # 3 May 1962
    words = laid.words_of("marks/roof-lamp.html")
    assert "The first car with “Square” was X27000; it left the works on 3 May 1962." in words
    assert "X27000 is known to have been built 3 May 1962" in words
    assert "X26999 stands before X31200 in the order of numbers, by more than the usual disorder" in words


def test_certificates_are_lines_of_the_calendar_for_the_cars_between(key: Key) -> None:
    """Half way from X25001, after the end of 1961 (day 670), to X27000 (3 May 1962, day 793)."""
    start, end = days(key, "X26000")
    assert 671 <= start < 732 < end <= 794


def test_a_number_past_the_last_known_is_said_to_be_that(key: Key) -> None:
    assert key.dated(Session(car="X31951")).state.car == "beyond-known"
    assert key.dated(Session(car="X00000")).state.car == "not-in-tables"


def test_a_late_look_is_not_drawn_to_the_last_number_known(key: Key) -> None:
    """Cars went on being built after February 1963, and nobody knows with which numbers."""
    days = (date(1963, 10, 31) - date(1960, 3, 1)).days + 1
    assert sum(key.model.series[0].cars) == pytest.approx(31199.5 * days / 1081, rel=0.001)  # the pace of 1,081 days
