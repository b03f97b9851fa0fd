"""What the works can have fitted to a car: the demo's hard cars, and what is known of one beside its number."""

from __future__ import annotations

from typing import Any

import pytest

from guide.dating.belief.evidence import Answer, Session
from guide.dating.fitted_sentences import fitted_said, trims_of
from guide.dating.key import Key
from guide.words.say import load_words


@pytest.fixture(scope="module")
def key(model: Any) -> Key:
    return Key(model)


def fitted(key: Key, car: str | None, *answers: Answer, **known: str) -> dict[str, dict[str, Any]]:
    """What a car should have: for each mark its forms, each with the kinds of car that can have it."""
    found = {}
    for one in key.dated(Session(answers, car, known=known)).fitted:
        mark = key.model.marks[one.mark]
        found[mark.id] = {
            mark.forms[form.form].id: [dict(scope.cars) for scope in form.scopes if scope.cars] for form in one.forms
        }
    return found


def said(key: Key, car: str) -> dict[str, str]:
    told = key.dated(Session((), car)).fitted
    words, trims = load_words("en"), trims_of(key.model, told)
    return {key.model.marks[one.mark].id: words.tell(fitted_said(key.model, one, trims)) for one in told}


def test_the_last_open_car_but_five_before_the_strike(key: Key) -> None:
    """D1010 is the last open car before it, by the claims about numbers: what came with the restart is out."""
    vinyl, leather = ("black-vinyl", "tan-vinyl"), ("black-leather", "tan-leather")
    found = fitted(key, "D1005")
    assert found["demister-vents"] == {"two": []}
    assert found["inner-lever"] == {"loop": []}
    assert found["dash-facing"] == {"crackle": [{"interior": vinyl}], "veneer": [{"interior": leather}]}
    assert found["belts"] == {"static": [{"market": ("home", "continent")}], "reel": [{"market": ("north-america",)}]}
    assert found["front-lamps"] == {
        "clear": [{"market": ("home",)}],
        "split": [{"market": ("continent",)}],
        "amber": [{"market": ("north-america",)}],
    }
    assert found["interior"] == {one: [] for one in (*vinyl, *leather)}
    assert "luggage-strap" not in found, "a mark of the other body"


def test_it_is_said_in_a_few_words(key: Key) -> None:
    found = said(key, "D1005")
    assert found["demister-vents"] == "Two vents"
    assert found["dash-facing"] == "Crackle finish (vinyl trim); veneer (leather trim)"
    assert found["belts"] == "Static belt (for home or for the continent); reel belt (for North America)"
    lamps = "Clear (for home); split (for the continent); amber (for North America)"
    assert found["front-lamps"] == lamps
    assert found["tunnel-tray"] == "Tray with a lid; open tray (vinyl trim only)", "every leather car has the lid"
    wipers = "Probably at rest on the left (right-hand drive); at rest on the right (left-hand drive)"
    assert found["wiper-rest"] == wipers


def test_what_is_known_of_the_car_leaves_only_what_such_a_car_can_have(key: Key) -> None:
    found = fitted(key, "D1005", Answer("interior", ("black-vinyl",)))
    assert found["dash-facing"] == {"crackle": []}
    assert found["door-card"] == {"pocket": []}
    assert fitted(key, "D1005L")["front-lamps"] == {
        "split": [{"market": ("continent",)}],
        "amber": [{"market": ("north-america",)}],
    }


def test_what_no_such_car_can_be_is_left_out_of_account(key: Key) -> None:
    """No open car had tan cloth: the trim is not the car's own, and tells nothing of the rest."""
    assert fitted(key, "D1005", Answer("interior", ("tan-cloth",))) == fitted(key, "D1005")


@pytest.mark.parametrize(("car", "trims"), [("C2900", True), ("C3001", False)])
def test_a_trim_ends_with_the_number_that_is_stated(key: Key, car: str, trims: bool) -> None:
    assert ("tan-vinyl" in fitted(key, car)["interior"]) == trims


def test_without_a_number_the_body_decides_which_marks_there_are(key: Key) -> None:
    assert "soft-top-window" not in fitted(key, None, Answer("body", ("coupe",)))
    assert "luggage-strap" not in fitted(key, None, Answer("body", ("open",)))
    both = key.dated(Session()).fitted
    only = {key.model.marks[one.mark].id: one.only for one in both if one.only != ({},)}
    assert only == {"soft-top-window": ({"series": ("open",)},), "luggage-strap": ({"series": ("coupe",)},)}


def test_papers_narrow_what_a_car_should_have(key: Key) -> None:
    assert fitted(key, None, registered="1968-02")["belts"] == {"static": []}
    assert set(fitted(key, None)["belts"]) == {"static", "reel"}


def test_an_option_that_few_ordered_is_reckoned_with_while_it_was_to_be_had(key: Key) -> None:
    assert "wood-rim" in fitted(key, "C2500")["steering-wheel"]
    assert "wood-rim" not in fitted(key, "C1100")["steering-wheel"]


def test_a_car_should_have_what_a_good_source_says_and_probably_had_the_rest(key: Key) -> None:
    sure = {key.model.marks[one.mark].id: one.sure for one in key.dated(Session((), "D1005")).fitted}
    assert sure["demister-vents"], "bulletin 16 gives the last, and nothing went before"
    assert sure["filler-cap"], "no paper gives the last snap cap, but one the first screw cap"
    assert not sure["wiper-rest"], "only the handbook speaks of it"


@pytest.mark.parametrize(
    ("car", "mark", "forms"),
    [
        ("C1100", "switches", {"toggle"}),
        ("C1822", "switches", {"toggle", "rocker"}),
        ("C2500", "switches", {"rocker"}),
        ("C3900", "switches", {"symbols"}),
        ("C1900L", "outside-mirror", {"door-bright"}),
        ("D834", "tail-lamps", {"round"}),
        ("C1500", "washer-bottle", {"bag"}),
        ("C2500", "washer-bottle", {"bottle"}),
        ("D941L", "horn-push", {"crest", "padded"}),
        ("D940L", "horn-push", {"crest"}),
    ],
)
def test_the_forms_of_known_cars(key: Key, car: str, mark: str, forms: set[str]) -> None:
    """Worked by hand from the demo's statements."""
    assert set(fitted(key, car)[mark]) == forms


def test_forms_that_changed_together_did_so_only_on_the_cars_that_this_is_said_of(key: Key) -> None:
    """Cars for North America had reel belts from November 1969, months before the restart of the others."""
    america = Answer("market", ("north-america",))
    assert fitted(key, "C2880", america)["belts"] == {"reel": []}
    assert fitted(key, "C2880", Answer("market", ("home",)))["belts"] == {"static": []}
