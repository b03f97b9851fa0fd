"""One car asked of a model in words, as the tests compare it: what a terminal prints and what a screen says."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from guide.dating.belief.evidence import Answer, Session
from guide.dating.dated import Dated
from guide.dating.key import Key
from guide.dating.model import Model
from guide.dating.output import as_output, explained
from guide.dating.reasons import reasons
from guide.dating.result_sentences import HEAD
from guide.words.say import load_words

__all__ = ["conclude", "explain", "give_reasons", "key_of", "never_restored", "next_look", "read_answer"]

_keys: list[Key] = []  # of the last few models, for many tests ask many things of one
_last: list[tuple[Model, Session, Dated]] = []


def key_of(model: Model) -> Key:
    """Return the key of a model."""
    for key in _keys:
        if key.model is model:
            return key
    _keys[3:] = []
    _keys.insert(0, Key(model))
    return _keys[0]


def dated_of(model: Model, session: Session) -> Dated:
    """Return what is worked out of one car; the last one is kept, for a comparison asks three things of each."""
    if not (_last and _last[0][0] is model and _last[0][1] is session):
        _last[:] = [(model, session, key_of(model).dated(session))]
    return _last[0][2]


def never_restored(model: Model) -> Model:
    """Return a model in which no car was ever restored, so that what it concludes can be worked out by hand."""
    return replace(model, chances=replace(model.chances, restored=replace(model.chances.restored, share=0.0)))


def conclude(model: Model, session: Session) -> dict[str, Any]:
    """Return the whole result for one car, as ``ask --json`` prints it."""
    told: dict[str, Any] = load_words(model.language).told(as_output(dated_of(model, session)))
    return told


def explain(model: Model, session: Session) -> dict[str, Any]:
    """Return what a screen says beside it; ``head`` is the first sentence cut round what is set large in it."""
    words, said = load_words(model.language), explained(dated_of(model, session))
    pieces = [(mark, text) for mark, text, _ in words.pieces(said["sentences"][0])]
    marks = [mark for mark, _ in pieces]
    if HEAD not in marks:
        return {"head": None, **words.told(said)}
    texts = [text for _, text in pieces]
    first, end = marks.index(HEAD), len(marks) - marks[::-1].index(HEAD)
    return {"head": ["".join(some) for some in (texts[:first], texts[first:end], texts[end:])], **words.told(said)}


def give_reasons(model: Model, session: Session) -> dict[str, Any]:
    """Return why the result is as it is, as a screen says it."""
    told: dict[str, Any] = load_words(model.language).told(reasons(dated_of(model, session)))
    return told


def next_look(model: Model, session: Session) -> str | None:
    """Return the mark that would be asked for next, or None where the key stops."""
    look = key_of(model).dated(session).next
    return None if look is None else model.marks[look.mark].id


def read_answer(model: Model, mark: str, value: str) -> Answer:
    """Return the answer that ``value`` means (as `Answer.value`), its forms in the model's order."""
    if value in ("changed", "none", "cannot-tell"):
        return Answer(mark, (), value)
    names = [form.id for one in model.marks if one.id == mark for form in one.forms]
    forms = sorted(set(value.split("+")), key=names.index)
    return Answer(mark, tuple(forms), "form" if len(forms) == 1 else "several")
