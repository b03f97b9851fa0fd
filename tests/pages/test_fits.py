"""What a chassis number should have: the claims about numbers, and both halves of expected and found."""

from __future__ import annotations

import dataclasses
import json
from typing import Any

import pytest

from guide.dating.apart_sentences import verdicts
from guide.dating.belief.evidence import Answer, Session
from guide.dating.key import Key
from guide.dating.model import dump_model
from guide.dating.output import explained
from guide.facts.types import CarNumber
from guide.facts.when.numbers import number_table, read_number
from guide.pages.parts.letter_facts import letter_facts
from guide.pages.shelf import Shelf
from guide.words.say import load_words
from tests.pages.scripts import evaluate
from tests.twins.alike import as_plain

SCRIPT = "fitting"


@pytest.fixture(scope="module")
def shelf(guide: Any, limits: Any, model: Any) -> Shelf:
    return Shelf(guide=guide, limits=limits, key=Key(model), words=load_words("en"))


@pytest.fixture(scope="module")
def bounds(shelf: Shelf) -> dict[str, Any]:
    """By mark and form the numbers that papers name for each spell and kind of car, in order."""
    return {
        mark.id: {form.id: [dict(one.numbers) for one in form.fitted] for form in mark.forms}
        for mark in shelf.key.model.marks
    }


def outcome(node: str, shelf: Shelf, car: str, **found: str) -> dict[str, Any]:
    """The parts of a car by mark, as the page works them out."""
    given = {
        "model": json.loads(dump_model(shelf.key.model)),
        "car": car,
        "words": shelf.words.chosen(("words.", "dating.")),
        "answers": [
            {"mark": mark.replace("_", "-"), "forms": forms.split("+"), "kind": "several" if "+" in forms else "form"}
            for mark, forms in found.items()
        ],
    }
    parts = evaluate(
        node,
        SCRIPT,
        """
        guide.fitting.outcome(
          guide.dating.prepare(given.model, given.words), given.model, given.car, given.answers)
          .parts.map((part) => [part.mark.id, part.forms.map((form) => form.id), part.verdict])
    """,
        given,
    )
    return {mark: (allowed, verdict) for mark, allowed, verdict in parts}


def test_claims_about_numbers_are_positions_in_their_series(shelf: Shelf, bounds: dict[str, Any]) -> None:
    car = read_number("C2004", number_table(shelf.guide.series))
    assert isinstance(car, CarNumber)
    last = shelf.lines["coupe"].position(car)
    assert last is not None
    assert bounds["door-card"]["plain"] == [{"coupe": (None, last)}]
    told = {series: ends for one in bounds["door-card"]["pocket"] for series, ends in one.items()}
    assert told == {"coupe": (last + 1, None), "open": (0, None)}, "from the first open car"


def test_a_claim_that_a_ruling_reads_for_some_cars_only_puts_nothing_out_on_others(
    node: str, shelf: Shelf, bounds: dict[str, Any]
) -> None:
    """Bulletin 7 speaks of right-hand cars, and a plain number does not tell the hand."""
    assert sorted(map(list, bounds["switches"]["toggle"])) == [[], ["coupe"]]
    assert "toggle" in outcome(node, shelf, "C1850")["switches"][0]
    assert "toggle" in outcome(node, shelf, "C1850L")["switches"][0]


@pytest.mark.parametrize(("car", "plain", "pocket"), [("C2004", True, False), ("C2005", False, True)])
def test_a_number_next_to_a_changeover_is_told_exactly(
    node: str, shelf: Shelf, car: str, plain: bool, pocket: bool
) -> None:
    allowed, verdict = outcome(node, shelf, car)["door-card"]
    assert ("plain" in allowed, "pocket" in allowed) == (plain, pocket)
    assert verdict == "not-looked"


def test_a_form_that_returns_is_allowed_in_each_of_its_spells(node: str, shelf: Shelf) -> None:
    cars = ("C1500", "C2500", "C3020", "C4000")
    bottles = {car: outcome(node, shelf, car)["washer-bottle"][0] for car in cars}
    assert bottles == {"C1500": ["bag"], "C2500": ["bottle"], "C3020": ["bag"], "C4000": ["bottle"]}


def test_what_was_found_is_as_expected_later_earlier_or_not_of_the_works(node: str, shelf: Shelf) -> None:
    parts = outcome(
        node,
        shelf,
        "C2500",
        switches="symbols",
        tail_lamps="round",
        horn_push="plain",
        belts="reel-later",
        dials="black-rim",
    )
    assert {mark: parts[mark][1] for mark in ("switches", "tail-lamps", "horn-push", "belts", "dials", "stalk")} == {
        "switches": "later",
        "tail-lamps": "as-expected",
        "horn-push": "earlier",
        "belts": "not-works",
        "dials": "as-expected",
        "stalk": "not-looked",
    }


def test_of_two_forms_found_one_that_the_works_fitted_is_enough_to_be_held_against_the_number(
    node: str, shelf: Shelf
) -> None:
    """Two belts of the works' later kind and of a later maker's: not both are foreign to the works."""
    assert outcome(node, shelf, "C2500", belts="reel+reel-later")["belts"][1] == "later"


def test_finds_that_exclude_each_other_are_still_held_against_the_number(node: str, shelf: Shelf) -> None:
    """Where nothing is ever lost or misread, late switches and early lamps are on no car that the engine knows."""
    certain = dataclasses.replace(
        shelf,
        key=Key(
            dataclasses.replace(
                shelf.key.model,
                marks=tuple(dataclasses.replace(mark, survives=1.0, misread=0.0) for mark in shelf.key.model.marks),
            )
        ),
    )
    parts = outcome(node, certain, "C2500", switches="symbols", tail_lamps="round")
    assert {mark: parts[mark][1] for mark in ("switches", "tail-lamps", "stalk")} == {
        "switches": "other",
        "tail-lamps": "as-expected",
        "stalk": "not-looked",
    }


def test_a_form_that_only_some_trims_have_is_right_for_those_alone(node: str, shelf: Shelf) -> None:
    assert outcome(node, shelf, "D1005", dash_facing="veneer")["dash-facing"][1] == "only"
    vinyl = outcome(node, shelf, "D1005", dash_facing="veneer", interior="black-vinyl")["dash-facing"]
    assert vinyl == (["crackle"], "other")
    leather = outcome(node, shelf, "D1005", dash_facing="veneer", interior="black-leather")["dash-facing"]
    assert leather == (["veneer"], "as-expected")


def test_fits_key_and_letter_say_in_one_voice_what_hangs_on_the_kind_of_car(node: str, shelf: Shelf) -> None:
    """Veneer on a car of which the trim is not known is not as expected and yet right for leather only: it is right for
    a car of that kind, on every page; so is every other form that only some of such cars have."""
    looked = [(mark, form) for mark in shelf.key.model.marks for form in mark.forms if mark.kind == "mark" and mark.ask]
    sessions = [Session((Answer(mark.id, (form.id,)),), "D1005", ("outside", "door")) for mark, form in looked]
    facts = letter_facts(shelf.guide, shelf.limits, shelf.words)
    given = {
        "model": json.loads(dump_model(shelf.key.model)),
        "words": dict(shelf.words.templates),
        "facts": facts,
        "asked": [as_plain(session) for session in sessions],
    }
    told = evaluate(
        node,
        (SCRIPT, "letter"),
        """(() => {
          const prepared = guide.dating.prepare(given.model, given.words), say = guide.words(given.words);
          return given.asked.map((session) => {
            const found = session.answers[0].mark;
            const part = guide.fitting.outcome(prepared, given.model, session.car, session.answers).parts
              .find((one) => one.mark.id === found);
            const settle = guide.dating.reasons(prepared, session).settle;
            const shown = guide.letter.compose(prepared, say, given.facts, session, "letter").sections
              .find((one) => one.name === "shows").lines[0].says;
            const key = guide.dating.explain(prepared, session).answers[0].says;
            const doubted = settle && settle.of === found ? settle.verdict : "";
            return [part ? part.verdict : "none", part ? guide.fitting.said(say, part) : "", key, doubted, shown];
          });
        })()""",
        given,
    )
    words, only = shelf.words, []
    expected, right = words.say("dating.verdict.expected"), words.say("dating.verdict.only", cars="")[:-2]
    for session, (verdict, fits, key, settle, letter) in zip(sessions, told, strict=True):
        mine = words.tell(explained(shelf.key.dated(session))["answers"][0]["says"])
        assert key == mine
        assert letter.endswith(key)
        assert settle in ("", key)
        if verdict in ("as-expected", "only"):
            assert fits == key, session
        else:
            assert key != expected, session
            assert not key.startswith(right), session
        only += [session] if verdict == "only" else []
    assert len(only) > 8
    assert Session((Answer("dash-facing", ("veneer",)),), "D1005", ("outside", "door")) in only


def test_the_key_calls_nothing_expected_that_no_page_calls_right_for_the_car(shelf: Shelf) -> None:
    """A veneered dash beside vinyl seats has been changed, or the seats have, whatever the date."""
    key = Key(shelf.key.model)

    def said(*answers: Answer, car: str | None = None) -> dict[str, str]:
        told = verdicts(key.dated(Session(answers, car)))
        return {shelf.key.model.marks[one.mark].id: verdict for one, verdict in told}

    trim, dash = Answer("interior", ("black-vinyl",)), Answer("dash-facing", ("veneer",))
    for car in ("D1005", None):
        assert said(trim, dash, car=car)["dash-facing"] != "expected"
        assert said(Answer("interior", ("black-leather",)), dash, car=car)["dash-facing"] == "expected"
    assert said(Answer("luggage-strap", ("leather",)), car="D1005")["luggage-strap"] != "expected"
    assert said(dash)["dash-facing"] == "expected", "one answer alone is never accused"
