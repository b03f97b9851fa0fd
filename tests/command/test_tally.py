"""`build.py tally`: its JSON as promised, what contradicts first, and every line pasted doing what was promised."""

from __future__ import annotations

import json
import pathlib
from typing import Any

import pytest
import yaml

from guide.command.main import main
from tests.starting import change, started
from tests.tally.pasting import paste, suggested_of
from tests.tally.seasons import small_season

KEYS = (
    "format edition cars records repeated disagree contradict untimely changeovers survival series suggested "
    "unexplained look_for"
)


@pytest.fixture
def content(tmp_path: pathlib.Path) -> pathlib.Path:
    return started(tmp_path, {"cars-seen/june.csv": small_season()})


def told(content: pathlib.Path, capsys: pytest.CaptureFixture[str], *more: str) -> str:
    assert main(["tally", "--content", str(content), *more]) == 0
    return capsys.readouterr().out


def limits_of(content: pathlib.Path, capsys: pytest.CaptureFixture[str]) -> dict[tuple[str, str, int, str], Any]:
    main(["check", "--json", "--content", str(content)])
    found = json.loads(capsys.readouterr().out)["limits"]
    return {(one["mark"], one["form"], one["spell"], json.dumps(one["scope"])): one for one in found}


def test_the_json_is_as_promised(content: pathlib.Path, capsys: pytest.CaptureFixture[str]) -> None:
    value = json.loads(told(content, capsys, "--json"))
    assert list(value) == KEYS.split()
    assert (value["format"], value["cars"], value["records"], value["repeated"]) == (1, 121, 121, [])
    (against,) = (one for one in value["contradict"] if one["axis"] == "number")
    assert (against["car"], against["mark"], against["form"]) == ("S1101", "roof-lamp", "round")
    assert against["cars"] == [{"file": "cars-seen/june.csv", "line": 122}]
    change = next(one for one in value["changeovers"] if one["mark"] == "door-handle" and "number" in one["best"])
    assert (change["latest_old"]["car"], change["earliest_new"]["car"]) == ("S645", "S655")
    assert change["best"]["low"] <= "S646" <= change["best"]["high"]
    assert [one["series"] for one in value["series"]] == ["saloon"]
    assert {tuple(one) for one in value["look_for"]} <= {("series", "from", "to", "marks", "narrows_days")}


def test_what_contradicts_is_told_first_and_numbers_stand_whole(
    content: pathlib.Path, capsys: pytest.CaptureFixture[str]
) -> None:
    said = told(content, capsys)
    assert "S1101 has “Round”, 503 numbers after the last as stated." in said
    assert said.index("What cars contradict") < said.index("What the cars suggest") < said.index("Changes as the cars")
    assert "marks/roof-lamp.yml:" in said
    assert "cars-seen/june.csv:122:" in said


LEVER = """    stated:
      - {seen: S571, source: register}
"""
WAYS = {
    "one in braces": LEVER,
    "nothing yet": "",
    "a key with nothing after it": "    stated:    # to be looked up\n",
    "one over several lines": "    stated:\n      - seen: S571\n        source: register\n",
    "a list no further in than its key": "    stated:\n    # a car\n    - seen: S571\n      source: register\n",
    "two spells": (
        "    spells:\n      - for: {series: saloon}\n        share: 0.9\n"
        "        stated:\n          - seen: S571\n            source: register\n"
    ),
    "a spell of which nothing is stated": "    spells:\n      - for: {series: saloon}\n        share: 0.9\n",
    "a list in brackets": "    stated: [{seen: S571, source: register}]\n",
    "a list in brackets, and nothing in it": "    stated: []\n",
    "a list in brackets on a line of its own": "    stated:\n      [{seen: S571, source: register}]\n",
    "a spell that begins with lines of its own": (
        "    spells:\n      - for:\n          series: saloon\n        share: 0.9\n"
    ),
    "a single one, in braces": "    stated: {seen: S571, source: register}\n",
    "a spell in braces": "    spells:\n      - {for: {series: saloon}, share: 0.9}\n",
}


@pytest.mark.parametrize("stated", WAYS.values(), ids=WAYS)
def test_all_lines_pasted_bring_the_limits_as_promised(
    content: pathlib.Path, stated: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Knobs are said to be from about January 1962, S600 to S630 and thereabouts; cars show levers well beyond."""
    typed_as(content, stated)
    (content / "cars-seen" / "june.csv").write_text(small_season(range(505, 805, 10)), encoding="utf-8")
    before = limits_of(content, capsys)
    suggested = json.loads(told(content, capsys, "--json"))["suggested"]
    pasted = [one for one in suggested if one["form"]]
    assert {(one["mark"], one["form"]) for one in pasted} >= {("door-handle", "lever")}
    assert "no list of lines" not in told(content, capsys)
    placed = suggested_of(content)
    assert [(one["file"], one["line"], one["paste"]) for one in placed] == [
        (one["file"], one["line"], one["paste"]) for one in suggested
    ]
    paste(content, placed)
    after = limits_of(content, capsys)
    for one in pasted:
        promised = one["after"]
        key = (promised["mark"], promised["form"], promised["spell"], json.dumps(promised["scope"]))
        assert before[key] != after[key]
        for end in ("first", "last"):
            assert after[key][end]["earliest"]["date"] >= promised[end]["earliest"]["date"]
            assert after[key][end]["latest"]["date"] <= promised[end]["latest"]["date"]
    assert main(["check", "--content", str(content)]) == 0


@pytest.mark.parametrize(
    "stated",
    [
        "    stated:\n      seen: S571\n      source: register\n",
        "    spells:\n      - for:\n          series: saloon\n",
    ],
)
def test_where_a_line_more_would_not_be_read_that_is_said(
    content: pathlib.Path, stated: str, capsys: pytest.CaptureFixture[str]
) -> None:
    typed_as(content, stated)
    assert "make it one, with this among them." in told(content, capsys)


def test_a_form_in_braces_takes_all_lines_as_they_are_printed(
    content: pathlib.Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """As the handbook writes short forms; and the sheet names no source, which is said, as `check` would miss it."""
    file = content / "marks" / "door-handle.yml"
    text = file.read_text(encoding="utf-8")
    head, forms = text.split("forms:\n")
    braced = yaml.safe_load(forms)
    for form in braced.values():
        form.pop("stated", None)
    lines = (f"  {name}: {json.dumps(form)}\n" for name, form in braced.items())
    file.write_text(f"{head}forms:\n{''.join(lines)}", encoding="utf-8")
    sheet = content / "cars-seen" / "june.csv"
    sheet.write_text(sheet.read_text(encoding="utf-8").replace(",register,", ",,"), encoding="utf-8")
    said = " ".join(told(content, capsys).split())
    suggested = [one for one in suggested_of(content) if "handle" in one["file"]]
    assert suggested
    for one in suggested:
        assert (one["way"], one["paste"][:14]) == ("within", "stated: [{seen")
        assert f"What stands in line {one['line']} is in brackets: type it there, right after the “{{”." in said
        assert one["paste"] in said
    assert "The sheet names no source of it" in said
    paste(content, suggested)
    assert main(["check", "--content", str(content)]) == 0


def typed_as(content: pathlib.Path, stated: str) -> None:
    """State what is stated of levers in another way."""
    change(content, "marks/door-handle.yml", LEVER, stated)


def test_facts_that_cannot_be_used_are_told_and_nothing_else(
    content: pathlib.Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (content / "guide.yml").write_text("format: 1\n", encoding="utf-8")
    assert main(["tally", "--content", str(content)]) == 1
    assert "What cars" not in capsys.readouterr().out
    assert main(["tally", "--json", "--content", str(content)]) == 1
    assert list(json.loads(capsys.readouterr().out)) == ["format", "error"]
