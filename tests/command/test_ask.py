"""The key in the terminal: in one call, for many cars, and as a conversation."""

from __future__ import annotations

import dataclasses
import io
import json
import pathlib
import shutil
from typing import Any

import pytest

from guide.command.ask import read_session
from guide.command.calls import CallIsOff
from guide.command.converse import converse
from guide.command.main import main
from tests.dating.asking import conclude, key_of
from tests.dating.tiny_models import certain_model
from tests.starting import started
from tests.told import told

KEYS = [
    "format",
    "edition",
    "car",
    "reach",
    "answers",
    "result",
    "periods",
    "interiors",
    "specifications",
    "numbers",
    "apart",
    "next",
    "stopped",
    "should_have",
    "doubts",
]


@pytest.fixture
def demo(root: pathlib.Path, built_guide: pathlib.Path) -> list[str]:
    """How the demo guide is named where it was made before: what it kept is not worked out anew for each call."""
    return ["--content", str(root / "content"), "--out", str(built_guide)]


@pytest.fixture
def ask(demo: list[str], capsys: pytest.CaptureFixture[str]) -> Any:
    """Call `ask --json` on the demo guide and return what it prints."""

    def call(*arguments: str) -> Any:
        assert main(["ask", *demo, *arguments, "--json"]) == 0
        return json.loads(capsys.readouterr().out)

    return call


def test_one_call_prints_the_whole_result(ask: Any) -> None:
    value = ask("switches=rocker", "tail-lamps=round", "--reach", "glass,outside", "--known", "registered=1968-12")
    assert list(value) == KEYS
    assert value["reach"] == ["outside", "glass"]
    assert value["answers"] == [
        {"mark": "switches", "forms": ["rocker"], "kind": "form"},
        {"mark": "tail-lamps", "forms": ["round"], "kind": "form"},
    ]
    assert sum(row["chance"] for row in value["periods"]) == pytest.approx(1)
    assert [row["id"] for row in value["periods"]] == ["launch", "early", "middle", "restart", "last"]
    assert {span["level"] for span in value["result"]["spans"]} == {0.9, 0.5}
    assert (value["next"] is None) != (value["stopped"] is None)


def test_a_date_may_be_said_in_the_words_that_the_facts_take(ask: Any) -> None:
    said = [
        ask("switches=rocker", "--known", f"registered={when}")["result"]
        for when in ("spring 1968", "1968-03/1968-05", "by May 1968", "1967-04-10/1968-05-31")
    ]
    assert said[0] == said[1]
    assert said[2] == said[3] != said[0]


def test_what_a_car_is_as_a_whole_is_typed_as_a_look_is(ask: Any) -> None:
    value = ask("body=open", "hand=left", "market=north-america", "interior=tan-leather")
    assert max(value["specifications"], key=lambda one: one["chance"])["splits"]["market"] == "north-america"
    assert max(value["interiors"], key=lambda one: one["chance"])["id"] == "tan-leather"
    assert value["numbers"][0]["series"] == "open"


def test_every_kind_of_answer_can_be_typed(ask: Any) -> None:
    value = ask("switches=toggle+rocker", "dials=changed", "stalk=none", "belts=cannot-tell")
    assert [(a["mark"], a["forms"], a["kind"]) for a in value["answers"]] == [
        ("switches", ["toggle", "rocker"], "several"),
        ("dials", [], "changed"),
        ("stalk", [], "none"),
        ("belts", [], "cannot-tell"),
    ]


def test_cannot_tell_leaves_everything_as_it_was(ask: Any) -> None:
    with_it, without = ask("switches=rocker", "belts=cannot-tell"), ask("switches=rocker")
    for key in ("result", "periods", "interiors", "specifications", "numbers"):
        assert with_it[key] == without[key]


def test_many_cars_come_out_in_the_order_they_went_in(
    ask: Any, tmp_path: pathlib.Path, demo: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    cars = [
        {"answers": {"switches": "toggle"}, "car": None, "reach": ["glass"], "known": {}},
        {"answers": {}, "car": "C 1912", "reach": ["outside"], "known": {}},
    ]
    path = tmp_path / "cars.jsonl"
    path.write_text("\n".join(json.dumps(car) for car in cars) + "\n", encoding="utf-8")
    assert main(["ask", *demo, "--many", str(path), "--json"]) == 0
    rows = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert rows[0] == ask("switches=toggle", "--reach", "glass")
    assert rows[1] == ask("--car", "C 1912", "--reach", "outside")


def test_a_car_may_be_told_in_own_words(
    ask: Any, tmp_path: pathlib.Path, demo: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    told = "Small switches: toggles; trim: tan vinyl; car C1500"
    by_ids = ask("switches=toggle", "interior=tan-vinyl", "--car", "C1500")
    assert ask(told) == by_ids
    path = tmp_path / "cars.txt"
    path.write_text(told + "\n", encoding="utf-8")
    assert main(["ask", *demo, "--many", str(path), "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == by_ids
    assert main(["ask", *demo, "switches: shiny"]) == 2
    assert "Small switches has no form 'shiny'" in capsys.readouterr().err


def test_a_line_that_is_off_is_named(
    model: Any, tmp_path: pathlib.Path, demo: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "cars.jsonl"
    path.write_text('{"answers": {}}\n\n{"answers": {"wings": "two"}}\n', encoding="utf-8")
    assert main(["ask", *demo, "--many", str(path)]) == 2
    assert f"{path}:3: This guide has no mark 'wings'." in capsys.readouterr().err
    with pytest.raises(CallIsOff) as off:
        read_session(model, {"colour": "red"})
    assert told(off.value.says) == "Expected answers, car, reach and known, found 'colour'."


def talk(model: Any, *typed: str) -> str:
    out = io.StringIO()
    assert (
        converse(key_of(model), read_session(model, {}), io.StringIO("".join(f"{line}\n" for line in typed)), out) == 0
    )
    return out.getvalue()


def test_a_conversation_ends_with_what_the_answers_come_to(model: Any) -> None:
    first = conclude(model, read_session(model, {}))["next"]
    said = talk(model, "1", "stop")
    assert first["question"] in said
    answered = read_session(model, {"answers": {first["mark"]: first["answers"][0]["form"]}})
    assert conclude(model, answered)["result"]["words"] in said


def test_going_back_forgets_the_answer(model: Any) -> None:
    after_back = talk(model, "1", "back", "2", "stop").splitlines()
    straight = talk(model, "2", "stop").splitlines()
    assert after_back[-9:] == straight[-9:]


def test_what_is_not_an_answer_is_said_and_asked_again(model: Any) -> None:
    said = talk(model, "seven", "99", "stop")
    assert "'seven' is not one of the answers." in said
    assert "'99' is not one of the answers." in said


def asked(demo: list[str], capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    assert main(["ask", *demo, *arguments]) == 0
    return capsys.readouterr().out


def test_answers_by_the_ids_of_old_are_read() -> None:
    mark = certain_model().marks[0]
    old: dict[str, dict[str, Any]] = {
        "marks": {"old-part": mark.id},
        "forms": {mark.id: {"old-form": mark.forms[0].id}},
    }
    model = dataclasses.replace(certain_model(), formerly=old)
    given = {"answers": {"old-part": f"old-form+{mark.forms[1].id}"}, "known": {"part:old-part": "1968"}}
    session = read_session(model, given)
    assert [(one.mark, one.forms) for one in session.answers] == [(mark.id, (mark.forms[0].id, mark.forms[1].id))]
    assert session.known == {f"part:{mark.id}": "1968"}


def test_a_number_that_says_nothing_is_said_to(demo: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert asked(demo, capsys, "--car", "C2933").startswith(
        "C2933 was never built: it lies in a run of numbers of which no car was made. Source: Works ledger"
    )
    assert asked(demo, capsys, "--car", "CX4").startswith("CX4 is one of the cars outside the tables")
    assert not asked(demo, capsys, "--car", "C1912").startswith("C1912")


def test_what_stands_apart_is_said_of_the_part(demo: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    said = asked(demo, capsys, "--car", "D744", "soft-top-window=zip", "belts=reel")
    assert "Soft-top window: a later type" in said
    assert "The car may have been restored with parts of another year, or the number was misread." in said
    assert said.rstrip().endswith("the vehicle licensing authority.")


def test_what_may_be_typed_is_said_once_and_after_a_slip(model: Any) -> None:
    said = talk(model, "1", "seven", "stop")
    assert said.count("Type a number; 1+2 when both are there;") == 2


def test_no_chance_is_rounded_to_none_or_all(demo: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    seen = ["switches=rocker", "tail-lamps=round", "--car", "C1912"]
    assert main(["ask", *demo, *seen]) == 0
    said = capsys.readouterr().out
    assert "  “Early” (November 1967 to December 1968): nearly all\n" in said
    assert "  “Last” (August 1971 to October 1972): fewer than one in a hundred\n" in said


def test_an_answer_that_no_car_could_give_is_taken_back_in_a_conversation() -> None:
    said = talk(certain_model(), "1", "2", "stop")
    assert said.count("The last answer is taken back") == 1
    assert "p0" not in said
    assert "  “P0” (January 1970): nearly all\n" in said
    assert "  “P1” (January 1970): fewer than one in a hundred\n" in said


def test_looks_that_exclude_each_other_are_said_and_cost_no_other_car_its_result(
    root: pathlib.Path, tmp_path: pathlib.Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Where parts always survive and are never misread, toggles and late lamps are on no car."""
    content = tmp_path / "content"
    shutil.copytree(root / "content", content)
    for name in ("switches", "tail-lamps"):
        path = content / "marks" / f"{name}.yml"
        lines = path.read_text(encoding="utf-8").splitlines()
        at = next(at for at, line in enumerate(lines) if line.startswith("survives:"))
        lines[at : at + 1] = ["survives: 1", "misread: 0"]
        path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    seen = {"switches": "symbols", "tail-lamps": "round"}
    words = [f"{mark}={form}" for mark, form in seen.items()]
    assert main(["ask", "--content", str(content), *words]) == 2
    said = capsys.readouterr()
    assert (said.out, said.err.startswith("No car could be like this:")) == ("", True)
    assert main(["ask", "--content", str(content), *words, "--json"]) == 2
    error = json.loads(capsys.readouterr().out)
    assert error == {"format": 1, "error": said.err.strip()}
    cars = tmp_path / "cars.jsonl"
    lines = [json.dumps({"answers": one}) for one in (seen, {"switches": "symbols"})]
    cars.write_text("\n".join(lines), encoding="utf-8")
    assert main(["ask", "--content", str(content), "--many", str(cars), "--json"]) == 0
    first, second = (json.loads(line) for line in capsys.readouterr().out.splitlines())
    assert first == error
    assert second["answers"] == [{"mark": "switches", "forms": ["symbols"], "kind": "form"}]


def test_a_number_may_stand_among_the_answers_as_after_letter(
    tmp_path: pathlib.Path, capsys: pytest.CaptureFixture[str]
) -> None:
    call = ["ask", "--content", str(started(tmp_path)), "--out", str(tmp_path / "out"), "--json"]
    said = []
    for words in (["S300", "roof-lamp=round"], ["roof-lamp=round", "--car", "S300"]):
        assert main([*call, *words]) == 0
        said.append(capsys.readouterr().out)
    assert said[0] == said[1]
    assert main([*call, "lamp"]) == 2
    assert "such as roof-lamp=round, found 'lamp'" in capsys.readouterr().out
