"""What the pages of the demo's marks say: kinds of car in words, edges told once, forms with their fittings."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import product
from typing import Any

import pytest

from guide.facts.types import FittedAs, Mark, Scope
from guide.finding import Place, Step, StepKind
from guide.limits.wording import scope_said
from guide.pages.kinds.mark import PAGE
from guide.pages.parts.changes import Notes, _shared, changes_explained
from guide.pages.parts.spells import scopes_said
from guide.pages.parts.wording import fittings_said
from guide.pages.shelf import Address, Shelf
from guide.sentence import Sentence, sentence
from guide.words.say import load_words, upper_first
from tests.told import all_told, told


def context(shelf: Shelf, mark: str) -> dict[str, Any]:
    return dict(all_told(PAGE.context(shelf, Address("mark", mark, f"marks/{mark}.html", mark))))


def changes(shelf: Shelf, mark: str) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = all_told(changes_explained(shelf, shelf.guide.marks[mark], Notes(shelf)))
    return found


def lines(change: dict[str, Any]) -> list[str]:
    """The rows of the table of a change, their cells apart by bars."""
    return [
        " | ".join(
            (edge["what"], edge["not_before"], edge["not_after"], "".join(text for _, text, _ in edge["because"]))
        )
        for edge in change["edges"]
    ]


@pytest.mark.parametrize(
    ("parts", "says"),
    [
        ((), ""),
        ((("hand", ("right",)), ("series", ("coupe",))), "coupé, right-hand drive"),
        ((("market", ("home", "continent")),), "for home or for the continent"),
        ((("interior", ("black-leather", "tan-leather")),), "black leather or tan leather"),
        (
            (("interior", ("black-vinyl", "tan-vinyl", "red-vinyl", "herringbone", "tan-cloth", "black-cloth")),),
            "any interior but black leather or tan leather",
        ),
        (
            (("interior", ("black-vinyl", "tan-vinyl", "red-vinyl")), ("series", ("open",))),
            "open car, any interior but black leather or tan leather",
        ),
        (
            (
                ("interior", ("black-vinyl", "tan-vinyl", "red-vinyl", "black-leather", "tan-leather")),
                ("series", ("open",)),
            ),
            "open car",
        ),
    ],
)
def test_kinds_of_car_are_said_as_inside_a_sentence(shelf: Shelf, parts: tuple[object, ...], says: str) -> None:
    assert told(scope_said(shelf.guide, Scope(parts))) == says  # type: ignore[arg-type]


def test_what_holds_of_both_bodies_is_said_without_naming_them(shelf: Shelf) -> None:
    vinyl = ("black-vinyl", "tan-vinyl", "red-vinyl")
    cloth = ("herringbone", "tan-cloth", "black-cloth")
    both = (
        Scope((("interior", (*vinyl, *cloth)), ("series", ("coupe",)))),
        Scope((("interior", vinyl), ("series", ("open",)))),
    )
    assert told(scopes_said(shelf, both)) == "Any interior but black leather or tan leather"
    assert scopes_said(shelf, (Scope((("series", ("coupe",)),)), Scope((("series", ("open",)),)))) == ""
    mixed = (Scope((("hand", ("left",)), ("series", ("coupe",)))), Scope((("series", ("open",)),)))
    assert told(scopes_said(shelf, mixed)) == "Coupé, left-hand drive; open car"


def test_names_are_bent_only_where_they_are_words() -> None:
    assert [load_words().lower_first(name) for name in ("Toggles", "T1091", "CX cars", "")] == [
        "toggles",
        "T1091",
        "CX cars",
        "",
    ]
    assert upper_first("for North America") == "For North America"


def test_kinds_of_car_that_changed_alike_share_a_sentence(shelf: Shelf) -> None:
    (first, second) = changes(shelf, "switches")
    assert [one["scope"] for one in first["variants"]] == ["Coupé, right-hand drive", "Coupé, left-hand drive"]
    assert [one["scope"] for one in second["variants"]] == [""]


def test_two_edges_that_rest_on_one_statement_are_one_line(shelf: Shelf) -> None:
    (change,) = changes(shelf, "gear-knob")[:1]
    assert lines(change)[0] == (
        "First car with “Pear” | 1 October 1970 | 31 October 1970 | "
        "Service bulletin 18, handles, knobs and winders (page 2)"
    )
    (handles,) = changes(shelf, "door-handles")
    assert any(
        "gives C3259 as the first, and the calendar has C3259 built in that time" in line for line in lines(handles)
    )


def test_edges_that_no_sentence_rests_on_are_left_out(shelf: Shelf) -> None:
    """Where no source says when the last was built, that it was before the end of production goes without saying."""
    for mark in shelf.guide.marks:
        for change in changes(shelf, mark):
            for line in lines(change):
                assert not re.search("29 September 1972|20 October 1972", line), (mark, line)


def test_a_form_that_no_car_of_a_kind_was_built_with_is_not_spoken_of_there(shelf: Shelf) -> None:
    """Every open car with leather had the lid."""
    scopes = [one["scope"] for change in changes(shelf, "tunnel-tray") for one in change["variants"]]
    assert scopes == ["Any interior but black leather or tan leather", "Coupé, black leather or tan leather"]


def step(kind: StepKind, says: Sentence, line: int = 1) -> Step:
    return Step(kind, Place("marks/x.yml", line, 1), "", says, 0)


def test_what_one_statement_gives_is_shared_only_when_the_rest_agrees() -> None:
    stated, other = step(StepKind.STATEMENT, Sentence("a")), step(StepKind.STATEMENT, Sentence("b"), 2)
    since = step(StepKind.CALENDAR, sentence("limits.calendar-from-then", car="C1"))
    until = step(StepKind.CALENDAR, sentence("limits.calendar-by-then", car="C1"))
    elsewhere = step(StepKind.CALENDAR, sentence("limits.calendar-by-then", car="C2"))
    shared = _shared((stated, since), (stated, until))
    assert [one.says for one in shared] == [Sentence("a"), sentence("limits.calendar-then", car="C1")]
    assert _shared((stated, since), (stated, elsewhere)) == ()
    assert _shared((stated,), (other,)) == ()
    assert [one.says for one in _shared((stated,), (stated, until))] == [Sentence("a"), until.says]
    assert _shared((), (stated,)) == ()


def test_how_a_form_came_to_be_on_a_car_says_also_only_beside_the_works(shelf: Shelf) -> None:
    forms = {(mark.id, form.id): form for mark in shelf.guide.marks.values() for form in mark.forms.values()}
    estimated = " Its dates are the editor’s estimate."
    for (mark, form), said in {
        ("inside-mirror", "black-back"): "Sold as a spare from 1973.",
        ("switches", "symbols"): "Also sold as a spare from 1975.",
    }.items():
        assert all_told(fittings_said(shelf.guide, forms[mark, form])) == [said + estimated]
    (dimpled,) = fittings_said(shelf.guide, forms["pedal-rubbers", "dimpled"])
    assert told(dimpled) == "Also sold as a spare from spring 1969." + estimated
    assert all_told(fittings_said(shelf.guide, forms["gear-knob", "wood"])) == [
        "Fitted by the works to order from March 1968 to July 1971.",
        "Also made as a reproduction since 1984." + estimated,
    ]


def test_a_way_of_being_fitted_is_said_with_each_end_that_is_stated(shelf: Shelf) -> None:
    form = shelf.guide.marks["gear-knob"].forms["wood"]
    (ordered,) = [one for one in form.fitted_as if one.kind is FittedAs.OPTION]
    kinds = [kind for kind in FittedAs if kind is not FittedAs.FACTORY]
    for works in (FittedAs.FACTORY, FittedAs.REPRODUCTION):
        for kind in (kind for kind in kinds if kind is not works):  # twice the same is one sentence, on and off
            for first, last in product((ordered.first, None), (ordered.last, None)):
                fitting = replace(ordered, kind=kind, first=first, last=last, note="")
                alike = replace(form, fitted_as=(replace(ordered, kind=works), fitting))
                said = all_told(fittings_said(shelf.guide, alike))[-1]
                assert ("March 1968" in said, "July 1971" in said) == (first is not None, last is not None), said
    spare = replace(ordered, kind=FittedAs.SERVICE_PART, first=None)
    sourced, estimate = spare, replace(spare, source="")
    for spares, after in {
        (sourced,): "",
        (estimate,): " Its dates are the editor’s estimate.",
        (sourced, estimate): " Some of these dates are the editor’s estimate.",
    }.items():
        (said,) = all_told(fittings_said(shelf.guide, replace(form, fitted_as=spares)))
        assert said.startswith("Sold as a spare until July 1971.")
        assert said.partition("July 1971.")[2].removeprefix(" Again until July 1971.") == after


def test_every_form_says_how_many_or_that_nobody_knows(shelf: Shelf) -> None:
    for mark in shelf.guide.marks:
        for one in context(shelf, mark)["forms"]:
            assert one["counts"]
    black = context(shelf, "inside-mirror")["forms"][2]
    assert black["counts"] == ["How many there were is not known."]


def test_a_ruling_says_what_it_makes_of_its_statement(shelf: Shelf) -> None:
    standing = [
        row["standing"]
        for mark in ("switches", "tail-lamps")
        for row in context(shelf, mark)["statements"]
        if row["ruling"]
    ]
    assert standing == ["Read as speaking of some cars only (right-hand drive), by ruling", "Read as D880, by ruling"]


def test_a_part_is_called_what_it_is_called_once_in_each_language(shelf: Shelf) -> None:
    also = context(shelf, "horn-push")["also"]
    assert [(one["lead"], one["names"]) for one in also] == [
        ("", ("wheel centre", "horn push")),
        ("In German:", ("Hupenknopf", "Hornknopf")),
    ]


def test_a_plate_is_shown_and_no_verdict_rests_on_it(shelf: Shelf) -> None:
    told = context(shelf, "maker-plate")["tells"]
    assert told["says"].startswith("Nothing, by itself")


def test_statements_stand_form_by_form_and_read_as_english(shelf: Shelf) -> None:
    for mark in shelf.guide.marks.values():
        rows = context(shelf, mark.id)["statements"]
        order = [_at(mark, row["form"].id) for row in rows]
        assert order == sorted(order)
        for row in rows:
            assert not re.search(r"\b(\w+) \1\b|about 1 cars|car cars|on [A-Z][a-z]+ \d{4}, a car", row["claim"]), row


def _at(mark: Mark, form: str) -> int:
    return list(mark.forms).index(form)


def test_what_a_ruling_speaks_of_is_said_as_a_sentence(shelf: Shelf) -> None:
    from guide.pages.kinds.sources import PAGE as SOURCES

    context_ = all_told(SOURCES.context(shelf, Address("sources", "", "sources.html", "Sources")))
    assert [one["stated"] for one in context_["rulings"]] == [
        "Parts list, second edition (page 60) gives D780 as the first with “Oblong”",
        "Service bulletin 7, dash switches (page 3) gives C1840 as the last with “Toggles”",
    ]


def test_a_part_that_is_never_asked_for_tells_no_two_apart(shelf: Shelf) -> None:
    from guide.dating.key import Cars
    from guide.pages.parts.expected import most_telling
    from guide.pages.parts.told_apart import told_of

    *others, last = [Cars(period=one) for one in shelf.guide.periods]
    assert "maker-plate" not in [told.mark for told in told_of(shelf, others[-1], last)]
    assert "maker-plate" not in most_telling(shelf, last)
    vinyls = Cars(interior="black-vinyl"), Cars(interior="red-vinyl")
    assert "maker-plate" in [told.mark for told in shelf.key.tell_apart(*vinyls)][:20]
    assert "maker-plate" not in [told.mark for told in told_of(shelf, *vinyls)]


def test_each_reason_carries_the_number_of_its_own_source(shelf: Shelf) -> None:
    notes = Notes(shelf)
    (first, *_) = changes_explained(shelf, shelf.guide.marks["switches"], notes)
    reasons = [piece for edge in first["edges"] for piece in edge["because"] if piece[0] == "reason"]
    listed = {row["number"]: row["part"].removeprefix("source-") for row in notes.listed()}
    assert {listed.get(number, "") for _, _, number in reasons} >= {"bulletin-7", "ledger"}
    for _, text, number in reasons:
        if number and shelf.guide.sources[listed[number]].name in text:
            continue
        assert number == 0 or "calendar" in text, text
