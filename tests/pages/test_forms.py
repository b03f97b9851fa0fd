"""Telling two forms of one mark apart: which pairs there are, what a page says, and in which order."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from datetime import date
from itertools import combinations
from typing import Any

from guide.dating.belief.evidence import Answer, Session
from guide.dating.key import Cars, Key
from guide.pages.kinds.tell_forms_apart import DRAWN, PAGE, addresses_left, forms_told
from guide.pages.parts.expected import usual_first
from guide.pages.parts.pairs import LEAST_BITS, pairs_of
from guide.pages.shelf import Address, Shelf
from tests.dating.asking import conclude
from tests.told import all_told


def context_of(shelf: Shelf, identity: str) -> Any:
    return dict(all_told(PAGE.context(shelf, Address("forms", identity, "", ""))))


def test_neighbours_have_a_page_and_any_other_two_are_told_apart_on_their_parts(shelf: Shelf) -> None:
    pairs = {pair.id: pair for mark in shelf.guide.marks.values() for pair in pairs_of(mark)}
    assert set(pairs) == {
        f"{mark.id}/{one}/{other}" for mark in shelf.guide.marks.values() for one, other in combinations(mark.forms, 2)
    }
    listed = {address.id: address.path for address in PAGE.addresses(shelf)}
    assert set(listed) == {identity for identity, pair in pairs.items() if pair.neighbours}
    assert len(listed) > 40
    left = {old.path: there for old, there in addresses_left(shelf)}
    assert len(listed) + len(left) == len(pairs) == len({*listed.values(), *left})
    assert {path.split("/")[0] for path in (*listed.values(), *left)} == {"forms"}
    there = left["forms/switches-toggle-or-symbols.html"]
    assert (there.path, there.title) == (
        "marks/switches.html#two=toggle,symbols",
        "Small switches: toggles or rockers with signs?",
    )


def test_neighbours_come_first_those_that_followed_and_those_that_are_mistaken(shelf: Shelf) -> None:
    said = [(pair.one.id, pair.other.id, pair.neighbours) for pair in pairs_of(shelf.guide.marks["switches"])]
    assert said == [("toggle", "rocker", True), ("rocker", "symbols", True), ("toggle", "symbols", False)]
    badge = [(pair.one.id, pair.other.id, pair.neighbours) for pair in pairs_of(shelf.guide.marks["bonnet-badge"])]
    assert badge == [("enamel", "foil", True), ("enamel", "enamel-remade", True), ("foil", "enamel-remade", False)]


def test_what_else_tells_is_ranked_as_the_ranking_of_forms(shelf: Shelf) -> None:
    """The page's rows are exactly what the key ranks, in its order, less what is never asked for or looks alike."""

    def shown(shares: Sequence[float]) -> list[int]:
        return [at for at, _ in usual_first(dict(enumerate(shares)))]

    seen = 0
    for mark in shelf.guide.marks.values():
        for pair in pairs_of(mark):
            if not (pair.one.dates_a_car and pair.other.dates_a_car):
                continue
            ranked = [
                told.mark
                for told in shelf.key.tell_apart(*(Cars(built=(mark.id, form.id)) for form in (pair.one, pair.other)))
                if told.gain_bits >= LEAST_BITS and told.mark != "maker-plate" and shown(told.one) != shown(told.other)
            ]
            context = context_of(shelf, pair.id)
            drawn, further = context["drawn"], context["further"]
            alike = {row.id for row in (*drawn, *further) if row.one[0].answer == row.other[0].answer}
            assert [row.id for row in drawn] == [one for one in ranked if one not in alike][:DRAWN]
            assert [row.id for row in further] == [one for one in ranked if one not in {row.id for row in drawn}]
            seen += len(ranked)
    assert seen > 250


def test_the_toggles_and_the_rockers(shelf: Shelf) -> None:
    context = context_of(shelf, "switches/toggle/rocker")
    assert context["heading"] == "Toggles or rockers?"
    assert shelf.places["forms", "switches/toggle/rocker"].title == "Small switches: toggles or rockers?"
    toggle, rocker = context["sides"]
    assert toggle["form"].picture == "switches-toggle.svg"
    assert rocker["form"].picture == "switches-rocker.svg"
    assert toggle["spare"] == rocker["spare"] == ""
    assert [change["forms"] for change in context["changes"]] == [("toggle", "rocker")]
    best = context["drawn"][0]
    assert (best.name, best.how) == ("Courtesy lamp", "Through the glass")
    assert [form.link for form in best.one[:1]] == [("mark", "courtesy-lamp", "form-single")]
    assert [form.link for form in best.other[:1]] == [("mark", "courtesy-lamp", "form-pair")]
    assert [pair.id for pair in context["others"]] == ["switches/rocker/symbols", "switches/toggle/symbols"]


def test_what_it_says_of_the_date_is_what_the_key_concludes_from_that_answer_alone(shelf: Shelf) -> None:
    for mark, form in (("switches", "toggle"), ("dash-facing", "veneer"), ("belts", "reel")):
        result = conclude(shelf.key.model, Session((Answer(mark, (form,), "form"),)))["result"]
        spans = [
            shelf.words.span(date.fromisoformat(span["from"]), date.fromisoformat(span["to"]))
            for span in result["spans"]
            if span["level"] == 0.9
        ]
        pair = next(pair for pair in pairs_of(shelf.guide.marks[mark]) if form in (pair.one.id, pair.other.id))
        side = next(one for one in context_of(shelf, pair.id)["sides"] if one["form"].id == form)
        assert side["today"] == f"Nine in ten cars that show it today were built {shelf.words.one_of(spans)}."


def test_a_form_that_the_works_never_fitted_goes_with_nothing(shelf: Shelf) -> None:
    context = context_of(shelf, "belts/static/reel-later")
    assert context["drawn"] == context["further"] == []
    answer = shelf.guide.marks["belts"].forms["reel-later"].answer
    assert context["lead"] == f"The works never fitted “{answer}”, so nothing else on a car goes with it."
    assert context["sides"][1]["today"] == ""
    assert context["sides"][1]["spare"] == "It tells you nothing about when the car was built."
    assert context["sides"][1]["spans"] == []


def test_a_pair_taken_for_one_another_says_how_to_tell(shelf: Shelf) -> None:
    taken = context_of(shelf, "bonnet-badge/enamel/enamel-remade")["taken_for"]
    assert [one.form for one in taken] == ["enamel-remade"]
    assert context_of(shelf, "bonnet-badge/foil/enamel-remade")["taken_for"] == []


def test_a_mark_that_is_never_asked_for_tells_nothing_of_the_date(shelf: Shelf) -> None:
    pair = pairs_of(shelf.guide.marks["maker-plate"])[0]
    assert [side["today"] for side in context_of(shelf, pair.id)["sides"]] == ["", ""]
    assert "maker-plate" not in [told.id for told in forms_told(shelf, pairs_of(shelf.guide.marks["switches"])[0])]


def test_the_trim_stands_among_what_tells_with_a_way_to_each_interior(shelf: Shelf) -> None:
    context = context_of(shelf, "seat-facing/wide/weave")
    trim = next(row for row in (*context["drawn"], *context["further"]) if row.id == "interior")
    assert trim.link is None
    assert {form.link[0] for form in (*trim.one, *trim.other) if form.link} == {"interior"}


def test_when_the_works_fitted_a_form_is_said_of_that_form_alone(shelf: Shelf) -> None:
    """Bulletin 7 has toggles to C1840 (May 1968) on right-hand cars, C2210L of November 1968 had them too; the signs
    came with C3711 and D1581 in August 1971. The bag came back with the restart on 27 April 1970."""
    toggle, symbols = context_of(shelf, "switches/toggle/symbols")["sides"]
    assert toggle["spans"] == [
        "Coupé, right-hand drive: to C1840 (about May 1968)",
        "Coupé, left-hand drive: to C2210L at least (about December 1968)",
    ]
    assert symbols["spans"] == ["From C3711 or D1581 (16 August 1971)"]
    bag, _ = context_of(shelf, "washer-bottle/bag/bottle")["sides"]
    assert bag["spans"] == [
        "Coupé: to C2004 (about June 1968)",
        "From C3001 or D1011 (27 April 1970) to C3052 or D1061 (about May 1970)",
    ]


def test_a_form_that_is_on_no_car_today_says_nothing_of_when_such_cars_were_built(shelf: Shelf) -> None:
    """An option that nobody ordered, on a part that is never lost and never misread."""

    def without(mark: Any) -> Any:
        wood = [form.id for form in mark.forms].index("wood")
        mixes = tuple(
            mix
            if isinstance(mix, int)
            else tuple(0.0 if form == wood else share / (1 - mix[wood]) for form, share in enumerate(mix))
            for mix in mark.mixes
        )
        return dataclasses.replace(mark, survives=1.0, misread=0.0, mixes=mixes)

    marks = tuple(without(mark) if mark.id == "gear-knob" else mark for mark in shelf.key.model.marks)
    nobody = dataclasses.replace(shelf, key=Key(dataclasses.replace(shelf.key.model, marks=marks)))
    ball, wood = context_of(nobody, "gear-knob/ball/wood")["sides"]
    assert (bool(ball["today"]), wood["today"]) == (True, "")
