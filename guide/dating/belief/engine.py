"""The key: a model and what is said of a car in, everything that can be concluded out.

`conclude` returns exactly the object that ``ask --json`` prints; `explain` adds what a screen says in words.
The browser's twins stand in guide/browser/dating/, a part for each module; tests/twins holds the two together.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from guide.dating.belief.ahead import choose_ahead
from guide.dating.belief.apart import Apart, stands_apart
from guide.dating.belief.evidence import Answer, Session, read_answer
from guide.dating.belief.look import Look, choose, looks, over_time, period_chances, would_stop
from guide.dating.belief.number import Numbered
from guide.dating.belief.prepare import Prepared, prepare
from guide.dating.belief.result import Concluded, conclude_figures, day_of, spans_for_output
from guide.dating.belief.state import ImpossibleEvidence, State, believe
from guide.dating.model import Model
from guide.dating.words import say_next, say_result, say_stopped
from guide.words.say import Words, load_words

__all__ = ["Answer", "ImpossibleEvidence", "Session", "conclude", "explain", "next_look", "read_answer"]


def conclude(model: Model, session: Session) -> dict[str, Any]:
    """Return the whole result for one car, as ``ask --json`` prints it.

    Raises ValueError for a mark, form, paper or date that the model does not know, and `ImpossibleEvidence` where
    no car could be as was said.
    """
    prepared = prepare(model)
    words = load_words(model.language)
    state = believe(prepared, session)
    concluded = conclude_figures(state)
    stopped, look = _onward(state, concluded.line, concluded.periods)
    return {
        "format": 1,
        "edition": model.edition,
        "car": _car(state),
        "reach": list(session.reach),
        "answers": [
            {"mark": answer.mark, "forms": list(answer.forms), "kind": answer.kind} for _, answer in state.answers
        ],
        "result": {
            "spans": spans_for_output(prepared, concluded),
            "words": " ".join(say_result(state, concluded, words)),
        },
        "periods": _named(model.periods, concluded.periods),
        "interiors": _named(model.interiors, concluded.interiors),
        "specifications": [{"splits": splits, "chance": chance} for splits, chance in concluded.specifications],
        "numbers": [
            {"series": model.series[one.series].id, "from": one.first, "to": one.last, "chance": one.chance}
            for one in concluded.numbers
        ],
        "apart": [_apart(prepared, one) for one in stands_apart(state)],
        "next": None if look is None else _next(state, concluded, look, words),
        "stopped": None if stopped is None else {"code": stopped, "words": say_stopped(stopped, words)},
    }


def _onward(state: State, line: Sequence[float], periods: Sequence[float]) -> tuple[str | None, Look | None]:
    """Return why to stop, or the next look."""
    code = would_stop(state.prepared, periods, line)
    if code is not None:
        return code, None
    least = state.prepared.model.stop.gain_bits
    found = looks(state)
    look = choose_ahead(state, [one for one in found if one.within and one.gain_bits >= least])
    if look is not None:
        return None, look
    return ("nothing-in-reach" if choose(found, least) is not None else "nothing-left"), None


def next_look(model: Model, session: Session) -> str | None:
    """Return the mark that `conclude` would ask for next, or None where it would stop."""
    state = believe(prepare(model), session)
    line = over_time(state.prepared, state.weights)
    _, look = _onward(state, line, period_chances(state.prepared, line))
    return None if look is None else model.marks[look.mark].id


def _car(state: State) -> str | None:
    return state.car.written if isinstance(state.car, Numbered) else state.session.car or None


def _named(things: Any, chances: tuple[float, ...]) -> list[dict[str, Any]]:
    return [
        {"id": thing.id, "name": thing.name, "chance": chance} for thing, chance in zip(things, chances, strict=False)
    ]


def _apart(prepared: Prepared, one: Apart) -> dict[str, Any]:
    mark, edges = prepared.model.marks[one.mark], prepared.model.edges
    looks_like = None
    if one.looks is not None:
        looks_like = {
            "from": day_of(prepared, edges[one.looks[0]]).isoformat(),
            "to": day_of(prepared, edges[one.looks[1] + 1] - 1).isoformat(),
        }
    return {
        "mark": mark.id,
        "found": one.answer.value,
        "chance": one.chance,
        "replaced": one.replaced,
        "misread": one.misread,
        "expected": [
            {"form": form.id, "chance": chance} for form, chance in zip(mark.forms, one.expected, strict=True)
        ],
        "looks": looks_like,
    }


def _next(state: State, concluded: Concluded, look: Look, words: Words) -> dict[str, Any]:
    mark = state.prepared.model.marks[look.mark]
    return {
        "mark": mark.id,
        "question": mark.question,
        "reach": look.reach,
        "answers": [{"form": form.id, "answer": form.answer} for form in mark.forms],
        "gain_bits": look.gain_bits,
        "effort": look.effort,
        "why": say_next(state, concluded, look, words),
    }


def explain(model: Model, session: Session) -> dict[str, Any]:
    """Return what a screen says in words beside `conclude`: sentences, the best look beyond the reach, each
    answer in words, and what stands apart, said once for things renewed together. Raises as `conclude`."""
    from guide.dating.says import explained

    return explained(believe(prepare(model), session), load_words(model.language))
