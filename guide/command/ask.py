"""`build.py ask`: the key in the terminal, by questions or in one call, for one car or many."""

from __future__ import annotations

import json
import pathlib
import sys
from collections.abc import Callable, Mapping, Sequence
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any, TextIO, TypeVar

from guide.command.calls import Call, CallIsOff, perhaps
from guide.command.converse import converse
from guide.command.made import ForAnswers
from guide.command.pasted import is_pasted, read_pasted
from guide.command.result import tell_number, tell_result, tell_should_have
from guide.command.window import say
from guide.dating.belief.evidence import Answer, Session
from guide.dating.belief.papers import PAPERS, PART, RESTORED, read_days
from guide.dating.belief.prepare import Prepared
from guide.dating.belief.state import ImpossibleEvidence
from guide.dating.dated import Dated
from guide.dating.key import Key
from guide.dating.model import Model, ModelMark
from guide.dating.output import as_output
from guide.dating.result_sentences import why
from guide.facts.values import RESERVED_IDS, Reach
from guide.facts.when.edtf import Bounds
from guide.facts.when.numbers import CHASSIS, read_table_number
from guide.press.kept import Kept
from guide.press.theme import Theme
from guide.sentence import sentence
from guide.words.say import load_words

if TYPE_CHECKING:
    from guide.dating.building.behind import Reasons
    from guide.facts.types import Guide
    from guide.limits.types import LimitsResult

__all__ = ["dated_of", "read_session", "run", "session_of", "session_said", "sessions_in", "worked_anew"]

T = TypeVar("T")
_LINE = '{"answers": {"switches": "toggle"}, "car": null}'


def _answer(mark: ModelMark, text: str, formerly: Mapping[str, str]) -> Answer:
    typed = [part.strip() for part in text.split("+")]
    forms = list(dict.fromkeys(formerly.get(form, form) for form in typed))
    if len(forms) == 1 and forms[0] in RESERVED_IDS:
        return Answer(mark.id, (), forms[0])
    known = [form.id for form in mark.forms]
    for form in forms:
        if form not in known:
            raise CallIsOff.of("ask.no-form", mark=mark.name, form=form, known=", ".join(known))
    return Answer.of(mark.id, forms)


def _today(model: Model, mark: str) -> str:
    """Return the id that a mark has today, of one that it has or had before."""
    there = any(one.id == mark for one in model.marks)
    return mark if there else str(model.formerly.get("marks", {}).get(mark, mark))


def _answers(model: Model, given: Mapping[str, Any]) -> tuple[Answer, ...]:
    marks = {mark.id: mark for mark in model.marks}
    answers = []
    for mark, text in given.items():
        mark = _today(model, mark)
        if mark not in marks:
            raise perhaps("ask.no-mark", mark, marks, 0.6, known=", ".join(marks))
        if not isinstance(text, str):
            raise CallIsOff.of("ask.answer-no-text", mark=mark, found=repr(text))
        answers.append(_answer(marks[mark], text, model.formerly.get("forms", {}).get(mark, {})))
    return tuple(answers)


def _reach(given: Sequence[Any] | None, model: Model) -> tuple[str, ...]:
    order = [reach.value for reach in Reach]
    if given is None:
        return tuple(reach for reach in order if reach in model.reaches and reach != Reach.PHOTOGRAPHS)
    strange = [part for part in given if part not in order]
    if strange:
        raise CallIsOff.of("ask.no-reach", typed=strange[0], known=", ".join(order))
    return tuple(reach for reach in order if reach in given)


def _known(given: Mapping[str, Any], model: Model) -> dict[str, str]:
    marks = {mark.id for mark in model.marks}
    known = {}
    for typed, text in given.items():
        kind = PART + _today(model, typed.removeprefix(PART)) if typed.startswith(PART) else typed
        if kind == RESTORED and text == "yes":
            known[kind] = text
            continue
        if kind not in PAPERS and not (kind.startswith(PART) and kind.removeprefix(PART) in marks):
            raise CallIsOff.of("ask.not-known", typed=kind, known=", ".join((*PAPERS, f"{RESTORED}=yes")))
        said = None
        if isinstance(text, str):
            said = text if kind == "model-year" or read_days(text) is not None else _days_in_words(text, model)
        if said is None:
            raise CallIsOff.of("ask.no-date", kind=kind, found=repr(text))
        known[kind] = said
    return known


def _days_in_words(text: str, model: Model) -> str | None:
    """Return a date in words that the facts take ("spring 1968", "by June 1968", which begins with production), as its
    first and last day; None for what is none, or never ends. Its twin is dates_in_words.js."""
    # is seldom asked for, and an answer is to come at once
    from guide.facts.when.dates_in_words import read_date_words
    from guide.facts.when.typed import in_english

    about = {f"about_{precision}_days": days for precision, days in model.chances.about_days.items()}
    when = read_date_words(" ".join(in_english(text, model.language).split()), about)
    if not isinstance(when, Bounds) or when.latest is None:
        return None
    return _written(when.earliest or min(date.fromisoformat(model.origin), when.latest), when.latest)


def _written(first: date, last: date) -> str:
    """Return days as they are written most shortly: 1968, 1968-03, 1968-03-12, or 1968-03-01/1968-05-31."""
    if first == last:
        return first.isoformat()
    after = last + timedelta(days=1)
    if first.day == 1 and after == (first + timedelta(days=31)).replace(day=1):
        return f"{first:%Y-%m}"
    if (first.month, first.day) == (1, 1) and after == first.replace(year=first.year + 1):
        return f"{first:%Y}"
    return f"{first}/{last}"


def _car(model: Model, given: Any) -> str | None:
    """Return the numbers of one car as a session has them, of which there is one of each kind."""
    cars = given if isinstance(given, list) else [] if given is None else [given]
    if not all(isinstance(one, str) for one in cars):
        raise CallIsOff.of("ask.car-no-text", found=repr(given))
    numbers = [part.strip() for one in cars for part in one.split("+") if part.strip()]
    kinds = {row["id"]: row.get("kind", CHASSIS) for row in model.numbers["series"]}
    taken: dict[str, str] = {}
    for number in numbers:
        kind = kinds.get(read_table_number(number, model.numbers).get("series", ""))
        if kind is not None and taken.setdefault(kind, number) != number:
            raise CallIsOff.of("ask.two-numbers", kind=kind, first=taken[kind], second=number)
    return "+".join(dict.fromkeys(numbers)) or None


def read_session(model: Model, given: Mapping[str, Any]) -> Session:
    """Return what one car's answers come to. Raises CallIsOff for ids and dates that the guide does not know."""
    strange = sorted(set(given) - {"answers", "car", "reach", "known"})
    if strange:
        raise CallIsOff.of("ask.strange-key", found=strange[0])
    return Session(
        answers=_answers(model, given.get("answers") or {}),
        car=_car(model, given.get("car")),
        reach=_reach(given.get("reach"), model),
        known=_known(given.get("known") or {}, model),
    )


def session_said(
    model: Model, answers: Sequence[str], car: Sequence[str] | None, reach: str | None, known: Sequence[str]
) -> Session:
    """Return what a call says of one car, by ids or in a person's own words. Raises CallIsOff as `read_session`."""
    if is_pasted(answers):
        given = read_pasted(" ".join(answers), model, load_words(model.language))
        car = [*(car or ()), *filter(None, [given["car"]])] or None
        answers = [f"{mark}={value}" for mark, value in given["answers"].items()]
        known = [*known, *(f"{kind}={when}" for kind, when in given["known"].items())]
    return read_session(
        model,
        {
            "answers": _pairs(answers, "no-answer", _example(model)),
            "car": car,
            "reach": None if reach is None else [part.strip() for part in reach.split(",") if part.strip()],
            "known": _pairs(known, "no-pair"),
        },
    )


def _example(model: Model) -> str:
    """Return an answer that this guide knows, as it is typed."""
    return next((f"{mark.id}={mark.forms[0].id}" for mark in model.marks if mark.kind == "mark"), "")


def _pairs(texts: Sequence[str], what: str, example: str = "") -> dict[str, str]:
    pairs: dict[str, str] = {}
    for text in texts:
        name, equals, value = text.partition("=")
        if not equals or not name or not value:
            raise CallIsOff.of(f"ask.{what}", found=text, example=example)
        if name in pairs:
            raise CallIsOff.of("ask.twice", name=name, first=pairs[name], second=value)
        pairs[name] = value
    return pairs


def sessions_in(path: pathlib.Path, read: Callable[[str], T]) -> list[T]:
    """Return the cars of a file as they are read, one on each line but empty ones and those that begin with ``#``.

    Raises CallIsOff with the line that is off.
    """
    try:
        text = path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError:
        raise CallIsOff.of("ask.not-utf-8", file=str(path)) from None
    except FileNotFoundError:
        raise CallIsOff.of("ask.no-such-file", file=str(path)) from None
    except OSError as error:
        raise CallIsOff.of("ask.unreadable", file=str(path), why=error.strerror or str(error)) from None
    sessions = []
    for count, line in enumerate(text.splitlines(), 1):
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        try:
            sessions.append(read(line))
        except CallIsOff as off:
            raise CallIsOff.of("ask.off-line", place=f"{path}:{count}", why=off.says) from None
    return sessions


def _many(path: pathlib.Path, key: Key, reasons: Reasons, out: TextIO) -> int:
    from guide.command.many import conclude_all, processes_for

    sessions = sessions_in(path, lambda line: session_of(line, key.model))
    for said in conclude_all(key, reasons, sessions, processes_for(len(sessions))):
        say(said, out)
    return 0


def session_of(line: str, model: Model) -> Session:
    """Return one car from its line of JSON, or in a person's own words. Raises CallIsOff for what is neither, and as
    `read_session`."""
    if not line.lstrip().startswith("{") and is_pasted([line]):
        return session_said(model, [line], None, None, ())
    try:
        given = json.loads(line)
    except (ValueError, RecursionError):  # no JSON, or brackets without end
        given = None
    if not isinstance(given, dict):
        raise CallIsOff.of("ask.no-car", line=_LINE, found=repr(line.strip()[:40]))
    return read_session(model, given)


def dated_of(key: Key, session: Session) -> Dated:
    """Return one car dated. Raises CallIsOff where no car could be like this."""
    try:
        return key.dated(session)
    except ImpossibleEvidence:
        raise CallIsOff.of("ask.impossible") from None


def _print_result(key: Key, dated: Dated, out: TextIO) -> None:
    words = load_words(key.model.language)
    tell_number(key.model, dated.session.car, words, out)
    tell_result(dated, words, out)
    if dated.number is not None and not dated.session.answers:
        tell_should_have(dated, words, out)
    if dated.next is not None:
        question = key.model.marks[dated.next.mark].question
        say(words.say("command.ask.next", question=question, why=why(dated, dated.next)), out)
    else:
        say(words.say(f"dating.stopped.{dated.stopped}"), out)
    say(words.say("pages.shell.caution"), out)


def _kept_for(call: Call) -> tuple[Prepared, Reasons]:
    """Return what a guide's cars are dated with: as it is kept beside the guide that was made from these very files,
    else worked out now. Raises CallIsOff where the facts cannot be used."""
    theme = call.theme
    kept = call.kept(theme)
    found = kept.get(ForAnswers)
    prepared = None if found is None else kept.get(Prepared, found.of)
    if found is None or prepared is None:
        prepared, found, *_ = worked_anew(call, kept, theme)
    return prepared, found.reasons


def worked_anew(call: Call, kept: Kept, theme: Theme) -> tuple[Prepared, ForAnswers, Guide, LimitsResult]:
    """Work a guide out, and keep what cars are dated with. Raises CallIsOff where the facts cannot be used."""
    from guide.command.earlier import keep_answers
    from guide.command.work import work_out
    from guide.facts.bones import outline_of

    worked = work_out(call.content, language=call.language)
    if worked.usable is None:
        raise CallIsOff.of("ask.guide-unread", folder=str(call.content))
    guide, limits, key = worked.usable
    if not (kept.there and kept.is_of(call.content, theme)):
        kept = Kept(None, call.content, theme, call.language)
    return *keep_answers(kept, outline_of(guide).digest, limits, key), guide, limits


def run(call: Call) -> int:
    """Answer one call of ``ask``. Raises CallIsOff when the call makes no sense with this guide."""
    options, out = call.options, call.printed
    if options.edition and options.many is not None:
        raise CallIsOff.of("call.not-beside", option="--edition", other="--many")
    if options.edition and not (options.answers or options.car or options.known):
        raise CallIsOff.of("call.only-beside", option="--edition", other=sentence("command.value.mark-form"))
    prepared, reasons = _kept_for(call)
    key, model = Key(prepared.model, prepared), prepared.model
    if options.many is not None:
        if options.answers or options.car or options.known or options.reach:
            raise CallIsOff.of("ask.many-alone")
        return _many(options.many, key, reasons, out)
    # What has a digit and tells of no part is a number, as after `letter`.
    numbers = [one for one in options.answers if "=" not in one and any(map(str.isdigit, one))]
    if numbers and not is_pasted(options.answers):
        options.answers = [one for one in options.answers if one not in numbers]
        options.car = [*(options.car or ()), *numbers]
    session = session_said(model, options.answers, options.car, options.reach, options.known)
    if options.edition not in (None, model.edition):
        said = sentence("command.ask.other-edition", theirs=options.edition, ours=model.edition)
        say(load_words(model.language).tell(said), sys.stderr if call.as_json else out)
    if call.as_json:
        call.print_json(load_words(model.language).told(as_output(dated_of(key, session), reasons)))
        return 0
    if options.answers or options.car or options.known:
        _print_result(key, dated_of(key, session), out)
        return 0
    return converse(key, session, sys.stdin, out)
