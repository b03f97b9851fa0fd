"""The demo guide as a volunteer meets it: odd cars dated right, their odd parts named once, in fit words."""

from __future__ import annotations

import dataclasses
import gzip
import json
from typing import Any

import pytest

from guide.dating.belief.evidence import Session
from guide.dating.building.build import build_model
from guide.dating.key import Cars, Key
from guide.dating.model import Model, dump_model
from guide.facts.types import StatementKind
from tests.dating.asking import conclude, explain, key_of, read_answer
from tests.dating.loading import load_model
from tests.dating.tiny_models import plain_mark, plain_model


def seen(model: Model, text: str, **more: Any) -> Session:
    return Session(tuple(read_answer(model, *one.split("=")) for one in text.split()), **more)


RETRIMMED = (
    "body=coupe switches=toggle horn-push=plain courtesy-lamp=single glove-latch=knob seat-lever=wire "
    "seat-facing=narrow door-card=pocket kick-panel=covered tunnel-tray=lidded"
)


def test_a_retrimmed_cabin_is_dated_right_and_its_parts_named_once(model: Model) -> None:
    """Early by everything else; the trim is three years later and speaks as one."""
    session = seen(model, RETRIMMED)
    periods = {row["id"]: row["chance"] for row in conclude(model, session)["periods"]}
    assert periods["launch"] + periods["early"] > 0.99
    groups = explain(model, session)["apart_groups"]
    assert [set(group["marks"]) for group in groups] == [{"seat-facing", "door-card", "kick-panel", "tunnel-tray"}]
    assert "renewed together" in groups[0]["says"]


def test_a_later_top_and_later_belts_stand_apart_from_a_middle_car(model: Model) -> None:
    session = seen(
        model,
        "body=open soft-top-window=zip belts=reel dials=black-rim tail-lamps=round "
        "kick-panel=covered demister-vents=two dash-facing=crackle horn-push=crest",
    )
    result = conclude(model, session)
    assert max(result["periods"], key=lambda row: row["chance"])["id"] == "middle"
    apart = {row["mark"] for row in result["apart"] if row["chance"] > 0.5}
    assert apart == {"soft-top-window", "belts"}
    assert all(row["replaced"] > row["misread"] for row in result["apart"] if row["chance"] > 0.5)
    assert all("later type" in group["says"] for group in explain(model, session)["apart_groups"])


def test_a_copy_tells_nothing_of_the_date_and_is_called_a_copy(model: Model) -> None:
    session = seen(model, "bonnet-badge=enamel-remade")
    before = conclude(model, Session())["periods"]
    after = conclude(model, session)["periods"]
    for one, other in zip(before, after, strict=True):
        assert one["chance"] == pytest.approx(other["chance"], abs=1e-4)
    assert "good copy" in explain(model, session)["apart_groups"][0]["says"]


def test_a_mark_that_does_not_apply_says_nothing(model: Model) -> None:
    """A soft top's window dates no coupé: it says only, weakly beside an answer, that the car may be an open one."""
    coupe, odd = (
        {row["id"]: row["chance"] for row in conclude(model, seen(model, answers))["periods"]}
        for answers in ("body=coupe", "body=coupe soft-top-window=zip")
    )
    assert odd == pytest.approx(coupe, abs=1e-2)


def test_the_key_never_asks_of_a_coupe_what_only_an_open_car_has(model: Model) -> None:
    answers = "body=coupe"
    for _ in range(12):
        result = conclude(model, seen(model, answers, reach=("outside",)))
        if result["next"] is None:
            break
        assert result["next"]["mark"] != "soft-top-window"
        answers += f" {result['next']['mark']}=cannot-tell"
    assert answers.count("cannot-tell") >= 5, "or nothing was tried"


def test_reach_is_kept_to_and_what_lies_beyond_it_is_offered(model: Model) -> None:
    session = seen(model, "tail-lamps=round door-handles=button", reach=("outside",))
    reaches = {mark.id: mark.reach for mark in model.marks}
    result, said = conclude(model, session), explain(model, session)
    assert result["next"] is None or reaches[result["next"]["mark"]] == "outside"
    assert said["beyond"]["says"].startswith(("Through the glass", "With a door open"))


def test_photographs_allow_what_shows_in_them_and_nothing_else(model: Model) -> None:
    shows = {mark.id for mark in model.marks if mark.photographs}
    answers = ""
    while (asked := conclude(model, seen(model, answers, reach=("photographs",)))["next"]) is not None:
        assert asked["mark"] in shows
        assert asked["reach"] == "photographs"
        answers += f" {asked['mark']}=cannot-tell"
    assert answers


def test_getting_close_is_paid_for_once(model: Model) -> None:
    """The first look through the glass costs getting there, the second does not."""
    first = conclude(model, seen(model, "", reach=("glass",)))["next"]
    again = conclude(model, seen(model, f"{first['mark']}=cannot-tell", reach=("glass",)))["next"]
    assert first["effort"] > again["effort"]


@pytest.mark.parametrize(
    ("answers", "says"),
    [
        ("", "There isn’t enough here to say. It fits anything from "),
        ("tail-lamps=oblong-reverse", "This car was probably built between August 1971 and October 1972."),
        ("tail-lamps=round door-handles=button", "may well have been built between November 1967 and December 1968"),
        (
            "tail-lamps=oblong-reverse stalk=black-symbol handbrake-grip=smooth switches=symbols horn-push=padded "
            "maker-plate=label front-lamps=split",
            "almost certainly from the period “Last”",
        ),
    ],
)
def test_words_for_sureness_are_tied_to_chances(model: Model, answers: str, says: str) -> None:
    """Below a third nothing is claimed; a third may well be, two thirds probably, 99 in a hundred almost certainly."""
    result = conclude(model, seen(model, answers))
    assert says in result["result"]["words"]
    top = max(row["chance"] for row in result["periods"])
    least = {"There isn’t": (0, 0.33), "probably": (0.66, 0.9), "may well": (0.33, 0.66), "almost certainly": (0.99, 1)}
    low, high = next(bounds for words, bounds in least.items() if words in says)
    assert low <= top <= high


def test_a_car_stated_as_seen_can_have_been_built_with_what_it_was_seen_with(guide: Any, model: Model) -> None:
    """Else a letter about the very car that a paper names would call its part another's: C2210L and its toggles."""
    key, tried = key_of(model), 0
    for mark in guide.marks.values():
        for one in mark.statements:
            if one.kind is StatementKind.SEEN and one.when is not None and one.when.car is not None:
                dated = key.dated(Session((), one.when.car.written))
                fitted = [each for each in dated.fitted if model.marks[each.mark].id == mark.id]
                forms = [model.marks[each.mark].forms[form.form].id for each in fitted for form in each.forms]
                assert one.form in forms, (mark.id, one.form, one.when.car.written)
                tried += 1
    assert tried > 20


def test_two_dates_are_said_as_either_or() -> None:
    """A form that was fitted at first and again at the last: a hole between, and a number that would settle it."""
    run = [0, 0, 60, 1, 300, 0]
    model = plain_model(
        [1.0] * 360,
        [60, 300, 360],
        [plain_mark("bag", 2, [0, 1])],
        [{"marks": [0], "runs": [run], "variants": [[0]], "of": [[0]]}],
    )
    session = Session((read_answer(model, "bag", "f0"),))
    spans = [span for span in conclude(model, session)["result"]["spans"] if span["level"] == 0.9]
    assert [(span["from"], span["to"]) for span in spans] == [
        ("1970-01-01", "1970-03-01"),
        ("1970-10-28", "1970-12-14"),
    ]
    assert [span["weight"] for span in spans] == [pytest.approx(0.5), pytest.approx(0.4)]
    words = explain(model, session)["sentences"]
    assert any("either between January and March 1970 or between October and December 1970" in one for one in words)
    assert words[-1] == (
        "The looks point to two dates: between January and March 1970, and between October and December 1970. "
        "The chassis number would help."
    )


def test_everything_that_is_said_adds_up(model: Model) -> None:
    result = conclude(model, seen(model, RETRIMMED))
    for rows in ("periods", "interiors", "specifications"):
        assert sum(row["chance"] for row in result[rows]) == pytest.approx(1.0, abs=1e-9)
    for row in result["apart"]:
        assert row["chance"] == pytest.approx(row["replaced"] + row["misread"], abs=1e-12)
        assert sum(form["chance"] for form in row["expected"]) == pytest.approx(1.0, abs=1e-9)
    chances = [row["chance"] for row in result["apart"]]
    assert chances == sorted(chances, reverse=True)


def test_weights_are_the_cars_of_the_ledger(model: Model) -> None:
    assert [sum(series.cars) for series in model.series] == [pytest.approx(3214, abs=0.1), pytest.approx(1656, abs=0.1)]
    chances = {row["id"]: row["chance"] for row in conclude(model, Session())["periods"]}
    assert chances == {
        "launch": pytest.approx(328 / 4870, abs=1e-3),
        "early": pytest.approx(1066 / 4870, abs=1e-3),
        "middle": pytest.approx(1016 / 4870, abs=1e-3),
        "restart": pytest.approx(1280 / 4870, abs=1e-3),
        "last": pytest.approx(1180 / 4870, abs=1e-3),
    }


def test_the_model_without_drawings_is_light(model: Model) -> None:
    assert len(gzip.compress(dump_model(model).encode(), 9)) <= 15_000


def test_each_kind_of_car_stands_in_the_text_once(model: Model) -> None:
    written = json.loads(dump_model(model))
    entries = [one for mark in written["marks"] for form in mark["forms"] for one in form.get("fitted", ())]
    counted = [one["on"] for one in entries if "on" in one]
    assert sorted(set(counted)) == list(range(len(written["kinds"])))
    assert len({json.dumps(one) for one in written["kinds"]}) == len(written["kinds"]) < len(counted) / 5


def test_building_twice_gives_the_same_text(guide: Any, limits: Any) -> None:
    assert dump_model(build_model(guide, limits)) == dump_model(build_model(guide, limits))


def test_the_card_is_nearly_as_right_as_the_key(model: Model) -> None:
    card = key_of(model).card.card(16)
    assert card == Key(model).card.card(16)
    assert len(card.marks) == 16
    order = [mark.id for mark in model.marks]
    assert [one.mark for one in card.marks] == sorted((one.mark for one in card.marks), key=order.index)
    for one in card.marks:
        for points in one.points.values():
            assert min(points) >= 0
            assert max(points) <= 9
            assert len(points) == len(model.periods)
    assert card.right >= card.key_right - 0.04
    assert card.agree >= 0.9


def test_neighbouring_periods_are_told_apart_by_what_changed_between_them(model: Model) -> None:
    middle, restart = Cars(period="middle"), Cars(period="restart")
    told = [row.mark for row in key_of(model).tell_apart(middle, restart)[:5]]
    assert {"dash-facing", "demister-vents", "inner-lever"} <= set(told)
    rows = key_of(model).tell_apart(restart, middle)
    assert [row.mark for row in rows] == [row.mark for row in key_of(model).tell_apart(middle, restart)]
    assert rows[0].gain_bits >= rows[-1].gain_bits


def test_leather_and_vinyl_are_told_apart_by_the_dash_and_the_doors(model: Model) -> None:
    rows = key_of(model).tell_apart(Cars(interior="black-vinyl"), Cars(interior="black-leather"))
    assert {row.mark for row in rows[:2]} == {"dash-facing", "door-card"}
    assert "interior" not in [row.mark for row in rows]


def test_forms_are_told_apart_by_what_went_with_them(model: Model) -> None:
    rows = key_of(model).tell_apart(Cars(built=("switches", "toggle")), Cars(built=("switches", "symbols")))
    assert rows[0].separation > 0.9
    assert "switches" not in [row.mark for row in rows]


def test_a_guide_without_trims_has_none_to_tell_apart() -> None:
    model = plain_model(
        [1.0, 1.0],
        [1, 2],
        [plain_mark("bag", 2, [0, 1])],
        [{"marks": [0], "runs": [[0, 0, 1, 1]], "variants": [[0]], "of": [[0]]}],
    )
    assert [row.gain_bits for row in Key(model).tell_apart(Cars(interior="f0"), Cars(interior="f1"))] == [0.0]


def test_nothing_tells_cars_from_those_that_were_never_built() -> None:
    mark = plain_mark("bag", 2, [0])
    model = plain_model([1.0], [1], [mark], [{"marks": [0], "runs": [[0, 0]], "variants": [[0]], "of": [[0]]}])
    key = Key(model)
    assert key.tell_apart(Cars(built=("bag", "f0")), Cars(built=("bag", "f1"))) == ()
    assert key.share_of(Cars(built=("bag", "f1"))) == 0.0


def test_a_spare_is_said_to_be_had_since_the_year_of_the_one_that_was_found() -> None:
    """Two kinds sold since the cars were new, from 1975 and from 1980; the works fitted neither."""
    spares = [
        {"id": name, "name": name, "answer": name, "factory": False, "kind": "service part", "since": since}
        for name, since in (("old", 1975), ("new", 1980), ("undated", None))
    ]
    works = {"id": "works", "name": "works", "answer": "works"}
    mark = plain_mark("bag", 4, [0], survives=0.5) | {"forms": [works, *spares]}
    model = plain_model([1.0], [1], [mark], [{"marks": [0], "runs": [[0, 0]], "variants": [[0]], "of": [[0]]}])

    def says(answer: str) -> str:
        return str(explain(model, Session((read_answer(model, "bag", answer),)))["apart_groups"][0]["says"])

    assert "1980" in says("new")
    assert "1975" not in says("new")
    assert "1975" in says("old+new")
    assert not {"1975", "1980"} & set(says("undated").replace(".", " ").split())


@pytest.mark.parametrize(
    ("one", "other", "strange"),
    [
        (Cars(period="early"), Cars(period="nowhere"), "nowhere"),
        (Cars(interior="green"), Cars(interior="black-vinyl"), "green"),
        (Cars(built=("nothing", "a")), Cars(built=("nothing", "b")), "nothing"),
        (Cars(built=("switches", "toggle")), Cars(built=("switches", "lever")), "lever"),
    ],
)
def test_telling_apart_what_is_not_there_is_refused(model: Model, one: Cars, other: Cars, strange: str) -> None:
    with pytest.raises(KeyError, match=strange):
        key_of(model).tell_apart(one, other)


def test_a_key_works_out_each_thing_once_and_is_kept_while_its_model_says_the_same(model: Model) -> None:
    key, (one, other) = Key.of(model), (Cars(period="early"), Cars(period="last"))
    assert key.prepared is key.prepared
    assert key.tell_apart(one, other) is key.tell_apart(one, other)
    assert key.card.card(4) is key.card.card(4)
    assert Key.of(load_model(dump_model(model)), key) is key
    assert Key.of(dataclasses.replace(model, edition="another"), key) is not key
