"""What readers meet on the pages: lists they can tell apart, sentences that begin as sentences, nothing said twice."""

from __future__ import annotations

import pathlib
import re
from collections import Counter
from dataclasses import replace
from datetime import date

import pytest

from guide.constants import CONSTANTS
from guide.dating.key import Cars
from guide.limits.wording import claim_said, statement_said
from guide.pages.kinds import how_we_know, mark, timeline
from guide.pages.kinds.atoz import name_lines
from guide.pages.parts.expected import expected_of
from guide.pages.parts.spells import summary_of
from guide.pages.parts.wording import licence_said
from guide.pages.shelf import Address, Shelf
from guide.words.say import load_words
from tests.told import ENGLISH, all_told, told


def test_forms_are_parted_by_semicolons_since_their_names_hold_commas(shelf: Shelf) -> None:
    summary = told(summary_of(shelf, shelf.guide.marks["maker-plate"]))
    assert summary == (
        "Etched with four rivets; printed with two rivets from about September 1968; "
        "label with paint code from 16 August 1971"
    )


def test_a_mark_that_no_kind_of_car_changed_is_summed_up_by_its_forms(shelf: Shelf) -> None:
    assert told(summary_of(shelf, shelf.guide.marks["wiper-rest"])) == "At rest on the left or at rest on the right"


def test_answers_run_on_as_one_sentence(shelf: Shelf) -> None:
    looks = {look.mark.id: look for look in expected_of(shelf, Cars(period="early"))}
    assert told(looks["horn-push"].says) == (
        "A plain black button (nine in ten); a bright button with a bird on it (five in a hundred)"
    )
    assert load_words().lower_first("A plain black button") == "a plain black button"
    assert load_words().lower_first("A-pillar") == "A-pillar"


def test_a_time_that_names_a_body_is_not_followed_by_that_body(shelf: Shelf) -> None:
    claims = [told(claim_said(shelf.guide, one)) for part in shelf.guide.marks.values() for one in part.statements]
    assert "First: the first open car" in claims
    assert "First: the first open car (left-hand drive)" in claims
    assert [claim for claim in claims if re.search(r"first open car \(open car", claim)] == []


def test_a_source_cited_in_a_sentence_has_its_page_in_brackets(shelf: Shelf) -> None:
    switches = shelf.guide.marks["switches"]
    stated = next(one for one in switches.statements if one.source == "bulletin-7" and one.form == "toggle")
    assert told(statement_said(shelf.guide, stated)) == (
        "Service bulletin 7, dash switches (page 3) gives C1840 as the last with “Toggles”"
    )


def test_a_whole_month_is_said_as_a_month(shelf: Shelf) -> None:
    assert shelf.words.day_span(date(1970, 5, 1), date(1970, 5, 31)) == "in May 1970"
    assert shelf.words.day_span(date(1970, 5, 1), date(1970, 6, 30)) == "between 1 May and 30 June 1970"
    assert shelf.words.day_span(date(1970, 5, 2), date(1970, 5, 31)) == "between 2 and 31 May 1970"


def test_changes_of_a_part_of_one_body_name_no_car_of_the_other(shelf: Shelf) -> None:
    changes = timeline.PAGE.context(shelf, Address("timeline", "", "timeline.html", "Timeline"))["changes"]
    figures = {one["mark"].id: (all_told(one["first"]), all_told(one["last"])) for one in changes}
    assert figures["luggage-strap"] == (
        ("C3373", "1 October 1970 to 31 March 1971"),
        ("C3400 or later", "1 January 1971 or later"),
    )
    assert figures["soft-top-window"] == (
        ("D1301", "1 January to 31 March 1971"),
        ("D1318 or later", "1 January 1971 or later"),
    )


def test_a_number_is_worked_back_from_a_day_only_where_none_was_stated_or_seen(shelf: Shelf) -> None:
    """The coupé's gear knob is dated to October 1970 and no coupé is named: C3222 had been built by then."""
    changes = timeline.PAGE.context(shelf, Address("timeline", "", "timeline.html", "Timeline"))["changes"]
    found = {(one["mark"].id, told(one["scope"])): all_told(one["first"]) for one in changes}
    assert found["gear-knob", "Coupé"] == ("October 1970", "(C3223)")
    marks = shelf.guide.marks.values()
    whens = [said.when for mark in marks for said in mark.statements]
    whens += [ruling.read_when for mark in marks for ruling in mark.rulings]
    named = {when.car.written for when in whens if when is not None and when.car is not None}
    for first, beneath in (one[end] for one in changes for end in ("first", "last")):
        stated = told(first) if told(beneath).startswith("(") else f"{told(first)} {told(beneath)}"
        assert set(re.findall(r"[CD]\d+L?", stated)) <= named, "a number that is no claim stands unbracketed"
        if told(beneath).startswith("("):
            assert not re.search(r"[CD]\d", told(first)), "a number is worked back beside one that was stated"


def test_two_bands_of_one_part_are_told_apart_in_words_too(shelf: Shelf) -> None:
    context = timeline.PAGE.context(shelf, Address("timeline", "", "timeline.html", "Timeline"))
    (stack,) = context["stacks"]  # the calendar dates both series
    rows = [row for group in stack["groups"] for row in group["rows"]]
    labels = [re.findall(r'aria-label="([^"]*)"', row["svg"])[0] for row in rows]
    assert (
        "Front lamps (coupé, for home). Clear: to C3710 (about June 1971); Split: from C3711 (16 August 1971)."
        in labels
    )
    assert len(set(labels)) == len(labels)


def test_small_counts_begin_their_sentences_in_capitals(shelf: Shelf) -> None:
    context = all_told(mark.PAGE.context(shelf, Address("mark", "soft-top-window", "", "")))
    assert context["seen"] in ("", "Twelve cars looked at here.")
    for address in timeline.PAGE.addresses(shelf):
        assert re.match(r"[A-Z0-9]", timeline.PAGE.context(shelf, address)["lead"])


def test_the_a_to_z_has_no_line_twice_and_none_that_leads_to_itself(shelf: Shelf) -> None:
    lines = name_lines(shelf)
    assert max(Counter((line.name.casefold(), line.says) for line in lines).values()) == 1
    assert [line.name for line in lines if line.says.casefold() == f"see {line.name.casefold()}"] == []


def test_the_a_to_z_counts_as_readers_do(shelf: Shelf) -> None:
    bulletins = [line.name.split(",")[0] for line in name_lines(shelf) if line.name.startswith("Service bulletin ")]
    assert bulletins == [f"Service bulletin {n}" for n in (2, 3, 4, 5, 6, 7, "7b", 8, 9, 10, 12, 16, 18, 19, 21)]


def test_part_numbers_lead_to_a_part_and_its_form(shelf: Shelf) -> None:
    assert [line.name for line in name_lines(shelf) if line.name.startswith("T1140")] == ["T1140"]
    assert ("T1203", "Outside mirror, “Bright on the door”") in {(one.name, one.says) for one in name_lines(shelf)}


@pytest.mark.parametrize(
    ("identity", "written"),
    [("CC-BY-SA-4.0", "CC BY-SA 4.0"), ("CC0-1.0", "CC0 1.0"), ("CC-BY-4.0", "CC BY 4.0"), ("MIT", "MIT")],
)
def test_licences_are_written_as_their_notices_are(identity: str, written: str) -> None:
    assert licence_said(identity) == written


@pytest.mark.parametrize(("built", "said"), [(True, "C0005 on"), (False, "C0005 on: never built")])
def test_a_run_whose_last_number_nobody_knows_goes_on(shelf: Shelf, built: bool, said: str) -> None:
    series = next(iter(shelf.guide.series.values()))
    run = replace(series.runs[0], first=5, last=None, built=built)
    guide = replace(shelf.guide, series={series.id: replace(series, runs=(run,))})
    (row,) = how_we_know.PAGE.context(replace(shelf, guide=guide), Address("how-we-know", "", "", ""))["series"]
    assert all_told(row["runs"]) == [f"{said} (Works ledger, an abstract)"]


def test_every_default_reads_as_a_figure_and_a_sentence(shelf: Shelf) -> None:
    rows = how_we_know.PAGE.context(shelf, Address("how-we-know", "", "", ""))["constants"]
    assert len(rows) == len(CONSTANTS)
    assert {row["value"] for row in rows} >= {"1,826", "0.02", "7"}
    for row in rows:
        meaning = ENGLISH.tell(row["meaning"])
        assert meaning[0].isupper()
        assert not meaning.endswith(".")


def test_a_default_that_names_a_test_names_one_that_is_there() -> None:
    root = pathlib.Path(__file__).resolve().parents[2]
    named = [path for one in CONSTANTS.values() for path in re.findall(r"tests/\S+\.py", ENGLISH.tell(one.source))]
    assert named
    assert [path for path in named if not (root / path).exists()] == []


# What readers are never shown: the words of the mathematics, and of the program's own insides.
_INSIDE = re.compile(
    r"\b(posterior|prior|entropy|bits?|likelihood|bayes\w*|spells?|slots?|enum|boolean|null)\b", re.IGNORECASE
)


def test_no_sentence_for_readers_speaks_of_the_works_inside() -> None:
    shown = {name: text for name, text in ENGLISH.templates.items() if name.startswith(("pages.", "dating."))}
    assert [name for name, text in shown.items() if _INSIDE.search(re.sub(r"\{[^}]*\}", "", text))] == []
    assert [one.meaning for one in CONSTANTS.values() if _INSIDE.search(f"{one.unit} {one.meaning}")] == []


_TYPED = re.compile(r"""\.\.|\s[,.;:]|\(\s*\)|(?<![{|])\b(\w+) \1\b|['"]|\s-\s|\s{2,}|^\s|\s$""", re.IGNORECASE)


def test_every_sentence_is_set_as_print_sets_it() -> None:
    shown = {
        name: text
        for name, text in ENGLISH.templates.items()
        if name.startswith(("pages.", "dating.", "limits.")) and "put-right" not in name
    }
    assert [name for name, text in shown.items() if _TYPED.search(text)] == []
