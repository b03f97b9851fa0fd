"""Why a result is as it is: the looks that decide, what it rests on where nothing was looked at, and what would settle
a doubt.

A look *decides* as far as the belief about the days moves when it is left out: the relative entropy of the belief with
it from that without, in bits (Kullback & Leibler 1951). What a car is as a whole *settles* a doubt where the works
can have fitted a form that was found with some of its values only, and others are still likely: wood veneer is right
for leather only (`guide.dating.fitted`). Twin: guide/browser/dating/reasons.js.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

from guide.dating.apart_sentences import NOT_APART, right_for, verdicts
from guide.dating.belief.evidence import Answer
from guide.dating.belief.papers import RESTORED
from guide.dating.belief.result import day_of
from guide.dating.belief.state import State, believe, chance_of_forms
from guide.dating.dated import Dated
from guide.dating.fitted import FittedForm
from guide.dating.model import Model, ModelMark
from guide.sentence import Sentence, month_span, one_of_names, sentence

__all__ = ["reasons"]

# Common practice, no source:
_MOST = 3  # looks that are named
_LEAST_BITS = 0.1  # a look that moves the belief by less decides nothing
_LIKELY = 0.02  # values less likely than this are left out of account
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
    for asked, mark, answer, against in _doubts(dated):
        if best is None or round(against * 1e7) > round(best[0] * 1e7):
            verdict = right_for(dated, dated.right[mark])
            says = sentence("dating.settle", verdict=verdict, **_found(dated, mark, answer))
            best = against, {"mark": asked.id, "says": says, "of": answer.mark, "verdict": verdict}
    return None if best is None else best[1]


def _doubts(dated: Dated) -> Iterator[tuple[ModelMark, int, Answer, float]]:
    """Yield what a car is as a whole, a part that does not stand apart and yet is right with some of its values only,
    its answer, and how likely the others are."""
    state, model = dated.state, dated.prepared.model
    if dated.number_wrong > model.telling.apart:
        return
    told = {mark: answer for mark, answer in state.answers if mark in state.vectors}
    fits = [one.mark for one, verdict in verdicts(dated) if verdict in NOT_APART and one.mark in told]
    parts = [mark for mark in fits if dated.right.get(mark) and all(form.of_some for form in dated.right[mark])]
    for whole, asked in enumerate(model.marks if parts else ()):
        if asked.kind == "mark" or not asked.ask or whole in told or whole in state.told_by_number:
            continue
        chances = chance_of_forms(state, whole, leave_out=False)
        for mark in parts:
            right = _values_right(model, asked, dated.right[mark])
            within = sum(chance for form, chance in zip(asked.forms, chances, strict=True) if form.id in right)
            if within >= _LIKELY and 1.0 - within >= _DOUBTFUL:
                yield asked, mark, told[mark], 1.0 - within


def _values_right(model: Model, asked: ModelMark, right: Sequence[FittedForm]) -> set[str]:
    """Return the values of what a car is as a whole with which the works can have fitted one of some forms."""
    name = "series" if asked.kind == "body" else asked.id
    every = tuple(one.id for one in model.series) if asked.kind == "body" else tuple(form.id for form in asked.forms)
    values = {value for form in right for scope in form.scopes for value in scope.cars.get(name, every)}
    if asked.kind != "body":
        return values
    bodies = {one.id: one.body for one in model.series}  # a body is named by the first of its series
    return {form.id for form in asked.forms if bodies[form.id] in {bodies[one] for one in values}}
