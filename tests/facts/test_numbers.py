"""Chassis numbers: hand-worked cases run by both twins, the demo's table, and what reading must keep to."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from guide.facts.types import CarNumber, Guide, NumberFailure
from guide.facts.when.numbers import number_table, plain_number, read_number, read_table_number, write_number
from tests.pages.scripts import evaluate

ROOT = Path(__file__).resolve().parents[2]
TWINS: dict[str, Any] = json.loads((ROOT / "tests/twins/numbers.json").read_text(encoding="utf-8"))
CASES: list[dict[str, Any]] = TWINS["cases"]
assert CASES, "no cases for numbers"

READ_ALL = "given.cases.map((one) => guide.numbers.read(one.text, given.tables[one.table]))"


def read_in_browser(node: str, twins: dict[str, Any]) -> list[Any]:
    return list(evaluate(node, "numbers", READ_ALL, twins))


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case['table']}: {case['text']}")
def test_a_number_in_python_is_read_exactly_as(case: dict[str, Any]) -> None:
    assert read_table_number(case["text"], TWINS["tables"][case["table"]]) == case["gives"]


def test_numbers_in_the_browser_are_read_exactly_the_same(node: str) -> None:
    assert read_in_browser(node, TWINS) == [case["gives"] for case in CASES]


def test_the_twins_agree_on_a_thousand_texts_near_to_numbers(node: str, guide: Guide) -> None:
    import random

    chosen = random.Random(1968)
    texts = ["".join(chosen.choice("CDXLcd0123456789 -./") for _ in range(chosen.randint(0, 8))) for _ in range(1000)]
    table = number_table(guide.series)
    twins = {"tables": {"demo": table}, "cases": [{"table": "demo", "text": text} for text in texts]}
    assert read_in_browser(node, twins) == [read_table_number(text, table) for text in texts]


def test_the_demo_table_is_the_hand_written_one(guide: Guide) -> None:
    names = {one.id: one.name for one in guide.sources.values()}
    assert number_table(guide.series, sources=names) == TWINS["tables"]["tern"]


@settings(max_examples=200, deadline=None)
@given(
    number=st.integers(1001, 2900),
    blanks=st.lists(st.sampled_from(["", " ", "-", ".", " / "]), min_size=4, max_size=4),
    suffix=st.sampled_from(["", "L"]),
    small=st.booleans(),
)
def test_spacing_dashes_and_small_letters_change_nothing(
    guide: Guide, number: int, blanks: list[str], suffix: str, small: bool
) -> None:
    written = f"C{number}{suffix}"
    typed = "".join(letter + blank for letter, blank in zip(written, [*blanks, "", ""], strict=False))
    read = read_number(typed.lower() if small else typed, number_table(guide.series))
    assert isinstance(read, CarNumber)
    assert (read.series, read.prefix, read.number, read.suffix, read.written) == ("coupe", "C", number, suffix, written)


def test_a_number_keeps_the_text_and_place_it_was_typed_with(guide: Guide) -> None:
    read = read_number("c 1840", number_table(guide.series))
    assert isinstance(read, CarNumber)
    assert (read.text, read.written, read.place) == ("c 1840", "C1840", None)


def test_a_registration_is_said_to_be_one(guide: Guide) -> None:
    assert read_number("TRN 412K", number_table(guide.series)) is NumberFailure.REGISTRATION


def test_a_number_is_written_as_its_series_writes_it(guide: Guide) -> None:
    assert write_number(guide.series["open"], "D", 999).written == "D999"
    assert write_number(guide.series["open"], "D", 1000).written == "D1000"
    assert write_number(guide.series["coupe"], "C", 2210, "L").written == "C2210L"


def test_plain_numbers_lose_every_separator_and_nothing_else() -> None:
    assert plain_number(" ab-c 12\u00a078 ") == "ABC1278"
