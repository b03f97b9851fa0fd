"""A result in the terminal: what a screen would say, in lines."""

from __future__ import annotations

from typing import TextIO

from guide.command.window import say
from guide.dating.dated import Dated
from guide.dating.fitted_sentences import fitted_said, trims_of
from guide.dating.model import Model
from guide.dating.output import explained
from guide.dating.reasons import reasons
from guide.dating.result_sentences import period_named
from guide.sentence import in_turn, one_of, sentence
from guide.words.say import Words

__all__ = ["tell_number", "tell_result", "tell_should_have"]


def tell_number(model: Model, car: str | None, words: Words, out: TextIO) -> None:
    """Print why a number that was given says nothing of the date; nothing for one that does, or for none."""
    for number in car.split("+") if car else ():
        from guide.pages.parts.wording import number_failure  # and with it all that may be typed: only for a number

        failure = number_failure(number, model.numbers)
        if failure is not None:
            say(words.tell(failure), out)


def tell_result(dated: Dated, words: Words, out: TextIO) -> None:
    """Print the result, the chance of each period, and what stands apart."""
    said = explained(dated)
    say(words.tell(in_turn(said["sentences"])), out)
    for period, chance in enumerate(dated.figures.periods[:-1]):
        named = period_named(dated.prepared, period)
        line = sentence("command.ask.period", period=named, chance=_in_hundred(chance, words))
        say(f"  {words.tell(line)}", out)
    for group in said["apart_groups"]:
        say(words.tell(group["says"]), out)
    because = reasons(dated)
    if because["basis"] is not None:
        say(words.tell(because["basis"]), out)
    if because["why"]:
        say(words.say("command.ask.why"), out)
    for one in because["why"]:
        say(f"  {words.tell(one['says'])}", out)
    if because["settle"] is not None:
        settle = because["settle"]
        mark = dated.prepared.model.marks[dated.prepared.marks_by_id[settle["mark"]]]
        said_so = {"says": settle["says"], "mark": mark.id, "forms": one_of(form.id for form in mark.forms)}
        say(words.tell(sentence("command.ask.settle", **said_so)), out)


def tell_should_have(dated: Dated, words: Words, out: TextIO) -> None:
    """Print what the works can have fitted to the car, part by part."""
    model, trims = dated.prepared.model, trims_of(dated.prepared.model, dated.fitted)
    say(words.say("command.ask.should-have"), out)
    for one in dated.fitted:
        part = model.marks[one.mark].name
        said = sentence("command.ask.part", part=part, forms=fitted_said(model, one, trims))
        say(f"  {words.tell(said)}", out)


def _in_hundred(chance: float, words: Words) -> str:
    """Return a chance in a hundred; what rounding would make none or all of them is said as what it is."""
    if chance < 0.005:
        return words.say("words.chance.hardly_any")
    if chance >= 0.995:
        return words.say("words.chance.nearly_all")
    return words.say("command.ask.in-hundred", count=round(100 * chance))
