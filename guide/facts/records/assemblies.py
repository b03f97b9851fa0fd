"""`assembled:` in guide.yml: cars that were put together long before or after their number was given out."""

from __future__ import annotations

import re
from typing import Any, ClassVar

from guide.facts.records.fields import Field, Typed, key, record
from guide.facts.records.readers import days_long, of_text, said, source_id
from guide.facts.records.scopes import cars
from guide.facts.text.desk import Desk
from guide.facts.text.problem import Problem
from guide.facts.values import Scope, Text
from guide.facts.when.typed import in_english
from guide.finding import Place

__all__ = ["Assembly"]

_SPAN = re.compile(r"(?:up to|at most) (?P<most>.+)|(?P<least>\d+(?: [a-z]+)?)(?: to |-|–)(?P<upper>.+)")


@of_text("durations")
def _between(scalar: Text, desk: Desk) -> tuple[int, int, Text] | Problem:
    """Read the least and the most of a length of time, in days: "3 to 9 months", "up to a year"."""
    found = _SPAN.fullmatch(" ".join(in_english(scalar, desk.language, "amount").casefold().split()))
    most = days_long(found["most"] or found["upper"]) if found else None
    if found is None or most is None:
        return Problem.of("facts.bad-duration.span", found=repr(scalar))
    if found["most"]:
        return 0, most, scalar
    unit = (found["upper"] or "").split()[-1]
    least = (
        0
        if found["least"] == "0"
        else days_long(found["least"] if " " in found["least"] else f"{found['least']} {unit}")
    )
    if least is None or least > most:
        return Problem.of("facts.bad-duration.span", found=repr(scalar))
    return least, most, scalar


@record("assembly")
class Assembly:
    """Cars of a plant or a market that were built long after, or before, their number was given out, as kits and
    waiting bodies are.

    A car was built from ``least_days`` to ``most_days`` after its number was given out; before it where these are
    below nought.
    """

    scope: Scope = key(cars, "for")
    plant: str = key(said, "at", default="")  # where, as in a sentence
    AFTER: ClassVar = Field("after", _between)
    BEFORE: ClassVar = Field("before", _between)
    span: str  # how long, as it was typed
    least_days: int
    most_days: int
    source: str = key(source_id, default="")
    place: Place

    @property
    def is_after(self) -> bool:
        """Whether such a car was built after its number was given out, and not before."""
        return self.least_days >= 0 and self.most_days > 0

    @classmethod
    def beside_keys(cls, typed: Typed[Assembly], desk: Desk) -> dict[str, Any] | None:
        """Return the days between number and build, where just one of `after` and `before` gives them."""
        after, before = typed.find(cls.AFTER), typed.find(cls.BEFORE)
        if ("after" in typed.places) == ("before" in typed.places):
            desk.find("facts.one-of.assembled", typed.place)
        if after is not None and before is None:
            return {"least_days": after[0], "most_days": after[1], "span": after[2]}
        if before is not None and after is None:
            return {"least_days": -before[1], "most_days": -before[0], "span": before[2]}
        return None
