"""The key as a conversation in the terminal: one look at a time, back at any time, stop at any time."""

from __future__ import annotations

from dataclasses import replace
from typing import TextIO

from guide.command.result import tell_result
from guide.command.window import say
from guide.dating.belief.evidence import Answer, Session
from guide.dating.belief.state import ImpossibleEvidence
from guide.dating.dated import Dated
from guide.dating.key import Key
from guide.dating.model import ModelMark
from guide.words.say import Words, load_words

__all__ = ["converse"]


def _offer(mark: ModelMark, words: Words, out: TextIO, *, how: bool) -> None:
    """Ask; ``how`` adds what may be typed, which is said once and again after a slip."""
    say(f"\n{mark.question}", out)
    if mark.look:
        say(f"  {mark.look}", out)
    for count, form in enumerate(mark.forms, 1):
        say(f"  {count}  {form.answer}", out)
    if how:
        say(words.say("command.ask.what-to-type"), out)


def _read(text: str, mark: ModelMark) -> Answer | None:
    """Return what was typed as an answer, or None when it is none."""
    typed = text.strip().casefold()
    if typed in ("", "can't tell", "cannot tell", "cant tell"):
        return Answer(mark.id, (), "cannot-tell")
    if typed in ("changed", "none"):
        return Answer(mark.id, (), typed)
    parts = [part.strip() for part in typed.split("+")]
    if not all(part.isdecimal() and 1 <= int(part) <= len(mark.forms) for part in parts):
        return None
    return Answer.of(mark.id, [mark.forms[int(part) - 1].id for part in parts])


def _say_result(dated: Dated, words: Words, out: TextIO) -> None:
    print(file=out)
    tell_result(dated, words, out)
    say(words.say("pages.shell.caution"), out)


def converse(key: Key, session: Session, entered: TextIO, out: TextIO) -> int:
    """Ask until the key stops or the person does; say the result. Return the exit status."""
    words = load_words(key.model.language)
    how = True
    while True:
        try:
            dated = key.dated(session)
        except ImpossibleEvidence:  # of no answer at all it is never raised
            say(words.say("command.ask.taken-back"), out)
            session = replace(session, answers=session.answers[:-1])
            continue
        if dated.next is None:
            _say_result(dated, words, out)
            say(words.say(f"dating.stopped.{dated.stopped}"), out)
            return 0
        mark = key.model.marks[dated.next.mark]
        _offer(mark, words, out, how=how)
        how = False
        line = entered.readline()
        typed = line.strip().casefold()
        if not line or typed == "stop":
            _say_result(dated, words, out)
            return 0
        if typed == "back":
            session = replace(session, answers=session.answers[:-1])
            continue
        if typed == "result":
            _say_result(dated, words, out)
            continue
        answer = _read(line, mark)
        if answer is None:
            say(words.say("command.ask.not-understood", typed=line.strip()), out)
            how = True
            continue
        session = replace(session, answers=(*session.answers, answer))
