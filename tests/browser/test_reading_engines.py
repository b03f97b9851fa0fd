"""In three engines, from a stick: a number on a mark's page, a sheet by number, the card's sums, the single file."""

from __future__ import annotations

import pathlib
from collections.abc import Iterator
from typing import Any

import pytest

from guide.press.single_file import SINGLE
from tests.browser.engines import ENGINES, Engine, open_engine, until

pytestmark = pytest.mark.browser

SUMS = """[...document.querySelectorAll("[class^='sum-']")].map((one) => getComputedStyle(one, "::after").content)"""
STROKE = """getComputedStyle(document.querySelector("symbol .detail, .drawing .detail")).strokeWidth"""


@pytest.fixture(params=list(ENGINES))
def engine(request: pytest.FixtureRequest, playwright: Any) -> Iterator[Engine]:
    """Each engine in turn."""
    with open_engine(request.param, playwright) as opened:
        yield opened
        assert opened.faults() == []


def test_a_number_points_out_its_form_and_makes_a_sheet(engine: Engine, built_guide: pathlib.Path) -> None:
    engine.open((built_guide / "marks" / "switches.html").as_uri())
    until(engine, "!document.querySelector('[data-expect]').hidden")
    engine.fill("#your-number", "C3900")
    engine.press("[data-expect] [type=submit]")
    until(engine, "document.querySelector('.expected') && document.querySelector('.expected').id === 'form-symbols'")
    engine.open((built_guide / "sheets.html").as_uri())
    until(engine, "!document.querySelector('[data-buy]').hidden")
    engine.fill("#buy-car", "C1840")
    engine.press("[data-buy] [type=submit]")
    until(
        engine,
        "document.querySelectorAll('[data-places] .item').length > 9 && "
        "[...document.querySelectorAll('[data-places] .item')].every((one) => one.querySelector('svg.drawing'))",
    )
    assert "C1840" in str(engine.ask("document.querySelector('[data-title]').textContent"))


def test_the_card_adds_itself_up(engine: Engine, built_guide: pathlib.Path) -> None:
    engine.open((built_guide / "card.html").as_uri())
    columns = "document.querySelectorAll('.begin .points b').length"
    assert int(engine.ask(columns)) == 5
    before = str(engine.ask("document.querySelector('.sums').innerText"))
    engine.press(".card .answer input")
    assert engine.ask("document.querySelector('.card .answer input').checked") is True
    assert "Launch" in before
    assert engine.ask(SUMS)[0].startswith("counter(")


def test_the_single_file_stands_alone(engine: Engine, built_guide: pathlib.Path, tmp_path: pathlib.Path) -> None:
    alone = tmp_path / "sent by message.html"
    alone.write_bytes((built_guide / SINGLE).read_bytes())
    engine.open(alone.as_uri())
    until(engine, "document.querySelector('[data-screen=begin]:not([hidden])')")
    engine.press("[data-begin] [type=submit]")
    until(engine, "!document.querySelector('[data-screen=look]').hidden")
    assert engine.ask("document.querySelectorAll('[data-screen=look] svg use').length") >= 2
    assert float(str(engine.ask(STROKE)).removesuffix("px")) == pytest.approx(3)
    engine.press("[data-screen=look] [data-answer]")
    until(engine, "location.hash.includes('=')")
