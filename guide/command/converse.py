"""The key as a conversation in the terminal: one look at a time, back at any time, stop at any time."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any, TextIO

from guide.command.telling import tell_result
from guide.dating.belief.engine import Answer, ImpossibleEvidence, Session, conclude
from guide.dating.model import Model
from guide.words.say import Words, load_words

__all__ = ["converse"]


def _offer(question: Mapping[str, Any], model: Model, words: Words, out: TextIO, *, how: bool) -> None:
    """Ask; ``how`` adds what may be typed, which is said once and again after a slip."""
    mark = next(mark for mark in model.marks if mark.id == question["mark"])
    print(f"\n{question['question']}", file=out)
    if mark.look:
        print(f"  {mark.look}", file=out)
    for count, form in enumerate(mark.forms, 1):
        print(f"  {count}  {form.answer}", file=out)
    if how:
        print(words.say("command.ask.what-to-type"), file=out)


def _read(text: str, mark: str, model: Model) -> Answer | None:
    """Return what was typed as an answer, or None when it is none."""
    forms = next(one for one in model.marks if one.id == mark).forms
    typed = text.strip().casefold()
    if typed in ("", "can't tell", "cannot tell", "cant tell"):
        return Answer(mark, (), "cannot-tell")
    if typed in ("changed", "none"):
        return Answer(mark, (), typed)
    parts = [part.strip() for part in typed.split("+")]
    if not all(part.isdecimal() and 1 <= int(part) <= len(forms) for part in parts):
        return None
    chosen = tuple(dict.fromkeys(forms[int(part) - 1].id for part in parts))
    return Answer(mark, chosen, "form" if len(chosen) == 1 else "several")


def _say_result(model: Model, session: Session, result: Mapping[str, Any], words: Words, out: TextIO) -> None:
    print(file=out)
    tell_result(model, session, result, words, out)
    print(words.say("pages.shell.caution"), file=out)


def converse(model: Model, session: Session, entered: TextIO, out: TextIO) -> int:
    """Ask until the key stops or the person does; say the result. Return the exit status."""
    words = load_words(model.language)
    how = True
    while True:
        try:
            result = conclude(model, session)
        except ImpossibleEvidence:  # of no answer at all it is never raised
            print(words.say("command.ask.taken-back"), file=out)
            session = replace(session, answers=session.answers[:-1])
            continue
        question = result["next"]
        if question is None:
            _say_result(model, session, result, words, out)
            if result["stopped"]:
                print(result["stopped"]["words"], file=out)
            return 0
        _offer(question, model, words, out, how=how)
        how = False
        line = entered.readline()
        typed = line.strip().casefold()
        if not line or typed == "stop":
            _say_result(model, session, result, words, out)
            return 0
        if typed == "back":
            session = replace(session, answers=session.answers[:-1])
            continue
        if typed == "result":
            _say_result(model, session, result, words, out)
            continue
        answer = _read(line, question["mark"], model)
        if answer is None:
            print(words.say("command.ask.not-understood", typed=line.strip()), file=out)
            how = True
            continue
        session = replace(session, answers=(*session.answers, answer))
