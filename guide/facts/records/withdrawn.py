"""Cars withdrawn at their owners' request: one line in guide.yml, and no page and no download knows of them.

What was noted of them is left out as it is read, and so are statements of a form as seen on them. What papers say of
their numbers stays: that is of the works.
"""

from __future__ import annotations

from collections.abc import Iterable

from guide.facts.text.desk import Desk
from guide.facts.text.source import Keyed, Node, items_of
from guide.facts.values import CarNumber, Text
from guide.facts.when.numbers import plain_number, read_number

__all__ = ["KEY", "is_withdrawn", "read_withdrawn", "say_unmet"]

KEY = "withdrawn"


def read_withdrawn(main: Node, desk: Desk) -> dict[str, Text]:
    """Return the numbers withdrawn, as they were typed, by what a number is known by without its suffix."""
    node = main.get(KEY) if isinstance(main, Keyed) else None
    typed = [one for one in items_of(node) if isinstance(one, Text)]
    return {_known_by(read_number(one, desk.number_table), one): one for one in typed}


def is_withdrawn(numbers: Iterable[CarNumber], typed: str, desk: Desk) -> bool:
    """Tell whether a car with these numbers, or with a number typed that is in no table, is withdrawn."""
    return desk.is_withdrawn({_known_by(one, "") for one in numbers} | ({_known_by(None, typed)} if typed else set()))


def say_unmet(desk: Desk) -> None:
    """Add a finding for each number withdrawn that no car seen bears: it may be mistyped, and the car still be told."""
    for typed in desk.withdrawn_unmet:
        desk.refuse("facts.withdrawn-unmet", typed)


def _known_by(number: object, typed: str) -> str:
    if isinstance(number, CarNumber):
        return f"{number.series} {number.prefix}{number.number}"
    return plain_number(typed)
