"""Texts in another language than the page's are found wherever they come to stand, by Python and in browsers alike."""

from __future__ import annotations

from typing import Any

import pytest

from guide.pages.parts.lent import Lent, cut, index_of
from tests.pages.scripts import evaluate

LENT = {
    "Dash facing": Lent("en-GB", alone=False),
    "dash facing": Lent("en-GB", alone=False),
    "Dash": Lent("en-GB", alone=False),
    "Gold": Lent("en-GB", alone=True),
    "“Tern” script": Lent("en-GB", alone=False),
    "Porte-clés à ôter": Lent("fr", alone=False),
}
OF = {
    "": [],
    "siehe Dash facing": [("siehe ", ""), ("Dash facing", "en-GB")],
    "Dash, dash facing; Dashboard": [("Dash", "en-GB"), (", ", ""), ("dash facing", "en-GB"), ("; Dashboard", "")],
    "Armaturendash facing": [("Armaturendash facing", "")],
    "Gold": [("Gold", "en-GB")],
    " Gold\n": [(" ", ""), ("Gold", "en-GB"), ("\n", "")],
    "Das ist Gold wert": [("Das ist Gold wert", "")],
    "nennt ““Tern” script”": [("nennt “", ""), ("“Tern” script", "en-GB"), ("”", "")],
    "Porte-clés à ôter oder Dash?": [("Porte-clés à ôter", "fr"), (" oder ", ""), ("Dash", "en-GB"), ("?", "")],
}


@pytest.mark.parametrize("text", OF)
def test_a_text_is_cut_where_another_language_begins_and_ends(text: str) -> None:
    assert cut(text, LENT, index_of(LENT)) == OF[text]


def test_browsers_cut_it_alike(node: str) -> None:
    found: Any = evaluate(node, "lent", "given.texts.map(guide.cutter(given.lent))", {"texts": [*OF], "lent": LENT})
    assert [[tuple(piece) for piece in pieces] for pieces in found] == [*OF.values()]
