"""cars-seen/*.json: the notes of cars as the key hands them in, read as the lines of a table.

An answer of the whole car, its body or a split, is kept where it is one: what could not be told is no value of it.
"""

from __future__ import annotations

from collections.abc import Collection

from guide.facts.text.csv_tables import Table, TableRow
from guide.facts.text.desk import Desk
from guide.facts.text.source import Items, Keyed, Node, compose
from guide.facts.values import RESERVED_IDS, Text
from guide.finding import Place

__all__ = ["is_one", "read_handed_in"]

_COLUMNS = {"car": "car", "untouched": "untouched", "seen": "seen on", "remarks": "remarks"}
_NULL = "null"  # nothing, as JSON writes it


def is_one(value: str) -> bool:
    """Tell whether an answer names one value, and neither several nor none."""
    return "+" not in value and value not in RESERVED_IDS


def read_handed_in(data: bytes, file: str, known: Collection[str], whole: Collection[str], desk: Desk) -> Table:
    """Return notes handed in as a table; ``known`` are its columns, ``whole`` those of the car as a whole."""
    text = desk.text_of(data, file).replace("\t", " ")
    before = desk.count
    node, found = compose(text, file)
    desk.add(found)
    cars = node.get("cars") if isinstance(node, Keyed) else None
    if not isinstance(cars, Items):
        if desk.count == before:
            desk.find("facts.no-headings.json", Place(file))
        return Table({}, ())
    with desk.setting_aside():
        rows = [TableRow(_cells(car, known, whole, desk), car.place) for car in cars.items if isinstance(car, Keyed)]
    return Table({}, tuple(rows))


def _cells(car: Keyed, known: Collection[str], whole: Collection[str], desk: Desk) -> dict[str, Text]:
    cells = {column: value for name, column in _COLUMNS.items() if (value := _said(car.get(name))) is not None}
    answers = car.get("answers")
    for name, node in answers.pairs if isinstance(answers, Keyed) else ():
        answer = _said(node)
        if name not in known:
            desk.mark(name)
        elif answer is not None and (name not in whole or is_one(answer)):
            cells[str(name)] = answer
    return cells


def _said(node: Node | None) -> Text | None:
    return node if isinstance(node, Text) and node and node != _NULL else None
