"""Claims by number, told as stated wherever they stand; and the starter guide with its calendar taken out."""

from __future__ import annotations

import csv
import io
import json
import re

import pytest

from guide.limits.edges import limits_json
from tests.papers.laid import Laid, lay
from tests.told import ENGLISH


@pytest.fixture(scope="module")
def numbered(tmp_path_factory: pytest.TempPathFactory) -> Laid:
    return lay("by-number", tmp_path_factory.mktemp("by-number"))


@pytest.fixture(scope="module")
def undated(tmp_path_factory: pytest.TempPathFactory) -> Laid:
    return lay("no-calendar", tmp_path_factory.mktemp("no-calendar"))


def between(laid: Laid, page: str, start: str, end: str) -> str:
    """The words of a page from one to another, the first of them left out."""
    return laid.words_of(page).split(start, 1)[1].split(end, 1)[0].strip()


def changeovers(laid: Laid) -> dict[tuple[str, str], list[str]]:
    """The sheet of changeovers: cells by part and new form."""
    rows = csv.reader(io.StringIO(laid.site["downloads/changeovers.csv"].decode("utf-8-sig")))
    return {(part, new): cells for part, _, _, new, *cells in rows}


def test_nothing_but_missing_drawings_is_found(numbered: Laid, undated: Laid) -> None:
    assert {finding.code for finding in numbered.worked.findings} == {"missing-picture"}
    assert undated.findings == ""


@pytest.mark.parametrize(
    ("mark", "says"),
    [
        (  # by day both lie in 1960, so days alone would say that both may have been fitted
            "roof-lamp",
            "The first car with “Square” was 21334, the last with “Round” 23826. Both left the works between March "
            "and December 1960. By number, both were fitted in between.",
        ),
        (  # four hundred cars may be out of order, so days tell the two cars not apart
            "door-handle",
            "The first car with “Knob” was 40001, the last with “Lever” the car before 40001. Both left the works "
            "between January 1962 and October 1963. By number, one ended before the other began.",
        ),
        (
            "ash-tray",
            "“Small” to “Large” The first car with “Large” was 30021, the last with “Small” 30000, or up to 60 cars "
            "after it. Both left the works in 1961. By number, both may have been fitted for a time.",
        ),
        (
            "arm-rest",
            "The first car with “Vinyl” was about 27900; it left the works in 1961. No source says which car was the "
            "last with “Cloth”; 28000 still had it.",
        ),
    ],
)
def test_a_change_is_told_by_the_cars_that_the_papers_name(numbered: Laid, mark: str, says: str) -> None:
    told = between(numbered, f"marks/{mark}.html", "When it changed", " Which car Not before")
    assert re.fullmatch(re.escape(says) + "( “[A-Z][a-z]+” to “[A-Z][a-z]+”)?", told), told


def test_a_car_seen_is_told_beside_the_days_that_it_bounds(numbered: Laid) -> None:
    assert (
        "The first car with “No tray” left the works between January 1961 and October 1963; 42000 had it already."
        in numbered.words_of("marks/ash-tray.html")
    )


def test_each_form_says_from_and_to_which_car_it_was_fitted(numbered: Laid) -> None:
    captions = {
        "roof-lamp": (
            "To 23826 (some time between March and December 1960).",
            "From 21334 (some time between March and December 1960).",
        ),
        "door-handle": ("To the car before 40001", "From 40001"),
        "ash-tray": ("To 30000, or up to 60 cars after it", "From 30021"),
        "arm-rest": ("To 28000 at least (some time in 1961).", "From about 27900 (some time in 1961)."),
    }
    for mark, told in captions.items():
        words = numbered.words_of(f"marks/{mark}.html")
        assert [one in words for one in told] == [True, True], mark


def test_no_sentence_says_one_span_twice(numbered: Laid) -> None:
    assert "2 Vinyl Some time in 1961." in numbered.words_of("marks/sun-visor.html")
    for page in numbered.site:
        if page.endswith(".html"):
            words = numbered.words_of(page)
            assert not re.search(r"(?i)from (some time (?:in|between) .{4,40}?) to \1", words), page
            assert not re.search(r"left the works ([^.;]{8,60}), the last with “[^”]*” \1\.", words), page


def test_the_figures_give_the_cars_and_work_no_number_back_beside_them(numbered: Laid) -> None:
    figures = between(numbered, "timeline.html", "First new Last old", "Example car interiors")
    assert figures == (
        "Roof lamp Round → to Square 21334 1 March to 31 December 1960 23826 1 March to 31 December 1960 "
        "Ash tray Small → to Large 30021 1961 30000, or up to 60 cars after it 1961 "
        "Ash tray Large → to No tray 1 January 1961 to 31 October 1963 42000 or earlier 1 January 1961 or later "
        "Inner door handle Lever → to Knob 40001 1 January 1962 to 31 October 1963 "
        "the car before 40001 1 January 1962 to 31 October 1963 "
        "Arm rest Cloth → to Vinyl about 27900 1961 28000 or later 1 January 1961 or later "
        "Sun visor Board → to Vinyl 1961 (26001) 25 December 1960 or later (25863) "
        "Sun visor Vinyl → to Foam January 1962 (33001) 1961 (33000)"
    )


def test_the_sheets_and_the_downloads_give_the_cars(numbered: Laid) -> None:
    assert "Round, then square from 21334 (about July 1960)." in numbered.words_of("sheets/early.html")
    assert "Lever, then knob from 40001 (about December 1962)." in numbered.words_of("sheets/late.html")
    told = changeovers(numbered)
    assert told["roof-lamp", "square"] == [
        *("21334", "1960-03-01", "1960-12-31"),
        *("23826", "1960-03-01", "1960-12-31", "yes"),
    ]
    assert told["ash-tray", "large"][3] == "30000, or up to 60 cars after it"
    assert told["sun-visor", "foam"][::3] == ["", "", "yes"], "no number where none is stated"


def test_no_car_is_asked_for_that_a_paper_names_already(numbered: Laid) -> None:
    """By days a car before 40001 with a knob would narrow the limits; by number nothing is left to know."""
    assert "What would settle it" not in numbered.words_of("marks/door-handle.html")


# Without a calendar


def test_a_series_without_a_calendar_says_by_number_which_cars_would_help(undated: Laid) -> None:
    """S571 has the lever and the numbers end with S1200: the half of the cars between about their middle, S886, where
    one tells 2 p (1 - p) of the way at three quarters of the most or more."""
    limits = undated.worked.limits
    assert limits is not None
    helpful = {mark: ENGLISH.tell(says) for mark, says in limits.helpful.items()}
    assert helpful == {
        "door-handle": "Any untouched car from S729 to S1043. One with “Lever” would show that it lasted longer than "
        "is known."
    }, "the roof lamp's change is stated"
    assert helpful["door-handle"] in undated.words_of("marks/door-handle.html")


def test_a_series_without_a_calendar_shows_its_changes_by_number(undated: Laid) -> None:
    words = undated.words_of("marks/roof-lamp.html")
    assert "1 A round lamp To S598." in words
    assert "2 A square lamp From S590." in words
    assert between(undated, "marks/roof-lamp.html", "When it changed", "Each form") == (
        "The first car with “Square” was S590, the last with “Round” S598. By number, both were fitted in between. "
        "“Round” to “Square” Which car Not before Not after Because "
        "First car with “Square” S590 S590 Parts list 1 Last car with “Round” S598 S598 Parts list 1"
    )


def test_days_are_told_as_far_as_they_are_known(undated: Laid) -> None:
    """The handle is dated by the paper itself; S571, which still had the lever, is dated by nothing."""
    words = undated.words_of("marks/door-handle.html")
    assert "1 A long lever To about January 1962." in words
    assert "The first car with “Knob” left the works between December 1961 and March 1962." in words


def test_no_mark_of_it_is_said_not_to_have_changed(undated: Laid) -> None:
    for page in undated.site:
        if page.endswith(".html"):
            assert "It didn’t change with time" not in undated.words_of(page), page
    assert "Roof lamp Through the glass Round; square from S590" in undated.words_of("areas/cabin.html")


def test_each_part_stands_on_the_axis_of_its_facts(undated: Laid) -> None:
    words = undated.words_of("timeline.html")
    assert words.index("Inner door handle 1 Lever 2 Knob") < words.index("By number: saloon one form, then the next")
    assert words.index("By number: saloon") < words.index("Roof lamp 1 Round 2 Square")
    assert between(undated, "timeline.html", "First new Last old", "Example car interiors") == (
        "Roof lamp Round → to Square S590 S598 "
        "Inner door handle Lever → to Knob 2 December 1961 to 2 March 1962 S571 or later 25 November 1961 or later"
    )
    page = undated.site["timeline.html"].decode("utf-8")
    axes = re.findall(r'<svg class="band axis".*?</svg>', page)
    assert [re.findall(r">([^<>]+)</text>", axis) for axis in axes] == [
        ["1960", "1961", "1962", "1963", "Early", "Late"],
        ["S001", "S500", "S1000"],
    ]


def test_the_output_gives_no_day_where_only_a_number_is_known(undated: Laid) -> None:
    assert undated.worked.limits is not None
    rows = json.loads(json.dumps(limits_json(undated.worked.limits, ENGLISH)))
    square = next(row for row in rows if (row["mark"], row["form"]) == ("roof-lamp", "square"))
    for side in ("earliest", "latest"):
        edge = square["first"][side]
        assert edge["date"] is None
        assert edge["cars"] == [{"series": "saloon", "number": "S590", "stated": True}]
    knob = next(row for row in rows if (row["mark"], row["form"]) == ("door-handle", "knob"))
    assert (knob["first"]["earliest"]["date"], knob["first"]["earliest"]["cars"]) == ("1961-12-02", [])


def test_sheets_and_downloads_leave_out_the_days_that_are_not_known(undated: Laid) -> None:
    assert "Round, then square from S590." in undated.words_of("sheets/early.html")
    told = changeovers(undated)
    assert told["roof-lamp", "square"] == ["S590", "", "", "S598", "", "", "yes"]
    assert told["door-handle", "knob"][:3] == ["", "1961-12-02", "1962-03-02"]
