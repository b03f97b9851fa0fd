"""`build.py ask`: the key in the terminal, by questions or in one call, for one car or many."""

from __future__ import annotations

import argparse
import json
import pathlib
from collections.abc import Mapping, Sequence
from difflib import get_close_matches
from typing import Any, TextIO

from guide.command.converse import converse
from guide.command.many import conclude_all, processes_for
from guide.command.telling import tell_number, tell_result
from guide.command.work import work_out
from guide.dating.belief.engine import Answer, ImpossibleEvidence, Session, conclude
from guide.dating.belief.papers import read_days
from guide.dating.model import Model, ModelMark
from guide.facts.types import RESERVED_IDS, Reach
from guide.words.say import load_words

__all__ = ["ABOUT", "AFTER", "CannotAsk", "add_arguments", "read_session", "run"]

ABOUT = """\
Dates a car. With nothing after it, asks for one look at a time. With answers after it, says what they come to.
"""

AFTER = """\
An answer is MARK=FORM, by ids: switches=toggle. Both kinds there, or unsure which: switches=toggle+rocker.
Changed, none of these, can't tell: switches=changed, switches=none, switches=cannot-tell.

examples:
  python build.py ask
  python build.py ask switches=rocker tail-lamps=round --car C1912
  python build.py ask switches=rocker --reach outside,glass --known registered=1968-07 --json
  python build.py ask --many cars.jsonl --json
"""

_LINE = 'a line such as {"answers": {"switches": "toggle"}, "car": null}'
_KNOWN = ("registered", "despatched", "titled", "model-year")


class CannotAsk(Exception):
    """What was asked makes no sense with this guide; its text says why and what would."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add what may stand after ``ask``."""
    parser.add_argument(
        "answers", nargs="*", metavar="MARK=FORM", help="what was seen: the ids of a part and of one of its forms"
    )
    parser.add_argument("--car", metavar="NUMBER", help="the chassis number, where it is known")
    parser.add_argument(
        "--reach",
        metavar="LIST",
        help="how close you can get, one or several of: " + ", ".join(reach.value for reach in Reach),
    )
    parser.add_argument(
        "--known",
        action="append",
        default=[],
        metavar="KIND=DATE",
        help="a date known from elsewhere: registered, despatched, titled, model-year or part:MARK",
    )
    parser.add_argument("--edition", metavar="NAME", help="the edition that a line sent by somebody was made with")
    parser.add_argument(
        "--many", metavar="FILE", type=pathlib.Path, help="a file of cars, each a line of JSON; prints a line for each"
    )


def _answer(mark: ModelMark, text: str) -> Answer:
    forms = tuple(dict.fromkeys(part.strip() for part in text.split("+")))
    if len(forms) == 1 and forms[0] in RESERVED_IDS:
        return Answer(mark.id, (), forms[0])
    known = {form.id for form in mark.forms}
    strange = [form for form in forms if form not in known]
    if strange:
        raise CannotAsk(
            f"{mark.name} has no form '{strange[0]}'. It has: {', '.join(form.id for form in mark.forms)}; "
            "or changed, none, cannot-tell."
        )
    return Answer(mark.id, forms, "form" if len(forms) == 1 else "several")


def _answers(model: Model, given: Mapping[str, Any]) -> tuple[Answer, ...]:
    marks = {mark.id: mark for mark in model.marks}
    answers = []
    for mark, text in given.items():
        if mark not in marks:
            near = get_close_matches(mark, marks, n=1)
            meant = f" Did you mean {near[0]}?" if near else ""
            raise CannotAsk(f"This guide has no mark '{mark}'.{meant} It has: {', '.join(marks)}.")
        if not isinstance(text, str):
            raise CannotAsk(f"Expected the answer for '{mark}' to be text such as 'toggle', found {text!r}.")
        answers.append(_answer(marks[mark], text))
    return tuple(answers)


def _reach(given: Sequence[Any] | None, model: Model) -> tuple[str, ...]:
    order = [reach.value for reach in Reach]
    if given is None:
        return tuple(reach for reach in order if reach in model.reaches and reach != Reach.PHOTOGRAPHS)
    strange = [part for part in given if part not in order]
    if strange:
        raise CannotAsk(f"'{strange[0]}' is no way of getting close. These are: {', '.join(order)}.")
    return tuple(reach for reach in order if reach in given)


def _known(given: Mapping[str, Any], model: Model) -> dict[str, str]:
    marks = {mark.id for mark in model.marks}
    for kind, text in given.items():
        if kind not in _KNOWN and not (kind.startswith("part:") and kind[5:] in marks):
            raise CannotAsk(
                f"'{kind}' is nothing that can be known beforehand. These are: {', '.join(_KNOWN)}, part:MARK."
            )
        if not isinstance(text, str) or (kind != "model-year" and read_days(text) is None):
            raise CannotAsk(f"Expected a date such as 1968, 1968-03 or 1968-03-12 for {kind}, found {text!r}.")
    return dict(given)


def read_session(model: Model, given: Mapping[str, Any]) -> Session:
    """Return what one car's answers come to. Raises CannotAsk for ids and dates that the guide does not know."""
    strange = sorted(set(given) - {"answers", "car", "reach", "known"})
    if strange:
        raise CannotAsk(f"Expected answers, car, reach and known, found '{strange[0]}'.")
    car = given.get("car")
    if car is not None and not isinstance(car, str):
        raise CannotAsk(f"Expected the car's number as text, found {car!r}.")
    return Session(
        answers=_answers(model, given.get("answers") or {}),
        car=car or None,
        reach=_reach(given.get("reach"), model),
        known=_known(given.get("known") or {}, model),
    )


def _pairs(texts: Sequence[str], what: str) -> dict[str, str]:
    pairs: dict[str, str] = {}
    for text in texts:
        name, equals, value = text.partition("=")
        if not equals or not name or not value:
            raise CannotAsk(f"Expected {what}, found '{text}'.")
        if name in pairs:
            raise CannotAsk(f"'{name}' is answered twice. For both kinds write {name}={pairs[name]}+{value}.")
        pairs[name] = value
    return pairs


def _many(path: pathlib.Path, model: Model, out: TextIO) -> int:
    try:
        text = path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError:
        raise CannotAsk(
            f"'{path}' is not saved as UTF-8. Save it again as UTF-8 text, a line of JSON for each car."
        ) from None
    except OSError as error:
        why = "There is no such file" if isinstance(error, FileNotFoundError) else error.strerror or str(error)
        raise CannotAsk(f"'{path}' cannot be read: {why}. Name a file with a line of JSON for each car.") from None
    sessions = []
    for count, line in enumerate(text.splitlines(), 1):
        if not line.strip():
            continue
        try:
            given = json.loads(line)
            if not isinstance(given, dict):
                raise CannotAsk(f"expected {_LINE}, found {line.strip()[:40]!r}.")
            sessions.append(read_session(model, given))
        except json.JSONDecodeError:
            raise CannotAsk(f"{path}:{count}: expected {_LINE}, found {line.strip()[:40]!r}.") from None
        except CannotAsk as off:
            raise CannotAsk(f"{path}:{count}: {off}") from None
    for said in conclude_all(model, sessions, processes_for(len(sessions))):
        print(said, file=out)
    return 0


def _concluded(model: Model, session: Session) -> dict[str, Any]:
    try:
        return conclude(model, session)
    except ImpossibleEvidence:
        raise CannotAsk(load_words(model.language).say("command.ask.impossible")) from None


def _print_result(model: Model, session: Session, out: TextIO) -> None:
    words, result = load_words(model.language), _concluded(model, session)
    tell_number(model, session.car, words, out)
    tell_result(model, session, result, words, out)
    if result["next"]:
        print(words.say("command.ask.next", question=result["next"]["question"], why=result["next"]["why"]), file=out)
    elif result["stopped"]:
        print(result["stopped"]["words"], file=out)
    print(words.say("pages.shell.caution"), file=out)


def run(options: argparse.Namespace, entered: TextIO, out: TextIO) -> int:
    """Answer one call of ``ask``. Raises CannotAsk when the call makes no sense with this guide."""
    worked = work_out(options.content)
    if worked.model is None or worked.guide is None:
        raise CannotAsk(
            "The guide cannot be read yet. Type "
            f"'python build.py check --content {options.content}' to see what to put right."
        )
    model = worked.model
    if options.many is not None:
        if options.answers or options.car or options.known or options.reach:
            raise CannotAsk("With --many every car's answers stand in the file. Leave out what else is said of a car.")
        return _many(options.many, model, out)
    session = read_session(
        model,
        {
            "answers": _pairs(options.answers, "an answer such as switches=toggle"),
            "car": options.car,
            "reach": None
            if options.reach is None
            else [part.strip() for part in options.reach.split(",") if part.strip()],
            "known": _pairs(options.known, "something known such as registered=1968-07"),
        },
    )
    if options.json:
        print(json.dumps(_concluded(model, session), ensure_ascii=False), file=out)
        return 0
    if options.answers or options.car or options.known:
        if options.edition not in (None, model.edition):
            print(
                f"These answers were given with another edition of the guide ({options.edition}); "
                f"this is {model.edition}.",
                file=out,
            )
        _print_result(model, session, out)
        return 0
    return converse(model, session, entered, out)
