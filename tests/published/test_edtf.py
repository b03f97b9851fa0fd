"""Dates against the standard's own examples and a reference library.

Sources: Extended Date/Time Format (EDTF) Specification, Library of Congress, 4 February 2019, levels 0 and
1 (ISO 8601-2:2019); bounds as the package `edtf` 5.0.2 gives them under "strict". Where that package
departs from the specification, or the specification is silent and we say otherwise, the departure is named.
"""

from __future__ import annotations

import re
from datetime import date

import pytest

from guide.facts.text.problem import Problem
from guide.facts.types import When
from tests.conftest import reference_library
from tests.whens import read_when

# The specification's examples that are within levels 0 and 1 and can be dates of build.
BOUNDS = {
    "1985-04-12": ("1985-04-12", "1985-04-12"),
    "1985-04": ("1985-04-01", "1985-04-30"),
    "1985": ("1985-01-01", "1985-12-31"),
    "1964/2008": ("1964-01-01", "2008-12-31"),
    "2004-06/2006-08": ("2004-06-01", "2006-08-31"),
    "2004-02-01/2005-02-08": ("2004-02-01", "2005-02-08"),
    "2004-02-01/2005-02": ("2004-02-01", "2005-02-28"),
    "2004-02-01/2005": ("2004-02-01", "2005-12-31"),
    "2005/2006-02": ("2005-01-01", "2006-02-28"),
    "2001-21": ("2001-03-01", "2001-05-31"),
    "2001-22": ("2001-06-01", "2001-08-31"),
    "2001-23": ("2001-09-01", "2001-11-30"),
    "1984?": ("1984-01-01", "1984-12-31"),
    "201X": ("2010-01-01", "2019-12-31"),
    "20XX": ("2000-01-01", "2099-12-31"),
    "2004-XX": ("2004-01-01", "2004-12-31"),
    "1985-04-XX": ("1985-04-01", "1985-04-30"),
    "1985-XX-XX": ("1985-01-01", "1985-12-31"),
    "1985-04-12/..": ("1985-04-12", None),
    "1985-04/..": ("1985-04-01", None),
    "1985/..": ("1985-01-01", None),
    "../1985-04-12": (None, "1985-04-12"),
    "../1985-04": (None, "1985-04-30"),
    "../1985": (None, "1985-12-31"),
    "1985-04-12/": ("1985-04-12", None),
    "/1985-04-12": (None, "1985-04-12"),
}
# Named departures: the package gives December alone for winter; for an open or unknown end it gives a day of
# its own making; approximate dates are widened here by a stated amount, which the specification leaves open.
OURS = {
    "2001-24": ("2001-12-01", "2002-02-28"),
    "2003-24": ("2003-12-01", "2004-02-29"),
    "2004-06~": ("2004-05-02", "2004-07-30"),
    "2004-06-11%": ("2004-06-04", "2004-06-18"),
}
NOT_OF_BUILD = (
    "1985-04-12T23:20:30",
    "1985-04-12T23:20:30Z",
    "1985-04-12T23:20:30+04:30",
    "Y170000002",
    "Y-170000002",
    "-1985",
)
REFUSED = (
    "2001-13",
    "1985-02-30",
    "198u",
    "1984?~",
    "85",
    "1985-4-12",
    "19850412",
    "",
    "1984-1X",
    "156X-12-25",
    "?2004-06",
    "2001-34",
)


def bounds(text: str) -> tuple[str | None, str | None]:
    when = read_when(text)
    assert isinstance(when, When), when
    return (when.earliest.isoformat() if when.earliest else None, when.latest.isoformat() if when.latest else None)


@pytest.mark.parametrize("text", [*BOUNDS, *OURS])
def test_an_example_of_the_specification_has_the_bounds(text: str) -> None:
    assert bounds(text) == {**BOUNDS, **OURS}[text]


@pytest.mark.parametrize("text", [text for text in BOUNDS if not re.search(r"\.\.|^/|/$", text)])
def test_the_reference_library_gives_the_same_bounds(text: str) -> None:
    edtf = reference_library("edtf")
    parsed = edtf.parse_edtf(text)
    ours = bounds(text)
    theirs = tuple(date(*struct[:3]).isoformat() for struct in (parsed.lower_strict(), parsed.upper_strict()))
    assert ours == theirs


def test_the_reference_library_still_departs_where_we_say_it_does() -> None:
    edtf = reference_library("edtf")
    assert tuple(edtf.parse_edtf("2001-24").upper_strict()[:3]) == (2001, 12, 31)


def test_qualifiers_say_what_the_specification_has_them_say() -> None:
    said = {}
    for text in ("1984?", "2004-06~", "2004-06-11%", "1984"):
        when = read_when(text)
        assert isinstance(when, When)
        said[text] = (when.uncertain, when.approximate)
    assert said == {
        "1984?": (True, False),
        "2004-06~": (False, True),
        "2004-06-11%": (True, True),
        "1984": (False, False),
    }


@pytest.mark.parametrize("text", NOT_OF_BUILD)
def test_what_the_standard_has_beyond_dates_of_build_is_said_to_be_none(text: str) -> None:
    read = read_when(text)
    assert isinstance(read, Problem)
    assert read.code == "not-a-build-date"


@pytest.mark.parametrize("text", REFUSED)
def test_what_the_specification_refuses_is_refused(text: str) -> None:
    assert isinstance(read_when(text), Problem)
