"""Why a result is as it is: the looks that decide, what it rests on where nothing was looked at, and what would settle
a doubt.

A look *decides* as far as the belief about the days moves when it is left out: the relative entropy of the belief with
it from that without, in bits (Kullback & Leibler 1951). What a car is as a whole *settles* a doubt where a part that
was found is right with some of its values and stands apart with others, and both are still likely: wood veneer is right
for leather only. Each is worked out by asking again without that look, or with that value. Twin:
guide/browser/dating/reasons.js.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace
from typing import Any

from guide.dating.belief.apart import chances_apart
from guide.dating.belief.evidence import Answer
from guide.dating.belief.papers import RESTORED
from guide.dating.belief.result import day_of
from guide.dating.belief.state import ImpossibleEvidence, State, believe, chance_of_forms
from guide.dating.dated import Dated
from guide.sentence import Sentence, lower_first, month_span, one_of_names, sentence

__all__ = ["reasons"]

# Common practice, no source:
_MOST = 3  # looks that are named
_LEAST_BITS = 0.1  # a look that moves the belief by less decides nothing
_LIKELY = 0.02  # a value less likely than this is left out of account
_DOUBTFUL = 0.1  # what speaks against a part is worth settling from this chance up


def reasons(dated: Dated) -> dict[str, Any]:
    """Return ``why``, the looks that decide, most first, each ``{mark, says}``; ``basis``, the sentence that nothing
    was looked at, or None; and ``settle``, what would settle a doubt ``of`` a part, ``{mark, says, of, verdict}``, or
    None."""
    return {"why": _deciding(dated), "basis": _basis(dated), "settle": _settling(dated)}


def _deciding(dated: Dated) -> list[dict[str, Any]]:
    state, marks = dated.state, dated.prepared.model.marks
    told = [(mark, answer) for mark, answer in state.answers if mark in state.vectors]
    moved = [(mark, answer, _moved(state, answer)) for mark, answer in told]
    moved.sort(key=lambda one: (-round(one[2] * 1e7), one[0]))
    return [
        {"mark": marks[mark].id, "says": _usual(dated, mark, answer)}
        for mark, answer, bits in moved[:_MOST]
        if bits >= _LEAST_BITS
    ]


def _moved(state: State, answer: Answer) -> float:
    """Return by how many bits an answer moves the belief about the days."""
    rest = tuple(one for one in state.session.answers if one.mark != answer.mark)
    before = believe(state.prepared, replace(state.session, answers=rest)).line
    return sum(now * math.log2(now / then) for now, then in zip(state.line, before, strict=True) if now > 0.0)


def _found(dated: Dated, mark: int, answer: Answer) -> dict[str, Any]:
    """Return what a sentence about a part that was found says of it."""
    one = dated.prepared.model.marks[mark]
    return {"part": one.name, "form": one_of_names(form.name for form in one.forms if form.id in answer.forms)}


def _usual(dated: Dated, mark: int, answer: Answer) -> Sentence:
    looks, edges = next(one.looks for one in dated.apart if one.mark == mark), dated.prepared.model.edges
    if looks is None:
        return sentence("dating.because.rare", **_found(dated, mark, answer))
    first, last = (day_of(dated.prepared, day) for day in (edges[looks[0]], edges[looks[1] + 1] - 1))
    span = month_span(first.replace(day=1), last.replace(day=1))
    return sentence("dating.because.usual", span=span, **_found(dated, mark, answer))


def _basis(dated: Dated) -> Sentence | None:
    if dated.state.vectors:
        return None
    if dated.number:
        return sentence("dating.because.number")
    return sentence("dating.because.paper") if set(dated.session.known) - {RESTORED} else None


def _settling(dated: Dated) -> dict[str, Any] | None:
    """Return what a car is as a whole that would settle the greatest doubt; the first of equals."""
    best: tuple[float, dict[str, Any]] | None = None
    for whole, mark, answer, right, against in _doubts(dated):
        if best is None or round(against * 1e7) > round(best[0] * 1e7):
            asked = dated.prepared.model.marks[whole]
            values = lower_first(one_of_names(asked.forms[at].name for at in right))
            says = sentence("dating.settle", values=values, **_found(dated, mark, answer))
            verdict = sentence("dating.verdict.settle", values=values)
            best = against, {"mark": asked.id, "says": says, "of": answer.mark, "verdict": verdict}
    return None if best is None else best[1]


def _doubts(dated: Dated) -> Iterator[tuple[int, int, Answer, Sequence[int], float]]:
    """Yield what a car is as a whole, a part that was found, its answer, the values with which that is right, and how
    likely the others are."""
    state, model = dated.state, dated.prepared.model
    told = {mark for mark, _ in state.answers if mark in state.vectors}
    parts = {mark: answer for mark, answer in state.answers if mark in told and model.marks[mark].kind == "mark"}
    for whole, asked in enumerate(model.marks if parts else ()):
        if asked.kind == "mark" or not asked.ask or whole in told or whole in state.told_by_number:
            continue
        chances = chance_of_forms(state, whole, leave_out=False)
        likely = [at for at, chance in enumerate(chances) if chance >= _LIKELY]
        if sum(chances[at] for at in likely) - min(chances[at] for at in likely) < _DOUBTFUL:
            continue  # whichever is right, what speaks against it is little
        verdicts = {at: _apart_with(state, asked.id, asked.forms[at].id, parts) for at in likely}
        for mark, answer in parts.items():
            right = [at for at in likely if verdicts[at].get(mark, 1.0) < model.telling.apart]
            against = sum(chances[at] for at in likely if at not in right)
            if right and against >= _DOUBTFUL:
                yield whole, mark, answer, right, against


def _apart_with(state: State, mark: str, form: str, parts: Collection[int]) -> dict[int, float]:
    """Return how far each part would stand apart on a car that is so as a whole; nothing where no car is."""
    answers = [one for one in state.session.answers if one.mark != mark]
    session = replace(state.session, answers=(*answers, Answer(mark, (form,))))
    try:
        return chances_apart(believe(state.prepared, session), parts)
    except ImpossibleEvidence:
        return {}
