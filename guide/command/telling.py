"""A result in the terminal: what a screen would say, in lines."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, TextIO

from guide.dating.belief.engine import Session, explain
from guide.dating.model import Model
from guide.facts.when.numbers import read_table_number
from guide.words.say import Words

__all__ = ["tell_number", "tell_result"]


def tell_number(model: Model, car: str | None, words: Words, out: TextIO) -> None:
    """Print why a number that was given says nothing of the date; nothing for one that does, or for none."""
    failure = read_table_number(car, model.numbers).get("failure") if car else None
    if failure:
        print(words.say(f"pages.number.{failure}", number=car or ""), file=out)


def tell_result(model: Model, session: Session, result: Mapping[str, Any], words: Words, out: TextIO) -> None:
    """Print the result, the chance of each period, and what stands apart."""
    said = explain(model, session)
    print(" ".join(said["sentences"]), file=out)
    for row in result["periods"]:
        said_chance = words.say("command.ask.period", period=row["name"], chance=_in_hundred(row["chance"], words))
        print(f"  {said_chance}", file=out)
    for group in said["apart_groups"]:
        print(group["says"], file=out)


def _in_hundred(chance: float, words: Words) -> str:
    """Return a chance in a hundred; what rounding would make none or all of them is said as what it is."""
    if chance < 0.005:
        return words.say("words.chance.hardly_any")
    if chance >= 0.995:
        return words.say("words.chance.nearly_all")
    return words.say("command.ask.in-hundred", count=round(100 * chance))
